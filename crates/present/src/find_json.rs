//! A search for tubes for scripts: [`Search`] as it is. Every key is always there; what does not apply is null.

use stainbook_tube_search::Search;

use crate::pretty_json;

/// The search as one JSON object; its keys are the fields of [`Search`] and of what is in it.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn render(search: &Search) -> serde_json::Result<String> {
    pretty_json::written(search)
}
