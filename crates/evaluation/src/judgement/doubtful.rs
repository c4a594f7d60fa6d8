//! Doubts that may have made a tube read too low or too high by an amount that nobody knows: then a verdict does not stand
//! on it.

use crate::evaluated::Evaluated;
use crate::outcome::{Flag, MayRead};
use crate::result::{LimitComparison, Verdict};

/// Withdraws a verdict that a flag makes doubtful.
pub(crate) fn withdraw(against: &mut LimitComparison, flags: &[Flag]) {
    let (doubts, side): (fn(MayRead) -> bool, _) = match against.verdict {
        Some(Verdict::Below) => (MayRead::too_low, "below"),
        Some(Verdict::Above) => (MayRead::too_high, "above"),
        Some(Verdict::CannotTell) | None => return,
    };
    let flag = flags.iter().find(|flag| doubts(flag.code.may_read()));
    if let Some(flag) = flag {
        against.verdict = Some(Verdict::CannotTell);
        against.reason = Some(super::words::not_relied_on(side, &flag.text));
    }
}

/// The flags that can make a verdict doubtful, each with the reading it is about.
pub(crate) fn among(evaluated: &Evaluated<'_>) -> Vec<Flag> {
    let reading = &evaluated.id;
    crate::words::doubts(evaluated)
        .into_iter()
        .map(|flag| Flag::new(flag.code, format!("{reading}: {}", flag.text)))
        .collect()
}
