//! Nothing that can be done to a file makes a rule panic, and findings come in the same order each time.
#![cfg(test)]

use stainbook_catalog::{Book, SourceFile};
use stainbook_check::{Options, Report, check_with};
use stainbook_tests::honest::{self, Chance};

fn check(files: &[(String, Vec<u8>)]) -> Report {
    let sources = files
        .iter()
        .map(|(path, bytes)| SourceFile::from_bytes(path.clone(), bytes.clone()));
    let (book, read) = Book::read(sources);
    check_with(
        &book,
        read,
        &Options::default().with_as_of("2026-11-25".parse::<jiff::civil::Date>().unwrap()),
    )
}

/// Does to a text what slips and bad copies do.
fn damage(text: &str, chance: &mut Chance) -> Vec<u8> {
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let line = chance.below(0, lines.len());
    match chance.below(0, 4) {
        0 => {
            lines.remove(line);
        }
        1 => lines.insert(line, lines[line]),
        2 => lines.truncate(line),
        _ => {}
    }
    let mut bytes = lines.concat().into_bytes();
    for _ in 0..chance.below(0, 4) {
        if bytes.is_empty() {
            break;
        }
        let at = chance.below(0, bytes.len());
        match chance.below(0, 3) {
            0 => {
                bytes.remove(at);
            }
            1 => bytes[at] = *chance.one_of(b"09.-,:[]{}#x \n\xff"),
            _ => bytes.insert(at, *chance.one_of(b"0.-e ,")),
        }
    }
    bytes
}

#[test]
fn damaged_sheets_are_survived() {
    let mut chance = Chance::new(11);
    let files = honest::catalog(2, 60);
    for _ in 0..20 {
        let damaged: Vec<(String, Vec<u8>)> = files
            .iter()
            .map(|file| (file.path.clone(), damage(&file.text, &mut chance)))
            .collect();
        let report = check(&damaged);
        assert!(0 < report.errors);
        assert_eq!(report, check(&damaged));
    }
}

#[test]
fn findings_stand_by_file_and_place() {
    let mut chance = Chance::new(3);
    let mut files: Vec<(String, Vec<u8>)> = honest::catalog(3, 20)
        .iter()
        .map(|file| (file.path.clone(), damage(&file.text, &mut chance)))
        .collect();
    files.reverse();
    let sources = files
        .iter()
        .map(|(path, bytes)| SourceFile::from_bytes(path.clone(), bytes.clone()));
    let (book, read) = Book::read(sources);
    let report = check_with(&book, read, &Options::default());
    let places: Vec<(String, usize)> = report
        .findings
        .iter()
        .filter_map(|finding| {
            let entry = book.entry(finding.place().file)?;
            Some((
                entry.path.clone(),
                entry.document.locate(finding.place()).start,
            ))
        })
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(1 < places.len());
}
