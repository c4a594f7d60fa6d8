//! Findings as a whole: the problem, written against possible, the arithmetic, why it matters, the remedy.
#![cfg(test)]
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the fixtures offer"
)]

mod fixture;

use std::fmt::Write as _;

/// The findings of an example as plain text.
fn said(example: &str) -> String {
    let (book, report) = fixture::run(&fixture::make(example.as_bytes()));
    let mut text = String::new();
    for finding in &report.findings {
        let entry = book.entry(finding.place().file).unwrap();
        let at = entry
            .document
            .line_column(entry.document.locate(finding.place()).start);
        let _ = writeln!(
            text,
            "{}[{}]: {}",
            finding.level().name(),
            finding.rule(),
            finding.message_text()
        );
        let _ = writeln!(
            text,
            "  {}:{}:{}: {}",
            entry.path,
            at.line,
            at.column,
            finding.label_text().unwrap_or_default()
        );
        for note in finding.notes() {
            let _ = writeln!(text, "  = {note}");
        }
        let _ = writeln!(text, "  help: {}", finding.help_text().unwrap_or_default());
    }
    text
}

#[test]
fn a_slipped_decimal_point() {
    let example = "\
# in: tube
draw:
  stroke: 100 mL
  ranges:
    - {strokes: 1, multiply_by: 3.1, from: 13, to: 40, seconds_per_stroke: 40, uses: extension}
    - {strokes: 3, multiply_by: 1, from: 0.7, to: 13, seconds_per_stroke: 40, uses: whole scale}
    - {strokes: 8, multiply_by: 0.40, from: 0.28, to: 7, seconds_per_stroke: 45, uses: extension}
";
    insta::assert_snapshot!(said(example), @r#"
    error[range-beyond-scale]: the 8-stroke range does not fit on the scale
      quay-chlorine-r1.tube.yaml:17:55: 7 ppm written, at most 5.265 ppm possible
      = the last mark, 13 ppm, times 0.40 is 5.2 ppm; rounding on the leaflet explains at most 0.57 ppm
      = readings that the leaflet does not vouch for would be taken as measured, or good ones refused
      help: look at the leaflet; if it prints 0.7, write `to: 0.7`
    "#);
}

#[test]
fn a_limit_that_is_two_concentrations() {
    let example = "\
# in: substance chlorine
limits:
  - {kind: ceiling, at_most: 1 ppm, also_printed: 30 mg/m³, source: pocket-guide}
";
    insta::assert_snapshot!(said(example), @r#"
    warning[limit-pair-disagrees]: the ppm and the mg/m³ of this limit are not the same
      chlorine.substance.yaml:9:51: 30 mg/m³ written, 2.898 mg/m³ computed
      = 1 ppm times 70.900 g/mol, over 24.465 L/mol at 25 °C and 101.325 kPa; the limit itself is exact, and the digits of the other figure explain at most 0.5 mg/m³
      = rounding to one to three digits, or to steps of 5 or 2.5 of them, as legislators do, does not explain it either
      help: look at the source; if it prints the two so, accept the finding with that as the reason
    "#);
}

#[test]
fn a_factor_out_of_the_trend() {
    let example = "\
# in: tube
correct:
  calibrated_at: {temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}
  temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.25], [10, 1.01], [20, 1.00], [30, 0.93], [40, 0.88]]}
  humidity: {method: none needed}
  pressure: {method: proportional}
";
    insta::assert_snapshot!(said(example), @r#"
    warning[correction-off-the-trend]: one factor of the temperature correction leaves the trend of the others
      quay-chlorine-r1.tube.yaml:26:104: 1.01 at 10 °C, the others lead to 1.104
      = a curve through the neighbouring rows gives 1.104, give or take 0.059
      = readings near this condition are multiplied by it
      help: compare the row with the leaflet; if it is printed so, accept the finding with that as the reason
    "#);
}

#[test]
fn a_sum_that_does_not_come_out() {
    let example = "\
# in: tube
control:
  - {of: upper ends, rows: 3, sum: 44.7}
";
    insta::assert_snapshot!(said(example), @r#"
    error[control-figure-differs]: the numbers of the sheet do not add up to what was added up from the paper
      quay-chlorine-r1.tube.yaml:48:36: 44.7 on the paper, 53.7 on the sheet
      = 40 + 13 + 0.7 = 53.7
      = the sheet is 9 above the paper, a multiple of nine, as two swapped digits leave it
      help: compare the numbers with the paper, one by one; then add the paper's up again
    "#);
}
