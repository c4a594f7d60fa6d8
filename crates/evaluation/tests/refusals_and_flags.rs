//! Refusals and flags, each with its remedy.
#![cfg(test)]

mod support;

use stainbook_evaluation::{FaultySheets, Options, SheetErrors, Status, evaluate};
use support::{AT_20, GOOD, OLD_SHEET, at_20, book, book_of, changed, flags, one, refusal};

#[test]
fn a_good_reading_has_no_flags() {
    let result = at_20(&book(), "strokes: 2, reading: {at: 5 ppm}");
    assert_eq!((refusal(&result), flags(&result)), ("none", vec![]));
    assert_eq!(result.status, Status::Measured);
}

#[test]
fn what_the_reading_lacks_is_flagged() {
    let book = book();
    let reading = |what: &str| {
        format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}").replace(what, "")
    };
    for (without, expected) in [
        ("at: \"2026-03-02T07:40+00:00\", ", vec!["date-missing"]),
        ("lot: 24-117, ", vec!["lot-missing"]),
        ("expires: 2027-01, ", vec!["expiry-missing"]),
        ("pump: pump-1, ", vec!["pump-missing"]),
        (", leak_test: held", vec!["leak-test-missing"]),
        ("humidity: 50 %RH, ", vec!["humidity-missing"]),
    ] {
        assert_eq!(
            flags(&one(&book, &reading(without))),
            expected,
            "without {without}"
        );
    }
}

#[test]
fn what_is_doubtful_is_flagged() {
    let book = book();
    let base = format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}");
    for (from, to, expected) in [
        ("expires: 2027-01", "expires: 2026-02", vec!["lot-expired"]),
        // A month means its last day: read on the 2nd, the box of March has not expired.
        ("expires: 2027-01", "expires: 2026-03", vec![]),
        (
            "leak_test: held",
            "leak_test: leaked",
            vec!["leak-test-failed"],
        ),
        (
            "leak_test: held",
            "leak_test: not done",
            vec!["leak-test-missing"],
        ),
        ("pump: pump-1", "pump: pump-9", vec!["pump-unknown"]),
        (
            "2026-03-02T",
            "2027-03-02T",
            vec!["lot-expired", "pump-volume-check-overdue"],
        ),
        (
            "2026-03-02T",
            "2026-01-02T",
            vec!["pump-volume-check-missing"],
        ),
        (
            "air_temperature: 20 °C",
            "air_temperature: 20 °C, tube_temperature: 26 °C",
            vec!["tube-temperature-differs"],
        ),
        (
            "humidity: 50 %RH",
            "humidity: 95 %RH",
            vec!["outside-usable-humidity"],
        ),
        // 15.5 g/m³ at 20 °C is 90 %RH: the usable range is relative, the survey absolute.
        (
            "humidity: 50 %RH",
            "humidity: 15.5 g/m³",
            vec!["outside-usable-humidity"],
        ),
        ("strokes: 2", "strokes: 6", vec!["outside-printed-range"]),
    ] {
        assert_eq!(
            flags(&one(&book, &changed(&base, &[(from, to)]))),
            expected,
            "{to}"
        );
    }
}

#[test]
fn what_the_sheet_lacks_is_flagged() {
    for (changes, expected) in [
        (
            vec![("verified: {by: MT, date: 2026-01-12}\n", "")],
            vec!["sheet-not-verified"],
        ),
        (
            vec![(
                "  accuracy: [{up_to: 20 ppm, within: 20 %, confidence: 95 %}]\n",
                "",
            )],
            vec!["accuracy-assumed"],
        ),
        (
            vec![(
                "  humidity: {method: none needed}",
                "  humidity: {method: not stated}",
            )],
            vec!["correction-not-stated"],
        ),
        (
            vec![(
                "measures: {",
                "withdrawn: {since: 2026-02-01, because: leaflet recalled}\nmeasures: {",
            )],
            vec!["sheet-withdrawn"],
        ),
        (
            vec![(
                "measures: {",
                "withdrawn: {since: 2026-04-01, because: leaflet recalled}\nmeasures: {",
            )],
            vec![],
        ),
        (
            vec![(
                "  pump_kinds: [quay]\n",
                "  pump_kinds: [quay]\n  storage: {below: 8 °C, bring_to_ambient: true}\n",
            )],
            vec!["cold-tube"],
        ),
        (
            vec![(
                "  pump_kinds: [quay]\n",
                "  pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, has_own_expiry: true}\n",
            )],
            vec!["pre-tube-missing"],
        ),
    ] {
        let result = at_20(&book_of(&changes, &[]), "strokes: 2, reading: {at: 5 ppm}");
        assert_eq!(
            (refusal(&result), flags(&result)),
            ("none", expected),
            "{changes:?}"
        );
    }
    let pre_tube = [(
        "  pump_kinds: [quay]\n",
        "  pump_kinds: [quay]\n  pre_tube: {form: separate tube, does: dries, has_own_expiry: true}\n",
    )];
    for (used, expected) in [
        ("{lot: P-1}", vec!["pre-tube-expiry-missing"]),
        ("{lot: P-1, expires: 2026-02}", vec!["pre-tube-expired"]),
        ("{lot: P-1, expires: 2026-12}", vec![]),
    ] {
        let result = at_20(
            &book_of(&pre_tube, &[]),
            &format!("strokes: 2, reading: {{at: 5 ppm}}, pre_tube: {used}"),
        );
        assert_eq!(flags(&result), expected, "{used}");
    }
}

