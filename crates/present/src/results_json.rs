//! Results for scripts: the evaluation as it is, every key always there.

use stainbook_reading::Evaluation;

/// The version of the keys.
pub const SCHEMA_VERSION: u32 = 1;

#[derive(serde::Serialize)]
struct Report<'a> {
    schema_version: u32,
    #[serde(flatten)]
    evaluation: &'a Evaluation,
}

/// The evaluation as one JSON object.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn render(evaluation: &Evaluation) -> serde_json::Result<String> {
    let mut text = serde_json::to_string_pretty(&Report {
        schema_version: SCHEMA_VERSION,
        evaluation,
    })?;
    text.push('\n');
    Ok(text)
}
