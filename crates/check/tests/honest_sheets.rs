//! The rules are silent about sheets without a slip.
#![cfg(test)]

use std::fmt::Write as _;

use stainbook_catalog::{Book, SourceFile};
use stainbook_check::{Options, check_with};
use stainbook_document::finding::Level;
use stainbook_tests::honest;

/// Number of sheets made. The seed and the number are fixed, so that a failure comes back.
const SHEETS: usize = 200;

#[test]
fn honest_sheets_are_left_alone() {
    let files = honest::catalog(1, SHEETS);
    let (book, read) = Book::read(
        files
            .iter()
            .map(|file| SourceFile::new(file.path.clone(), file.text.as_str())),
    );
    let options = Options::default().with_as_of("2026-11-25".parse::<jiff::civil::Date>().unwrap());
    let report = check_with(&book, read, &options);
    let mut said = String::new();
    for finding in report
        .findings
        .iter()
        .filter(|finding| Level::Warning <= finding.level())
    {
        let entry = book.entry(finding.place().file).unwrap();
        let range = entry.document.locate(finding.place());
        let line = entry.document.line_column(range.start).line;
        let text = entry
            .document
            .text()
            .lines()
            .nth(line - 1)
            .unwrap_or_default();
        let _ = writeln!(
            said,
            "{} {}:{line} {}: {}\n    {}",
            finding.rule(),
            entry.path,
            finding.message_text(),
            finding.label_text().unwrap_or_default(),
            text.trim()
        );
        for note in finding.notes() {
            let _ = writeln!(said, "    = {note}");
        }
    }
    assert!(
        said.is_empty(),
        "{} errors, {} warnings on honest sheets\n{said}",
        report.errors,
        report.warnings
    );
    assert_eq!(report.files, SHEETS + 3);
}
