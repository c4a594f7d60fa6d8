//! The catalogs that are part of the program have no error and no warning.
#![cfg(test)]

use stainbook_catalog::{Book, embedded};
use stainbook_check::{Options, Report, check_with};
use stainbook_document::finding::{Finding, Level};

/// The day after which no date in the catalogs lies.
const TODAY: &str = "2026-11-25";

fn report((book, read): (Book, Vec<Finding>)) -> Report {
    let options = Options::default().with_as_of(TODAY.parse::<jiff::civil::Date>().unwrap());
    check_with(&book, read, &options)
}

fn complaints(report: &Report) -> Vec<String> {
    report
        .findings
        .iter()
        .filter(|finding| Level::Note < finding.level())
        .map(|finding| {
            format!(
                "{} {:?}: {}",
                finding.rule(),
                finding.place(),
                finding.message_text()
            )
        })
        .collect()
}

#[test]
fn demo() {
    let report = report(Book::demo());
    assert!(20 < report.files, "{} files", report.files);
    assert_eq!(complaints(&report), Vec::<String>::new());
}

#[test]
fn reference() {
    let report = report(Book::read(embedded::reference_files()));
    assert!(100 < report.files, "{} files", report.files);
    assert_eq!(complaints(&report), Vec::<String>::new());
}
