//! The comparison with limits: as volume fractions, at each limit's own conditions, with the uncertainty.

use stainbook_catalog::model::{Limit, Measured, Substance};
use stainbook_catalog::written::LimitKind;
use stainbook_core::{Concentration, convert};

use crate::normal;
use crate::result::{Against, LimitUsed, Remark, Status, Verdict};

pub(crate) mod doubtful;
pub(crate) mod settings;

pub(crate) use settings::Settings;

/// What is compared.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Judged<'r> {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The concentration or the bound, as a volume fraction in ppm; nothing if it cannot be given as one.
    pub(crate) ppm: Option<f64>,
    /// Its relative standard uncertainty; for a bound that of a reading on the bound.
    pub(crate) relative: f64,
    /// The gas whose limits these are.
    pub(crate) substance: &'r Substance,
    /// What the tube measures.
    pub(crate) measured: &'r Measured,
    /// Whether the gas is another one than the sheet's own.
    pub(crate) other_gas: bool,
    /// What is doubtful about the measurement.
    pub(crate) flags: &'r [Remark],
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
        standard: ppm * judged.relative,
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
    decide(
        &mut against,
        &span,
        limit_ppm,
        "a reading on the bound",
        judged.flags,
        judged.settings,
    );
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
        limit: LimitUsed {
            text: limit.at_most.text().to_owned(),
            value: limit.at_most.number(),
            unit: limit.at_most.unit().canonical().to_owned(),
            kind: kind_name(limit.kind).to_owned(),
            averaged_over: limit
                .averaged_over
                .as_ref()
                .map(|period| period.text().to_owned()),
            authority: limit.authority.clone(),
            catalog: limit.catalog.clone(),
            replaces: limit.replaces.clone(),
            edition: limit.edition.clone(),
            as_ppm: limit_in_ppm(limit, substance),
        },
        source: limit.source.clone(),
        directly_comparable: true,
        probability_above: None,
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

/// A value with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Estimate {
    pub(crate) value: f64,
    pub(crate) standard: f64,
}

impl Estimate {
    /// None of it, and no doubt about that: the lower end of "less than".
    pub(crate) const NOTHING: Self = Self {
        value: 0.0,
        standard: 0.0,
    };
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

/// Compares with a limit and writes probability, verdict and reason.
///
/// A value is judged by the probability that it is above. With bounds there is none: the verdict is `below` if even the
/// upper end would be, and `above` if even the lower end would be. `on_the_bound` says what stands at that end.
pub(crate) fn decide(
    against: &mut Against,
    span: &Span,
    limit: f64,
    on_the_bound: &str,
    flags: &[Remark],
    settings: &Settings,
) {
    let above = |estimate: &Estimate| probability(estimate, limit);
    let percent = settings.words();
    let (verdict, reason) = if let Some(value) = span.value() {
        let above = above(&value);
        against.probability_above = Some(above);
        (settings.verdict(above), None)
    } else if span
        .highest
        .as_ref()
        .map(above)
        .map(|p| settings.verdict(p))
        == Some(Verdict::Below)
    {
        (
            Verdict::Below,
            Some(format!(
                "even {on_the_bound} would be below the limit with more than {percent} probability"
            )),
        )
    } else if span.lowest.as_ref().map(above).map(|p| settings.verdict(p)) == Some(Verdict::Above) {
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
    };
    against.verdict = Some(verdict);
    against.reason = reason;
    doubtful::withdraw(against, flags);
}

/// The probability that the true value is above a limit (JCGM 106:2012, 7.2), for a normal distribution about the result.
fn probability(estimate: &Estimate, limit: f64) -> f64 {
    if estimate.standard > 0.0 {
        // Not 1 − P(below): a small probability keeps its digits.
        return normal::probability_below((estimate.value - limit) / estimate.standard);
    }
    if estimate.value > limit { 1.0 } else { 0.0 }
}

/// The limit as a volume fraction at its own conditions, ppm.
pub(crate) fn limit_in_ppm(limit: &Limit, substance: &Substance) -> Option<f64> {
    match limit.at_most.value() {
        Concentration::VolumeFraction(x) => Some(x.ppm()),
        Concentration::MassConcentration(c) => {
            convert::volume_fraction(c, substance.molar_mass, limit.mass_stated_at?)
                .ok()
                .map(stainbook_core::VolumeFraction::ppm)
        }
    }
}

/// What a limit limits, as in a substance's entry.
pub(crate) fn kind_name(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::EightHours => "8-hour average",
        LimitKind::ShortTerm => "short-term",
        LimitKind::Ceiling => "ceiling",
        LimitKind::Danger => "danger to life or health",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn probabilities() {
        for (value, relative, limit, expected) in [
            (10.0, 0.1, 10.0, 0.5),
            (10.0, 0.1, 12.0, 0.022_750),
            (10.0, 0.1, 8.0, 0.977_250),
            (1.0, 0.0, 2.0, 0.0),
        ] {
            let estimate = Estimate {
                value,
                standard: value * relative,
            };
            assert!(
                (probability(&estimate, limit) - expected).abs() < 1e-6,
                "{value} {limit}"
            );
        }
    }
}
