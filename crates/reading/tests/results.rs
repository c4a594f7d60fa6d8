//! Values, bounds, other gases, uncertainty and limits on a small invented sheet, each expected value worked by hand.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail loudly"
)]

mod support;

use stainbook_reading::result::{Against, Verdict};
use stainbook_reading::{ReadingResult, Status};
use support::{GOOD, at_20, book, book_of, changed, close, flags, one, refusal, value};

const PA: f64 = 101.3;

#[test]
fn values() {
    let book = book();
    for (rest, conditions, expected) in [
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 20 °C, pressure: 101.3 kPa",
            5.0,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 5 °C, pressure: 101.3 kPa",
            5.0 * 1.2,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 32.5 °C, pressure: 101.3 kPa",
            5.0 * 0.875,
        ),
        (
            "strokes: 0.5, reading: {at: 10 ppm}",
            "air_temperature: 20 °C, pressure: 84 kPa",
            10.0 * 2.5 * PA / 84.0,
        ),
        (
            "strokes: 6, reading: {at: 2 ppm}",
            "air_temperature: 10 °C, pressure: 1013 hPa",
            2.0 * 0.4 * 1.1,
        ),
        // The tube's temperature governs the reaction.
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 30 °C, tube_temperature: 10 °C, pressure: 101.3 kPa",
            5.5,
        ),
        // Units of the reading are those of the glass or worked out.
        (
            "strokes: 2, reading: {at: 5000 ppb}",
            "air_temperature: 68 °F, pressure: 101.3 kPa",
            5.0,
        ),
        (
            "strokes: 2, reading: {short: 4 ppm, long: 6 ppm}",
            "air_temperature: 20 °C, pressure: 101.3 kPa",
            5.0,
        ),
        // ISO 2533 at 1600 m: 83.52 kPa.
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 20 °C, altitude: 1600 m",
            5.0 * PA / 83.523_7,
        ),
        // 102 kPa at sea level over a column that begins at 15 °C: times (1 + 0.0065·1600/288.15)^−5.25588.
        (
            "strokes: 2, reading: {at: 5 ppm}",
            "air_temperature: 15 °C, altitude: 1600 m, sea_level_pressure: 102 kPa",
            5.0 * 1.05 * PA / (102.0 * 1.036_092_313_f64.powf(-5.255_88)),
        ),
    ] {
        let result = one(
            &book,
            &format!("{GOOD}, {rest}, conditions: {{humidity: 50 %RH, {conditions}}}"),
        );
        let found = value(&result);
        assert!(
            (found / expected - 1.0).abs() < 2e-6,
            "{rest} {conditions}: {found} and not {expected}"
        );
        assert_eq!(result.status, Status::Measured);
        // The steps multiply to the result.
        let product: f64 = result.corrections.iter().map(|step| step.factor).product();
        assert!(close(result.reading.unwrap().value * product, found));
    }
}

#[test]
fn every_factor_says_where_it_comes_from() {
    let result = one(
        &book(),
        &format!(
            "{GOOD}, strokes: 6, reading: {{at: 2 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 6 °C, pressure: 1000 hPa}}"
        ),
    );
    let steps: Vec<String> = result
        .corrections
        .iter()
        .map(|step| {
            format!(
                "{} {:.3} {}: {}",
                step.step, step.factor, step.from.pointer, step.from.words
            )
        })
        .collect();
    assert_eq!(
        steps,
        [
            "strokes 0.400 /draw/ranges/2/multiply_by: draw.ranges, row 3, for 6 strokes",
            "temperature 1.180 /correct/temperature: correct.temperature, rows 0 and 10 °C, linear, at 6 °C",
            "pressure 1.013 /correct/pressure: correct.pressure, calibration pressure over station pressure, at 100 kPa",
        ]
    );
}

