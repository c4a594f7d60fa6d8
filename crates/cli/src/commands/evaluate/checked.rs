//! A catalog with what the check says of it, so that a faulty sheet is known before it is used.

use stainbook::check_read;
use stainbook_catalog::EntryKind;
use stainbook_check::Options as CheckOptions;
use stainbook_document::finding::Finding;
use stainbook_evaluation::{ErrorsByFile, SheetErrors};

use crate::catalog_files::Loaded;

/// A catalog with what the check says of it.
pub(crate) struct Checked {
    pub(crate) loaded: Loaded,
    pub(crate) findings: Vec<Finding>,
    pub(crate) files: usize,
    /// Findings of reading the surveys, whatever levels the catalog gives them: a field that could not be read is missing. And
    /// those that only follow from a slip elsewhere.
    pub(crate) unread: Vec<Finding>,
    errors: ErrorsByFile,
}

impl Checked {
    /// Checks a catalog. Dates are not judged by today: a sheet does not become wrong over night.
    pub(crate) fn new(mut loaded: Loaded) -> Self {
        let read = std::mem::take(&mut loaded.findings);
        let mut unread: Vec<Finding> = read
            .iter()
            .filter(|finding| {
                let entry = loaded.book.entry(finding.place().file);
                entry.is_some_and(|entry| entry.kind == EntryKind::Survey)
            })
            .cloned()
            .collect();
        let report = check_read(&loaded.book, read, &CheckOptions::default());
        unread.extend(report.follow.iter().cloned());
        let errors = ErrorsByFile::of(&report.findings).with_those_that_follow(&report.follow);
        Self {
            findings: report.findings,
            files: report.files,
            unread,
            errors,
            loaded,
        }
    }

    /// Errors in a sheet and in the files that it rests on.
    pub(crate) fn errors_of(&self, id: &str) -> SheetErrors {
        self.errors.of_sheet(&self.loaded.book, id)
    }
}
