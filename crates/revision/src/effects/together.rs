//! What several readings say together, before and now.

use super::survey::verdicts;
use super::{SMALLEST_MOVE, SurveyMove, VerdictMove};
use stainbook_evaluation::result::{GroupResult, GroupStatus, Solved};

/// What several readings say together before and now; nothing if both say the same but for rounding.
pub fn of_together(survey: &str, was: &GroupResult, is: &GroupResult) -> Option<SurveyMove> {
    let (old, new) = (together_in_words(was), together_in_words(is));
    let by = by(was, is);
    let mut turned = verdicts(&was.against, &is.against);
    turned.extend(tests(was, is));
    for (was, is) in was.solved.iter().zip(&is.solved) {
        turned.extend(
            verdicts(&was.against, &is.against)
                .into_iter()
                .map(|verdict| VerdictMove {
                    limit: format!("{}, {}", is.reading, verdict.limit),
                    ..verdict
                }),
        );
    }
    let same = was.status == is.status
        && by.map_or(old == new, |by| by.abs() <= SMALLEST_MOVE)
        && turned.is_empty();
    (!same).then(|| SurveyMove {
        survey: survey.to_owned(),
        reading: is.id.clone(),
        sheet: None,
        old,
        new,
        by,
        verdicts: turned,
    })
}

/// By how much a figure moved, as a part of what it was. Of bounds the end that moved the most counts, and of gases that were
/// solved for together the one that did; nothing where there are no two numbers.
fn by(was: &GroupResult, is: &GroupResult) -> Option<f64> {
    if was.unit != is.unit {
        return None;
    }
    let part = |old: Option<f64>, new: Option<f64>| {
        old.zip(new)
            .map(|(old, new)| new / old - 1.0)
            .filter(|by| by.is_finite())
    };
    let solved = was.solved.iter().zip(&is.solved).map(|(was, is)| {
        let same_unit = was.unit == is.unit;
        [
            (was.value, is.value),
            (was.lowest, is.lowest),
            (was.highest, is.highest),
        ]
        .map(|(was, is)| part(was.filter(|_| same_unit), is))
    });
    [
        part(was.value, is.value),
        part(was.lowest, is.lowest),
        part(was.highest, is.highest),
    ]
    .into_iter()
    .chain(solved.flatten())
    .flatten()
    .max_by(|a, b| a.abs().total_cmp(&b.abs()))
}

/// In words: `24 ± 6 ppm`, `less than 5.00 ppm`, `0.8 ± 0.3 of 1`, `compliance`, `refused (time-missing)`.
pub fn together_in_words(together: &GroupResult) -> String {
    if together.status == GroupStatus::Refused {
        let why = together
            .refusal
            .as_ref()
            .map_or("", |refusal| refusal.code.as_str());
        return format!("refused ({why})");
    }
    if !together.solved.is_empty() {
        let each = |solved: &Solved| format!("{} {} {}", solved.reading, solved.text, solved.unit);
        return together
            .solved
            .iter()
            .map(each)
            .collect::<Vec<_>>()
            .join(", ");
    }
    match (&together.text, together.unit.as_deref()) {
        (Some(text), Some("1")) => format!("{text} of 1"),
        (Some(text), unit) => format!("{text} {}", unit.unwrap_or_default()),
        (None, _) => {
            let said = together.tests.iter().map(|test| test.decision.words());
            said.collect::<Vec<_>>().join(", ")
        }
    }
}

/// Tests that come out otherwise, by their names.
fn tests(was: &GroupResult, is: &GroupResult) -> Vec<VerdictMove> {
    let decision = |of: &GroupResult, name: &str| {
        let test = of.tests.iter().find(|test| test.name == name)?;
        Some(test.decision.words())
    };
    let gone = was
        .tests
        .iter()
        .filter(|test| decision(is, &test.name).is_none());
    is.tests
        .iter()
        .chain(gone)
        .map(|test| VerdictMove {
            limit: test.name.clone(),
            old: decision(was, &test.name),
            new: decision(is, &test.name),
        })
        .filter(|verdict| verdict.old != verdict.new)
        .collect()
}