#[test]
fn a_two_dimensional_table_on_reading_and_on_concentration() {
    let table = |target: &str| {
        format!(
            "  temperature:\n    method: table\n    replace: {target}\n    columns: [0 °C, 20 °C, 40 °C]\n    lines:\n      - {{reading: 1 ppm, becomes: [1.4, 1, 0.7]}}\n      - {{reading: 20 ppm, becomes: [24, 20, 18]}}\n"
        )
    };
    let old = "  temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]\n";
    let reading = format!(
        "{GOOD}, strokes: 0.5, reading: {{at: 5 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 10 °C, pressure: 101.3 kPa}}"
    );
    // At 10 °C: 1 → 1.2 and 20 → 22, a line of slope 20.8/19 = 1.094737.
    let at_10 = |x: f64| 1.2 + (x - 1.0) * 20.8 / 19.0;
    let on_reading = one(&book_of(&[(old, &table("reading"))], &[]), &reading);
    assert!(close(value(&on_reading), at_10(5.0) * 2.5));
    let on_concentration = one(&book_of(&[(old, &table("concentration"))], &[]), &reading);
    assert!(close(value(&on_concentration), at_10(12.5)));
    // 10 ppm with half a stroke is 25 ppm, beyond a table of concentrations that ends at 20.
    let beyond = one(
        &book_of(&[(old, &table("concentration"))], &[]),
        &changed(&reading, &[("at: 5 ppm", "at: 10 ppm")]),
    );
    assert_eq!(refusal(&beyond), "outside-temperature-table");
}

#[test]
fn bounds() {
    let book = book();
    for (rest, status, expected, repeat) in [
        (
            "strokes: 6, reading: {seen: no stain}",
            Status::LessThan,
            0.2,
            None,
        ),
        // Stated for 6 strokes: with 2 only the first mark bounds it.
        (
            "strokes: 2, reading: {seen: no stain}",
            Status::LessThan,
            1.0,
            Some(6.0),
        ),
        (
            "strokes: 2, reading: {seen: below first mark}",
            Status::LessThan,
            1.0,
            Some(6.0),
        ),
        (
            "strokes: 0.5, reading: {seen: below first mark}",
            Status::LessThan,
            2.5,
            Some(2.0),
        ),
        (
            "strokes: 6, reading: {seen: below first mark}",
            Status::LessThan,
            0.4,
            None,
        ),
        (
            "strokes: 6, reading: {seen: beyond last mark}",
            Status::MoreThan,
            8.0,
            Some(2.0),
        ),
        (
            "strokes: 2, reading: {seen: beyond last mark}",
            Status::MoreThan,
            20.0,
            Some(0.5),
        ),
        (
            "strokes: 0.5, reading: {seen: beyond last mark}",
            Status::MoreThan,
            50.0,
            None,
        ),
    ] {
        for (conditions, factor) in [
            ("air_temperature: 20 °C, pressure: 101.3 kPa", 1.0),
            ("air_temperature: 10 °C, pressure: 50.65 kPa", 2.2),
        ] {
            let result = one(
                &book,
                &format!("{GOOD}, {rest}, conditions: {{humidity: 50 %RH, {conditions}}}"),
            );
            assert_eq!(result.status, status, "{rest}");
            assert!(
                close(value(&result), expected * factor),
                "{rest}: {}",
                value(&result)
            );
            assert_eq!(
                result.repeat_with.as_ref().unwrap().strokes,
                repeat,
                "{rest}"
            );
            assert!(result.uncertainty.is_none());
            assert!(
                result
                    .against
                    .iter()
                    .all(|against| against.probability_above.is_none())
            );
        }
    }
    let without_halves = support::KIND.replace("half_strokes: true", "half_strokes: false");
    let result = at_20(
        &book_of(&[], &[("quay.pump-kind.yaml", &without_halves)]),
        "strokes: 2, reading: {seen: beyond last mark}",
    );
    assert_eq!(result.repeat_with.unwrap().strokes, None);
}

