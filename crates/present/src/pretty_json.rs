//! JSON for people and scripts: indented, with an end of line at its end.

use serde::Serialize;

/// A value as JSON.
pub(crate) fn written(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(value)?;
    text.push('\n');
    Ok(text)
}