#[test]
fn pumps() {
    let other_kind = support::KIND
        .replace("pump_kind: quay", "pump_kind: skiff")
        .replace("half_strokes: true", "half_strokes: false");
    let half_litre = support::KIND.replace("stroke: 100 mL", "stroke: 50 mL");
    let reading = "strokes: 2, reading: {at: 5 ppm}";
    let skiff = [
        ("skiff.pump-kind.yaml", other_kind.as_str()),
        (
            "pump-1.pump.yaml",
            "pump: pump-1\nkind: skiff\nvolume_checks: [{date: 2026-01-14, volume: 99 mL}]\n",
        ),
    ];
    assert_eq!(
        flags(&at_20(&book_of(&[], &skiff), reading)),
        ["pump-not-allowed"]
    );
    let allowed = [("[quay]", "[quay, skiff]")];
    assert_eq!(
        refusal(&at_20(
            &book_of(&allowed, &skiff),
            "strokes: 0.5, reading: {at: 5 ppm}"
        )),
        "half-stroke-impossible"
    );
    assert_eq!(
        refusal(&at_20(
            &book_of(&[], &[("quay.pump-kind.yaml", &half_litre)]),
            reading
        )),
        "stroke-volume-differs"
    );
    let off = "pump: pump-1\nkind: quay\nvolume_checks: [{date: 2026-01-14, volume: 93 mL}]\n";
    assert_eq!(
        flags(&at_20(&book_of(&[], &[("pump-1.pump.yaml", off)]), reading)),
        ["pump-volume-too-small"]
    );
    // A leak test of the same day in the pump's own record counts.
    let tested = format!(
        "{}leak_tests: [{{date: 2026-03-02, result: held}}]\n",
        support::PUMP
    );
    let without = format!("{GOOD}, {reading}, {AT_20}").replace(", leak_test: held", "");
    assert_eq!(
        flags(&one(
            &book_of(&[], &[("pump-1.pump.yaml", &tested)]),
            &without
        )),
        Vec::<&str>::new()
    );
}

