//! Findings as JUnit XML, which build servers show as tests that failed.
//!
//! There is no standard of the form; what is written here is what its readers have in common: a suite for each file, a
//! case for each finding, one case that passes for a file without any. A case fails exactly if the finding makes the
//! command fail, so that the build server and the exit code say the same; other findings pass and stand in the case's
//! output. No times are given, so that the same files give the same report.

use std::collections::BTreeMap;

use stainbook_check::Deny;
use stainbook_document::finding::{Fault, Finding, Level};

use crate::Sources;
use crate::lines::steers;

/// Extent of a check besides the findings themselves.
#[derive(Clone, Copy, Debug)]
pub struct Looked<'a> {
    /// The paths of all files that were checked, those without findings included.
    pub files: &'a [&'a str],
    /// Failures of the command: a word for scripts and a sentence.
    pub failures: &'a [(&'a str, &'a str)],
    /// Level of findings that makes the command fail.
    pub deny: Deny,
}

#[derive(Default)]
struct Suite {
    cases: String,
    tests: usize,
    failures: usize,
    errors: usize,
}

/// The findings of each catalog with its sources, and what was looked at.
pub fn render(groups: &[(&[Finding], Sources<'_>)], looked: &Looked<'_>) -> String {
    let mut suites: BTreeMap<&str, Suite> = looked
        .files
        .iter()
        .map(|path| (*path, Suite::default()))
        .collect();
    for (findings, sources) in groups {
        for finding in *findings {
            let path = sources.locate(finding.place()).path;
            push(
                suites.entry(path).or_default(),
                path,
                finding,
                sources,
                looked.deny,
            );
        }
    }
    for (path, suite) in &mut suites {
        if suite.tests == 0 {
            suite.tests = 1;
            suite.cases = format!(
                "    <testcase name=\"no findings\" classname=\"{0}\" file=\"{0}\" time=\"0\"/>\n",
                escaped(path)
            );
        }
    }
    let mut all: Vec<(String, Suite)> = suites
        .into_iter()
        .map(|(path, suite)| (path.to_owned(), suite))
        .collect();
    if !looked.failures.is_empty() {
        all.push((
            "stainbook check".to_owned(),
            not_carried_out(looked.failures),
        ));
    }
    let total =
        |count: fn(&Suite) -> usize| all.iter().map(|(_, suite)| count(suite)).sum::<usize>();
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites name=\"stainbook check\" tests=\"{}\" failures=\"{}\" errors=\"{}\" time=\"0\">\n",
        total(|suite| suite.tests),
        total(|suite| suite.failures),
        total(|suite| suite.errors)
    );
    for (name, suite) in &all {
        out.push_str(&format!(
            "  <testsuite name=\"{}\" tests=\"{}\" failures=\"{}\" errors=\"{}\" skipped=\"0\" time=\"0\">\n{}  </testsuite>\n",
            escaped(name),
            suite.tests,
            suite.failures,
            suite.errors,
            suite.cases
        ));
    }
    out.push_str("</testsuites>\n");
    out
}

fn push(suite: &mut Suite, path: &str, finding: &Finding, sources: &Sources<'_>, deny: Deny) {
    let at = sources.locate(finding.place());
    let (level, rule, message) = (
        finding.level().name(),
        finding.rule(),
        finding.message_text(),
    );
    let mut text = format!("{}: {level}[{rule}]: {message}", at.in_a_line());
    for more in finding.notes().chain(finding.help_text()) {
        text.push('\n');
        text.push_str(more);
    }
    let head = format!(
        "    <testcase name=\"{}\" classname=\"{1}\" file=\"{1}\" line=\"{2}\" time=\"0\">\n",
        escaped(&format!("{level}[{rule}] at {}", at.in_the_file())),
        escaped(path),
        at.start.line
    );
    let body = if finding.fault() == Fault::Ours {
        suite.errors += 1;
        format!(
            "      <error type=\"{level}\" message=\"{}\">{}</error>\n",
            escaped(message),
            escaped(&text)
        )
    } else if fails(finding.level(), deny) {
        suite.failures += 1;
        format!(
            "      <failure type=\"{level}\" message=\"{}\">{}</failure>\n",
            escaped(message),
            escaped(&text)
        )
    } else {
        format!("      <system-out>{}</system-out>\n", escaped(&text))
    };
    suite.tests += 1;
    suite.cases.push_str(&head);
    suite.cases.push_str(&body);
    suite.cases.push_str("    </testcase>\n");
}

fn fails(level: Level, deny: Deny) -> bool {
    match deny {
        Deny::Errors => level == Level::Error,
        Deny::Warnings => Level::Warning <= level,
    }
}

fn not_carried_out(failures: &[(&str, &str)]) -> Suite {
    let mut suite = Suite::default();
    for (code, message) in failures {
        suite.tests += 1;
        suite.errors += 1;
        suite.cases.push_str(&format!(
            "    <testcase name=\"{}\" classname=\"stainbook check\" time=\"0\">\n      <error type=\"{}\" message=\"{}\"/>\n    </testcase>\n",
            escaped(message),
            escaped(code),
            escaped(message)
        ));
    }
    suite
}

/// Text for an attribute or an element. Characters that XML 1.0 cannot hold at all become U+FFFD; line ends and tabs are
/// written as references, since an attribute would lose them.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            '\n' => out.push_str("&#10;"),
            '\r' => out.push_str("&#13;"),
            '\t' => out.push_str("&#9;"),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if steers(c) => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}
