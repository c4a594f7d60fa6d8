//! The comparison with limits: as volume fractions, at each limit's own conditions, with the uncertainty.

use stainbook_catalog::model::{Limit, Measured, Substance};
use stainbook_catalog::written::LimitKind;
use stainbook_core::{Concentration, convert};

use crate::budget::Relative;
use crate::evaluated::Doubtful;
use crate::outcome::{Flag, MayRead};
use crate::result::{JudgedFrom, LimitComparison, LimitUsed, ProbabilityBound, Status, Verdict};

pub(crate) mod doubtful;
pub(crate) mod drawn;
pub(crate) mod probability;
pub(crate) mod settings;
pub(crate) mod words;

pub(crate) use drawn::DrawnAbove;
use probability::Above;
pub(crate) use probability::Estimate;
pub(crate) use settings::JudgementSettings;

/// The result that is compared with limits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct JudgedResult<'r> {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The concentration or the bound, as a volume fraction in ppm; nothing if it cannot be given as one.
    pub(crate) ppm: Option<f64>,
    /// Its relative standard uncertainty; for a bound that of a reading on the bound.
    pub(crate) relative: Relative,
    /// Number of draws above each limit, if it was drawn.
    pub(crate) drawn: Option<&'r DrawnAbove>,
    /// The gas whose limits these are.
    pub(crate) substance: &'r Substance,
    /// Measurand of the tube.
    pub(crate) measured: &'r Measured,
    /// True if the gas is another one than the sheet's own.
    pub(crate) other_gas: bool,
    /// On which sides the measurement is doubtful.
    pub(crate) doubtful: Doubtful,
    /// Limits compared with, and the certainty asked for.
    pub(crate) settings: &'r JudgementSettings,
}

/// The comparison with one limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Judgement {
    /// The place of the limit among those of the gas.
    pub(crate) limit: usize,
    /// True if a tube speaks to it at all.
    pub(crate) directly_comparable: bool,
    /// The decision.
    pub(crate) decided: Decided,
    /// True if it is shown though the survey does not name the limit.
    pub(crate) not_named: bool,
}

/// Decision of the comparison with a limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Decided {
    /// The probability of being above.
    pub(crate) probability_above: Option<f64>,
    /// Bound of the probability, where draws cannot tell it more closely.
    pub(crate) probability_bound: Option<ProbabilityBound>,
    /// Basis of the probability.
    pub(crate) by: Option<JudgedFrom>,
    /// The verdict.
    pub(crate) verdict: Option<Verdict>,
    /// Reason for no verdict, or its basis.
    pub(crate) reason: Option<Reason>,
}

/// Reason for no verdict, or its basis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Reason {
    /// The tube answers to a group, the limit is that of one substance.
    OfGroup,
    /// A tube draws for minutes, the limit is an average over a shift.
    AverageOfShift,
    /// The source does not say at which conditions its mg/m³ are meant.
    NoConditionsOfLimit,
    /// The result cannot be given as a volume fraction.
    NoVolumeFraction,
    /// Even the open end would be below.
    EvenEndBelow,
    /// Even the open end would be above.
    EvenEndAbove,
    /// A lower bound is not clearly above.
    NotClearlyAbove,
    /// An upper bound is not clearly below.
    NotClearlyBelow,
    /// Bounds lie on both sides.
    BothSides,
    /// So many draws leave it open.
    DrawsLeaveOpen(u64),
    /// It was below, but a doubt may mean more.
    BelowNotReliedOn,
    /// It was above, but a doubt may mean less.
    AboveNotReliedOn,
}

/// Compares with the limits of the gas that the survey names, or with all, in the order of its entry.
///
/// A level dangerous to life or health that the survey does not name is left out only if the result is below it.
pub(crate) fn judge(judged: &JudgedResult<'_>) -> Vec<Judgement> {
    let settings = judged.settings;
    judged
        .substance
        .limits
        .iter()
        .enumerate()
        .filter_map(|(index, limit)| {
            let named = settings.names(limit);
            if !named && limit.kind != LimitKind::Danger {
                return None;
            }
            let mut judgement = one(judged, index, limit);
            if !named {
                if !matches!(
                    judgement.decided.verdict,
                    Some(Verdict::Above | Verdict::CannotTell)
                ) {
                    return None;
                }
                judgement.not_named = true;
            }
            Some(judgement)
        })
        .collect()
}

fn one(judged: &JudgedResult<'_>, index: usize, limit: &Limit) -> Judgement {
    let not_compared = |reason| Judgement {
        limit: index,
        directly_comparable: false,
        decided: Decided {
            reason: Some(reason),
            ..Decided::default()
        },
        not_named: false,
    };
    if let (Measured::Group { .. }, false) = (judged.measured, judged.other_gas) {
        return not_compared(Reason::OfGroup);
    }
    if limit.kind == LimitKind::EightHours {
        return not_compared(Reason::AverageOfShift);
    }
    let Some(limit_ppm) = limit_in_ppm(limit, judged.substance) else {
        return not_compared(Reason::NoConditionsOfLimit);
    };
    let Some(ppm) = judged.ppm else {
        return not_compared(Reason::NoVolumeFraction);
    };
    let estimate = Estimate {
        value: ppm,
        standard: ppm * judged.relative.standard,
        degrees_of_freedom: judged.relative.effective_degrees_of_freedom,
    };
    let span = match judged.status {
        Status::LessThan => Span {
            lowest: Some(Estimate::NOTHING),
            highest: Some(estimate),
        },
        Status::MoreThan => Span {
            lowest: Some(estimate),
            highest: None,
        },
        Status::Measured | Status::Refused => Span::measured(estimate),
    };
    let mut decided = decided(&span, judged.drawn, limit_ppm, judged.settings);
    decided.withdraw(judged.doubtful);
    Judgement {
        limit: index,
        directly_comparable: true,
        decided,
        not_named: false,
    }
}

