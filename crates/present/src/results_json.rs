//! Results for scripts: the evaluation as it is, every key always there.

use stainbook_evaluation::Evaluation;

/// The evaluation as one JSON object.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn render(evaluation: &Evaluation) -> serde_json::Result<String> {
    let mut text = serde_json::to_string_pretty(evaluation)?;
    text.push('\n');
    Ok(text)
}
