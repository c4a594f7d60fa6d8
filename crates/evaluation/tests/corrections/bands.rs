//! What a leaflet says in bands of conditions, and what it says of temperature and humidity together.

use proptest::prelude::*;
use stainbook_evaluation::chain::{AirState, Failure, StatedHumidity, StepFailed};
use stainbook_evaluation::interpolation::NoValue;

use crate::bench::{Along, MULTIPLIERS, at, cases, outside, same, tube, two_decimals};

const BANDS: &str = "{method: factor bands, multiply: reading, bands: [{within: 30 to 60 %RH, factor: 1.0}, {within: 60 to 90 %RH, factor: 0.8}, {within: above 90 %RH, factor: 0.7}]}";

fn factor(correction: &str, along: Along, condition: f64) -> Result<f64, StepFailed> {
    at(
        &along.tube(correction),
        1,
        None,
        10.0,
        &along.air(condition),
    )
    .map(|found| found / 10.0)
}

fn barred(found: Result<f64, StepFailed>) -> bool {
    matches!(
        found,
        Err(StepFailed {
            why: Failure::Table(NoValue::Barred { .. }),
            ..
        })
    )
}

/// The leaflet's own number everywhere in its band, and at an end that two share the larger one.
#[test]
fn a_band_is_no_row() {
    for (humidity, expected) in [
        (30.0, 1.0),
        (45.0, 1.0),
        (59.9, 1.0),
        (60.0, 1.0),
        (60.1, 0.8),
        (89.0, 0.8),
        (90.0, 0.8),
        (95.0, 0.7),
        (100.0, 0.7),
    ] {
        let found = factor(BANDS, Along::RelativeHumidity, humidity).unwrap();
        assert!(same(found, expected), "{humidity} %RH: {found}");
    }
    let below = at(
        &Along::RelativeHumidity.tube(BANDS),
        1,
        None,
        10.0,
        &Along::RelativeHumidity.air(29.9),
    );
    assert_eq!(outside(below), Some((30.0, f64::INFINITY)));
}

/// Bands as they are printed to a step: what lies between two belongs to both. A wider gap belongs to neither.
#[test]
fn between_two_printed_bands() {
    let bands = |first: &str| {
        format!(
            "{{method: factor bands, multiply: reading, bands: [{{within: {first} %RH, factor: 1.0}}, {{within: 60 to 90 %RH, factor: 0.8}}]}}"
        )
    };
    let found = factor(&bands("30 to 59"), Along::RelativeHumidity, 59.5).unwrap();
    assert!(same(found, 1.0), "{found}");
    let found = factor(&bands("30 to 55"), Along::RelativeHumidity, 57.0);
    assert!(
        matches!(found, Err(StepFailed { why: Failure::Table(NoValue::BetweenRows { before, after, .. }), .. }) if (before, after) == (55.0, 60.0)),
        "{found:?}"
    );
}

/// By hand: 1 % for each degree from 20 °C on is 1.05 at 25 °C; counted downwards from the end that is nearer to the calibration.
#[test]
fn so_much_for_each_degree() {
    let by_degree = "{method: factor bands, multiply: reading, bands: [{within: below 20 °C, per_unit: -2 %}, {within: above 20 °C, per_unit: 1 %}]}";
    for (celsius, expected) in [(25.0, 1.05), (40.0, 1.2), (20.0, 1.0), (15.0, 0.9)] {
        let found = factor(by_degree, Along::Temperature, celsius).unwrap();
        assert!(same(found, expected), "{celsius} °C: {found}");
    }
    let closed = "{method: factor bands, multiply: reading, bands: [{within: 0 to 20 °C, per_unit: 1 %}, {within: 20 to 40 °C, factor: 1}]}";
    let found = factor(closed, Along::Temperature, 5.0).unwrap();
    assert!(same(found, 1.15), "{found}");
}

#[test]
fn what_the_leaflet_says_in_words() {
    let cold = "{method: factor bands, bands: [{within: below 5 °C, says: do not use}], elsewhere: none needed}";
    assert!(barred(factor(cold, Along::Temperature, 4.9)));
    assert!(same(factor(cold, Along::Temperature, 5.0).unwrap(), 1.0));
    let hot = "{method: factor bands, multiply: reading, bands: [{within: above 30 °C, factor: 0.9}], elsewhere: none needed}";
    for (celsius, expected) in [(29.0, 1.0), (30.0, 1.0), (31.0, 0.9)] {
        let found = factor(hot, Along::Temperature, celsius).unwrap();
        assert!(same(found, expected), "{celsius} °C: {found}");
    }
    let only = "{method: factor bands, bands: [{within: 900 to 1100 hPa, says: none needed}], elsewhere: proportional}";
    for (hectopascals, expected) in [(950.0, 1.0), (800.0, 1013.0 / 800.0)] {
        let found = factor(only, Along::Pressure, hectopascals).unwrap();
        assert!(same(found, expected), "{hectopascals} hPa: {found}");
    }
}