impl Decided {
    /// Withdraws a verdict that a doubt does not leave standing, and whether there was one.
    fn withdraw(&mut self, doubtful: Doubtful) -> bool {
        let reason = match self.verdict {
            Some(Verdict::Below) if doubtful.low => Reason::BelowNotReliedOn,
            Some(Verdict::Above) if doubtful.high => Reason::AboveNotReliedOn,
            _ => return false,
        };
        self.verdict = Some(Verdict::CannotTell);
        self.reason = Some(reason);
        true
    }
}

impl Judgement {
    /// Withdraws the verdict for a doubt that another reading raises.
    pub(crate) fn withdraw_later(&mut self, may_read: MayRead) {
        if self
            .decided
            .withdraw(Doubtful::of(std::iter::once(may_read)))
        {
            self.not_named = false;
        }
    }
}

/// Reason for which a limit in mg/m³ may have no volume fraction.
pub(crate) const NO_CONDITIONS_OF_LIMIT: &str =
    "the source of the limit does not say at which temperature and pressure its mg/m³ are meant";

/// Reason for which a result may have none.
pub(crate) const NO_VOLUME_FRACTION: &str = "the result cannot be given as a volume fraction: air temperature and station pressure are needed";

/// Reason for which the total of a group is not compared.
pub(crate) fn of_group(group: &str, expressed_as: &str) -> String {
    format!(
        "the tube answers to the group {group} together, stated as {expressed_as}; the limit is that of {expressed_as} alone"
    )
}

/// A limit that nothing is said about yet.
pub(crate) fn not_yet(limit: &Limit, substance: &Substance) -> LimitComparison {
    LimitComparison {
        limit: LimitUsed::of(limit, substance),
        source: limit.source.clone(),
        directly_comparable: true,
        probability_above: None,
        probability_bound: None,
        by: None,
        verdict: None,
        reason: None,
        act_as_if: None,
        said_beside: Vec::new(),
        other_period: None,
    }
}

/// A limit that is not compared with, and why.
pub(crate) fn not_compared(mut against: LimitComparison, reason: String) -> LimitComparison {
    against.directly_comparable = false;
    against.reason = Some(reason);
    against
}

/// Knowledge of a value: the value itself, or the ends that it lies between. No end is no bound.
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
pub(crate) struct JudgedFigure<'f> {
    /// Knowledge of the value.
    pub(crate) span: Span,
    /// Number of draws of it above each limit, if it was drawn. Bounds are not drawn.
    pub(crate) drawn: Option<&'f DrawnAbove>,
    /// Name of the end that a bound leaves open, in words.
    pub(crate) bound_words: &'f str,
    /// Flags.
    pub(crate) flags: &'f [Flag],
}

/// Compares with a limit.
///
/// A value is judged by the probability that it is above. With bounds there is none: the verdict is `below` if even the
/// upper end would be, and `above` if even the lower end would be.
fn decided(
    span: &Span,
    drawn: Option<&DrawnAbove>,
    limit: f64,
    settings: &JudgementSettings,
) -> Decided {
    if let Some(value) = span.value() {
        let above = drawn
            .and_then(|drawn| drawn.above(limit))
            .unwrap_or_else(|| Above::of(&value, limit));
        let (verdict, reason) = above.verdict(settings);
        return Decided {
            probability_above: Some(above.probability),
            probability_bound: above.bound,
            by: Some(above.by),
            verdict: Some(verdict),
            reason,
        };
    }
    let at_end = |end: Option<&Estimate>| end.map(|end| settings.verdict(end.above(limit)));
    let (verdict, reason) = if at_end(span.highest.as_ref()) == Some(Verdict::Below) {
        (Verdict::Below, Reason::EvenEndBelow)
    } else if at_end(span.lowest.as_ref()) == Some(Verdict::Above) {
        (Verdict::Above, Reason::EvenEndAbove)
    } else {
        let reason = match (&span.lowest, &span.highest) {
            (_, None) => Reason::NotClearlyAbove,
            (Some(lowest), Some(_)) if 0.0 < lowest.value => Reason::BothSides,
            _ => Reason::NotClearlyBelow,
        };
        (Verdict::CannotTell, reason)
    };
    let ends = [&span.lowest, &span.highest].into_iter().flatten();
    Decided {
        by: ends
            .map(Estimate::by)
            .min_by_key(|by| *by == JudgedFrom::Normal),
        verdict: Some(verdict),
        reason: Some(reason),
        ..Decided::default()
    }
}

/// Compares a figure with a limit, and writes what came out.
pub(crate) fn decide(
    against: &mut LimitComparison,
    figure: &JudgedFigure<'_>,
    limit: f64,
    settings: &JudgementSettings,
) {
    let decided = decided(&figure.span, figure.drawn, limit, settings);
    against.probability_above = decided.probability_above;
    against.probability_bound = decided.probability_bound;
    against.by = decided.by;
    against.verdict = decided.verdict;
    against.reason = decided
        .reason
        .map(|reason| words::reason(reason, figure.bound_words, settings));
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
