//! Values, and what each factor says of where it comes from.

use stainbook_core::elementary::powf;
use stainbook_evaluation::Status;

use crate::PA;
use crate::support::{GOOD, book, book_of, changed, close, one, refusal, value};
use crate::uncertainty::line;

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
            5.0 * 1.05 * PA / (102.0 * powf(1.036_092_313, -5.255_88)),
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
                step.step.name(),
                step.factor,
                step.from.pointer,
                step.from.words
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
    let words = |result: &stainbook_evaluation::ReadingResult| {
        let step = result
            .corrections
            .iter()
            .find(|step| step.step.name() == "temperature");
        step.unwrap().from.words.clone()
    };
    assert_eq!(
        words(&on_reading),
        "correct.temperature, lines 1 and 20 ppm of the reading, linear; columns 0 and 20 °C, linear, at 10 °C"
    );
    assert_eq!(
        words(&on_concentration),
        "correct.temperature, lines 1 and 20 ppm of the concentration, linear; columns 0 and 20 °C, linear, at 10 °C"
    );
    let printed = one(
        &book_of(&[(old, &table("reading"))], &[]),
        &changed(
            &reading,
            &[
                ("at: 5 ppm", "at: 20 ppm"),
                ("air_temperature: 10 °C", "air_temperature: 40 °C"),
            ],
        ),
    );
    assert_eq!(
        words(&printed),
        "correct.temperature, line 20 ppm of the reading; column 40 °C, at 40 °C"
    );
    // A line that is not printed is no condition to be measured again.
    let only = table("reading").replace("    lines:", "    between: not allowed\n    lines:");
    let between = one(
        &book_of(&[(old, &only)], &[]),
        &changed(
            &reading,
            &[("air_temperature: 10 °C", "air_temperature: 20 °C")],
        ),
    );
    let refused = between.refusal.unwrap();
    assert_eq!(
        refused.code,
        stainbook_evaluation::outcome::Code::BetweenRowsOfTemperatureTable
    );
    assert!(
        refused.remedy.contains("stroke count"),
        "{}",
        refused.remedy
    );
    assert_eq!(refused.field.as_deref(), Some("/reading/reading"));
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
fn half_known_conditions_do_not_hold_at_another_place() {
    let text = format!(
        "survey: s\ntitle: A round\nby: KL\nconditions: {{air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}}\nreadings:\n  - {{{GOOD}, strokes: 2, reading: {{at: 5 ppm}}}}\n  - {{{}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{altitude: 1600 m}}}}\n",
        GOOD.replace("r1", "r2")
    );
    let (surveys, _) =
        stainbook_catalog::Book::read([stainbook_catalog::SourceFile::new("s.survey.yaml", text)]);
    let results = stainbook_evaluation::evaluate(
        &book(),
        surveys.survey("s").unwrap(),
        &stainbook_evaluation::Options::default(),
    )
    .results;
    assert!(close(value(&results[0]), 5.0));
    assert!((value(&results[1]) - 5.0 * PA / 83.524).abs() < 1e-3);
    assert!(
        results[1].statements.iter().any(|statement| statement.code
            == stainbook_evaluation::outcome::Code::SurveyPressureNotUsed)
    );
}
