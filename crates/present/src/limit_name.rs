//! The name of a limit that a result is compared with.

use stainbook_catalog::embedded::REFERENCE_NAME;
use stainbook_evaluation::result::LimitUsed;

/// A limit in words, with whose it is where it is not the reference's.
pub(crate) fn limit_name(limit: &LimitUsed) -> String {
    let comma = if limit.unit == "1" { "," } else { "" };
    let mut text = format!("{}{comma} {}", limit.name(), limit.text);
    // A limit of the reference is the usual case; one of the lab's own is said to be.
    match &limit.replaces {
        Some(replaced) => text.push_str(&format!(", by {} in place of {replaced}", limit.catalog)),
        None if limit.catalog != REFERENCE_NAME => {
            text.push_str(&format!(", by {}", limit.catalog));
        }
        None => {}
    }
    text
}
