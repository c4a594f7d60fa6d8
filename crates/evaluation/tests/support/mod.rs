//! A small invented catalog to be changed by each test.
#![allow(dead_code, reason = "each test file uses a part of it")]

use stainbook_catalog::{Book, SourceFile};
use stainbook_evaluation::{Options, ReadingResult, evaluate};

/// A sheet with one of everything that most tests need. Invented.
pub(crate) const SHEET: &str = "\
tube: slip-chlorine-r2
name: Slipway chlorine tube
series: slip-chlorine
leaflet: {title: Sheet 3, revision: '2', date: 2024-03, lots: from 24-100}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: chlorine}
before_use:
  pump_kinds: [quay]
  usable: {temperature: 0 to 40 °C, humidity: 10 to 85 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 0.5, multiply_by: 2.5, from: 20, to: 50, seconds_per_stroke: 40, uses: extension}
    - {strokes: 2, multiply_by: 1, from: 1, to: 20, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 6, multiply_by: 0.4, from: 0.4, to: 1, seconds_per_stroke: 45, uses: extension}
read:
  scales:
    - {unit: ppm, marks: [1, 2, 5, 10, 20], printed_for_strokes: 2}
  lowest_visible: {concentration: 0.2 ppm, strokes: 6}
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}
  temperature:
    method: factor table
    multiply: reading
    columns: [°C, factor]
    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]
  humidity: {method: none needed}
  pressure: {method: proportional}
doubt:
  repeatability: [{up_to: 5 ppm, rsd: 10 %}, {up_to: 20 ppm, rsd: 5 %}]
  accuracy: [{up_to: 20 ppm, within: 20 %, confidence: 95 %}]
  other_gases:
    - {substance: chlorine-dioxide, alone: stains, together: reads high, response: 0.5, response_uncertainty: 20 %}
    - {substance: nitrogen-dioxide, alone: stains faintly, together: reads high, matters_from: 1 ppm}
    - {substance: hydrogen-sulfide, alone: no stain, together: reads low, matters_from_times: 2}
    - {substance: hydrogen-chloride, alone: no stain, together: no effect, tested_to: 20 ppm}
";

/// The first revision of the same leaflet.
pub(crate) const OLD_SHEET: &[(&str, &str)] = &[
    ("slip-chlorine-r2", "slip-chlorine-r1"),
    (
        "revision: '2', date: 2024-03, lots: from 24-100",
        "revision: '1', date: 2022-03, lots: up to 24-099",
    ),
];

/// The pump that the sheet allows.
pub(crate) const PUMP: &str = "\
pump: pump-1
kind: quay
volume_checks: [{date: 2026-01-14, volume: 99 mL, by: KL}]
";

/// Its kind.
pub(crate) const KIND: &str = "\
pump_kind: quay
name: Quay piston pump
stroke: 100 mL
half_strokes: true
volume_tolerance: 5 %
volume_check_every: 1 year
";

/// A reading in which nothing is doubtful, but for what is added to it.
pub(crate) const GOOD: &str = "id: r1, at: \"2026-03-02T07:40+00:00\", tube: slip-chlorine, lot: 24-117, expires: 2027-01, \
                        pump: pump-1, leak_test: held, other_gases: none known";

/// The usual conditions: all factors are 1.
pub(crate) const AT_20: &str =
    "conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}";

/// A text with changes, each of which has to be there to be made.
pub(crate) fn changed(text: &str, changes: &[(&str, &str)]) -> String {
    let mut text = text.to_owned();
    for (from, to) in changes {
        assert!(text.contains(from), "`{from}` is not in the text");
        text = text.replace(from, to);
    }
    text
}

/// A catalog of one sheet with changes, its pump, and what else is given.
pub(crate) fn book_of(changes: &[(&str, &str)], more: &[(&str, &str)]) -> Book {
    let sheet = changed(SHEET, changes);
    let id = sheet
        .lines()
        .next()
        .unwrap()
        .trim_start_matches("tube: ")
        .to_owned();
    let sheet_path = format!("{id}.tube.yaml");
    let mut files = vec![
        (
            "catalog.yaml",
            "catalog: slip\ntitle: Slipway\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        ),
        (sheet_path.as_str(), sheet.as_str()),
        ("quay.pump-kind.yaml", KIND),
        ("pump-1.pump.yaml", PUMP),
    ];
    files.retain(|(path, _)| !more.iter().any(|(other, _)| other == path));
    files.extend(more);
    let (book, findings) = Book::read(
        files
            .into_iter()
            .map(|(path, text)| SourceFile::new(path, text.to_owned())),
    );
    let said: Vec<String> = findings
        .iter()
        .map(|f| format!("{} {:?}: {}", f.rule(), f.place(), f.message_text()))
        .collect();
    assert!(said.is_empty(), "{said:#?}");
    book
}

/// The usual catalog.
pub(crate) fn book() -> Book {
    book_of(&[], &[])
}

/// Evaluates one reading, whatever the reader finds in it.
pub(crate) fn any(book: &Book, reading: &str) -> ReadingResult {
    let text = format!("survey: s\ntitle: A round\nby: KL\nreadings:\n  - {{{reading}}}\n");
    let (survey_book, _) = Book::read([SourceFile::new("s.survey.yaml", text)]);
    evaluate(book, survey_book.survey("s").unwrap(), &Options::default())
        .results
        .remove(0)
}

/// Evaluates readings, each written as the inside of a flow mapping.
pub(crate) fn all(book: &Book, readings: &[String]) -> Vec<ReadingResult> {
    let rows: Vec<String> = readings
        .iter()
        .map(|reading| format!("  - {{{reading}}}\n"))
        .collect();
    let rows = rows.concat();
    let text = format!("survey: s\ntitle: A round\nby: KL\nreadings:\n{rows}");
    let (survey_book, findings) = Book::read([SourceFile::new("s.survey.yaml", text)]);
    // What is missing is a finding of the survey's own, and a flag or refusal here.
    let said: Vec<String> = findings
        .iter()
        .filter(|f| f.rule() != "missing-key")
        .map(|f| format!("{} {}", f.rule(), f.message_text()))
        .collect();
    assert!(said.is_empty(), "{said:#?}\n{rows}");
    let survey = survey_book.survey("s").unwrap();
    evaluate(book, survey, &Options::default()).results
}

/// Evaluates one reading at 20 °C and calibration pressure.
pub(crate) fn at_20(book: &Book, rest: &str) -> ReadingResult {
    one(book, &format!("{GOOD}, {rest}, {AT_20}"))
}

/// Evaluates one reading, written in full.
pub(crate) fn one(book: &Book, reading: &str) -> ReadingResult {
    all(book, &[reading.to_owned()]).remove(0)
}

/// The value of a result.
pub(crate) fn value(result: &ReadingResult) -> f64 {
    result
        .concentration
        .as_ref()
        .unwrap_or_else(|| panic!("{:?}", result.refusal))
        .value
}

/// True if two numbers are the same but for rounding on the way.
pub(crate) fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// The codes of a result's flags, sorted.
pub(crate) fn flags(result: &ReadingResult) -> Vec<&str> {
    let mut codes: Vec<&str> = result.flags.iter().map(|flag| flag.code.as_str()).collect();
    codes.sort_unstable();
    codes
}

/// The code of a result's refusal, or `none`.
pub(crate) fn refusal(result: &ReadingResult) -> &str {
    result
        .refusal
        .as_ref()
        .map_or("none", |refusal| refusal.code.as_str())
}
