//! Verdicts where the air may lie in two bands of a correction.

use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::ReadingResult;
use stainbook_evaluation::result::Verdict;

use crate::support::{GOOD, book_of, one};

const BANDS: &str = "humidity: {method: factor bands, multiply: reading, bands: [{within: 10 to 60 %RH, factor: 1.0}, {within: 60 to 85 %RH, factor: 0.5}]}";

fn read(humidity: &str, reading: &str) -> ReadingResult {
    let book = book_of(&[("humidity: {method: none needed}", BANDS)], &[]);
    one(
        &book,
        &format!(
            "{GOOD}, strokes: 2, reads_to: tenth, reading: {{at: {reading}}}, conditions: {{air_temperature: 20 °C, humidity: {humidity}, pressure: 101.3 kPa}}"
        ),
    )
}

fn codes(result: &ReadingResult) -> Vec<&str> {
    let statements = result.statements.iter().map(|said| said.code.as_str());
    statements.collect()
}

/// The verdict against the level dangerous to life or health: chlorine, 10 ppm.
fn verdict(result: &ReadingResult) -> Option<Verdict> {
    let danger = |said: &&stainbook_evaluation::result::LimitComparison| {
        said.limit.kind == LimitKind::Danger
    };
    result
        .against
        .iter()
        .find(danger)
        .and_then(|said| said.verdict)
}

/// 62 %RH, known to 5 %RH, may be 58 %RH: 12 ppm on the scale are 6 ppm by the one band and 12 ppm by the other, and 10 ppm is
/// the level that life is in danger from. So it is not below; at 70 %RH it is.
#[test]
fn below_takes_the_larger_factor() {
    let near = read("62 %RH", "12 ppm");
    let value = near.concentration.as_ref().unwrap().value;
    assert!((value - 6.0).abs() < 1e-9, "{value}");
    assert_eq!(verdict(&near), Some(Verdict::CannotTell));
    assert!(
        codes(&near).contains(&"air-in-two-bands"),
        "{:?}",
        codes(&near)
    );
    let well_inside = read("70 %RH", "12 ppm");
    assert_eq!(verdict(&well_inside), Some(Verdict::Below));
    assert!(!codes(&well_inside).contains(&"air-in-two-bands"));
}

/// 58 %RH may be 62 %RH: 16 ppm by the one band, 8 ppm by the other. So it is not above; at 50 %RH it is.
#[test]
fn above_takes_the_smaller_factor() {
    let near = read("58 %RH", "16 ppm");
    let value = near.concentration.as_ref().unwrap().value;
    assert!((value - 16.0).abs() < 1e-9, "{value}");
    assert_eq!(verdict(&near), Some(Verdict::CannotTell));
    assert_eq!(verdict(&read("50 %RH", "16 ppm")), Some(Verdict::Above));
}

/// The interval holds what both bands would give.
#[test]
fn the_interval_reaches_over_both() {
    let [near, inside] = ["62 %RH", "70 %RH"].map(|humidity| {
        let result = read(humidity, "12 ppm");
        let interval = result.uncertainty.as_ref().unwrap().interval;
        interval.map(Option::unwrap)
    });
    assert!((near[0] - inside[0]).abs() < 1e-9, "{near:?} {inside:?}");
    assert!(
        (near[1] - 2.0 * inside[1]).abs() < 1e-9,
        "{near:?} {inside:?}"
    );
}
