//! Findings that were there before: an old catalog starts clean, and only what comes new is reported.
//!
//! A finding is known by its rule, its file and the way to its place, in which rows of lists stand by what they are known
//! by: the range with 8 strokes, the limit of that kind and source. Neither lines nor numbers of rows are kept, so that a
//! baseline outlives whatever is written above a finding.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use stainbook_catalog::Book;
use stainbook_catalog::READ_OPTIONS;
use stainbook_document::finding::{Fault, Finding, Level};
use stainbook_document::place::{FileId, Path, Place};
use stainbook_document::{Document, Node, double_quoted, is_plain_text};

use crate::levels::Levels;
use crate::rules::baseline_unused;

/// The version of the form in which baselines are written.
pub const FORMAT: i64 = 1;

/// A finding that is passed over.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BaselinedFinding {
    /// The file, with `/` between folders, as seen from where the baseline lies.
    pub file: String,
    /// The way to the place, as a JSON Pointer with rows by what they are known by: `/draw/ranges/strokes=8/to`.
    pub at: String,
    /// The rule.
    pub rule: String,
    /// Number of times; one more is reported.
    pub times: usize,
}

/// Identity of a finding: file, path and rule.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The file, as seen from where the baseline lies.
    pub file: String,
    /// The way to the place, as a JSON Pointer with rows by what they are known by: `/draw/ranges/strokes=8/to`.
    pub at: String,
    /// The rule.
    pub rule: String,
}

/// The findings that are passed over, and how many of each were met.
#[derive(Debug)]
pub struct Baseline {
    file: FileId,
    known: Vec<BaselinedFinding>,
    met: Vec<usize>,
    /// Which of the known have this identity and are still to be met, the next one last.
    open: BTreeMap<Key, Vec<usize>>,
}

/// Reason for which a file cannot be used as a baseline, with the line that says so, counted from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotABaseline {
    /// The problem, in one sentence without a full stop.
    pub message: String,
    /// The line, counted from 1.
    pub line: usize,
}

impl std::fmt::Display for NotABaseline {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} (line {})", self.message, self.line)
    }
}

impl std::error::Error for NotABaseline {}

/// The text of a baseline that passes over these findings, in the order of files, paths and rules.
///
/// Findings that are a fault of this software are never passed over; leave them out.
///
/// # Example
///
/// ```
/// use stainbook_check::baseline::{Key, write};
///
/// let key = Key { file: "tubes/a.tube.yaml".into(), at: "/entered".into(), rule: "not-verified".into() };
/// assert!(write([key.clone(), key]).ends_with("  - {rule: not-verified, file: tubes/a.tube.yaml, at: /entered, times: 2}\n"));
/// ```
pub fn write(findings: impl IntoIterator<Item = Key>) -> String {
    let mut counted: BTreeMap<Key, usize> = BTreeMap::new();
    for key in findings {
        *counted.entry(key).or_default() += 1;
    }
    let mut out = format!(
        "# Findings that were there when this was written; `stainbook check --baseline` passes over them.\nformat: {FORMAT}\n"
    );
    if counted.is_empty() {
        out.push_str("known: []\n");
        return out;
    }
    out.push_str("known:\n");
    for (key, times) in counted {
        let times = if times == 1 {
            String::new()
        } else {
            format!(", times: {times}")
        };
        let (rule, file, at) = (scalar(&key.rule), scalar(&key.file), scalar(&key.at));
        // Writing to a text cannot fail.
        let _ = writeln!(out, "  - {{rule: {rule}, file: {file}, at: {at}{times}}}");
    }
    out
}

fn scalar(text: &str) -> String {
    if is_plain_text(text) {
        text.to_owned()
    } else {
        double_quoted(text)
    }
}

