//! The comparison with limits: as volume fractions, at each limit's own conditions, with the uncertainty.

use stainbook_catalog::model::{Limit, Measured, Substance};
use stainbook_catalog::written::LimitKind;
use stainbook_core::{Concentration, convert};

use crate::budget::Relative;
use crate::outcome::Flag;
use crate::result::{Against, JudgedFrom, LimitUsed, Status, Verdict};

pub(crate) mod doubtful;
pub(crate) mod drawn;
pub(crate) mod probability;
pub(crate) mod settings;

pub(crate) use drawn::DrawnAbove;
use probability::Above;
pub(crate) use probability::Estimate;
pub(crate) use settings::Settings;

/// What is compared.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Judged<'r> {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The concentration or the bound, as a volume fraction in ppm; nothing if it cannot be given as one.
    pub(crate) ppm: Option<f64>,
    /// Its relative standard uncertainty; for a bound that of a reading on the bound.
    pub(crate) relative: Relative,
    /// How many draws lay above each limit, if it was drawn.
    pub(crate) drawn: Option<&'r DrawnAbove>,
    /// The gas whose limits these are.
    pub(crate) substance: &'r Substance,
    /// What the tube measures.
    pub(crate) measured: &'r Measured,
    /// Whether the gas is another one than the sheet's own.
    pub(crate) other_gas: bool,
    /// What is doubtful about the measurement.
    pub(crate) flags: &'r [Flag],
    /// Which limits, and how sure.
    pub(crate) settings: &'r Settings,
}

/// Compares with the limits of the gas that the survey names, or with all, in the order of its entry.
///
/// A level dangerous to life or health that the survey does not name is left out only if the result is below it.
pub(crate) fn against(judged: &Judged<'_>) -> Vec<Against> {
    let settings = judged.settings;
    judged
        .substance
        .limits
        .iter()
        .filter_map(|limit| {
            let named = settings.names(limit);
            if !named && limit.kind != LimitKind::Danger {
                return None;
            }
            let mut against = one(judged, limit);
            if named {
                return Some(against);
            }
            if !matches!(against.verdict, Some(Verdict::Above | Verdict::CannotTell)) {
                return None;
            }
            let why = against.reason.take().map(|reason| format!("; {reason}"));
            against.reason = Some(format!(
                "the survey does not name this limit; it is shown because the result is not clearly below it{}",
                why.unwrap_or_default()
            ));
            Some(against)
        })
        .collect()
}

fn one(judged: &Judged<'_>, limit: &Limit) -> Against {
    let mut against = Against {
        directly_comparable: limit.kind != LimitKind::EightHours,
        ..not_yet(limit, judged.substance)
    };
    if let (Measured::Group { name, expressed_as }, false) = (judged.measured, judged.other_gas) {
        return not_compared(against, of_group(name, &expressed_as.name));
    }
    if limit.kind == LimitKind::EightHours {
        return not_compared(
            against,
            "a tube draws for seconds to minutes: for an average over a shift several readings over the day are combined, and the figure is indicative".to_owned(),
        );
    }
    let Some(limit_ppm) = against.limit.as_ppm else {
        return not_compared(against, NO_CONDITIONS_OF_LIMIT.to_owned());
    };
    let Some(ppm) = judged.ppm else {
        return not_compared(against, NO_VOLUME_FRACTION.to_owned());
    };
    let estimate = Estimate {
        value: ppm,
        standard: ppm * judged.relative.standard,
        degrees_of_freedom: judged.relative.effective_degrees_of_freedom,
    };
    let span = match judged.status {
        Status::Measured => Span::measured(estimate),
        Status::LessThan => Span {
            lowest: Some(Estimate::NOTHING),
            highest: Some(estimate),
        },
        Status::MoreThan => Span {
            lowest: Some(estimate),
            highest: None,
        },
        Status::Refused => return against,
    };
    let figure = Figure {
        span,
        drawn: judged.drawn,
        on_the_bound: "a reading on the bound",
        flags: judged.flags,
    };
    decide(&mut against, &figure, limit_ppm, judged.settings);
    against
}

/// Why a limit in mg/m³ may have no volume fraction.
pub(crate) const NO_CONDITIONS_OF_LIMIT: &str =
    "the source of the limit does not say at which temperature and pressure its mg/m³ are meant";

/// Why a result may have none.
pub(crate) const NO_VOLUME_FRACTION: &str = "the result cannot be given as a volume fraction: air temperature and station pressure are needed";

/// Why the total of a group is not compared.
pub(crate) fn of_group(group: &str, expressed_as: &str) -> String {
    format!(
        "the tube answers to the group {group} together, stated as {expressed_as}; the limit is that of {expressed_as} alone"
    )
}

