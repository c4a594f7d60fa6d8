//! The demo with one of its files malformed, and what is said of it.

use std::collections::BTreeSet;

use stainbook::check_read;
use stainbook_catalog::embedded::demo_files;
use stainbook_catalog::{Book, Entry, SourceFile, read_entry};
use stainbook_check::Options;
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;
use stainbook_document::{Document, NodeId};

use super::mutation::Malformed;

/// The day by which dates are judged.
const AS_OF: &str = "2026-11-25";

/// Outcome of a slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    Nothing,
    TrueFirst,
    FalseFirst,
}

/// A slip's findings, judged.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub(super) seen: Seen,
    /// One of those after the first is false.
    pub(super) later_false: bool,
    /// Every value and key is what it was.
    pub(super) same_meaning: bool,
    /// As they are shown, each with whether it is true.
    pub(super) findings: Vec<String>,
}

impl Judged {
    pub(super) fn is_right(&self) -> bool {
        self.seen != Seen::FalseFirst && !self.later_false
    }
}

/// The demo, into which malformed files are put one at a time.
pub(super) struct Bench {
    entries: Vec<Entry>,
    options: Options,
    /// Findings about the demo as it is: file, rule and message.
    before: BTreeSet<(FileId, &'static str, String)>,
}

impl Bench {
    pub(super) fn new() -> Self {
        let (book, read) = Book::read(demo_files());
        let options = Options::default().with_as_of(AS_OF.parse().ok());
        let report = check_read(&book, read, &options);
        Self {
            entries: book.into_entries(),
            options,
            before: report.findings.iter().map(identity).collect(),
        }
    }

    /// Judges the findings about the demo with this file malformed.
    pub(super) fn judge(&mut self, index: usize, slip: &Malformed) -> Result<Judged, String> {
        let file = FileId(u32::try_from(index).unwrap_or(u32::MAX));
        let source = SourceFile::new(slip.path.clone(), slip.text.as_str());
        let (entry, read) = read_entry(file, &source);
        let mut entries = std::mem::take(&mut self.entries);
        let (Some(entry), Some(there)) = (entry, entries.get_mut(index)) else {
            return Err(format!("{} is no file of the demo", slip.path));
        };
        let kept = std::mem::replace(there, entry);
        let book = Book::assemble(entries);
        let report = check_read(&book, read, &self.options);
        let mut findings = Vec::new();
        let new = |finding: &&Finding| !self.before.contains(&identity(finding));
        for finding in report.findings.iter().filter(new) {
            let Some(entry) = book.entry(finding.place().file) else {
                return Err(format!("{} stands in no file", finding.rule()));
            };
            let range = entry.document.locate(finding.place());
            let touches = slip
                .touched
                .iter()
                .any(|touched| range.start <= touched.end && touched.start <= range.end);
            let is_true = finding.place().file == file && touches;
            findings.push((is_true, said(is_true, entry, finding)));
        }
        let mut entries = book.into_entries();
        let same_meaning = entries
            .get(index)
            .is_some_and(|entry| meaning(&entry.document) == meaning(&kept.document));
        if let Some(there) = entries.get_mut(index) {
            *there = kept;
        }
        self.entries = entries;
        let truths: Vec<bool> = findings.iter().map(|(is_true, _)| *is_true).collect();
        Ok(Judged {
            seen: match truths.first() {
                None => Seen::Nothing,
                Some(true) => Seen::TrueFirst,
                Some(false) => Seen::FalseFirst,
            },
            later_false: truths.iter().skip(1).any(|is_true| !is_true),
            same_meaning,
            findings: findings.into_iter().map(|(_, said)| said).collect(),
        })
    }
}

fn identity(finding: &Finding) -> (FileId, &'static str, String) {
    let message = finding.message_text().to_owned();
    (finding.place().file, finding.rule(), message)
}

fn said(is_true: bool, entry: &Entry, finding: &Finding) -> String {
    let at = entry.document.locate(finding.place());
    let at = entry.document.line_column(at.start);
    format!(
        "{} {}:{}:{} {}[{}] {}; help: {}",
        if is_true { "true " } else { "FALSE" },
        entry.path,
        at.line,
        at.column,
        finding.level().name(),
        finding.rule(),
        finding.message_text(),
        finding.help_text().unwrap_or("-")
    )
}

/// Texts and shapes of all nodes, in their order.
fn meaning(document: &Document) -> Vec<(bool, Option<String>, usize)> {
    let again = document.with_tree();
    let document = if document.has_tree() {
        document
    } else {
        &again
    };
    (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .map(|node| (node.is_list(), node.text().map(str::to_owned), node.len()))
        .collect()
}
