//! Results for scripts: the evaluation as it is, every key always there.

use stainbook_evaluation::Evaluation;

use crate::pretty_json;

/// The evaluation as one JSON object.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn render(evaluation: &Evaluation) -> serde_json::Result<String> {
    pretty_json::written(evaluation)
}
