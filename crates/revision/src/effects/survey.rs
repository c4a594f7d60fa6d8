//! A survey worked out with two states of a catalog.

use std::collections::BTreeMap;

use stainbook_catalog::Book;
use stainbook_catalog::written::SurveyEntry;

use super::{SMALLEST_MOVE, SurveyMove, VerdictMove, of_together};
use stainbook_evaluation::result::{LimitComparison, ReadingResult, Status};
use stainbook_evaluation::{FaultySheets, Options, evaluate};

/// The results of a survey that come out otherwise, and what several of them say together: by value, by bound, by refusal or
/// by verdict.
pub fn of_survey(old: &Book, new: &Book, survey: &SurveyEntry) -> Vec<SurveyMove> {
    let options = Options {
        faulty_sheets: FaultySheets::FlagOnly,
        ..Options::default()
    };
    let name = survey.survey.clone().unwrap_or_default();
    let (was, is) = (
        evaluate(old, survey, &options),
        evaluate(new, survey, &options),
    );
    let results = was.results.iter().zip(&is.results);
    let together = was.together.iter().zip(&is.together);
    results
        .filter_map(|(was, is)| of_result(&name, was, is))
        .chain(together.filter_map(|(was, is)| of_together(&name, was, is)))
        .collect()
}

/// One result before and now; nothing if both say the same but for rounding.
pub fn of_result(survey: &str, was: &ReadingResult, is: &ReadingResult) -> Option<SurveyMove> {
    let value = |result: &ReadingResult| {
        let amount = result.concentration.as_ref()?;
        Some((amount.value, amount.unit.clone()))
    };
    let by = match (value(was), value(is)) {
        (Some((old, unit)), Some((new, other))) if unit == other => Some(new / old - 1.0),
        _ => None,
    };
    let (old, new) = (in_words(was), in_words(is));
    let verdicts = verdicts(&was.against, &is.against);
    let same = was.status == is.status
        && by.map_or(old == new, |by| by.abs() <= SMALLEST_MOVE)
        && verdicts.is_empty();
    (!same).then(|| SurveyMove {
        survey: survey.to_owned(),
        reading: is.id.clone(),
        sheet: is.sheet.as_ref().map(|sheet| sheet.id.clone()),
        old,
        new,
        by,
        verdicts,
    })
}

/// A result in words: `6.3 ppm`, `< 0.7 ppm`, `refused (tube-unknown)`.
pub fn in_words(result: &ReadingResult) -> String {
    let sign = match result.status {
        Status::Measured => "",
        Status::LessThan => "< ",
        Status::MoreThan => "> ",
        Status::Refused => {
            let why = result
                .refusal
                .as_ref()
                .map_or("", |refusal| refusal.code.as_str());
            return format!("refused ({why})");
        }
    };
    result.concentration.as_ref().map_or_else(
        || "no result".to_owned(),
        |amount| format!("{sign}{} {}", amount.text, amount.unit),
    )
}

/// Verdicts that turned, limit by limit.
pub(super) fn verdicts(was: &[LimitComparison], is: &[LimitComparison]) -> Vec<VerdictMove> {
    let mut found: BTreeMap<String, [Option<&'static str>; 2]> = BTreeMap::new();
    for (side, against) in [was, is].into_iter().enumerate() {
        for against in against {
            let name = against.limit.name();
            let verdict = against
                .verdict
                .map(stainbook_evaluation::result::Verdict::name);
            if let Some(slot) = found.entry(name).or_default().get_mut(side) {
                *slot = verdict;
            }
        }
    }
    found
        .into_iter()
        .filter(|(_, [old, new])| old != new)
        .map(|(limit, [old, new])| VerdictMove { limit, old, new })
        .collect()
}
