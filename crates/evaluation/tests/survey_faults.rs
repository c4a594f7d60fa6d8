//! A survey file with something wrong in it: one bad row is refused with its place and never stops the rest, and what could
//! not be read is never filled in from elsewhere.
#![cfg(test)]

mod support;

use stainbook_catalog::{Book, SourceFile, WrittenEntry};
use stainbook_evaluation::survey_faults::SurveyFaults;
use stainbook_evaluation::{Evaluation, FaultySheets, Options, Status, evaluate_entry};
use support::{KIND, PUMP, SHEET, flags, refusal};

/// A good reading, then one with what is asked about, then a good one.
fn survey(conditions: &str, reading: &str) -> String {
    let good = "at: \"2026-03-02T07:40+00:00\", tube: slip-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, other_gases: none known, strokes: 2, reading: {at: 5 ppm}";
    format!(
        "survey: s\ntitle: A round\nby: KL\nconditions: {{{conditions}}}\nreadings:\n  - {{id: a, {good}, conditions: {{air_temperature: 10 °C, humidity: 40 %RH, pressure: 100 kPa}}}}\n  - {{id: b, {reading}, conditions: {{air_temperature: 10 °C, humidity: 40 %RH, pressure: 100 kPa}}}}\n  - {{id: c, {good}}}\n"
    )
}

const GOOD: &str = "at: \"2026-03-02T07:40+00:00\", tube: slip-chlorine, lot: 24-117, expires: 2027-01, pump: pump-1, leak_test: held, other_gases: none known, strokes: 2, reading: {at: 5 ppm}";
const AIR: &str = "air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa";

