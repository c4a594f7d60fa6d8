//! Values and bounds in words, with what they can come from: what is printed errs on the safe side.

use stainbook_core::print::{self, Towards};

use crate::one_reading::IntervalEnds;

/// Number of digits of a bound.
const BOUND_DIGITS: u32 = 3;

/// A value with the digits that its expanded uncertainty supports (JCGM 100:2008, 7.2.6).
pub(crate) fn number(value: f64, expanded: f64) -> String {
    print::with_uncertainty(value, expanded).0
}

/// Both ends with the digits of the value, each rounded outwards; nothing for an upper end that is not there.
pub(crate) fn interval(ends: IntervalEnds, expanded: f64) -> [Option<String>; 2] {
    let decimals = print::decimals_for(expanded);
    let end = |end: f64, towards| match decimals {
        Some(decimals) => print::end_to_decimals(end, decimals, towards),
        None => print::number(end),
    };
    [
        Some(end(ends.lowest, Towards::Down)),
        ends.highest.map(|highest| end(highest, Towards::Up)),
    ]
}

/// A value with its interval: `12 (9 to 17)`.
pub(crate) fn value(value: f64, expanded: f64, ends: IntervalEnds) -> String {
    let number = number(value, expanded);
    match interval(ends, expanded) {
        [Some(low), Some(high)] => format!("{number} ({low} to {high})"),
        [low, _] => format!("{number} (at least {})", low.unwrap_or_default()),
    }
}

/// An upper bound as printed.
pub(crate) fn upper_bound(bound: f64) -> String {
    print::bound_to_significant(bound, BOUND_DIGITS, Towards::Up)
}

/// A lower bound as printed.
pub(crate) fn lower_bound(bound: f64) -> String {
    print::bound_to_significant(bound, BOUND_DIGITS, Towards::Down)
}

/// An upper bound with what it reaches: `less than 0.300 (with 95 %: less than 0.412)`.
pub(crate) fn less_than(bound: f64, reaches: Option<f64>) -> String {
    let bound = upper_bound(bound);
    match reaches {
        Some(reaches) => format!(
            "less than {bound} (with 95 %: less than {})",
            upper_bound(reaches)
        ),
        None => format!("less than {bound} (how much more there may be cannot be told)"),
    }
}

/// A lower bound with what it reaches.
pub(crate) fn more_than(bound: f64, reaches: f64) -> String {
    format!(
        "more than {} (with 95 %: more than {})",
        lower_bound(bound),
        lower_bound(reaches)
    )
}

/// Two bounds with what they reach.
pub(crate) fn between([lowest, highest]: [f64; 2], ends: IntervalEnds) -> String {
    // Two that are near to each other take more digits to be told apart.
    let bounds = |lowest, highest| {
        let printed = |digits| {
            [
                print::bound_to_significant(lowest, digits, Towards::Down),
                print::bound_to_significant(highest, digits, Towards::Up),
            ]
        };
        let told_apart = |printed: &[String; 2]| printed[0] != printed[1];
        let [low, high] = (BOUND_DIGITS..8)
            .map(printed)
            .find(told_apart)
            .unwrap_or_else(|| printed(BOUND_DIGITS));
        format!("{low} to {high}")
    };
    let reach = match ends.highest {
        Some(highest) => bounds(ends.lowest, highest),
        None => format!("at least {}", lower_bound(ends.lowest)),
    };
    format!("{} (with 95 %: {reach})", bounds(lowest, highest))
}
