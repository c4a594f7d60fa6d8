//! Findings, one line each: for an editor's error list, or to count with other tools.

use stainbook_catalog::finding::Finding;

use crate::Sources;
use crate::lines::printable;

/// `path:line:column: level[rule]: message; help`, one line for each finding.
pub fn render(findings: &[Finding], sources: &Sources<'_>) -> String {
    let mut out = String::new();
    for finding in findings {
        let at = sources.locate(finding.place());
        let (level, rule) = (finding.level().name(), finding.rule());
        let (path, message) = (printable(at.path), printable(finding.message_text()));
        let (line, column) = (at.start.line, at.start.column);
        out.push_str(&format!(
            "{path}:{line}:{column}: {level}[{rule}]: {message}"
        ));
        if let Some(help) = finding.help_text() {
            out.push_str("; ");
            out.push_str(&printable(help));
        }
        out.push('\n');
    }
    out
}
