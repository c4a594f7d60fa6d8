//! What may have made a tube read too low or too high by an amount that nobody knows: then a verdict does not stand on it.

use crate::result::{Against, Remark, Verdict};

/// Flags of what may have made the tube read too low, by an amount that nobody knows: such a result is not called below a
/// limit. The probability stays, for what it is worth without them.
const MAY_READ_LOW: [&str; 14] = [
    "indicative-reads-low",
    "indicative-stain-may-be-missed",
    "indicative-other-colour",
    "indicative-direction-unknown",
    "other-gas-not-on-sheet",
    "other-gas-above-tested",
    "other-gas-level-not-comparable",
    "leak-test-failed",
    "lot-expired",
    "pre-tube-expired",
    "pre-tube-missing",
    "pump-not-allowed",
    "sheet-withdrawn",
    "sheet-has-errors",
];

/// The same for too high, and above a limit.
const MAY_READ_HIGH: [&str; 9] = [
    "indicative-reads-high",
    "indicative-other-colour",
    "indicative-direction-unknown",
    "other-gas-not-on-sheet",
    "other-gas-above-tested",
    "other-gas-level-not-comparable",
    "sheet-withdrawn",
    "sheet-has-errors",
    "blank-stained",
];

/// Withdraws a verdict that a flag makes doubtful.
pub(crate) fn withdraw(against: &mut Against, flags: &[Remark]) {
    let (doubtful, side) = match against.verdict {
        Some(Verdict::Below) => (MAY_READ_LOW.as_slice(), "below"),
        Some(Verdict::Above) => (MAY_READ_HIGH.as_slice(), "above"),
        Some(Verdict::CannotTell) | None => return,
    };
    let flag = flags
        .iter()
        .find(|flag| doubtful.contains(&flag.code.as_str()));
    if let Some(flag) = flag {
        against.verdict = Some(Verdict::CannotTell);
        against.reason = Some(format!(
            "the figure is {side} the limit, but not to be relied on: {}",
            flag.text
        ));
    }
}

/// The flags that can make a verdict doubtful, each with the reading it is about.
pub(crate) fn among(flags: &[Remark], reading: &str) -> Vec<Remark> {
    flags
        .iter()
        .filter(|flag| {
            let code = flag.code.as_str();
            MAY_READ_LOW.contains(&code) || MAY_READ_HIGH.contains(&code)
        })
        .map(|flag| Remark::new(flag.code.clone(), format!("{reading}: {}", flag.text)))
        .collect()
}
