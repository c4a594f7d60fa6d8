//! An invented plant whose tubes show what is in the air: every correction is 1 at the conditions of its surveys.

use stainbook_catalog::{Book, SourceFile};
use stainbook_evaluation::result::{Evaluation, GroupResult, GroupStatus};
use stainbook_evaluation::{Options, evaluate};

const CATALOG: &str = "catalog: pier\ntitle: Pier\nrevision: 2026-03-01\nformat: 1\n";
const OWN: &str = "source: own\ntitle: Limits of this test\nauthority: Pier\nedition: '1'\nmass_stated_at: {temperature: 20 °C, pressure: 101.325 kPa}\n";
const OTHER: &str =
    "source: other\ntitle: Other limits of this test\nauthority: Quay\nedition: '1'\n";
const KIND: &str = "pump_kind: pier\nname: Pier pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\nvolume_check_every: 1 year\n";

/// A pump without anything to say against it.
fn pump(id: &str) -> String {
    format!(
        "pump: {id}\nkind: pier\nvolume_checks: [{{date: 2026-01-14, volume: 100 mL, by: KL}}]\n"
    )
}

/// A gas with its limits, each written as the inside of a flow mapping.
pub(crate) fn gas(id: &str, limits: &[&str]) -> (String, String) {
    let rows: Vec<String> = limits
        .iter()
        .map(|limit| format!("  - {{{limit}}}\n"))
        .collect();
    let rows = rows.concat();
    (
        format!("{id}.substance.yaml"),
        format!("substance: {id}\nname: {id}\nformula: C3H6O\nlimits:\n{rows}"),
    )
}

/// A tube that shows its gas as it is, with what other gases add, as rows of `doubt.other_gases`.
pub(crate) fn tube(id: &str, gas: &str, others: &[&str]) -> (String, String) {
    let rows: Vec<String> = others
        .iter()
        .map(|other| format!("    - {{{other}}}\n"))
        .collect();
    let others = if rows.is_empty() {
        String::new()
    } else {
        format!("  other_gases:\n{}", rows.concat())
    };
    (
        format!("{id}-r1.tube.yaml"),
        format!(
            "tube: {id}-r1
name: Tube {id}
series: {id}
leaflet: {{title: Sheet, revision: '1', date: 2024-03}}
entered: {{by: KL, date: 2026-01-11}}
verified: {{by: MT, date: 2026-01-12}}
measures: {{substance: {gas}}}
before_use: {{pump_kinds: [pier], usable: {{temperature: 0 to 40 °C, humidity: 5 to 95 %RH}}}}
draw:
  stroke: 100 mL
  ranges: [{{strokes: 1, multiply_by: 1, from: 1, to: 1000, seconds_per_stroke: 40, uses: whole scale}}]
read:
  scales: [{{unit: ppm, marks: [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000], printed_for_strokes: 1}}]
correct:
  calibrated_at: {{temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}}
  temperature: {{method: none needed}}
  humidity: {{method: none needed}}
  pressure: {{method: none needed}}
doubt:
  repeatability: [{{up_to: 1000 ppm, rsd: 5 %}}]
  accuracy: [{{up_to: 1000 ppm, within: 10 %, confidence: 95 %}}]
{others}"
        ),
    )
}

