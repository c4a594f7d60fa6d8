//! The probability of being above a limit, in words.

use stainbook_core::print::probability_in_percent;
use stainbook_evaluation::result::{JudgedFrom, LimitComparison};

/// The probability of being above, with what it rests on where that is not the normal distribution: `2.3 %, by Student's t`.
pub(crate) fn probability_words(against: &LimitComparison) -> Option<String> {
    let figure = probability_in_percent(against.probability_above?);
    let by_t = against
        .by
        .as_ref()
        .is_some_and(|by| *by == JudgedFrom::StudentT);
    Some(figure + if by_t { ", by Student's t" } else { "" })
}
