//! The budget, line by line.

use stainbook_core::elementary::{hypot, powi};
use stainbook_evaluation::ReadingResult;

use crate::support::{GOOD, at_20, book, book_of, close, flags, one, value};

/// The line of the budget with this code.
pub(crate) fn line(result: &ReadingResult, code: &str) -> f64 {
    let budget = &result.uncertainty.as_ref().unwrap().budget;
    budget
        .iter()
        .find(|line| line.code == code)
        .map_or(0.0, |line| line.relative)
}

#[test]
fn the_budget_by_hand() {
    let book = book();
    let result = one(
        &book,
        &format!(
            "{GOOD}, strokes: 0.5, reading: {{short: 6 ppm, long: 8 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 15 °C, altitude: 0 m}}"
        ),
    );
    let third = 3.0_f64.sqrt();
    for (code, expected) in [
        // From a quarter of a space before 6 to a quarter behind 8, with marks at 2, 5 and 10: 4.85 to 9.25.
        ("reading", 2.2 / third / 7.0),
        ("front", 0.0),
        ("accuracy", 0.20 / 1.959_963_984_540_054),
        ("repeatability", 0.05),
        ("stroke-volume", 0.05 / third),
        ("multiplier", 0.05 / 2.5 / third),
        // Slope −0.01 per K at 15 °C, where the factor is 1.05; known within 1 K.
        ("temperature", 0.01 / 1.05 / third),
        ("pressure", 0.03 / third),
        ("temperature-table", 0.005 / 1.05 / third),
        ("humidity", 0.0),
    ] {
        // The pressure's slope is a difference over its own width, 1.7 %, and of the second order.
        let tolerance = if code == "pressure" { 1e-3 } else { 1e-9 };
        let found = line(&result, code);
        assert!(
            (found - expected).abs() <= tolerance * expected,
            "{code}: {found} and not {expected}"
        );
    }
    let u = result.uncertainty.as_ref().unwrap();
    let sum: f64 = u.budget.iter().map(|line| powi(line.relative, 2)).sum();
    assert!(close(u.relative, sum.sqrt()));
    assert!(close(
        u.budget.iter().map(|line| line.contribution).sum::<f64>(),
        100.0
    ));
    assert!(
        close(u.standard, u.relative * value(&result))
            && close(u.expanded, 1.959_963_984_540_054 * u.standard)
    );
    assert!(
        u.budget
            .iter()
            .all(|line| !line.origin.is_empty() && !line.source.is_empty())
    );
}

#[test]
fn what_the_reader_states_counts() {
    let book = book();
    let result = at_20(
        &book,
        "strokes: 2, reading: {at: 8 ppm, uncertainty: 0.4 ppm}",
    );
    assert!(close(line(&result, "reading"), 0.05));
    // The multiplier of the strokes that the scale is printed for is 1 by definition.
    assert!(line(&result, "multiplier") <= 0.0);
    assert_eq!(result.concentration.unwrap().text, "8.0");
}

#[test]
fn silent_sheets_are_doubted_more() {
    let silent = book_of(
        &[
            (
                "  accuracy: [{up_to: 20 ppm, within: 20 %, confidence: 95 %}]\n",
                "",
            ),
            (
                "[{up_to: 5 ppm, rsd: 10 %}, {up_to: 20 ppm, rsd: 5 %}]",
                "[{up_to: 20 ppm, rsd: 5 %}]",
            ),
        ],
        &[],
    );
    let result = at_20(&silent, "strokes: 2, reading: {at: 5 ppm}");
    assert!(close(
        line(&result, "accuracy"),
        0.25 / 1.959_963_984_540_054
    ));
    let origin = result
        .uncertainty
        .as_ref()
        .unwrap()
        .budget
        .iter()
        .find(|line| line.code == "accuracy")
        .unwrap()
        .origin
        .clone();
    assert!(origin.starts_with("default"), "{origin}");
}