fn evaluated(text: &str, faulty: FaultySheets) -> (Evaluation, bool) {
    let (book, findings) = Book::read([
        SourceFile::new(
            "catalog.yaml",
            "catalog: slip\ntitle: Slipway\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        ),
        SourceFile::new("slip-chlorine-r2.tube.yaml", SHEET),
        SourceFile::new("quay.pump-kind.yaml", KIND),
        SourceFile::new("pump-1.pump.yaml", PUMP),
        SourceFile::new("s.survey.yaml", text.to_owned()),
    ]);
    let (entry, survey) = book
        .entries()
        .iter()
        .find_map(|entry| match &entry.written {
            WrittenEntry::Survey(survey) => Some((entry, survey)),
            _ => None,
        })
        .unwrap();
    let faults = SurveyFaults::of(entry, &findings);
    let options = Options::default().with_faulty_sheets(faulty);
    let mut told = Vec::new();
    let evaluation = evaluate_entry(&book, entry, survey, &faults, &options, |done| {
        told.push(done);
    });
    // Whoever waits is told of each.
    let each: Vec<usize> = (1..=evaluation.results.len()).collect();
    assert_eq!(told, each);
    (evaluation, faults.stop_all(faulty))
}

/// The codes of the three readings' refusals.
fn refusals(evaluation: &Evaluation) -> Vec<&str> {
    evaluation.results.iter().map(refusal).collect()
}

#[test]
fn one_bad_reading_is_refused_at_its_field_and_stops_no_other() {
    let changed = |from: &str, to: &str| {
        assert!(GOOD.contains(from));
        survey(AIR, &GOOD.replace(from, to))
    };
    for (text, code, at) in [
        // What cannot be read.
        (
            changed("strokes: 2", "strokes: two"),
            "reading-unreadable",
            "two",
        ),
        (changed("at: 5 ppm", "at: 5"), "reading-unreadable", "5}"),
        (
            survey(AIR, GOOD).replacen("id: b, at:", "id: b, brougth_to_ambient: true, at:", 1),
            "reading-unreadable",
            "brougth",
        ),
        // What can be read and not be evaluated.
        (
            changed("strokes: 2", "strokes: 3"),
            "strokes-not-on-sheet",
            "3, reading",
        ),
        (
            changed("at: 5 ppm", "at: 50 ppm"),
            "reading-off-scale",
            "50 ppm",
        ),
        (
            changed("tube: slip-chlorine", "tube: slip-bromine"),
            "tube-unknown",
            "slip-bromine",
        ),
        (
            changed("lot: 24-117", "lot: 23-117"),
            "lot-without-sheet",
            "23-117",
        ),
        // What was left out is shown at what is there.
        (changed("strokes: 2, ", ""), "strokes-missing", "{id: b"),
    ] {
        let (evaluation, stopped) = evaluated(&text, FaultySheets::Refuse);
        assert!(!stopped, "{code}");
        // A field that was left out is the schema's to miss as well; what the evaluation says of it is said first.
        assert_eq!(refusals(&evaluation), ["none", code, "none"], "{text}");
        let refusal = evaluation.results[1].refusal.as_ref().unwrap();
        let line = text.lines().nth(6).unwrap();
        let column = line[..line.find(at).unwrap()].chars().count() + 1;
        assert!(
            refusal
                .text
                .starts_with(&format!("s.survey.yaml:7:{column}: ")),
            "{} and not {column}",
            refusal.text
        );
        assert!(!refusal.remedy.is_empty(), "{code}");
        assert!(refusal.field.is_some(), "{code}");
    }
}

/// The reading's own temperature is there and cannot be read: the survey's is another one.
#[test]
fn what_cannot_be_read_is_not_filled_in_from_the_survey() {
    for (written, field) in [
        ("air_temperature: -300 °C", "/conditions/air_temperature"),
        ("air_temperature: ten", "/conditions/air_temperature"),
        ("air_temprature: 10 °C", "/conditions/air_temprature"),
        ("humidity: 40", "/conditions/humidity"),
    ] {
        let text = survey(AIR, GOOD)
            .lines()
            .map(|line| {
                if line.contains("id: b") {
                    let (before, _) = line.split_once("conditions").unwrap();
                    format!("{before}conditions: {{{written}}}}}\n")
                } else {
                    format!("{line}\n")
                }
            })
            .collect::<String>();
        for faulty in [FaultySheets::Refuse, FaultySheets::FlagOnly] {
            let (evaluation, stopped) = evaluated(&text, faulty);
            assert!(!stopped);
            assert_eq!(
                refusals(&evaluation),
                ["none", "reading-unreadable", "none"],
                "{written}"
            );
            let b = &evaluation.results[1];
            assert_eq!(b.refusal.as_ref().unwrap().field.as_deref(), Some(field));
            assert!(b.concentration.is_none() && b.inputs.is_null());
            assert_eq!(b.at.as_deref(), Some("2026-03-02T07:40+00:00"));
        }
    }
}

/// A condition of the whole survey: refused are those readings that rest on it.
#[test]
fn a_shared_condition_that_cannot_be_read() {
    let text = survey(&AIR.replace("20 °C", "twenty"), GOOD);
    let (evaluation, stopped) = evaluated(&text, FaultySheets::FlagOnly);
    assert!(!stopped);
    assert_eq!(
        refusals(&evaluation),
        ["none", "none", "conditions-unreadable"]
    );
    let refusal = evaluation.results[2].refusal.as_ref().unwrap();
    assert!(
        refusal.text.starts_with("s.survey.yaml:4:31: "),
        "{}",
        refusal.text
    );
    // One that can be read and is outside the table is pointed at where it stands, for each reading that rests on it.
    let text = survey(&AIR.replace("20 °C", "50 °C"), GOOD);
    let (evaluation, _) = evaluated(&text, FaultySheets::Refuse);
    assert_eq!(
        refusals(&evaluation),
        ["none", "none", "outside-temperature-table"]
    );
    let refusal = evaluation.results[2].refusal.as_ref().unwrap();
    assert!(
        refusal.text.starts_with("s.survey.yaml:4:31: "),
        "{}",
        refusal.text
    );
}

#[test]
fn a_reading_without_what_every_one_must_have() {
    // Without its time a reading can be evaluated, and is flagged; the checker calls it wrong.
    let text = survey(AIR, &GOOD.replace("at: \"2026-03-02T07:40+00:00\", ", ""));
    let (evaluation, stopped) = evaluated(&text, FaultySheets::Refuse);
    assert!(!stopped);
    assert_eq!(
        refusals(&evaluation),
        ["none", "reading-has-errors", "none"]
    );
    let (evaluation, _) = evaluated(&text, FaultySheets::FlagOnly);
    assert_eq!(refusals(&evaluation), ["none", "none", "none"]);
    assert_eq!(
        flags(&evaluation.results[1]),
        ["date-missing", "read-on-marks-only", "reading-has-errors"]
    );
}

#[test]
fn what_lies_in_no_reading_stops_all() {
    let good = survey(AIR, GOOD);
    let (_, stopped) = evaluated(
        &good.replace("title: A round", "titel: A round"),
        FaultySheets::Refuse,
    );
    assert!(stopped);
    let (evaluation, stopped) = evaluated(
        &good.replace("title: A round", "titel: A round"),
        FaultySheets::FlagOnly,
    );
    assert!(!stopped);
    assert!(
        evaluation
            .results
            .iter()
            .all(|result| result.status == Status::Measured)
    );
    // Where the text breaks off nobody knows what would have followed.
    let broken = good.replace("  - {id: c,", "  - {id: c: [,");
    for faulty in [FaultySheets::Refuse, FaultySheets::FlagOnly] {
        assert!(evaluated(&broken, faulty).1);
    }
    assert!(!evaluated(&good, FaultySheets::Refuse).1);
}
