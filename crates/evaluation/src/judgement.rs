//! The comparison with limits, each at its own conditions and with the deviation that a stain of the limit itself would have.

use stainbook_catalog::model::{Limit, Measured, Substance};
use stainbook_catalog::written::LimitKind;
use stainbook_core::{Concentration, convert};

use crate::cell::Cell;
use crate::evaluated::Doubtful;
use crate::one_reading::AtLimit;
use crate::outcome::{Flag, MayRead};
use crate::result::{JudgedFrom, LimitComparison, LimitUsed, Status, Verdict};

pub(crate) mod doubtful;
pub(crate) mod probability;
pub(crate) mod settings;
pub(crate) mod words;

pub(crate) use probability::Estimate;
use probability::{by, probability_below};
pub(crate) use settings::JudgementSettings;

/// The result that is compared with limits.
#[derive(Clone, Copy)]
pub(crate) struct JudgedResult<'r> {
    /// Measured or a bound.
    pub(crate) status: Status,
    /// The piece of scale on which the stain ends.
    pub(crate) cell: Cell,
    /// A limit in ppm as a stain on the scale; nothing if the result cannot be given as a volume fraction.
    pub(crate) at_limit: &'r dyn Fn(f64) -> Option<LimitOnScale>,
    /// The gas whose limits these are.
    pub(crate) substance: &'r Substance,
    /// Measurand of the tube.
    pub(crate) measured: &'r Measured,
    /// True if the gas is another one than the sheet's own.
    pub(crate) other_gas: bool,
    /// Limits compared with, and the certainty asked for.
    pub(crate) settings: &'r JudgementSettings,
}

/// A limit under the conditions of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LimitOnScale {
    /// The stain that it would show, and how far that may be off.
    pub(crate) shown: AtLimit,
    /// The same with the largest factor that the air may need, by which "below" is decided.
    pub(crate) for_below: AtLimit,
    /// The same with the smallest, for "above".
    pub(crate) for_above: AtLimit,
    /// Another gas that is at so many times the limit that it matters, if there is one.
    pub(crate) other_gas: Option<OtherGasAtLimit>,
    /// On which sides a measurement of it would be doubtful.
    pub(crate) doubtful: Doubtful,
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
    /// Another gas that is at so many times the limit that it matters.
    pub(crate) other_gas: Option<OtherGasAtLimit>,
}

/// A gas that matters from so many times the gas measured, at a limit of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OtherGasAtLimit {
    /// Its place among the effects of interferents.
    pub(crate) effect: usize,
    /// Its level, as so many times the limit.
    pub(crate) times: f64,
}

/// Decision of the comparison with a limit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Decided {
    /// The probability of being above.
    pub(crate) probability_above: Option<f64>,
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
    /// The stain may end anywhere between these, read no more finely.
    ReadTooCoarsely { low: f64, high: f64 },
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
    let limits = &judged.substance.limits;
    let mut judgements = Vec::with_capacity(limits.len());
    for (index, limit) in limits.iter().enumerate() {
        let named = settings.names(limit);
        if !named && limit.kind != LimitKind::Danger {
            continue;
        }
        let mut judgement = one(judged, index, limit);
        if !named {
            if !matches!(
                judgement.decided.verdict,
                Some(Verdict::Above | Verdict::CannotTell)
            ) {
                continue;
            }
            judgement.not_named = true;
        }
        judgements.push(judgement);
    }
    judgements
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
        other_gas: None,
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
    let Some(at) = (judged.at_limit)(limit_ppm) else {
        return not_compared(Reason::NoVolumeFraction);
    };
    let mut decided = decided_on_scale(judged, &at);
    decided.withdraw(at.doubtful);
    Judgement {
        limit: index,
        directly_comparable: true,
        decided,
        not_named: false,
        other_gas: at.other_gas,
    }
}