#[test]
fn the_ends_of_a_table_keep_their_uncertainty() {
    // At the last mark, the last temperature and the last humidity a step to one side only is inside the tables.
    let old = "  temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]\n  humidity: {method: none needed}\n";
    let table = "  temperature:\n    method: table\n    replace: reading\n    columns: [0 °C, 40 °C]\n    lines:\n      - {reading: 1 ppm, becomes: [2, 1]}\n      - {reading: 20 ppm, becomes: [40, 20]}\n  humidity: {method: factor table, multiply: reading, columns: [g/m³, factor], rows: [[2, 1.2], [8.642, 1.0]]}\n";
    let book = book_of(&[(old, table)], &[]);
    let result = one(
        &book,
        &format!(
            "{GOOD}, strokes: 2, reading: {{at: 20 ppm}}, conditions: {{humidity: 49.9 %RH, air_temperature: 20 °C, tube_temperature: 40 °C, pressure: 101.3 kPa}}"
        ),
    );
    let third = 3.0_f64.sqrt();
    assert!(
        close(line(&result, "reading"), 1.25 / third / 20.0),
        "{}",
        line(&result, "reading")
    );
    // At 20 ppm the value falls from 40 to 20 over 40 K: 0.5 ppm a kelvin, 2.5 % of 20.
    assert!(
        close(line(&result, "temperature"), 0.025 / third),
        "{}",
        line(&result, "temperature")
    );
    // 5 %RH are 0.86 g/m³, at 0.2/6.642 each.
    assert!(
        (line(&result, "humidity") - 5.0 * 0.1729 * 0.2 / 6.642 / third).abs() < 2e-4,
        "{}",
        line(&result, "humidity")
    );
}

#[test]
fn bands_hold_up_to_their_end() {
    let book = book();
    for (reading, rsd) in [("1", 0.10), ("5", 0.10), ("5.1", 0.05), ("20", 0.05)] {
        let result = at_20(
            &book,
            &format!("strokes: 2, reading: {{at: {reading} ppm}}"),
        );
        assert!(close(line(&result, "repeatability"), rsd), "{reading}");
    }
}

#[test]
fn what_is_a_part_of_the_stain_is_a_part_of_all_of_it() {
    // 10 on the scale, 4 of it another gas's: 5 % of the 10 are 8.33 % of the 6.
    let result = at_20(
        &book(),
        "strokes: 2, reading: {at: 10 ppm}, present: [{substance: chlorine-dioxide, level: 8 ppm}]",
    );
    assert!(close(value(&result), 6.0));
    assert!(close(line(&result, "repeatability"), 0.05 * 10.0 / 6.0));
    // No uncertainty of the level is stated: 20 % of it by default, beside the sheet's 20 % of the response.
    assert!(close(
        line(&result, "other-gas"),
        4.0 / 6.0 * 0.08_f64.sqrt()
    ));
}

#[test]
fn a_whole_multiplier_is_printed_to_a_tenth() {
    let book = book_of(
        &[(
            "multiply_by: 2.5, from: 20, to: 50",
            "multiply_by: 3, from: 20, to: 60",
        )],
        &[],
    );
    let result = at_20(&book, "strokes: 0.5, reading: {at: 10 ppm}");
    assert!(close(
        line(&result, "multiplier"),
        0.05 / 3.0 / 3.0_f64.sqrt()
    ));
}

#[test]
fn the_air_and_the_tube_are_two_temperatures() {
    // The factor goes by the water in the air, and that by the air's temperature: 6.7 % more of it a kelvin warmer.
    let absolute = book_of(
        &[(
            "  humidity: {method: none needed}",
            "  humidity: {method: factor table, multiply: reading, columns: [g/m³, factor], rows: [[2, 1.2], [22, 1.0]]}",
        )],
        &[],
    );
    let reading = |tube: &str| {
        one(
            &absolute,
            &format!(
                "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 25 °C, {tube} pressure: 101.3 kPa}}"
            ),
        )
    };
    let together = reading("");
    assert!(line(&together, "air-temperature") <= 0.0 && line(&together, "temperature") > 0.0);
    let apart = reading("tube_temperature: 20 °C,");
    // 11.5 g/m³ · 6 % = 0.65 g/m³ a kelvin, 0.01 each, of a factor 1.105; known within 1 K.
    let expected = 0.0065 / 1.105 / 3.0_f64.sqrt();
    assert!(
        (line(&apart, "air-temperature") / expected - 1.0).abs() < 0.05,
        "{}",
        line(&apart, "air-temperature")
    );
}

