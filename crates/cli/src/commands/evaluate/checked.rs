//! A catalog with what the check says of it, so that a faulty sheet is known before it is used.

use std::collections::BTreeMap;

use stainbook::check_read;
use stainbook_catalog::WrittenEntry;
use stainbook_catalog::{Book, EntryKind};
use stainbook_check::Options as CheckOptions;
use stainbook_document::finding::Finding;
use stainbook_document::finding::Level;

use crate::catalog_files::Loaded;

/// A catalog with what the check says of it.
pub(crate) struct Checked {
    pub(crate) loaded: Loaded,
    pub(crate) findings: Vec<Finding>,
    pub(crate) files: usize,
    /// Findings of reading the surveys, whatever levels the catalog gives them: a field that could not be read is missing.
    pub(crate) unread: Vec<Finding>,
    errors: BTreeMap<(EntryKind, String), usize>,
}

impl Checked {
    /// Checks a catalog. Dates are not judged by today: a sheet does not become wrong over night.
    pub(crate) fn new(mut loaded: Loaded) -> Self {
        let read = std::mem::take(&mut loaded.findings);
        let unread = read
            .iter()
            .filter(|finding| {
                let entry = loaded.book.entry(finding.place().file);
                entry.is_some_and(|entry| entry.kind == EntryKind::Survey)
            })
            .cloned()
            .collect();
        let report = check_read(&loaded.book, read, &CheckOptions::default());
        let mut errors = BTreeMap::new();
        for finding in report
            .findings
            .iter()
            .filter(|finding| finding.level() == Level::Error)
        {
            if let Some(entry) = loaded.book.entry(finding.place().file) {
                *errors
                    .entry((entry.kind, entry.id().to_owned()))
                    .or_insert(0) += 1;
            }
        }
        Self {
            findings: report.findings,
            files: report.files,
            unread,
            errors,
            loaded,
        }
    }

    /// Number of errors in an entry and in the entries that it rests on.
    pub(crate) fn errors_of(&self, kind: EntryKind, id: &str) -> usize {
        let own = self
            .errors
            .get(&(kind, id.to_owned()))
            .copied()
            .unwrap_or(0);
        if kind == EntryKind::Tube {
            own + errors_behind(&self.loaded.book, &self.errors, id)
        } else {
            own
        }
    }
}

/// Errors in the entries that a sheet rests on: its substance.
fn errors_behind(book: &Book, errors: &BTreeMap<(EntryKind, String), usize>, tube: &str) -> usize {
    let Some(WrittenEntry::Tube(sheet)) =
        book.find(EntryKind::Tube, tube).map(|entry| &entry.written)
    else {
        return 0;
    };
    let Some(measures) = &sheet.measures else {
        return 0;
    };
    [&measures.substance, &measures.expressed_as]
        .into_iter()
        .flatten()
        .filter_map(|id| errors.get(&(EntryKind::Substance, id.clone())))
        .sum()
}
