//! Real sheets with a slip of the keyboard somewhere: nothing panics, every place lies in the text, and what the
//! schema accepts the written form can hold.

#![cfg(test)]
#![allow(missing_docs, reason = "nobody reads the documentation of a test")]

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::{SourceFile, read_entry};
use stainbook_document::finding::Fault;
use stainbook_document::place::FileId;

const SHEETS: &[(&str, &str)] = &[
    (
        "brinewash-chlorine-a-r2.tube.yaml",
        include_str!("../../../catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml"),
    ),
    (
        "plantroom-ammonia-c-r1.tube.yaml",
        include_str!("../../../catalog/demo/tubes/plantroom-ammonia-c-r1.tube.yaml"),
    ),
    (
        "plant-round-2026-06-16.survey.yaml",
        include_str!("../../../catalog/demo/surveys/plant-round-2026-06-16.survey.yaml"),
    ),
    (
        "pump-01.pump.yaml",
        include_str!("../../../catalog/demo/pumps/pump-01.pump.yaml"),
    ),
    (
        "catalog.yaml",
        include_str!("../../../catalog/demo/catalog.yaml"),
    ),
];

/// Texts that slips of the keyboard put in the place of a few characters.
const SLIPS: &[&str] = &[
    "", "", "", " ", "  ", "\n", "\t", ":", ": ", ",", ", ", "-", "- ", "[", "]", "{", "}", "\"",
    "'", "#", " # ", "0", "1", "0,5", ".", "x", "NO", "~", "°", "ppm", "%", "5 mg", "null", "true",
    "[]", "{}", "method: ", "&a ", "*a", "!t ", "|\n", "é", "\u{0}", "\u{200b}",
];

#[derive(Clone, Debug)]
struct Mutation {
    at: prop::sample::Index,
    length: usize,
    text: &'static str,
}

fn slip() -> impl Strategy<Value = Mutation> {
    let text = prop::sample::select(SLIPS);
    (any::<prop::sample::Index>(), 0..6_usize, text).prop_map(|(at, length, text)| Mutation {
        at,
        length,
        text,
    })
}

fn check(name: &str, text: &str) -> Result<(), TestCaseError> {
    let source = SourceFile::new(name, text);
    let (entry, findings) = read_entry(FileId(0), &source);
    let document = entry.unwrap().document;
    for finding in &findings {
        prop_assert_eq!(finding.fault(), Fault::Author, "{}\n{:?}", text, finding);
        prop_assert!(!finding.message_text().is_empty());
        let places = finding.related_places().iter().map(|(place, _)| place);
        let edits = finding.edits().iter().map(|edit| &edit.place);
        for place in places.chain(edits).chain([finding.place()]) {
            let range = document.locate(place);
            prop_assert!(document.text().get(range).is_some());
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(env!("CARGO_MANIFEST_DIR"), "/proptest-regressions/mutated_sheets.txt")))), cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn a_slip_is_the_authors_and_has_a_place(
        sheet in prop::sample::select(SHEETS),
        slips in prop::collection::vec(slip(), 1..3),
    ) {
        let (name, text) = sheet;
        let mut letters: Vec<char> = text.chars().collect();
        for slip in slips {
            let at = slip.at.index(letters.len());
            let end = (at + slip.length).min(letters.len());
            letters.splice(at..end, slip.text.chars());
        }
        check(name, &letters.into_iter().collect::<String>())?;
    }
}

#[test]
fn the_sheets_themselves_are_without_a_finding() {
    for (name, text) in SHEETS {
        let (_, findings) = read_entry(FileId(0), &SourceFile::new(*name, *text));
        assert!(findings.is_empty(), "{name}: {findings:?}");
    }
}
