//! Pairs of texts in `tests/compare`: what counts as a difference and what does not, a file each.
#![cfg(test)]

use std::fs;
use std::path::Path;

use stainbook_catalog::EntryKind;
use stainbook_catalog::READ_OPTIONS;
use stainbook_check::compare::{Difference, DifferenceSide, Scope, compare};
use stainbook_document::Document;
use stainbook_document::place::FileId;

fn read(file: u32, text: &str) -> Document {
    let (document, _) = Document::read(FileId(file), "x", text.as_bytes(), &READ_OPTIONS);
    assert!(!document.is_broken(), "{text}");
    document
}

fn told(difference: &Difference) -> String {
    let text = |side: &Option<DifferenceSide>| {
        side.as_ref()
            .map_or("nothing".to_owned(), |side| side.text.clone())
    };
    let slip = difference.slip.map(|slip| format!(" ({})", slip.words()));
    format!(
        "{} at {}: {} | {}{}",
        difference.kind.name(),
        difference.field,
        text(&difference.a),
        text(&difference.b),
        slip.unwrap_or_default()
    )
}

#[test]
fn cases() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/compare");
    let mut files: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    let mut wrong = Vec::new();
    let mut silent = 0;
    for file in &files {
        let text = fs::read_to_string(file).unwrap();
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        let (kind, rest) = text.split_once("\n=== A\n").unwrap();
        let (a, rest) = rest.split_once("\n=== B\n").unwrap();
        let (b, expected) = rest.split_once("\n=== differences\n").unwrap();
        let kind = EntryKind::ALL
            .into_iter()
            .find(|other| other.name() == kind)
            .unwrap();
        let (a, b) = (read(0, a), read(1, b));
        let found: Vec<String> = compare(kind, &a, &b, Scope::Leaflet)
            .iter()
            .map(told)
            .collect();
        let expected: Vec<&str> = expected.lines().collect();
        if found != expected {
            wrong.push(format!("{name}:\n{}", found.join("\n")));
        }
        // What stands on the left and on the right does not matter for whether something is seen.
        let back = compare(kind, &b, &a, Scope::Leaflet);
        assert_eq!(
            back.is_empty(),
            found.is_empty(),
            "{name} the other way round"
        );
        assert!(
            compare(kind, &a, &a, Scope::Everything).is_empty(),
            "{name} with itself"
        );
        silent += usize::from(found.is_empty());
        assert_eq!(name.starts_with("same-"), found.is_empty(), "{name}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(
        10 <= silent && 2 * silent <= files.len(),
        "{silent} of {}",
        files.len()
    );
}

/// Names and dates of people count where everything is asked for.
#[test]
fn everything() {
    let a = read(0, "tube: quay-kl\nentered: {by: KL, date: 2026-02-11}\n");
    let b = read(1, "tube: quay-mt\nentered: {by: MT, date: 2026-02-11}\n");
    let found: Vec<String> = compare(EntryKind::Tube, &a, &b, Scope::Everything)
        .iter()
        .map(told)
        .collect();
    assert_eq!(
        found,
        [
            "words at tube: quay-kl | quay-mt",
            "words at entered, by: KL | MT"
        ]
    );
}
