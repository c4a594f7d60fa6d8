//! Fitness of a file for comparison.

use stainbook_catalog::rules;
use stainbook_document::finding::{Finding, ReaderRule};

/// Rules of reading that leave part of a file unread, or leave open which of two values is meant. Every other
/// finding speaks of a value that was read, and a value can be compared however wrong it is.
const UNFIT: [&ReaderRule; 12] = [
    &rules::DOCUMENT_TOO_LARGE,
    &rules::DUPLICATE_KEY,
    &rules::EMPTY_DOCUMENT,
    &rules::NOT_UTF_8,
    &rules::SEVERAL_DOCUMENTS,
    &rules::TAB_INDENTATION,
    &rules::TOO_DEEP,
    &rules::TOO_MANY_NODES,
    &rules::UNKNOWN_FILE_KIND,
    &rules::YAML_ANCHOR,
    &rules::YAML_SYNTAX,
    &rules::YAML_TAG,
];

/// The first finding because of which a file cannot be compared: "no difference" would not be true of what was not read.
pub fn unfit(findings: &[Finding]) -> Option<&Finding> {
    findings
        .iter()
        .find(|finding| UNFIT.iter().any(|rule| rule.name == finding.rule()))
}