/// The plant with gases `alfa` (8 h 100, 15 min 150, ceiling 300), `beta`, `gamma`, `delta` and a tube for each, and more.
pub(crate) fn plant_with(more: Vec<(String, String)>) -> Book {
    let mut files = vec![
        ("catalog.yaml".to_owned(), CATALOG.to_owned()),
        ("own.source.yaml".to_owned(), OWN.to_owned()),
        ("other.source.yaml".to_owned(), OTHER.to_owned()),
        ("pier.pump-kind.yaml".to_owned(), KIND.to_owned()),
        ("p1.pump.yaml".to_owned(), pump("p1")),
        ("p2.pump.yaml".to_owned(), pump("p2")),
        gas(
            "alfa",
            &[
                "kind: 8-hour average, at_most: 100 ppm, source: own",
                "kind: short-term, at_most: 150 ppm, source: own",
                "kind: ceiling, at_most: 300 ppm, source: own",
                "kind: 8-hour average, averaged_over: 10 h, at_most: 80 ppm, source: other",
            ],
        ),
        gas(
            "beta",
            &[
                "kind: ceiling, at_most: 1000 ppm, source: own",
                "kind: 8-hour average, at_most: 1000 ppm, source: own",
            ],
        ),
        gas(
            "gamma",
            &[
                "kind: ceiling, at_most: 200 ppm, source: own",
                "kind: 8-hour average, at_most: 200 ppm, source: own",
            ],
        ),
        gas("delta", &["kind: ceiling, at_most: 200 ppm, source: own"]),
    ];
    for (id, of) in [
        ("ta", "alfa"),
        ("tb", "beta"),
        ("tg", "gamma"),
        ("td", "delta"),
    ] {
        files.push(tube(id, of, &[]));
    }
    for (path, text) in more {
        match files.iter_mut().find(|(known, _)| *known == path) {
            Some(slot) => slot.1 = text,
            None => files.push((path, text)),
        }
    }
    let (book, findings) = Book::read(
        files
            .into_iter()
            .map(|(path, text)| SourceFile::new(path, text)),
    );
    // Where a value was obtained plays no part here.
    let said: Vec<String> = findings
        .iter()
        .filter(|f| f.rule() != "missing-key")
        .map(|f| format!("{} {:?}: {}", f.rule(), f.place(), f.message_text()))
        .collect();
    assert!(said.is_empty(), "{said:#?}");
    book
}

pub(crate) fn plant() -> Book {
    plant_with(Vec::new())
}

/// Evaluates a survey: readings as insides of flow mappings (tube, `reading` and what else they need), and the rest of the
/// survey as it is written.
pub(crate) fn round(book: &Book, readings: &[&str], rest: &str) -> Evaluation {
    round_with(book, readings, rest, &Options::default())
}

/// The same with options.
pub(crate) fn round_with(
    book: &Book,
    readings: &[&str],
    rest: &str,
    options: &Options<'_>,
) -> Evaluation {
    let rows: Vec<String> = readings
        .iter()
        .map(|reading| {
            let pump = if reading.contains("pump:") { "" } else { ", pump: p1" };
            format!("  - {{at: \"2026-03-02T07:40+00:00\", expires: 2027-01, leak_test: held, other_gases: none known, strokes: 1{pump}, {reading}}}\n")
        })
        .collect();
    let text = format!(
        "survey: s\ntitle: A round\nby: KL\nconditions: {{air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\n{rest}\nreadings:\n{}",
        rows.concat()
    );
    let (surveys, findings) = Book::read([SourceFile::new("s.survey.yaml", text.clone())]);
    let said: Vec<String> = findings
        .iter()
        .map(|f| format!("{} {}", f.rule(), f.message_text()))
        .collect();
    assert!(said.is_empty(), "{said:#?}\n{text}");
    evaluate(book, surveys.survey("s").unwrap(), options)
}

/// The row of this name.
pub(crate) fn row<'e>(evaluation: &'e Evaluation, id: &str) -> &'e GroupResult {
    evaluation
        .together
        .iter()
        .find(|together| together.id == id)
        .unwrap_or_else(|| panic!("no {id} in {:#?}", evaluation.together))
}

/// The code of its refusal.
pub(crate) fn refused(together: &GroupResult) -> &str {
    assert_eq!(together.status, GroupStatus::Refused, "{together:#?}");
    assert!(together.value.is_none() && together.against.is_empty());
    let refusal = together.refusal.as_ref().unwrap();
    assert!(!refusal.remedy.is_empty());
    refusal.code.as_str()
}

pub(crate) fn codes(flags: &[stainbook_evaluation::outcome::Flag]) -> Vec<&str> {
    flags.iter().map(|flag| flag.code.as_str()).collect()
}

pub(crate) fn codes_of(statements: &[stainbook_evaluation::outcome::Statement]) -> Vec<&str> {
    let codes = statements.iter().map(|statement| statement.code.as_str());
    codes.collect()
}