#[test]
fn refused_readings() {
    let book = book();
    let base = format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}");
    for (from, to, expected) in [
        (
            "tube: slip-chlorine,",
            "tube: slip-clorine,",
            "tube-unknown",
        ),
        ("lot: 24-117", "lot: 24-099", "lot-without-sheet"),
        ("lot: 24-117", "leaflet: '7'", "leaflet-unknown"),
        (
            "tube: slip-chlorine,",
            "tube: slip-chlorine-r2, leaflet: '1',",
            "lot-and-leaflet-disagree",
        ),
        ("strokes: 2, ", "", "strokes-missing"),
        ("strokes: 2", "strokes: 3", "strokes-not-on-sheet"),
        ("strokes: 2", "strokes: 2, scale: fine", "scale-unknown"),
        (
            "strokes: 2",
            "strokes: 2, substance: ammonia",
            "gas-not-on-sheet",
        ),
        ("{at: 5 ppm}", "{at: 0.9 ppm}", "reading-off-scale"),
        ("{at: 5 ppm}", "{at: 20.5 ppm}", "reading-off-scale"),
        ("{at: 5 ppm}", "{at: 5 mg/m³}", "reading-in-another-unit"),
        ("{at: 5 ppm}", "{short: 5 ppm}", "front-half-read"),
        (
            "{at: 5 ppm}",
            "{short: 5 ppm, long: 4 ppm}",
            "front-reversed",
        ),
        (
            "{at: 5 ppm}",
            "{at: 5 ppm, seen: no stain}",
            "reading-contradicts-itself",
        ),
        ("{at: 5 ppm}", "{uncertainty: 1 ppm}", "reading-missing"),
        ("air_temperature: 20 °C, ", "", "temperature-missing"),
        (", pressure: 101.3 kPa", "", "pressure-missing"),
        (
            "pressure: 101.3 kPa",
            "sea_level_pressure: 1013 hPa",
            "pressure-missing",
        ),
        (
            "pressure: 101.3 kPa",
            "pressure: 1013 kPa",
            "pressure-impossible",
        ),
        (
            "pressure: 101.3 kPa",
            "pressure: 1013 hPa, altitude: 1600 m",
            "pressure-contradicts-altitude",
        ),
        (
            "pressure: 101.3 kPa",
            "altitude: 20000 m",
            "altitude-impossible",
        ),
        (
            "pressure: 101.3 kPa",
            "sea_level_pressure: 835 hPa, altitude: 1600 m",
            "sea-level-pressure-impossible",
        ),
        (
            "humidity: 50 %RH",
            "humidity: 30 g/m³",
            "humidity-impossible",
        ),
        (
            "air_temperature: 20 °C",
            "air_temperature: -1 °C",
            "outside-temperature-table",
        ),
        (
            "air_temperature: 20 °C",
            "air_temperature: 40.1 °C",
            "outside-temperature-table",
        ),
    ] {
        let result = one(&book, &changed(&base, &[(from, to)]));
        assert_eq!(refusal(&result), expected, "{to}");
        let said = result.refusal.as_ref().unwrap();
        assert!(!said.text.is_empty() && !said.remedy.is_empty(), "{said:?}");
        // Whoever has to put it right is told which field.
        let field = said.field.as_deref().unwrap_or_default();
        assert!(
            field.starts_with("/reading/") || field.starts_with("/conditions/"),
            "{to}: {field}"
        );
        assert_eq!(result.status, Status::Refused);
        assert!(
            result.concentration.is_none()
                && result.uncertainty.is_none()
                && result.against.is_empty()
        );
    }
    assert!(
        one(
            &book,
            &changed(&base, &[("tube: slip-chlorine,", "tube: slip-clorine,")])
        )
        .refusal
        .unwrap()
        .remedy
        .contains("`slip-chlorine`")
    );
    assert!(
        one(&book, &changed(&base, &[("strokes: 2", "strokes: 3")]))
            .refusal
            .unwrap()
            .text
            .contains("0.5, 2, 6")
    );
}

#[test]
fn one_refused_reading_does_not_stop_the_others() {
    let reading = |id: &str, strokes: u8| {
        format!(
            "{}, strokes: {strokes}, reading: {{at: 5 ppm}}, {AT_20}",
            GOOD.replace("r1", id)
        )
    };
    let results = support::all(
        &book(),
        &[reading("a", 2), reading("b", 3), reading("c", 2)],
    );
    let states: Vec<&str> = results.iter().map(|result| result.status.name()).collect();
    assert_eq!(states, ["measured", "refused", "measured"]);
}

#[test]
fn the_sheet_that_belongs_to_the_lot() {
    let old = changed(support::SHEET, OLD_SHEET);
    let book = book_of(&[], &[("slip-chlorine-r1.tube.yaml", &old)]);
    let base = format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}");
    for (from, to, expected) in [
        ("lot: 24-117", "lot: 24-117", "slip-chlorine-r2 by lot"),
        // Lots are compared number by number: 24-99 is before 24-100.
        ("lot: 24-117", "lot: 24-99", "slip-chlorine-r1 by lot"),
        (
            "lot: 24-117",
            "leaflet: '1'",
            "slip-chlorine-r1 by leaflet revision",
        ),
        (
            "lot: 24-117",
            "lot: 24-117, leaflet: '2'",
            "slip-chlorine-r2 by lot and leaflet revision",
        ),
        (
            "tube: slip-chlorine,",
            "tube: slip-chlorine-r2,",
            "slip-chlorine-r2 by name",
        ),
    ] {
        let result = one(&book, &changed(&base, &[(from, to)]));
        let sheet = result
            .sheet
            .unwrap_or_else(|| panic!("{to}: {:?}", result.refusal));
        assert_eq!(format!("{} {}", sheet.id, sheet.chosen), expected);
    }
    for (from, to, expected) in [
        ("lot: 24-117, ", "", "sheet-ambiguous"),
        (
            "lot: 24-117",
            "lot: 24-117, leaflet: '1'",
            "lot-and-leaflet-disagree",
        ),
        (
            "tube: slip-chlorine,",
            "tube: slip-chlorine-r1,",
            "lot-and-leaflet-disagree",
        ),
    ] {
        let result = one(&book, &changed(&base, &[(from, to)]));
        assert_eq!(refusal(&result), expected, "{to}");
        assert!(
            result.refusal.unwrap().text.contains("slip-chlorine-r2"),
            "{to}"
        );
    }
}

