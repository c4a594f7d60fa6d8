//! The list of what is due for scripts: [`DueList`] as it is. Every key is always there; what there is not is null.

use stainbook_check::due::DueList;

use crate::pretty_json;

/// The list as one JSON object.
///
/// # Errors
///
/// If a text cannot be written as JSON; there is none known.
pub fn render(list: &DueList) -> serde_json::Result<String> {
    pretty_json::written(list)
}