#[test]
fn a_graph_is_read_off_as_well_as_it_can_be() {
    let graph = book_of(
        &[
            ("method: factor table\n", "method: curve points\n"),
            ("[40, 0.80]]\n", "[40, 0.80]]\n    read_off_within: 3 %\n"),
        ],
        &[],
    );
    let result = at_20(&graph, "strokes: 2, reading: {at: 5 ppm}");
    // Within 3 % anywhere, and the printed hundredths of the factor 1.00.
    assert!(close(
        line(&result, "temperature-table"),
        hypot(0.03, 0.005) / 3.0_f64.sqrt()
    ));
}

#[test]
fn repeated_volume_checks_give_a_spread_with_its_degrees_of_freedom() {
    let checked = |volumes: &[&str]| {
        let rows: Vec<String> = volumes
            .iter()
            .map(|volume| format!("{{date: 2026-01-14, volume: {volume} mL, by: KL}}"))
            .collect();
        let pump = format!(
            "pump: pump-1\nkind: quay\nvolume_checks: [{{date: 2025-01-14, volume: 90 mL, by: KL}}, {}]\n",
            rows.join(", ")
        );
        let book = book_of(&[], &[("pump-1.pump.yaml", pump.as_str())]);
        at_20(&book, "strokes: 2, reading: {at: 5 ppm}")
    };
    // A check a year earlier is no repeat, and one alone has no spread.
    assert!(line(&checked(&["99"]), "stroke-spread").abs() < 1e-15);
    let result = checked(&["98", "99", "100", "99", "99"]);
    // Mean 99 mL, standard deviation √(2/4) = 0.70711 mL, of two strokes 0.70711/99/√2 = 0.0050505.
    assert!((line(&result, "stroke-spread") - 0.005_050_5).abs() < 1e-7);
    let budget = &result.uncertainty.as_ref().unwrap().budget;
    let spread = budget
        .iter()
        .find(|line| line.code == "stroke-spread")
        .unwrap();
    assert_eq!(spread.degrees_of_freedom, Some(4.0));
    assert_eq!(spread.distribution, "Student's t");
    assert_eq!(
        spread.origin,
        "pump `pump-1`, 5 volume checks on 2026-01-14: standard deviation 0.7 % of a stroke"
    );
    let check = result
        .before_use
        .iter()
        .find(|step| step.code == "volume-check");
    assert_eq!(
        check.unwrap().on_record.as_deref(),
        Some("pump-1: 98 mL, 99 mL, 100 mL, 99 mL, 99 mL on 2026-01-14")
    );
    // Welch and Satterthwaite: 4 · (u_c/u)⁴, which is so much that the expanded uncertainty stays twice the standard one.
    let uncertainty = result.uncertainty.as_ref().unwrap();
    let effective = uncertainty.effective_degrees_of_freedom.unwrap();
    let expected = 4.0 * powi(uncertainty.relative / spread.relative, 4);
    assert!(
        (effective / expected - 1.0).abs() < 1e-9,
        "{effective} {expected}"
    );
    // The mean of the repeats is held against the tolerance, and not the last of them.
    let result = checked(&["93", "93", "93", "93", "96"]);
    assert_eq!(flags(&result), ["pump-volume-too-small"]);
    let budget = &result.uncertainty.as_ref().unwrap().budget;
    let volume = budget
        .iter()
        .find(|line| line.code == "stroke-volume")
        .unwrap();
    assert_eq!(
        volume.origin,
        "pump `pump-1`, volume check: a mean of 93.60 mL"
    );
    assert_eq!(volume.degrees_of_freedom, None);
}

/// A result stands beside its expanded uncertainty, and ends at the same digit.
#[test]
fn a_result_ends_where_its_expanded_uncertainty_does() {
    let book = book();
    for reading in ["3 ppm", "5 ppm", "7.5 ppm", "12 ppm", "20 ppm"] {
        for strokes in ["0.5", "2", "6"] {
            let result = at_20(
                &book,
                &format!("strokes: {strokes}, reading: {{at: {reading}}}"),
            );
            let decimals = |text: &str| text.split_once('.').map_or(0, |(_, after)| after.len());
            let (value, expanded) = (
                &result.concentration.as_ref().unwrap().text,
                &result.uncertainty.as_ref().unwrap().text.expanded,
            );
            assert_eq!(decimals(value), decimals(expanded), "{value} ± {expanded}");
        }
    }
}
