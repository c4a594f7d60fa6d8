//! Unit, air and basis of a result.

use stainbook_catalog::Book;

use crate::PA;
use crate::support::{GOOD, at_20, book, book_of, changed, close, flags, one, refusal, value};

#[test]
fn the_other_unit_has_its_conditions() {
    let reading = "strokes: 2, reading: {at: 5 ppm}";
    let result = at_20(&book(), reading);
    let also = result.converted.unwrap();
    // 5 ppm · 70.90 g/mol / (8.314462618·293.15/101.3) L/mol.
    assert!(
        (also.value - 5.0 * 70.90 / (8.314_462_618 * 293.15 / 101.3)).abs() < 1e-3,
        "{}",
        also.value
    );
    assert_eq!(
        (also.unit.as_str(), also.conditions.origin.to_string()),
        ("mg/m³", "of the survey".to_owned())
    );

    let no_corrections = [
        (
            "  pressure: {method: proportional}",
            "  pressure: {method: none needed}",
        ),
        (
            "  temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]\n",
            "  temperature: {method: none needed}\n",
        ),
    ];
    let nothing_known = format!("{GOOD}, {reading}, conditions: {{humidity: 50 %RH}}");
    let result = one(&book_of(&no_corrections, &[]), &nothing_known);
    assert!(result.converted.is_none());
    assert!(
        flags(&result).contains(&"other-unit-needs-conditions"),
        "{:?}",
        flags(&result)
    );
    let reference = "catalog: slip\ntitle: Slipway\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\nreference_conditions: {temperature: 20 °C, pressure: 101.325 kPa}\n";
    let result = one(
        &book_of(&no_corrections, &[("catalog.yaml", reference)]),
        &nothing_known,
    );
    assert_eq!(
        result.converted.unwrap().conditions.origin.to_string(),
        "reference conditions of the catalog"
    );
}

#[test]
fn scales_in_mass() {
    let scale = |stated: &str| {
        [(
            "{unit: ppm, marks: [1, 2, 5, 10, 20], printed_for_strokes: 2}",
            format!(
                "{{unit: mg/m³, marks: [1, 2, 5, 10, 20], printed_for_strokes: 2, mass_stated: {stated}}}"
            ),
        )]
    };
    let others = [("matters_from: 1 ppm", "matters_from: 2 mg/m³")];
    let reading = format!(
        "{GOOD}, strokes: 2, reading: {{at: 5 mg/m³}}, conditions: {{humidity: 50 %RH, air_temperature: 20 °C, pressure: 80 kPa}}"
    );
    let book = |stated: &str| {
        let scale = scale(stated);
        let changes: Vec<(&str, &str)> = scale
            .iter()
            .map(|(a, b)| (*a, b.as_str()))
            .chain(others)
            .collect();
        book_of(&changes, &[])
    };
    let ppm = |mass: f64, kilopascals: f64| mass * (8.314_462_618 * 293.15 / kilopascals) / 70.90;
    let drawn = one(&book("in the air as drawn"), &reading);
    assert!(close(value(&drawn), 5.0));
    assert!((drawn.converted.unwrap().value - ppm(5.0, 80.0)).abs() < 1e-4);
    let calibrated = one(&book("at calibration conditions"), &reading);
    assert!(close(value(&calibrated), 5.0 * PA / 80.0));
    let also = calibrated.converted.unwrap();
    assert!((also.value - ppm(5.0 * PA / 80.0, PA)).abs() < 1e-4);
    assert_eq!(
        also.conditions.origin.to_string(),
        "calibration conditions of the sheet"
    );
}

#[test]
fn humid_and_dry_air() {
    let dry = book_of(
        &[(
            "printed_for_strokes: 2}",
            "printed_for_strokes: 2, stated_in: dry air}",
        )],
        &[],
    );
    let reading = format!(
        "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{humidity: 85 %RH, air_temperature: 35 °C, pressure: 101.3 kPa}}"
    );
    let result = one(&dry, &reading);
    assert_eq!(
        result.concentration.as_ref().unwrap().basis.words(),
        "dry air"
    );
    // Saturation at 35 °C is 5.629 kPa (IAPWS R7-97): 4.72 % of the air is water.
    let humid = value(&result) * (1.0 - 0.85 * 5.629 / 101.3);
    let expected = humid * 70.90 / (8.314_462_618 * 308.15 / 101.3);
    assert!(
        (result.converted.unwrap().value - expected).abs() < 2e-3,
        "{expected}"
    );
    let unknown = one(&dry, &changed(&reading, &[("humidity: 85 %RH, ", "")]));
    assert!(flags(&unknown).contains(&"water-vapour-unknown"));
}

/// The sheet as one for a group that is expressed as chlorine.
fn slip_fumes() -> Book {
    let group = "group: slip-fumes\nname: slip fumes\nmembers: [chlorine, bromine]\nexpressed_as: [chlorine]\n";
    book_of(
        &[(
            "{substance: chlorine}",
            "{group: slip-fumes, expressed_as: chlorine}",
        )],
        &[("slip-fumes.group.yaml", group)],
    )
}

#[test]
fn a_mass_group_says_what_it_is() {
    let book = slip_fumes();
    let result = at_20(&book, "strokes: 2, reading: {at: 5 ppm}");
    assert_eq!(flags(&result), ["group-expressed-as"]);
    assert_eq!(
        result
            .substance
            .as_ref()
            .unwrap()
            .stands_for_group
            .as_deref(),
        Some("slip fumes")
    );
    assert!(
        result
            .against
            .iter()
            .all(|against| against.verdict.is_none() && against.reason.is_some())
    );
}

#[test]
fn a_group_may_be_named() {
    let book = slip_fumes();
    for (named, expected) in [
        ("slip-fumes", "none"),
        ("chlorine", "none"),
        ("bromine", "gas-not-on-sheet"),
    ] {
        assert_eq!(
            refusal(&at_20(
                &book,
                &format!("strokes: 2, substance: {named}, reading: {{at: 5 ppm}}")
            )),
            expected,
            "{named}"
        );
    }
}

/// Below freezing a relative humidity is turned into grams over supercooled water, and the step says so.
#[test]
fn humidity_turned_over_below_freezing_says_over_which_water() {
    let grams = book_of(
        &[
            ("temperature: 0 to 40 °C", "temperature: -20 to 40 °C"),
            (
                "  temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]\n",
                "  temperature: {method: none needed}\n",
            ),
            (
                "  humidity: {method: none needed}",
                "  humidity: {method: factor table, multiply: reading, columns: [g/m³, factor], rows: [[1, 1.10], [9, 1.00]]}",
            ),
        ],
        &[],
    );
    let words = |celsius: &str, humidity: &str| {
        let result = one(
            &grams,
            &format!(
                "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{air_temperature: {celsius} °C, humidity: {humidity}, pressure: 101.3 kPa}}"
            ),
        );
        let step = result
            .corrections
            .iter()
            .find(|applied| applied.from.pointer == "/correct/humidity");
        step.unwrap_or_else(|| panic!("{:?}", result.refusal))
            .from
            .words
            .contains("over supercooled water")
    };
    assert!(words("-5", "60 %RH"));
    assert!(!words("5", "60 %RH"));
    assert!(!words("-5", "2 g/m³"));
}
