//! The probability of being above a limit, in words.

use stainbook_core::print::probability_in_percent;
use stainbook_evaluation::result::{JudgedFrom, LimitComparison, ProbabilityBound};

/// The probability of being above, with what it rests on where that is not the normal distribution: `2.3 %, by Student's t`.
/// Draws cannot tell it more closely than their number: `at most 0.3 %, by the draws`.
pub(crate) fn probability_words(against: &LimitComparison) -> Option<String> {
    let probability = against.probability_above?;
    let figure = match against.probability_bound {
        None => probability_in_percent(probability),
        // `at most <0.1 %` says no more than `<0.1 %`.
        Some(ProbabilityBound::AtMost) if probability < 0.001 => {
            probability_in_percent(probability)
        }
        Some(ProbabilityBound::AtLeast) if 0.999 < probability => {
            probability_in_percent(probability)
        }
        // A bound is never rounded to the side where it would promise more.
        Some(ProbabilityBound::AtMost) => {
            format!(
                "at most {}",
                probability_in_percent((probability * 1e3).ceil() / 1e3)
            )
        }
        Some(ProbabilityBound::AtLeast) => {
            format!(
                "at least {}",
                probability_in_percent((probability * 1e3).floor() / 1e3)
            )
        }
    };
    let by = match against.by {
        Some(JudgedFrom::Draws) => ", by the draws",
        Some(JudgedFrom::StudentT) => ", by Student's t",
        Some(JudgedFrom::Normal) | None => "",
    };
    Some(figure + by)
}

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_catalog::Book;
    use stainbook_evaluation::{Options, evaluate};

    fn against(
        probability: f64,
        bound: Option<ProbabilityBound>,
        by: JudgedFrom,
    ) -> LimitComparison {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let made = evaluate(&book, survey, &Options::default());
        let mut against = made.results.into_iter().flat_map(|result| result.against);
        let mut comparison = against.next().unwrap();
        comparison.probability_above = Some(probability);
        comparison.probability_bound = bound;
        comparison.by = Some(by);
        comparison
    }

    /// Rounding of probabilities away from certainty, as far as draws can tell.
    #[test]
    fn probabilities_in_words() {
        use JudgedFrom::{Draws, Normal, StudentT};
        use ProbabilityBound::{AtLeast, AtMost};
        for (probability, bound, by, words) in [
            (0.0314, None, Normal, "3.1 %"),
            (0.0314, None, StudentT, "3.1 %, by Student's t"),
            (0.0314, None, Draws, "3.1 %, by the draws"),
            (
                0.001_497,
                Some(AtMost),
                Draws,
                "at most 0.2 %, by the draws",
            ),
            (
                0.998_503,
                Some(AtLeast),
                Draws,
                "at least 99.8 %, by the draws",
            ),
            (3e-6, Some(AtMost), Draws, "<0.1 %, by the draws"),
            (0.999_997, Some(AtLeast), Draws, ">99.9 %, by the draws"),
        ] {
            let said = probability_words(&against(probability, bound, by)).unwrap();
            assert_eq!(said, words);
        }
    }
}
