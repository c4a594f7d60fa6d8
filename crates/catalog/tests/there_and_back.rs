//! Entries written through serde are read again: without a finding, and equal to the last digit.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test may fail loudly"
)]

use serde::Serialize;
use serde::de::DeserializeOwned;
use stainbook_catalog::embedded::{demo_files, reference_files};
use stainbook_catalog::written::{SurveyEntry, TubeEntry};
use stainbook_catalog::{SourceFile, WrittenEntry, read_entry};
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;

/// The written form of a text, which has to be without fault.
fn read(path: &str, text: &str) -> WrittenEntry {
    let (entry, findings) = read_entry(FileId(0), &SourceFile::new(path, text));
    let said: Vec<String> = findings
        .iter()
        .filter(|finding| !is_bare_word_of_serde_yaml(finding))
        .map(|finding| format!("{}: {}", finding.rule(), finding.message_text()))
        .collect();
    assert_eq!(said, Vec::<String>::new(), "{path}\n{text}");
    entry
        .unwrap_or_else(|| panic!("{path} is of no kind"))
        .written
}

/// `serde_yaml` writes for readers of YAML 1.2 and leaves the formula of nitric oxide bare; it is read as the text that it
/// is, but older readers take it for `false`, and that is said.
fn is_bare_word_of_serde_yaml(finding: &Finding) -> bool {
    finding.rule() == "yaml-1-1-word" && finding.message_text().contains("bare `NO`")
}

/// Writes an entry as JSON and as YAML, and reads each with our own reader and with serde's.
fn there_and_back<T>(path: &str, written: &T, wrap: impl Fn(Box<T>) -> WrittenEntry)
where
    T: Serialize + DeserializeOwned + PartialEq + std::fmt::Debug,
{
    let json = serde_json::to_string(written).unwrap();
    let yaml = serde_yaml::to_string(written).unwrap();
    let value = serde_json::to_value(written).unwrap();
    for (how, again) in [
        ("JSON", serde_json::from_str::<T>(&json).unwrap()),
        ("YAML", serde_yaml::from_str::<T>(&yaml).unwrap()),
        ("a value", serde_json::from_value::<T>(value).unwrap()),
    ] {
        assert_eq!(&again, written, "{path} through {how}");
        // The numbers are compared by their digits; the texts are the same as well.
        assert_eq!(serde_json::to_string(&again).unwrap(), json, "{path}");
        let expected = wrap(Box::new(again));
        assert_eq!(read(path, &json), expected, "{path}\n{json}");
        assert_eq!(read(path, &yaml), expected, "{path}\n{yaml}");
    }
}

fn entry_there_and_back(path: &str, written: &WrittenEntry) {
    match written {
        WrittenEntry::Catalog(entry) => there_and_back(path, &**entry, WrittenEntry::Catalog),
        WrittenEntry::Source(entry) => there_and_back(path, &**entry, WrittenEntry::Source),
        WrittenEntry::Substance(entry) => there_and_back(path, &**entry, WrittenEntry::Substance),
        WrittenEntry::Group(entry) => there_and_back(path, &**entry, WrittenEntry::Group),
        WrittenEntry::PumpKind(entry) => there_and_back(path, &**entry, WrittenEntry::PumpKind),
        WrittenEntry::Pump(entry) => there_and_back(path, &**entry, WrittenEntry::Pump),
        WrittenEntry::Tube(entry) => there_and_back(path, &**entry, WrittenEntry::Tube),
        WrittenEntry::StockBox(entry) => there_and_back(path, &**entry, WrittenEntry::StockBox),
        WrittenEntry::BoxList(entry) => there_and_back(path, &**entry, WrittenEntry::BoxList),
        WrittenEntry::Plan(entry) => there_and_back(path, &**entry, WrittenEntry::Plan),
        WrittenEntry::Survey(entry) => there_and_back(path, &**entry, WrittenEntry::Survey),
    }
}

#[test]
fn every_entry_of_both_catalogs_comes_back() {
    let mut seen = 0;
    for file in demo_files().chain(reference_files()) {
        let text = std::str::from_utf8(&file.bytes).unwrap();
        entry_there_and_back(&file.path, &read(&file.path, text));
        seen += 1;
    }
    assert!(418 <= seen, "{seen} files");
}

/// Numbers as authors type them, none of which the shortest form of its value would give back.
const ODD_NUMBERS: [&str; 8] = [
    "1.10",
    "2.50",
    "1.0",
    "0.050",
    "+3.2",
    "1.0e+2",
    "2.5e-7",
    "12345678901234567890",
];

#[test]
fn digits_that_no_number_keeps_are_kept() {
    for number in ODD_NUMBERS {
        let text = format!(
            "survey: s\ntitle: T\nby: KL\nreadings:\n  - {{id: r, at: \"2026-03-02T07:40+00:00\", tube: t, strokes: {number}, reading: {{at: 5.0 ppm}}}}\n"
        );
        let written = read("s.survey.yaml", &text);
        let WrittenEntry::Survey(survey) = &written else {
            panic!("no survey");
        };
        let strokes = survey
            .readings
            .first()
            .and_then(|reading| reading.strokes.as_ref());
        assert_eq!(strokes.map(|strokes| strokes.text()), Some(number));
        entry_there_and_back("s.survey.yaml", &written);
    }
}

#[test]
fn what_is_absent_is_not_written() {
    assert_eq!(
        serde_json::to_string(&SurveyEntry::default()).unwrap(),
        "{}"
    );
    assert_eq!(serde_json::to_string(&TubeEntry::default()).unwrap(), "{}");
}

#[test]
fn numbers_stay_numbers_where_their_digits_can() {
    let written = read(
        "s.survey.yaml",
        "survey: s\ntitle: T\nby: KL\nreadings:\n  - {id: r, at: \"2026-03-02T07:40+00:00\", tube: t, strokes: 3, reading: {at: 5 ppm}}\n  - {id: q, at: \"2026-03-02T07:50+00:00\", tube: t, strokes: 2.5, reading: {at: 5 ppm}}\n",
    );
    let WrittenEntry::Survey(survey) = written else {
        panic!("no survey");
    };
    let json = serde_json::to_string(&survey).unwrap();
    assert!(json.contains("\"strokes\":3,"), "{json}");
    assert!(json.contains("\"strokes\":2.5,"), "{json}");
}
