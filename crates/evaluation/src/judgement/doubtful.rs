//! What may have made a tube read too low or too high by an amount that nobody knows: then a verdict does not stand on it.

use crate::outcome::{Flag, MayRead};
use crate::result::{Against, Verdict};

/// Withdraws a verdict that a flag makes doubtful.
pub(crate) fn withdraw(against: &mut Against, flags: &[Flag]) {
    let (doubts, side): (fn(MayRead) -> bool, _) = match against.verdict {
        Some(Verdict::Below) => (MayRead::too_low, "below"),
        Some(Verdict::Above) => (MayRead::too_high, "above"),
        Some(Verdict::CannotTell) | None => return,
    };
    let flag = flags.iter().find(|flag| doubts(flag.code.may_read()));
    if let Some(flag) = flag {
        against.verdict = Some(Verdict::CannotTell);
        against.reason = Some(format!(
            "the figure is {side} the limit, but not to be relied on: {}",
            flag.text
        ));
    }
}

/// The flags that can make a verdict doubtful, each with the reading it is about.
pub(crate) fn among(flags: &[Flag], reading: &str) -> Vec<Flag> {
    flags
        .iter()
        .filter(|flag| flag.code.may_read() != MayRead::AsGiven)
        .map(|flag| Flag::new(flag.code.clone(), format!("{reading}: {}", flag.text)))
        .collect()
}
