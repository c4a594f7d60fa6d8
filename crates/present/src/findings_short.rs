//! Findings, one line each: for an editor's error list, or to count with other tools.

use stainbook_catalog::finding::Finding;

use crate::Sources;

/// `path:line:column: level[rule]: message; help`, one line for each finding.
pub fn render(findings: &[Finding], sources: &Sources<'_>) -> String {
    let mut out = String::new();
    for finding in findings {
        let at = sources.locate(finding.place());
        let (level, rule, message) = (
            finding.level().name(),
            finding.rule(),
            finding.message_text(),
        );
        out.push_str(&format!(
            "{}:{}:{}: {level}[{rule}]: {message}",
            at.path, at.start.line, at.start.column
        ));
        if let Some(help) = finding.help_text() {
            out.push_str("; ");
            out.push_str(help);
        }
        out.push('\n');
    }
    out
}