proptest! {
    #![proptest_config(cases(96))]

    /// Any printed bands, in any order: the number of the band that holds the condition.
    #[test]
    fn any_bands(
        steps in prop::collection::vec((2.0..12.0_f64, 0.5..1.5_f64), 2..6),
        share in 0.01..0.99_f64,
        pick in 0..6_usize,
        row in 0..3_usize,
        turned in any::<bool>(),
    ) {
        let mut low = 10.0;
        let mut bands: Vec<(f64, f64, f64)> = steps
            .into_iter()
            .map(|(step, factor)| {
                let from = low;
                low = two_decimals(low + step);
                (from, low, two_decimals(factor))
            })
            .collect();
        let (from, to, expected) = bands[pick % bands.len()];
        if turned {
            bands.reverse();
        }
        let texts: Vec<String> = bands
            .iter()
            .map(|(from, to, factor)| format!("{{within: {from} to {to} %RH, factor: {factor}}}"))
            .collect();
        let correction = format!("{{method: factor bands, multiply: concentration, bands: [{}]}}", texts.join(", "));
        let sheet = Along::RelativeHumidity.tube(&correction);
        let humidity = from + (to - from) * share;
        let found = at(&sheet, row, None, 7.0, &Along::RelativeHumidity.air(humidity)).unwrap();
        prop_assert!(same(found, 7.0 * MULTIPLIERS[row] * expected), "{humidity} in {from} to {to}: {found}");
    }

    /// One table for temperature and humidity: a plane is given back everywhere.
    #[test]
    fn a_plane_of_temperature_and_humidity(celsius in 0.0..40.0_f64, percent in 10.0..90.0_f64) {
        let plane = |c: f64, h: f64| 1.4 - 0.01 * c - 0.004 * h;
        let rows: Vec<String> = [10.0, 50.0, 90.0]
            .iter()
            .map(|h| format!("{{humidity: {h} %RH, factors: [{}, {}, {}]}}", plane(0.0, *h), plane(20.0, *h), plane(40.0, *h)))
            .collect();
        let sheet = tube(&[
            (
                "temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]",
                &format!("temperature: {{method: with humidity, multiply: reading, columns: [0 °C, 20 °C, 40 °C], humidities: [{}]}}", rows.join(", ")),
            ),
            ("humidity: {method: none needed}", "humidity: {method: with temperature}"),
        ]);
        let air = AirState {
            tube_celsius: celsius,
            air_celsius: celsius,
            humidity: StatedHumidity::Relative(percent),
            kilopascals: 101.3,
        };
        let found = at(&sheet, 1, None, 10.0, &air).unwrap() / 10.0;
        prop_assert!((found - plane(celsius, percent)).abs() < 1e-9, "{found}");
    }
}

/// A cell in which the leaflet prints nothing: what needs it has no value, what does not is as before.
#[test]
fn nothing_is_put_in_for_an_empty_cell() {
    let table = "{method: table, replace: reading, columns: [0 °C, 20 °C, 40 °C], lines: [{reading: 2 ppm, becomes: [none, 2, 1.8]}, {reading: 20 ppm, becomes: [26, 20, 17]}]}";
    let sheet = Along::Temperature.tube(table);
    let of =
        |reading: f64, celsius: f64| at(&sheet, 1, None, reading, &Along::Temperature.air(celsius));
    let is_empty = |found: Result<f64, StepFailed>| {
        matches!(
            found,
            Err(StepFailed {
                why: Failure::Table(NoValue::EmptyCell),
                ..
            })
        )
    };
    assert!(is_empty(of(2.0, 0.0)));
    assert!(is_empty(of(11.0, 0.0)));
    assert!(is_empty(of(2.0, 10.0)));
    assert!(same(of(20.0, 0.0).unwrap(), 26.0));
    assert!(same(of(20.0, 10.0).unwrap(), 23.0));
    assert!(same(of(2.0, 20.0).unwrap(), 2.0));
    assert!(same(of(2.0, 30.0).unwrap(), 1.9));
}

/// A row of factors beside rows of concentrations: 10 ppm times 1.4 is 14 ppm.
#[test]
fn a_row_of_factors() {
    let table = "{method: table, replace: reading, columns: [0 °C, 20 °C], lines: [{reading: 2 ppm, becomes: [2.6, 2]}, {reading: 10 ppm, factors: [1.4, 1]}, {reading: 20 ppm, becomes: [26, 20]}]}";
    let sheet = Along::Temperature.tube(table);
    for (reading, celsius, expected) in [(10.0, 0.0, 14.0), (10.0, 10.0, 12.0), (15.0, 0.0, 20.0)] {
        let found = at(&sheet, 1, None, reading, &Along::Temperature.air(celsius)).unwrap();
        assert!(
            same(found, expected),
            "{reading} ppm at {celsius} °C: {found}"
        );
    }
}

/// A tube with a scale in per cent beside one in ppm: its table is in ppm, and 0.001 % is 10 ppm.
#[test]
fn a_table_for_a_scale_in_another_unit() {
    let table = "{method: table, replace: reading, columns: [0 °C, 20 °C], lines: [{reading: 2 ppm, becomes: [2.6, 2]}, {reading: 20 ppm, becomes: [26, 20]}]}";
    let mut sheet = Along::Temperature.tube(table);
    let mut second = sheet.scales[0].clone();
    second.unit = stainbook_core::unit_of(stainbook_core::Dimension::Concentration, "%").unwrap();
    second.marks = vec![0.0005, 0.001, 0.002];
    sheet.scales.push(second);
    let chain =
        stainbook_evaluation::chain::Chain::new(&sheet, &sheet.scales[1], &sheet.ranges[1], None);
    let of = |reading: f64| {
        chain.value(
            reading,
            &Along::Temperature.air(0.0),
            stainbook_evaluation::chain::TableLookup::AsStated,
        )
    };
    assert!(same(of(0.001).unwrap(), 0.0013));
    assert_eq!(outside(of(10.0)), Some((0.0002, 0.002)));
}
