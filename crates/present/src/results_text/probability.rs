//! The probability of being above a limit, in words.

use stainbook_reading::result::{Against, JudgedFrom, ProbabilityBound};

use super::one::percent;

/// The probability of being above, with what it rests on where that is not the normal distribution: `2.3 %, by Student's t`.
/// Draws cannot tell it more closely than their number: `at most 0.3 %, by the draws`.
pub(crate) fn probability_words(against: &Against) -> Option<String> {
    let probability = against.probability_above?;
    let figure = match against.probability_bound {
        None => percent(probability),
        // `at most <0.1 %` says no more than `<0.1 %`.
        Some(ProbabilityBound::AtMost) if probability < 0.001 => percent(probability),
        Some(ProbabilityBound::AtLeast) if 0.999 < probability => percent(probability),
        Some(ProbabilityBound::AtMost) => format!("at most {}", percent(probability)),
        Some(ProbabilityBound::AtLeast) => format!("at least {}", percent(probability)),
    };
    let by = match against.by {
        Some(JudgedFrom::Draws) => ", by the draws",
        Some(JudgedFrom::StudentT) => ", by Student's t",
        Some(JudgedFrom::Normal) | None => "",
    };
    Some(figure + by)
}
