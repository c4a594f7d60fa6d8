//! The comparison with limits in words.

use stainbook_catalog::model::{Measured, Substance};
use stainbook_core::print;

use super::{
    Judgement, JudgementSettings, NO_CONDITIONS_OF_LIMIT, NO_VOLUME_FRACTION, Reason, doubtful,
};
use super::{not_yet, of_group};
use crate::air_drawn;
use crate::interferents::Interferents;
use crate::outcome::Flag;
use crate::result::{LimitComparison, Verdict};

/// Name of the end that the bound of one reading leaves open.
const ON_THE_BOUND: &str = "a reading on the bound";

/// The comparison of one reading with a limit. `flags` are all that were raised about it, `seconds` the time of the draw.
pub(crate) fn against(
    judgement: &Judgement,
    (substance, measured): (&Substance, &Measured),
    (flags, gases, seconds): (&[Flag], &Interferents, Option<f64>),
    settings: &JudgementSettings,
) -> Option<LimitComparison> {
    let limit = substance.limits.get(judgement.limit)?;
    let decided = &judgement.decided;
    let other_gas = judgement.other_gas.and_then(|other| {
        let gas = gases.effects.get(other.effect)?;
        let times = print::to_significant(other.times, 2);
        Some(format!(
            "{} is present at {times} times the limit, where it matters to this tube",
            gas.substance
        ))
    });
    let doubt = |doubts: fn(&Flag) -> bool| {
        let flag = flags.iter().find(|flag| doubts(flag));
        flag.map(|flag| flag.text.as_str())
            .or(other_gas.as_deref())
            .unwrap_or_default()
    };
    let reason = decided.reason.map(|reason| match (reason, measured) {
        (Reason::OfGroup, Measured::Group { name, expressed_as }) => {
            of_group(name, &expressed_as.name)
        }
        (Reason::BelowNotReliedOn, _) => {
            not_relied_on("below", doubt(|flag| flag.code.may_read().too_low()))
        }
        (Reason::AboveNotReliedOn, _) => {
            not_relied_on("above", doubt(|flag| flag.code.may_read().too_high()))
        }
        _ => self::reason(reason, ON_THE_BOUND, settings),
    });
    let reason = if judgement.not_named {
        let why = reason.map(|reason| format!("; {reason}"));
        Some(format!(
            "the survey does not name this limit; it is shown because the result is not clearly below it{}",
            why.unwrap_or_default()
        ))
    } else {
        reason
    };
    let mut against = LimitComparison {
        directly_comparable: judgement.directly_comparable,
        probability_above: decided.probability_above,
        by: decided.by.map(Into::into),
        verdict: decided.verdict,
        reason,
        other_period: decided
            .verdict
            .and(seconds)
            .and_then(|seconds| air_drawn::other_period(limit, seconds)),
        ..not_yet(limit, substance)
    };
    let withheld = match decided.reason {
        Some(Reason::BelowNotReliedOn) => Some(Verdict::Below),
        Some(Reason::AboveNotReliedOn) => Some(Verdict::Above),
        _ => None,
    };
    doubtful::say_beside(&mut against, withheld, flags);
    Some(against)
}

/// Reason for which there is no verdict where nothing else is the matter.
pub(crate) const WITHIN_UNCERTAINTY: &str = "the limit lies within the uncertainty";

/// Reason for which a verdict does not stand.
pub(crate) fn not_relied_on(side: &str, doubt: &str) -> String {
    format!("the figure is {side} the limit, but not to be relied on: {doubt}")
}

/// A reason by itself. `bound_words` is what stands at the end that a bound leaves open.
pub(crate) fn reason(reason: Reason, bound_words: &str, settings: &JudgementSettings) -> String {
    let even = |side: &str| {
        let percent = settings.words();
        format!("even {bound_words} would be {side} the limit with more than {percent} probability")
    };
    match reason {
        Reason::OfGroup => String::new(),
        Reason::AverageOfShift => "a tube draws for seconds to minutes: for an average over a shift several readings over the day are combined, and the figure is indicative".to_owned(),
        Reason::NoConditionsOfLimit => NO_CONDITIONS_OF_LIMIT.to_owned(),
        Reason::NoVolumeFraction => NO_VOLUME_FRACTION.to_owned(),
        Reason::EvenEndBelow => even("below"),
        Reason::EvenEndAbove => even("above"),
        Reason::NotClearlyAbove => "the bound, with the uncertainty of a reading on it, is not clearly above the limit".to_owned(),
        Reason::NotClearlyBelow => "the bound, with the uncertainty of a reading on it, is not clearly below the limit".to_owned(),
        Reason::BothSides => "the bounds, with their uncertainties, lie on both sides of the limit or too near to it".to_owned(),
        Reason::ReadTooCoarsely { low, high } => format!("read too coarsely: the stain stands for all from {} to {}, and not all of that is clearly on one side", print::to_significant(low, 3), print::to_significant(high, 3)),
        Reason::BelowNotReliedOn => not_relied_on("below", ""),
        Reason::AboveNotReliedOn => not_relied_on("above", ""),
    }
}
