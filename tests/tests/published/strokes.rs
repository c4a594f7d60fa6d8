//! Effects of strokes, pressure and altitude on a reading, through the whole evaluation.

use std::fmt::Write as _;

use stainbook::{check_book, evaluate_survey};
use stainbook_catalog::SourceFile;

use crate::data;
use crate::report::{Origin, PublishedReport};

/// A scale in ppm that goes with the amount of gas and needs no other correction.
const SHEET: &str = "\
tube: quay-carbon-monoxide-r1
name: Quay carbon monoxide tube
leaflet: {title: Sheet 1, revision: '1', date: 2025-01}
entered: {by: KL, date: 2026-01-11}
verified: {by: MT, date: 2026-01-12}
measures: {substance: carbon-monoxide}
before_use:
  pump_kinds: [quay]
  usable: {temperature: 0 to 40 °C, humidity: 0 to 90 %RH}
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 0.5, multiply_by: 4, from: 40, to: 400, seconds_per_stroke: 30, uses: whole scale}
    - {strokes: 1, multiply_by: 2, from: 20, to: 200, seconds_per_stroke: 30, uses: whole scale}
    - {strokes: 2, multiply_by: 1, from: 10, to: 100, seconds_per_stroke: 30, uses: whole scale}
    - {strokes: 4, multiply_by: 0.5, from: 5, to: 50, seconds_per_stroke: 30, uses: whole scale}
    - {strokes: 10, multiply_by: 0.2, from: 2, to: 20, seconds_per_stroke: 30, uses: whole scale}
read:
  scales:
    - {unit: ppm, marks: [10, 20, 50, 100], printed_for_strokes: 2}
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.325 kPa, humidity: 50 %RH}
  temperature: {method: none needed}
  humidity: {method: none needed}
  pressure: {method: proportional}
doubt:
  repeatability: [{up_to: 100 ppm, rsd: 10 %}]
  accuracy: [{up_to: 100 ppm, within: 25 %}]
";

const PUMP: &str = "\
pump_kind: quay
name: Quay piston pump
stroke: 100 mL
half_strokes: true
volume_tolerance: 5 %
";

pub(crate) fn check(report: &mut PublishedReport) {
    let rows = data::strokes_and_pressure();
    let mut survey =
        "survey: quay\ntitle: Quay\nby: KL\nconditions: {air_temperature: 20 °C}\nreadings:\n"
            .to_owned();
    for (index, row) in rows.iter().enumerate() {
        let conditions = match (row.text("pressure"), row.text("altitude")) {
            (pressure, "") => format!("pressure: {pressure}"),
            (_, altitude) => format!("altitude: {altitude}"),
        };
        writeln!(
            survey,
            "  - {{id: r{index}, at: \"2026-03-02T07:40+00:00\", tube: quay-carbon-monoxide-r1, strokes: {}, reading: {{at: {} ppm}}, conditions: {{{conditions}}}}}",
            row.text("strokes"),
            row.text("reading_ppm"),
        )
        .unwrap();
    }
    let files = [
        ("quay-carbon-monoxide-r1.tube.yaml", SHEET),
        ("quay.pump-kind.yaml", PUMP),
        ("quay.survey.yaml", survey.as_str()),
    ];
    let (book, findings) = check_book(files.map(|(path, text)| SourceFile::new(path, text)), None);
    assert_eq!(findings.errors, 0, "{:?}", findings.findings);
    let evaluation = evaluate_survey(&book, &findings, "quay").unwrap();
    assert_eq!(evaluation.results.len(), rows.len());
    for (row, result) in rows.iter().zip(&evaluation.results) {
        let concentration = result.concentration.as_ref();
        let value = concentration
            .unwrap_or_else(|| panic!("{:?}", result.refusal))
            .value;
        let id = format!(
            "{} strokes at {}{}",
            row.text("strokes"),
            row.text("pressure"),
            row.text("altitude")
        );
        report.origin = if row.text("altitude").is_empty() {
            Origin::CommonPractice
        } else {
            Origin::Computed
        };
        report.printed(
            "strokes and pressure",
            &id,
            value,
            &row.decimal("printed"),
            0.0,
        );
    }
}