impl Baseline {
    /// Reads a baseline, YAML or JSON; the document is given back for showing places in it.
    ///
    /// # Errors
    ///
    /// [`NotABaseline`]: it cannot be read as YAML, its format is another, or an entry is not complete. A baseline that
    /// was understood in part would pass over less than its author believes, or over more.
    pub fn read(file: FileId, name: &str, bytes: &[u8]) -> Result<(Self, Document), NotABaseline> {
        let (document, findings) = Document::read(file, name, bytes, &READ_OPTIONS);
        if let Some(finding) = findings
            .iter()
            .find(|finding| finding.level() == Level::Error)
        {
            let line = document
                .line_column(document.locate(finding.place()).start)
                .line;
            return Err(NotABaseline {
                message: finding.message_text().to_owned(),
                line,
            });
        }
        let known = match document.root() {
            Some(root) => entries(root)?,
            None => {
                return Err(NotABaseline {
                    message: "the baseline is empty".to_owned(),
                    line: 1,
                });
            }
        };
        let mut open: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for (index, known) in known.iter().enumerate().rev() {
            let key = Key {
                file: known.file.clone(),
                at: known.at.clone(),
                rule: known.rule.clone(),
            };
            open.entry(key).or_default().push(index);
        }
        let baseline = Self {
            file,
            met: vec![0; known.len()],
            known,
            open,
        };
        Ok((baseline, document))
    }

    /// Findings that it passes over.
    pub fn known(&self) -> &[BaselinedFinding] {
        &self.known
    }

    /// Takes out the findings that are known, and remembers that they were met. What is a fault of this software stays.
    pub fn apply(&mut self, findings: Vec<Finding>, key: impl Fn(&Finding) -> Key) -> Vec<Finding> {
        findings
            .into_iter()
            .filter(|finding| finding.fault() == Fault::Ours || !self.meets(&key(finding)))
            .collect()
    }

    fn meets(&mut self, key: &Key) -> bool {
        let Some(open) = self.open.get_mut(key) else {
            return false;
        };
        let Some((known, met)) = open
            .last()
            .and_then(|index| Some((self.known.get(*index)?, self.met.get_mut(*index)?)))
        else {
            return false;
        };
        *met += 1;
        if *met == known.times {
            open.pop();
        }
        true
    }

    /// A finding for each entry that was not met, or less often than it says, at the level that the catalog sets.
    ///
    /// `looked_at` says whether an entry's file was checked: of other files nothing is known.
    pub fn unused(&self, book: &Book, looked_at: impl Fn(&str) -> bool) -> Vec<Finding> {
        let levels = Levels::of(book);
        let entries = self.known.iter().zip(&self.met).enumerate();
        entries
            .filter(|(_, (known, met))| **met < known.times && looked_at(&known.file))
            .filter_map(|(index, (known, met))| {
                let place = Place::value(self.file, Path::root().key("known").index(index));
                levels.apply(baseline_unused::finding(known, known.times - met, place))
            })
            .collect()
    }
}

fn entries(root: Node<'_>) -> Result<Vec<BaselinedFinding>, NotABaseline> {
    let format = root
        .get("format")
        .ok_or_else(|| wrong(root, "`format: 1` is missing: this is no baseline"))?;
    if format.integer() != Some(FORMAT) {
        let text = format.text().unwrap_or_default();
        return Err(wrong(
            format,
            format!(
                "this is a baseline of format `{text}`, and only format {FORMAT} is understood"
            ),
        ));
    }
    let known = root.get("known").filter(|known| known.is_list());
    known
        .ok_or_else(|| wrong(root, "the list `known` is missing"))?
        .items()
        .map(entry)
        .collect()
}

fn entry(node: Node<'_>) -> Result<BaselinedFinding, NotABaseline> {
    let text = |field: &str| {
        let value = node.get(field).and_then(Node::text);
        value
            .map(str::to_owned)
            .ok_or_else(|| wrong(node, format!("an entry lacks `{field}`")))
    };
    if let Some((odd, _)) = node
        .entries()
        .find(|(key, _)| !matches!(key.text(), Some("rule" | "file" | "at" | "times")))
    {
        return Err(wrong(
            odd,
            format!("an entry has no field `{}`", odd.text().unwrap_or_default()),
        ));
    }
    let times = match node.get("times") {
        None => 1,
        Some(times) => {
            let number = times
                .integer()
                .and_then(|number| usize::try_from(number).ok())
                .filter(|number| 0 < *number);
            number.ok_or_else(|| wrong(times, "`times` is a whole number from 1 up"))?
        }
    };
    Ok(BaselinedFinding {
        rule: text("rule")?,
        file: text("file")?,
        at: text("at")?,
        times,
    })
}