#[test]
fn other_gases_with_a_known_share() {
    let book = book();
    let reading = format!(
        "{GOOD}, strokes: 0.5, reading: {{at: 10 ppm}}, present: [{{substance: chlorine-dioxide, level: 5 ppm, uncertainty: 1 ppm}}], conditions: {{humidity: 50 %RH, air_temperature: 10 °C, pressure: 101.3 kPa}}"
    );
    let result = one(&book, &reading);
    // 10 · 2.5 · 1.1 = 27.5 ppm on the whole; 5 ppm answer as 2.5.
    assert!(close(value(&result), 25.0), "{}", value(&result));
    let effect = &result.other_gases[0];
    assert_eq!(effect.effect, "subtracted");
    assert!(close(effect.uncorrected.unwrap(), 27.5));
    assert!(close(effect.share_on_scale.unwrap(), 2.5 / 2.75));
    assert_eq!(flags(&result), Vec::<&str>::new());
    let line = result
        .uncertainty
        .as_ref()
        .unwrap()
        .budget
        .iter()
        .find(|line| line.code == "other-gas")
        .unwrap()
        .clone();
    // 20 % of the response and 20 % of the level, of 2.5 ppm in 25.
    assert!(
        close(line.relative, 0.1 * (0.2_f64.powi(2) * 2.0).sqrt()),
        "{}",
        line.relative
    );

    // All of the stain could be the other gas: a bound at the first mark.
    let all = one(
        &book,
        &changed(
            &reading,
            &[(
                "level: 5 ppm, uncertainty: 1 ppm",
                "level: 54.9 ppm, uncertainty: 0.1 ppm",
            )],
        ),
    );
    assert_eq!(
        (all.status, flags(&all)),
        (Status::LessThan, vec!["other-gas-dominates"])
    );
    // Net 10 − 54.9·0.5/2.75 = 0.018, plus twice 9.98·√(0.2² + 0.0018²) = 3.99: 4.01 on the scale.
    assert!((value(&all) - 4.010 * 2.75).abs() < 0.01, "{}", value(&all));

    // A bound from above is left as it is; one from below gives way.
    let below = one(
        &book,
        &changed(&reading, &[("at: 10 ppm", "seen: below first mark")]),
    );
    assert!(close(value(&below), 2.75));
    let beyond = one(
        &book,
        &changed(&reading, &[("at: 10 ppm", "seen: beyond last mark")]),
    );
    assert_eq!(beyond.status, Status::MoreThan);
    assert!(value(&beyond) < 55.0 - 2.5, "{}", value(&beyond));
    let hidden = one(
        &book,
        &changed(
            &reading,
            &[
                ("at: 10 ppm", "seen: beyond last mark"),
                ("level: 5 ppm", "level: 100 ppm"),
            ],
        ),
    );
    assert_eq!(refusal(&hidden), "other-gas-hides-result");
}