/// A limit that nothing is said about yet.
pub(crate) fn not_yet(limit: &Limit, substance: &Substance) -> Against {
    Against {
        limit: LimitUsed::of(limit, substance),
        source: limit.source.clone(),
        directly_comparable: true,
        probability_above: None,
        probability_bound: None,
        by: None,
        verdict: None,
        reason: None,
    }
}

/// A limit that is not compared with, and why.
pub(crate) fn not_compared(mut against: Against, reason: String) -> Against {
    against.directly_comparable = false;
    against.reason = Some(reason);
    against
}

/// What is known of a value: where it is, or between which ends. No end is no bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span {
    pub(crate) lowest: Option<Estimate>,
    pub(crate) highest: Option<Estimate>,
}

impl Span {
    /// A value.
    pub(crate) fn measured(estimate: Estimate) -> Self {
        Self {
            lowest: Some(estimate),
            highest: Some(estimate),
        }
    }

    /// The value, if both ends are one.
    pub(crate) fn value(&self) -> Option<Estimate> {
        self.lowest.filter(|lowest| Some(*lowest) == self.highest)
    }
}

/// A figure that is held against limits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figure<'f> {
    /// What is known of it.
    pub(crate) span: Span,
    /// How many draws of it lay above each limit, if it was drawn. Bounds are not drawn.
    pub(crate) drawn: Option<&'f DrawnAbove>,
    /// What stands at the end that a bound leaves open, in words.
    pub(crate) on_the_bound: &'f str,
    /// What is doubtful about it.
    pub(crate) flags: &'f [Flag],
}

/// Compares with a limit and writes probability, what it rests on, verdict and reason.
///
/// A value is judged by the probability that it is above. With bounds there is none: the verdict is `below` if even the
/// upper end would be, and `above` if even the lower end would be.
pub(crate) fn decide(against: &mut Against, figure: &Figure<'_>, limit: f64, settings: &Settings) {
    let (span, on_the_bound) = (&figure.span, figure.on_the_bound);
    let percent = settings.words();
    let at_end = |end: Option<&Estimate>| end.map(|end| settings.verdict(end.above(limit)));
    let (verdict, reason) = if let Some(value) = span.value() {
        let above = figure
            .drawn
            .and_then(|drawn| drawn.above(limit))
            .unwrap_or_else(|| Above::of(&value, limit));
        against.probability_above = Some(above.probability);
        against.probability_bound = above.bound;
        against.by = Some(above.by);
        above.verdict(settings)
    } else {
        let ends = [&span.lowest, &span.highest].into_iter().flatten();
        against.by = ends
            .map(Estimate::by)
            .min_by_key(|by| *by == JudgedFrom::Normal);
        if at_end(span.highest.as_ref()) == Some(Verdict::Below) {
            (
                Verdict::Below,
                Some(format!(
                    "even {on_the_bound} would be below the limit with more than {percent} probability"
                )),
            )
        } else if at_end(span.lowest.as_ref()) == Some(Verdict::Above) {
            (
                Verdict::Above,
                Some(format!(
                    "even {on_the_bound} would be above the limit with more than {percent} probability"
                )),
            )
        } else {
            let text = match (&span.lowest, &span.highest) {
                (_, None) => {
                    "the bound, with the uncertainty of a reading on it, is not clearly above the limit"
                }
                (Some(lowest), Some(_)) if 0.0 < lowest.value => {
                    "the bounds, with their uncertainties, lie on both sides of the limit or too near to it"
                }
                _ => {
                    "the bound, with the uncertainty of a reading on it, is not clearly below the limit"
                }
            };
            (Verdict::CannotTell, Some(text.to_owned()))
        }
    };
    against.verdict = Some(verdict);
    against.reason = reason;
    doubtful::withdraw(against, figure.flags);
}

/// The limits of a gas that a result can be compared with, as volume fractions at their own conditions, ppm.
pub(crate) fn limits_in_ppm(substance: &Substance) -> Vec<f64> {
    substance
        .limits
        .iter()
        .filter(|limit| limit.kind != LimitKind::EightHours)
        .filter_map(|limit| limit_in_ppm(limit, substance))
        .collect()
}

/// The limit as a volume fraction at its own conditions, ppm.
pub fn limit_in_ppm(limit: &Limit, substance: &Substance) -> Option<f64> {
    match limit.at_most.value() {
        Concentration::VolumeFraction(x) => Some(x.ppm()),
        Concentration::MassConcentration(c) => {
            convert::volume_fraction(c, substance.molar_mass, limit.mass_stated_at?)
                .ok()
                .map(stainbook_core::VolumeFraction::ppm)
        }
    }
}
