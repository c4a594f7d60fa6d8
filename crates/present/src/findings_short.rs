//! Findings, one line each: for an editor's error list, or to count with other tools.

use stainbook_document::finding::Finding;

use crate::Sources;
use crate::lines::printable;

/// `path:line:column: level[rule]: message; help`, one line for each finding; of a spreadsheet the cell.
pub fn render(findings: &[Finding], sources: &Sources<'_>) -> String {
    let mut out = String::new();
    for finding in findings {
        let at = sources.locate(finding.place());
        let (level, rule) = (finding.level().name(), finding.rule());
        let message = printable(finding.message_text());
        out.push_str(&format!("{}: {level}[{rule}]: {message}", at.in_a_line()));
        if let Some(help) = finding.help_text() {
            out.push_str("; ");
            out.push_str(&printable(help));
        }
        out.push('\n');
    }
    out
}