#[test]
fn other_gases_without_a_share() {
    let book = book();
    for (present, expected, effect) in [
        (
            "chlorine-dioxide",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        (
            "nitrogen-dioxide",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        ("nitrogen-dioxide, level: 0.5 ppm", vec![], "no_effect"),
        (
            "nitrogen-dioxide, level: 1 ppm",
            vec!["indicative-reads-high"],
            "reads_high",
        ),
        (
            "hydrogen-sulfide",
            vec!["indicative-reads-low"],
            "reads_low",
        ),
        ("hydrogen-sulfide, level: 9 ppm", vec![], "no_effect"),
        (
            "hydrogen-sulfide, level: 11 ppm",
            vec!["indicative-reads-low"],
            "reads_low",
        ),
        ("hydrogen-chloride", vec![], "no_effect"),
        ("hydrogen-chloride, level: 20 ppm", vec![], "no_effect"),
        (
            "hydrogen-chloride, level: 21 ppm",
            vec!["other-gas-above-tested"],
            "no_effect",
        ),
        ("ammonia", vec!["other-gas-not-on-sheet"], "unknown"),
        (
            "NH3-from-the-hold",
            vec!["other-gas-not-on-sheet"],
            "unknown",
        ),
    ] {
        let result = at_20(
            &book,
            &format!("strokes: 2, reading: {{at: 5 ppm}}, present: [{{substance: {present}}}]"),
        );
        assert_eq!(flags(&result), expected, "{present}");
        assert_eq!(result.other_gases[0].effect, effect, "{present}");
        assert!(close(value(&result), 5.0));
    }
}

#[test]
fn another_gas_by_factor_and_by_rows() {
    let with = |row: &str| {
        book_of(
            &[(
                "printed_for_strokes: 2}\n",
                &format!("printed_for_strokes: 2}}\n  also_measures:\n    - {row}\n"),
            )],
            &[],
        )
    };
    let single = with(
        "{substance: bromine, multiply: reading, by: 1.8, strokes: 2, from: 1.8, to: 36, uncertainty: 10 %}",
    );
    let rows = with(
        "{substance: bromine, multiply: reading, rows: [[20, 2.0], [1, 1.0]], strokes: 2, from: 1, to: 40}",
    );
    let reading = "strokes: 2, substance: bromine, reading: {at: 10.5 ppm, uncertainty: 0.5 ppm}";
    let result = at_20(&single, reading);
    assert!(close(value(&result), 10.5 * 1.8));
    assert_eq!(
        (
            result.substance.as_ref().unwrap().id.as_str(),
            flags(&result)
        ),
        ("bromine", vec![])
    );
    let result = at_20(&rows, reading);
    assert!(close(value(&result), 10.5 * 1.5));
    assert_eq!(flags(&result), ["other-gas-factor-assumed"]);
    // The name and the CAS number serve as well.
    assert_eq!(
        at_20(
            &single,
            "strokes: 2, substance: 7726-95-6, reading: {at: 5 ppm}"
        )
        .substance
        .unwrap()
        .id,
        "bromine"
    );
}

/// The line of the budget with this code.
fn line(result: &ReadingResult, code: &str) -> f64 {
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
        // 7 lies between 5 and 10: half the space over √3, of 7.
        ("reading", 2.5 / third / 7.0),
        ("front", 1.0 / third / 7.0),
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
    let sum: f64 = u.budget.iter().map(|line| line.relative.powi(2)).sum();
    assert!(close(u.relative, sum.sqrt()));
    assert!(close(
        u.budget.iter().map(|line| line.contribution).sum::<f64>(),
        100.0
    ));
    assert!(close(u.standard, u.relative * value(&result)) && close(u.expanded, 2.0 * u.standard));
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

fn limit<'r>(result: &'r ReadingResult, authority: &str, kind: &str) -> &'r Against {
    let found = result
        .against
        .iter()
        .find(|against| against.limit.authority.contains(authority) && against.limit.kind == kind);
    found.unwrap_or_else(|| panic!("{:?}", result.against))
}

#[test]
fn judged_against_limits() {
    // OSHA's ceiling for chlorine is 1 ppm (29 CFR 1910.1000, Table Z-1).
    let book = book();
    for (rest, verdict) in [
        ("strokes: 2, reading: {at: 5 ppm}", Verdict::Above),
        ("strokes: 2, reading: {at: 1 ppm}", Verdict::CannotTell),
        ("strokes: 6, reading: {at: 1.5 ppm}", Verdict::Below),
        ("strokes: 6, reading: {seen: no stain}", Verdict::Below),
        (
            "strokes: 2, reading: {seen: below first mark}",
            Verdict::CannotTell,
        ),
        (
            "strokes: 2, reading: {seen: beyond last mark}",
            Verdict::Above,
        ),
        // The figure is below, but the stain may have been shortened by nobody knows how much.
        (
            "strokes: 6, reading: {at: 1.5 ppm}, present: [{substance: hydrogen-sulfide}]",
            Verdict::CannotTell,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}, present: [{substance: hydrogen-sulfide}]",
            Verdict::Above,
        ),
        (
            "strokes: 2, reading: {at: 5 ppm}, present: [{substance: nitrogen-dioxide}]",
            Verdict::CannotTell,
        ),
    ] {
        let result = at_20(&book, rest);
        let against = limit(&result, "OSHA", "ceiling");
        assert_eq!(against.verdict, Some(verdict), "{rest}: {against:?}");
        assert_eq!(against.limit.as_ppm, Some(1.0));
        assert_eq!(
            against.probability_above.is_some(),
            result.status == Status::Measured
        );
    }
}

