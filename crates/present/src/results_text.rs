//! Results as a person reads them: all of them at a glance, then each with what was done to the reading and what to doubt.
//!
//! Statements that hold for several readings stand once, at the end.

mod glance;
pub(crate) mod one;
mod probability;
mod shared;
mod together;

use stainbook_evaluation::{Evaluation, ReadingResult, Status};

use glance::{glance, worst};
use one::one;
use shared::Shared;

use crate::Colour;
use crate::counts::counted;
use crate::lines::{if_stated, push_hanging};
use crate::measurement_model;

/// Lines are wrapped here.
pub const WIDTH: usize = 96;

/// Level of detail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// The minimum to act on it and to check it by hand.
    #[default]
    Compact,
    /// The whole budget of uncertainty, the reasons behind each verdict and the digest as well.
    Full,
}

/// All results of a survey at a glance, then each by itself, and the cautions.
pub fn render(evaluation: &Evaluation, detail: Detail, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, evaluation, colour);
    out.push('\n');
    glance(&mut out, evaluation, colour);
    let shared = Shared::of(evaluation);
    for result in &evaluation.results {
        out.push('\n');
        one(&mut out, result, &shared, detail, colour);
    }
    together::each(&mut out, evaluation, detail, colour);
    out.push('\n');
    shared.render(&mut out, evaluation);
    cautions(&mut out, evaluation);
    out
}

/// All results at a glance and one of them by itself: the one with the most to show.
pub fn example(evaluation: &Evaluation, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, evaluation, colour);
    out.push('\n');
    glance(&mut out, evaluation, colour);
    let shared = Shared::default();
    // A verdict is worth more than another step or flag.
    let to_show = |result: &&ReadingResult| {
        let verdict = if worst(result).is_some() { 3 } else { 0 };
        verdict + result.corrections.len() + result.interferents.len() + result.flags.len()
    };
    let with_value = evaluation
        .results
        .iter()
        .filter(|result| result.status == Status::Measured);
    // The first of equals, so that the answer is the same each time.
    if let Some(result) = with_value.rev().max_by_key(to_show) {
        out.push('\n');
        one(&mut out, result, &shared, Detail::Compact, colour);
    }
    out.push('\n');
    out.push_str(&measurement_model::paragraph(WIDTH));
    out.push('\n');
    cautions(&mut out, evaluation);
    out
}

fn head(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    let title = evaluation
        .title
        .as_deref()
        .or(evaluation.survey.as_deref())
        .unwrap_or("Readings of a table");
    out.push_str(&colour.bold(title));
    out.push('\n');
    let mut parts = Vec::new();
    if let Some(survey) = &evaluation.survey {
        parts.push(format!("survey {survey}"));
    }
    if let Some(by) = &evaluation.by {
        parts.push(format!("drawn and read by {by}"));
    }
    if let Some(catalog) = &evaluation.catalog {
        let revision = if_stated(evaluation.catalog_revision.as_ref(), |r| format!(" of {r}"));
        parts.push(format!("evaluated with catalog {catalog}{revision}"));
    }
    push_hanging(out, "", &parts.join(", "), WIDTH);
}

/// `17 readings: 12 measured, 2 less than a bound, 1 more than a bound, 2 refused; 9 carry flags`.
pub fn summary(evaluation: &Evaluation) -> String {
    let count = |status: Status| {
        evaluation
            .results
            .iter()
            .filter(|result| result.status == status)
            .count()
    };
    let parts: Vec<String> = [
        (Status::Measured, "measured"),
        (Status::LessThan, "less than a bound"),
        (Status::MoreThan, "more than a bound"),
        (Status::Refused, "refused"),
    ]
    .into_iter()
    .map(|(status, words)| (count(status), words))
    .filter(|(count, _)| 0 < *count)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    let flagged = evaluation
        .results
        .iter()
        .filter(|result| !result.flags.is_empty())
        .count();
    let flags = match flagged {
        0 => String::new(),
        1 => "; 1 carries flags".to_owned(),
        n => format!("; {n} carry flags"),
    };
    let together = match evaluation.together.len() {
        0 => String::new(),
        n => format!("; {n} judged together"),
    };
    format!(
        "{}: {}{flags}{together}",
        counted(evaluation.results.len(), "reading"),
        parts.join(", ")
    )
}

fn cautions(out: &mut String, evaluation: &Evaluation) {
    let texts: Vec<&str> = evaluation
        .cautions
        .iter()
        .map(|caution| caution.text.as_str())
        .collect();
    push_hanging(out, "Mind: ", &texts.join(" "), WIDTH);
}