/// Compares on the scale: would the limit show a stain as short as this, or as long?
///
/// Everything is taken at the limit (guarded acceptance, JCGM 106:2012, 8.3.2, from memory): `below` is wrong with the chance that the limit itself
/// shows no longer a stain, so that a longer one never brings it about. The ends of the cell decide, since a reader rounds in
/// the same way each time at one limit; the printed probability is that for its middle. With a prior that is flat in the
/// logarithm of the concentration it is the probability of being above.
fn decided_on_scale(judged: &JudgedResult<'_>, at: &LimitOnScale) -> Decided {
    let cell = &judged.cell;
    let limit = &at.shown;
    let probability = |limit: &AtLimit, stain: f64| {
        let off = stain - limit.stain;
        probability_below(
            off / limit.deviation.standard,
            limit.deviation.degrees_of_freedom,
        )
    };
    let middle = probability(limit, cell.for_upper_end().at);
    let of_middle = judged.settings.verdict(middle);
    // A longer stain is never less likely to come from above: what the middle is not, the end further on is not either.
    let is = |verdict: Verdict, limit: &AtLimit, end: f64| {
        of_middle == verdict && judged.settings.verdict(probability(limit, end)) == verdict
    };
    let below = is(Verdict::Below, &at.for_below, cell.highest());
    let above = is(Verdict::Above, &at.for_above, cell.lowest());
    let verdict = match (below, above) {
        (true, _) => Verdict::Below,
        (_, true) => Verdict::Above,
        _ => Verdict::CannotTell,
    };
    let measured = judged.status == Status::Measured;
    let reason = match (judged.status, verdict) {
        (Status::LessThan, Verdict::Below) => Some(Reason::EvenEndBelow),
        (Status::LessThan, _) => Some(Reason::NotClearlyBelow),
        (Status::MoreThan, Verdict::Above) => Some(Reason::EvenEndAbove),
        (Status::MoreThan, _) => Some(Reason::NotClearlyAbove),
        (_, Verdict::CannotTell) if of_middle != verdict => Some(Reason::ReadTooCoarsely {
            low: cell.lowest(),
            high: cell.highest(),
        }),
        _ => None,
    };
    Decided {
        probability_above: measured.then_some(middle),
        by: Some(by(limit.deviation.degrees_of_freedom)),
        verdict: Some(verdict),
        reason,
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
    /// Name of the end that a bound leaves open, in words.
    pub(crate) bound_words: &'f str,
    /// Flags.
    pub(crate) flags: &'f [Flag],
}

/// Compares with a limit.
///
/// The verdict is `below` if even the upper end would be, and `above` if even the lower end would be. Of a value both ends
/// are what its readings stand for, and the probability is that for the value itself.
fn decided(span: &Span, limit: f64, settings: &JudgementSettings) -> Decided {
    let value = span.value();
    let at_end = |end: Option<&Estimate>, side: fn(&Estimate) -> f64| {
        end.map(|end| settings.verdict(end.above(limit, side(end))))
    };
    let below = at_end(span.highest.as_ref(), |end| end.up) == Some(Verdict::Below);
    let above = at_end(span.lowest.as_ref(), |end| -end.down) == Some(Verdict::Above);
    let verdict = match (below, above) {
        (true, _) => Verdict::Below,
        (_, true) => Verdict::Above,
        _ => Verdict::CannotTell,
    };
    let probability_above = value.map(|value| value.above(limit, 0.0));
    let reason = match (value, verdict, &span.lowest, &span.highest) {
        (Some(value), Verdict::CannotTell, ..)
            if probability_above.map(|above| settings.verdict(above)) != Some(verdict) =>
        {
            Some(Reason::ReadTooCoarsely {
                low: value.value - value.down,
                high: value.value + value.up,
            })
        }
        (Some(_), ..) => None,
        (None, Verdict::Below, ..) => Some(Reason::EvenEndBelow),
        (None, Verdict::Above, ..) => Some(Reason::EvenEndAbove),
        (None, _, _, None) => Some(Reason::NotClearlyAbove),
        (None, _, Some(lowest), Some(_)) if 0.0 < lowest.value => Some(Reason::BothSides),
        _ => Some(Reason::NotClearlyBelow),
    };
    let ends = [&span.lowest, &span.highest].into_iter().flatten();
    Decided {
        probability_above,
        by: ends
            .map(|end| end.by(limit))
            .min_by_key(|by| *by == JudgedFrom::Normal),
        verdict: Some(verdict),
        reason,
    }
}

/// Compares a figure with a limit, and writes what came out.
pub(crate) fn decide(
    against: &mut LimitComparison,
    figure: &JudgedFigure<'_>,
    limit: f64,
    settings: &JudgementSettings,
) {
    let decided = decided(&figure.span, limit, settings);
    against.probability_above = decided.probability_above;
    against.by = decided.by.map(Into::into);
    against.verdict = decided.verdict;
    against.reason = decided
        .reason
        .map(|reason| words::reason(reason, figure.bound_words, settings));
    doubtful::withdraw(against, figure.flags);
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