#[test]
fn a_short_reading_is_never_compared_with_a_shift() {
    let ammonia = book_of(&[("{substance: chlorine}", "{substance: ammonia}")], &[]);
    let result = at_20(&ammonia, "strokes: 2, reading: {at: 5 ppm}");
    let shifts: Vec<&Against> = result
        .against
        .iter()
        .filter(|against| against.limit.kind == "8-hour average")
        .collect();
    assert!(!shifts.is_empty());
    for against in shifts {
        assert_eq!(
            (
                against.verdict,
                against.probability_above,
                against.directly_comparable
            ),
            (None, None, false)
        );
        assert!(against.reason.is_some());
    }
}

#[test]
fn a_limit_in_mass_is_compared_at_its_own_conditions() {
    // 10 mg/m³ of chlorine at 25 °C and 101.325 kPa are 10·24.4654/70.90 = 3.4507 ppm, whatever the altitude here.
    let substance = "substance: quay-gas\nname: quay gas\nformula: Cl2\nidentified_by: quay-list\nlimits: [{kind: ceiling, at_most: 10 mg/m³, source: quay-list}]\n";
    let source = "source: quay-list\ntitle: Quay list\npublisher: Harbour\nedition: '1'\nauthority: Harbour\nmass_stated_at: {temperature: 25 °C, pressure: 101.325 kPa}\nlicence: public domain\nobtained: computed\n";
    let book = book_of(
        &[("{substance: chlorine}", "{substance: quay-gas}")],
        &[
            ("quay-gas.substance.yaml", substance),
            ("quay-list.source.yaml", source),
        ],
    );
    let result = one(
        &book,
        &format!(
            "{GOOD}, strokes: 2, reading: {{at: 2 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 20 °C, altitude: 2500 m}}"
        ),
    );
    let against = limit(&result, "Harbour", "ceiling");
    assert!(
        (against.limit.as_ppm.unwrap() - 3.4507).abs() < 2e-4,
        "{:?}",
        against.limit
    );
    // 2 ppm at 74.69 kPa (ISO 2533, 2500 m) are 2.713 ppm.
    assert!((value(&result) - 2.0 * PA / 74.69).abs() < 1e-3);
}

