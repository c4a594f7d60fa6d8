//! Two results of the same readings side by side: what people are told that moved, and every figure that came out otherwise.
//!
//! The results of one reading and those of several are compared by the same functions, each over its own typed fields
//! ([`Compared`]). [`moved`] passes over what is rounding to a reader; [`differences`] is what a record is checked by, down to
//! [`TOLERANCE`].

mod fields;
mod group;
mod reading;

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;
use stainbook_evaluation::outcome::Code;
use stainbook_evaluation::result::{LimitComparison, Verdict};

pub use fields::Walk;

/// Figures are the same if they differ by no more than this part of the larger: `exp` and `ln` differ between platforms in
/// the last of 16 digits, and what is made of them in a few more.
pub const TOLERANCE: f64 = 1e-9;

/// Below this part of the result a move is rounding, and not told.
pub const SMALLEST_MOVE: f64 = 5e-5;

/// A result that comes out otherwise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurveyMove {
    /// The survey.
    pub survey: String,
    /// The reading, or the name of a figure that several readings make.
    pub reading: String,
    /// The sheet it is worked out with now; null for several readings.
    pub sheet: Option<String>,
    /// The result before: `6.3 ppm`, `< 0.7 ppm`, `refused`.
    pub old: String,
    /// The result now.
    pub new: String,
    /// By how much it moved, as a part of the old result; null where there are no two numbers.
    pub by: Option<f64>,
    /// Verdicts that are other ones now.
    pub verdicts: Vec<VerdictMove>,
}

/// A verdict that is another one now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VerdictMove {
    /// The limit: authority and kind.
    pub limit: String,
    /// The verdict before; null if there was none.
    pub old: Option<&'static str>,
    /// The verdict now; null if there is none.
    pub new: Option<&'static str>,
}

/// Something that came out otherwise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Difference {
    /// Place in the result, as a JSON Pointer.
    pub pointer: String,
    /// The recorded value.
    pub recorded: Value,
    /// The value computed now.
    pub computed: Value,
}

/// Comparison of words for people, which another version of the software may put otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Words {
    /// Both results were put into words by the same version.
    Compared,
    /// They were not.
    PassedOver,
}

/// Compared parts of a result, be it of one reading or of several.
pub trait Compared {
    /// Its name in the survey.
    fn id(&self) -> &str;
    /// The sheet that it was worked out with, if it is one.
    fn sheet(&self) -> Option<&str>;
    /// The result in words: `6.3 ppm`, `< 0.7 ppm`, `compliance`, `refused (tube-unknown)`.
    fn in_words(&self) -> String;
    /// True if both are a value, a bound on the same side, or refused.
    fn has_status_of(&self, is: &Self) -> bool;
    /// By how much the figure moved, as a part of what it was; nothing where there are no two numbers.
    fn moved_by(&self, is: &Self) -> Option<f64>;
    /// Verdicts and tests that turned.
    fn turned(&self, is: &Self) -> Vec<VerdictMove>;
    /// Walks everything that is worked out, nothing that is only told.
    fn walk(&self, is: &Self, walk: &mut Walk);
}

/// A result before and now; nothing if both say the same but for rounding: by value, by bound, by refusal and by verdict.
pub fn moved<R: Compared>(survey: &str, was: &R, is: &R) -> Option<SurveyMove> {
    let (old, new) = (was.in_words(), is.in_words());
    let by = was.moved_by(is);
    let verdicts = was.turned(is);
    let same = was.has_status_of(is)
        && by.map_or(old == new, |by| by.abs() <= SMALLEST_MOVE)
        && verdicts.is_empty();
    (!same).then(|| SurveyMove {
        survey: survey.to_owned(),
        reading: is.id().to_owned(),
        sheet: is.sheet().map(str::to_owned),
        old,
        new,
        by,
        verdicts,
    })
}

/// Differences between a recorded result and the same worked out again, beyond [`TOLERANCE`].
pub fn differences<R: Compared>(recorded: &R, computed: &R, words: Words) -> Vec<Difference> {
    let mut walk = Walk::new(words);
    recorded.walk(computed, &mut walk);
    walk.found
}

/// `refused (tube-unknown)`.
fn refused(code: Option<&Code>) -> String {
    format!("refused ({})", code.map_or("", Code::as_str))
}

/// Verdicts that turned, limit by limit.
fn verdicts(was: &[LimitComparison], is: &[LimitComparison]) -> Vec<VerdictMove> {
    let mut found: BTreeMap<String, [Option<&'static str>; 2]> = BTreeMap::new();
    for (side, against) in [was, is].into_iter().enumerate() {
        for against in against {
            let limits = found.entry(against.limit.name()).or_default();
            if let Some(slot) = limits.get_mut(side) {
                *slot = against.verdict.map(Verdict::name);
            }
        }
    }
    found
        .into_iter()
        .filter(|(_, [old, new])| old != new)
        .map(|(limit, [old, new])| VerdictMove { limit, old, new })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_catalog::Book;
    use stainbook_evaluation::{Options, evaluate};

    #[test]
    fn a_figure_changed_by_hand_is_found() {
        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let made = evaluate(&book, survey, &Options::default());
        let result = made
            .results
            .iter()
            .find(|result| result.uncertainty.is_some())
            .unwrap();
        let mut edited = result.clone();
        let amount = edited.concentration.as_mut().unwrap();
        amount.value *= 1.0 + 5e-10;
        assert_eq!(differences(result, &edited, Words::Compared), Vec::new());
        edited.concentration.as_mut().unwrap().value *= 0.9;
        "1.2".clone_into(&mut edited.concentration.as_mut().unwrap().text);
        let found = differences(result, &edited, Words::Compared);
        let pointers: Vec<&str> = found.iter().map(|one| one.pointer.as_str()).collect();
        assert_eq!(pointers, ["/concentration/text", "/concentration/value"]);
        assert_eq!(differences(result, &edited, Words::PassedOver).len(), 1);
    }

    /// The draws of another generator differ in every figure, and none of them says anything about the result.
    #[cfg(feature = "monte-carlo")]
    #[test]
    fn draws_of_another_generator_are_not_compared_with_ours() {
        use stainbook_evaluation::MonteCarloOptions;
        use stainbook_uncertainty::monte_carlo::{Draws, Settings, one_after_another};

        let (book, _) = Book::demo();
        let (_, survey) = book.surveys().next().unwrap();
        let with_seed = |seed| {
            let options = Options::default().with_monte_carlo(MonteCarloOptions::new(
                Settings::new(Draws::Exactly(20_000), seed),
                &one_after_another,
            ));
            let made = evaluate(&book, survey, &options);
            let drawn = made.results.into_iter().find(|result| {
                result
                    .uncertainty
                    .as_ref()
                    .is_some_and(|uncertainty| uncertainty.monte_carlo.is_some())
            });
            drawn.unwrap()
        };
        let (recorded, mut computed) = (with_seed(1), with_seed(2));
        assert!(5 < differences(&recorded, &computed, Words::Compared).len());
        let drawn = computed.uncertainty.as_mut().unwrap();
        "another one".clone_into(&mut drawn.monte_carlo.as_mut().unwrap().generator);
        let found = differences(&recorded, &computed, Words::Compared);
        let pointers: Vec<&str> = found.iter().map(|one| one.pointer.as_str()).collect();
        assert_eq!(pointers, ["/uncertainty/monte_carlo/generator"]);
    }
}