fn wrong(node: Node<'_>, message: impl Into<String>) -> NotABaseline {
    let line = node.document().line_column(node.range().start).line;
    NotABaseline {
        message: message.into(),
        line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(file: &str, at: &str, rule: &str) -> Key {
        Key {
            file: file.to_owned(),
            at: at.to_owned(),
            rule: rule.to_owned(),
        }
    }

    fn read(text: &str) -> Result<Baseline, NotABaseline> {
        Baseline::read(FileId(0), "baseline.yaml", text.as_bytes()).map(|(baseline, _)| baseline)
    }

    fn finding(rule: &'static str, at: &'static str) -> Finding {
        Finding::of(
            rule,
            Level::Warning,
            Place::value(FileId(1), Path::from_pointer(at)),
        )
    }

    fn key_of(finding: &Finding) -> Key {
        key(
            "a.tube.yaml",
            &finding.place().path().unwrap().pointer(),
            finding.rule(),
        )
    }

    #[test]
    fn written_and_read_again() {
        let keys = [
            key("tubes/b, c.tube.yaml", "", "no"),
            key("tubes/a: #.tube.yaml", "/draw/ranges/2", "range-gap"),
            key("tubes/a.tube.yaml", "/x\"y\n", "range-gap"),
            key("tubes/a.tube.yaml", "/x\"y\n", "range-gap"),
        ];
        let baseline = read(&write(keys.clone())).unwrap();
        let mut again: Vec<Key> = Vec::new();
        for known in baseline.known() {
            again.extend(vec![key(&known.file, &known.at, &known.rule); known.times]);
        }
        let mut expected = keys.to_vec();
        expected.sort();
        assert_eq!(again, expected);
        assert_eq!(write([]).lines().last(), Some("known: []"));
        assert!(read(&write([])).unwrap().known().is_empty());
    }

    #[test]
    fn json_is_read_too() {
        let baseline = read(
            r#"{"format": 1, "known": [{"rule": "range-gap", "file": "a", "at": "/draw", "times": 3}]}"#,
        );
        assert_eq!(baseline.unwrap().known()[0].times, 3);
    }

    #[test]
    fn what_is_no_baseline_is_refused() {
        for (text, line, words) in [
            ("", 1, "nothing but blanks"),
            ("known: []\n", 1, "`format: 1` is missing"),
            ("format: 2\nknown: []\n", 1, "format `2`"),
            ("format: 1\n", 1, "`known` is missing"),
            ("format: 1\nknown: {}\n", 1, "`known` is missing"),
            (
                "format: 1\nknown:\n  - {rule: a, file: b}\n",
                3,
                "lacks `at`",
            ),
            (
                "format: 1\nknown:\n  - {rule: a, file: b, at: c, line: 4}\n",
                3,
                "no field `line`",
            ),
            (
                "format: 1\nknown:\n  - {rule: a, file: b, at: c, times: 0}\n",
                3,
                "from 1 up",
            ),
            ("format: 1\nknown: [\n", 2, ""),
        ] {
            let error = read(text).unwrap_err();
            assert_eq!(error.line, line, "{text}: {error}");
            assert!(error.message.contains(words), "{text}: {error}");
        }
    }

    #[test]
    fn known_findings_are_passed_over_as_often_as_they_are_known() {
        let mut baseline = read(&write([
            key("a.tube.yaml", "/draw", "range-gap"),
            key("gone.tube.yaml", "", "range-gap"),
        ]))
        .unwrap();
        let found = vec![
            finding("range-gap", "/draw"),
            finding("range-gap", "/draw"),
            finding("range-gap", "/read"),
            finding("not-verified", "/draw"),
            finding("range-gap", "/draw").our_fault(),
        ];
        let kept = baseline.apply(found.clone(), key_of);
        assert_eq!(kept, found[1..]);
        let unused =
            |looked_at: fn(&str) -> bool| baseline.unused(&Book::default(), looked_at).len();
        assert_eq!(
            (unused(|_| true), unused(|file| file == "a.tube.yaml")),
            (1, 0)
        );
    }

    #[test]
    fn fewer_than_known_are_told() {
        let twice = [
            key("a.tube.yaml", "/draw", "range-gap"),
            key("a.tube.yaml", "/draw", "range-gap"),
        ];
        let mut baseline = read(&write(twice)).unwrap();
        assert!(
            baseline
                .apply(vec![finding("range-gap", "/draw")], key_of)
                .is_empty()
        );
        let unused = baseline.unused(&Book::default(), |_| true);
        assert_eq!(
            unused[0].message_text(),
            "`range-gap` is no longer found 1 of 2 times in `a.tube.yaml`"
        );
        assert_eq!(unused[0].level(), Level::Note);
    }
}