#[test]
fn a_sheet_with_errors_is_refused_unless_asked_for() {
    let book = book();
    let (survey_book, _) = stainbook_catalog::Book::read([stainbook_catalog::SourceFile::new(
        "s.survey.yaml",
        format!(
            "survey: s\ntitle: A round\nby: KL\nreadings:\n  - {{{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}}}\n"
        ),
    )]);
    let survey = survey_book.survey("s").unwrap();
    let errors = |id: &str| SheetErrors::own(usize::from(id == "slip-chlorine-r2") * 3);
    let options = Options::default().with_sheet_errors(&errors);
    let refused = evaluate(&book, survey, &options);
    assert_eq!(refusal(&refused.results[0]), "sheet-has-errors");
    assert!(!refused.is_complete());
    let flagged = evaluate(
        &book,
        survey,
        &options.with_faulty_sheets(FaultySheets::FlagOnly),
    );
    assert_eq!(flags(&flagged.results[0]), ["sheet-has-errors"]);
    assert!(flagged.is_complete());
}

#[test]
fn a_repeated_id_is_flagged() {
    let reading = format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}");
    let results = support::all(&book(), &[reading.clone(), reading]);
    assert_eq!(
        (flags(&results[0]), flags(&results[1])),
        (vec![], vec!["id-repeated"])
    );
}

#[test]
fn a_sheet_that_was_not_read_whole_is_refused() {
    use stainbook_catalog::{Book, SourceFile};
    let sheet = changed(support::SHEET, &[("measures:", "mesures: {}\nmeasures:")]);
    let (book, findings) = Book::read([
        SourceFile::new("slip-chlorine-r2.tube.yaml", sheet),
        SourceFile::new("quay.pump-kind.yaml", support::KIND),
        SourceFile::new("pump-1.pump.yaml", support::PUMP),
    ]);
    assert!(!findings.is_empty());
    let result = at_20(&book, "strokes: 2, reading: {at: 5 ppm}");
    assert_eq!(refusal(&result), "sheet-has-errors");
}

/// Outside the humidities of a table for temperature and humidity together, humidity is what is refused, and no reading.
#[test]
fn a_humidity_outside_a_table_for_both() {
    let book = book_of(
        &[
            (
                "humidity: {method: none needed}",
                "humidity: {method: with temperature}",
            ),
            (
                "temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]",
                "temperature: {method: with humidity, multiply: reading, columns: [0 °C, 20 °C, 40 °C], humidities: [{humidity: 30 %RH, factors: [1.25, 1.05, 0.95]}, {humidity: 50 %RH, factors: [1.2, 1, 0.9]}]}",
            ),
        ],
        &[],
    );
    let result = one(
        &book,
        &format!(
            "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{air_temperature: 20 °C, humidity: 60 %RH, pressure: 101.3 kPa}}"
        ),
    );
    let refusal = result.refusal.unwrap();
    assert_eq!(refusal.code.as_str(), "outside-humidity-table");
    assert_eq!(
        refusal.text,
        "60 %RH is outside correct.temperature, whose rows go from 30 to 50 %RH"
    );
    assert!(
        refusal.remedy.contains("covers this humidity"),
        "{}",
        refusal.remedy
    );
    assert_eq!(refusal.field.as_deref(), Some("/conditions/humidity"));
}

/// A lot of no sheet that is there, read with a sheet named in full.
#[test]
fn a_lot_of_no_sheet_here() {
    let reading = format!("{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, {AT_20}");
    let reading = changed(
        &reading,
        &[
            ("tube: slip-chlorine,", "tube: slip-chlorine-r2,"),
            ("24-117", "24-050"),
        ],
    );
    let refusal = one(&book(), &reading).refusal.unwrap();
    assert_eq!(refusal.code.as_str(), "lot-and-leaflet-disagree");
    assert_eq!(
        refusal.text,
        "lot `24-050` belongs neither to sheet `slip-chlorine-r2` nor to another revision of it here"
    );
}
