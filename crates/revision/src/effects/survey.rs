//! A survey worked out with two states of a catalog.

use stainbook_catalog::Book;
use stainbook_catalog::written::SurveyEntry;

use crate::results::{SurveyMove, moved};
use stainbook_evaluation::{FaultySheets, Options, evaluate};

/// The results of a survey that come out otherwise, and what several of them say together: by value, by bound, by refusal or
/// by verdict.
pub fn of_survey(old: &Book, new: &Book, survey: &SurveyEntry) -> Vec<SurveyMove> {
    let options = Options::default().with_faulty_sheets(FaultySheets::FlagOnly);
    let name = survey.survey.clone().unwrap_or_default();
    let (was, is) = (
        evaluate(old, survey, &options),
        evaluate(new, survey, &options),
    );
    let results = was.results.iter().zip(&is.results);
    let together = was.together.iter().zip(&is.together);
    results
        .filter_map(|(was, is)| moved(&name, was, is))
        .chain(together.filter_map(|(was, is)| moved(&name, was, is)))
        .collect()
}