#[test]
fn the_other_unit_has_its_conditions() {
    let reading = "strokes: 2, reading: {at: 5 ppm}";
    let result = at_20(&book(), reading);
    let also = result.also_as.unwrap();
    // 5 ppm · 70.90 g/mol / (8.314462618·293.15/101.3) L/mol.
    assert!(
        (also.value - 5.0 * 70.90 / (8.314_462_618 * 293.15 / 101.3)).abs() < 1e-3,
        "{}",
        also.value
    );
    assert_eq!(
        (also.unit.as_str(), also.conditions.origin.as_str()),
        ("mg/m³", "of the survey")
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
    assert!(result.also_as.is_none());
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
        result.also_as.unwrap().conditions.origin,
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
    assert!((drawn.also_as.unwrap().value - ppm(5.0, 80.0)).abs() < 1e-4);
    let calibrated = one(&book("at calibration conditions"), &reading);
    assert!(close(value(&calibrated), 5.0 * PA / 80.0));
    let also = calibrated.also_as.unwrap();
    assert!((also.value - ppm(5.0 * PA / 80.0, PA)).abs() < 1e-4);
    assert_eq!(
        also.conditions.origin,
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
    assert_eq!(result.concentration.as_ref().unwrap().basis, "dry air");
    // Saturation at 35 °C is 5.629 kPa (IAPWS R7-97): 4.72 % of the air is water.
    let humid = value(&result) * (1.0 - 0.85 * 5.629 / 101.3);
    let expected = humid * 70.90 / (8.314_462_618 * 308.15 / 101.3);
    assert!(
        (result.also_as.unwrap().value - expected).abs() < 2e-3,
        "{expected}"
    );
    let unknown = one(&dry, &changed(&reading, &[("humidity: 85 %RH, ", "")]));
    assert!(flags(&unknown).contains(&"water-vapour-unknown"));
}

#[test]
fn humidity_by_relative_and_by_absolute() {
    let old = "  humidity: {method: none needed}";
    let relative = book_of(
        &[(
            old,
            "  humidity: {method: factor table, multiply: reading, columns: ['%RH', factor], rows: [[10, 1.2], [50, 1.0], [90, 0.9]]}",
        )],
        &[],
    );
    let absolute = book_of(
        &[(
            old,
            "  humidity: {method: factor table, multiply: reading, columns: [g/m³, factor], rows: [[2, 1.2], [8, 1.0], [20, 0.9]]}",
        )],
        &[],
    );
    let reading = |humidity: &str| {
        format!(
            "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{{humidity} air_temperature: 20 °C, pressure: 101.3 kPa}}"
        )
    };
    // Saturated air at 20 °C holds 17.29 g/m³ (IAPWS): 30 %RH are 5.19 g/m³.
    for (book, humidity, factor) in [
        (&relative, "humidity: 30 %RH,", 1.1),
        (&absolute, "humidity: 5 g/m³,", 1.1),
        (
            &absolute,
            "humidity: 30 %RH,",
            1.2 - 0.2 * (17.29 * 0.3 - 2.0) / 6.0,
        ),
        (&relative, "humidity: 5.187 g/m³,", 1.1),
    ] {
        let result = one(book, &reading(humidity));
        assert!(
            (value(&result) - 5.0 * factor).abs() < 1e-3,
            "{humidity} {}",
            value(&result)
        );
        assert!(line(&result, "humidity") > 0.0);
    }
    assert_eq!(refusal(&one(&relative, &reading(""))), "humidity-missing");
    assert_eq!(
        refusal(&one(&relative, &reading("humidity: 95 %RH,"))),
        "outside-humidity-table"
    );
    // The tube's own temperature is not the air's: without the latter the kinds cannot be converted.
    let only_tube = reading("humidity: 30 %RH,").replace("air_temperature", "tube_temperature");
    assert_eq!(refusal(&one(&absolute, &only_tube)), "temperature-missing");
}

#[test]
fn the_order_counts_where_a_table_depends_on_the_concentration() {
    // Pressure first: the table is entered with 5·2 = 10, else with 5.
    let old = "  temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]\n";
    let table = "  temperature:\n    method: table\n    replace: concentration\n    columns: [10 °C, 30 °C]\n    lines:\n      - {reading: 1 ppm, becomes: [2, 1]}\n      - {reading: 21 ppm, becomes: [22, 11]}\n";
    let reading = format!(
        "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{humidity: 50 %RH, air_temperature: 10 °C, pressure: 50.65 kPa}}"
    );
    let usual = one(&book_of(&[(old, table)], &[]), &reading);
    assert!(close(value(&usual), 6.0 * 2.0), "{}", value(&usual));
    let first = one(
        &book_of(
            &[(
                old,
                &format!("{table}  order: [strokes, pressure, temperature, humidity, other gas]\n"),
            )],
            &[],
        ),
        &reading,
    );
    assert!(close(value(&first), 11.0), "{}", value(&first));
}

#[test]
fn a_mass_group_says_what_it_is() {
    let group = "group: slip-fumes\nname: slip fumes\nmembers: [chlorine, bromine]\nexpressed_as: [chlorine]\n";
    let book = book_of(
        &[(
            "{substance: chlorine}",
            "{group: slip-fumes, expressed_as: chlorine}",
        )],
        &[("slip-fumes.group.yaml", group)],
    );
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
fn the_digest_follows_what_the_result_depends_on() {
    let reading = "strokes: 2, reading: {at: 5 ppm}";
    let digest = |book: &stainbook_catalog::Book| at_20(book, reading).sheet_digest.unwrap();
    let usual = digest(&book());
    assert_eq!(usual.len(), 64);
    // A comment, a remark and an accepted finding do not change it; a factor and the pump do.
    assert_eq!(
        usual,
        digest(&book_of(
            &[("doubt:\n", "# seen by KL\nremark: pale print\ndoubt:\n")],
            &[]
        ))
    );
    assert_ne!(
        usual,
        digest(&book_of(&[("[10, 1.10]", "[10, 1.11]")], &[]))
    );
    let pump = support::PUMP.replace("99 mL", "98 mL");
    assert_ne!(usual, digest(&book_of(&[], &[("pump-1.pump.yaml", &pump)])));
}

#[test]
fn every_key_is_always_there() {
    let book = book();
    let keys = |result: &ReadingResult| -> Vec<String> {
        serde_json::to_value(result)
            .unwrap()
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect()
    };
    let measured = keys(&at_20(&book, "strokes: 2, reading: {at: 5 ppm}"));
    for rest in [
        "strokes: 2, reading: {seen: no stain}",
        "strokes: 3, reading: {at: 5 ppm}",
    ] {
        assert_eq!(keys(&at_20(&book, rest)), measured);
    }
    for key in [
        "id",
        "status",
        "concentration",
        "also_as",
        "uncertainty",
        "corrections",
        "against",
        "flags",
        "catalog_revision",
        "sheet_digest",
        "refusal",
        "repeat_with",
        "inputs",
    ] {
        assert!(measured.iter().any(|found| found == key), "{key}");
    }
    // What was evaluated can be read back.
    let result = at_20(&book, "strokes: 2, reading: {at: 5 ppm}");
    let text = serde_json::to_string(&result).unwrap();
    assert_eq!(
        serde_json::from_str::<ReadingResult>(&text).unwrap().id,
        result.id
    );
    assert_eq!(result.inputs["reading"]["reading"]["at"], "5 ppm");
}

#[test]
fn half_known_conditions_do_not_hold_at_another_place() {
    let text = format!(
        "survey: s\ntitle: A round\nby: KL\nconditions: {{air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\nreadings:\n  - {{{GOOD}, strokes: 2, reading: {{at: 5 ppm}}}}\n  - {{{}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{altitude: 1600 m}}}}\n",
        GOOD.replace("r1", "r2")
    );
    let (surveys, _) =
        stainbook_catalog::Book::read([stainbook_catalog::SourceFile::new("s.survey.yaml", text)]);
    let results = stainbook_reading::evaluate(
        &book(),
        surveys.survey("s").unwrap(),
        &stainbook_reading::Options::default(),
    )
    .results;
    assert!(close(value(&results[0]), 5.0));
    assert!((value(&results[1]) - 5.0 * PA / 83.524).abs() < 1e-3);
    assert!(
        results[1]
            .statements
            .iter()
            .any(|statement| statement.code == "survey-pressure-not-used")
    );
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
        close(line(&result, "reading"), 5.0 / third / 20.0),
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
fn a_group_may_be_named() {
    let group = "group: slip-fumes\nname: slip fumes\nmembers: [chlorine, bromine]\nexpressed_as: [chlorine]\n";
    let book = book_of(
        &[(
            "{substance: chlorine}",
            "{group: slip-fumes, expressed_as: chlorine}",
        )],
        &[("slip-fumes.group.yaml", group)],
    );
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
        0.03_f64.hypot(0.005) / 3.0_f64.sqrt()
    ));
}
