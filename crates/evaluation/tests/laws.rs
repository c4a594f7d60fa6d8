//! Laws that hold for any sheet and any reading.
#![cfg(test)]

mod support;

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::Book;
use stainbook_catalog::written::{Conditions, Reading};
use stainbook_evaluation::{Evaluator, Options};
use support::{GOOD, book, book_of, close, one, value};

/// So many cases, those that ever failed first; a new one is kept there, to be committed.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/proptest-regressions/laws.txt"
        )))),
        ..ProptestConfig::with_cases(cases)
    }
}

/// Temperature rows at least a degree apart, with factors, in rising order.
fn rows() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((1.0..15.0_f64, 0.3..2.5_f64), 2..7).prop_map(|steps| {
        let mut at = -10.0;
        steps
            .into_iter()
            .map(|(step, factor)| {
                at += step;
                (
                    (at * 10.0_f64).round() / 10.0,
                    (factor * 100.0).round() / 100.0,
                )
            })
            .collect()
    })
}

fn with_rows(rows: &[(f64, f64)], between: &str) -> Book {
    let printed: Vec<String> = rows
        .iter()
        .map(|(at, factor)| format!("[{at}, {factor}]"))
        .collect();
    book_of(
        &[(
            "rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]",
            &format!("rows: [{}]\n    between: {between}", printed.join(", ")),
        )],
        &[],
    )
}

fn at(book: &Book, celsius: f64) -> Option<f64> {
    let result = one(
        book,
        &format!(
            "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{humidity: 50 %RH, pressure: 101.3 kPa, air_temperature: {celsius} °C}}"
        ),
    );
    result.concentration.map(|amount| amount.value)
}

proptest! {
    #![proptest_config(cases(48))]

    #[test]
    fn exact_at_rows_and_refused_outside(rows in rows(), linear in any::<bool>()) {
        let book = with_rows(&rows, if linear { "linear" } else { "logarithmic" });
        for (celsius, factor) in &rows {
            prop_assert!(close(at(&book, *celsius).unwrap(), 5.0 * factor));
        }
        prop_assert_eq!(at(&book, rows[0].0 - 0.1), None);
        prop_assert_eq!(at(&book, rows[rows.len() - 1].0 + 0.1), None);
    }

    #[test]
    fn the_order_of_the_rows_does_not_count(rows in rows().prop_flat_map(|rows| (Just(rows.clone()), Just(rows).prop_shuffle())), share in 0.0..1.0_f64) {
        let (sorted, shuffled) = rows;
        let celsius = sorted[0].0 + (sorted[sorted.len() - 1].0 - sorted[0].0) * share;
        let (a, b) = (at(&with_rows(&sorted, "linear"), celsius), at(&with_rows(&shuffled, "linear"), celsius));
        prop_assert_eq!(a, b);
    }

    #[test]
    fn in_proportion_to_reading_and_multiplier(reading in 1.0..20.0_f64, celsius in 0.0..40.0_f64, kilopascals in 60.0..105.0_f64) {
        let book = book();
        let conditions = format!("conditions: {{humidity: 50 %RH, air_temperature: {celsius} °C, pressure: {kilopascals} kPa}}");
        let with = |strokes: f64, reading: f64| value(&one(&book, &format!("{GOOD}, strokes: {strokes}, reading: {{at: {reading} ppm}}, {conditions}")));
        let base = with(2.0, 10.0) / 10.0;
        prop_assert!(close(with(2.0, reading), reading * base));
        prop_assert!(close(with(0.5, reading), reading * base * 2.5));
    }

    #[test]
    fn uncertainty_is_whole(reading in 1.0..20.0_f64, celsius in 0.0..40.0_f64, strokes in prop::sample::select(vec![0.5, 2.0, 6.0])) {
        let result = one(&book(), &format!("{GOOD}, strokes: {strokes}, reading: {{at: {reading} ppm}}, conditions: {{humidity: 50 %RH, air_temperature: {celsius} °C, altitude: 800 m}}"));
        let u = result.uncertainty.unwrap();
        prop_assert!(u.relative > 0.1 && u.relative < 1.0);
        let [low, high] = u.interval.map(|end| end.unwrap());
        prop_assert!(0.0 <= low && low < high);
        let shares: f64 = u.budget.iter().map(|line| line.contribution).sum();
        prop_assert!((shares - 100.0).abs() < 1e-9);
        for against in &result.against {
            if let Some(p) = against.probability_above {
                prop_assert!((0.0..=1.0).contains(&p));
            }
        }
    }
}

/// Scraps of which a reading is put together, good and bad.
fn scrap(name: &'static str, values: &'static [&'static str]) -> impl Strategy<Value = String> {
    prop::sample::select(values).prop_map(move |value| {
        if value.is_empty() {
            String::new()
        } else {
            format!("{name}: {value}, ")
        }
    })
}

proptest! {
    #![proptest_config(cases(400))]

    /// Whatever is written, there is a result or a refusal with something to do, and both can be printed.
    #[test]
    fn never_without_an_answer(
        tube in scrap("tube", &["", "slip-chlorine", "slip-chlorine-r2", "slip"]),
        lot in scrap("lot", &["", "24-117", "22-001", "''"]),
        pump in scrap("pump", &["", "pump-1", "nowhere"]),
        strokes in scrap("strokes", &["", "2", "6", "0.5", "0", "-1", "1e300"]),
        seen in scrap("reading", &["", "{at: 5 ppm}", "{at: 0 ppm}", "{at: 1e6 ppm}", "{short: 1 ppm, long: 20 ppm}", "{seen: no stain}", "{seen: beyond last mark}", "{at: 5 mg/m³}", "{at: 5 ppm, uncertainty: 0 ppm}", "{at: 5 ppm, uncertainty: 9000 ppm}"]),
        gas in scrap("substance", &["", "chlorine", "bromine", "no-such-gas"]),
        present in scrap("present", &["", "[{substance: chlorine-dioxide, level: 0 ppm}]", "[{substance: chlorine-dioxide, level: 1e6 ppm}]", "[{substance: chlorine-dioxide, level: 3 mg/m³}]", "[{}]", "[{substance: hydrogen-sulfide, level: 4 mg/m³}]"]),
        air in scrap("air_temperature", &["", "20 °C", "-200 °C", "1000 °C"]),
        tube_temperature in scrap("tube_temperature", &["", "10 °C"]),
        humidity in scrap("humidity", &["", "0 %RH", "100 %RH", "0 g/m³", "500 g/m³"]),
        pressure in scrap("pressure", &["", "101.3 kPa", "1 Pa", "80 kPa"]),
        altitude in scrap("altitude", &["", "0 m", "9000 m", "-6000 m", "1e9 m"]),
        sea in scrap("sea_level_pressure", &["", "1013 hPa", "1 hPa"]),
    ) {
        thread_local! {
            static BOOK: Book = book();
        }
        let rest = format!("id: r1, {tube}{lot}{pump}{strokes}{seen}{gas}{present}conditions: {{{air}{tube_temperature}{humidity}{pressure}{altitude}{sea}}}");
        let result = BOOK.with(|book| support::any(book, &rest));
        prop_assert_eq!(result.concentration.is_none(), result.refusal.is_some());
        if let Some(refusal) = &result.refusal {
            prop_assert!(!refusal.text.is_empty() && !refusal.remedy.is_empty());
        }
        if let Some(amount) = &result.concentration {
            prop_assert!(amount.value.is_finite() && 0.0 < amount.value, "{rest}");
        }
        if let Some(u) = &result.uncertainty {
            prop_assert!(u.standard.is_finite(), "{rest}");
        }
        prop_assert!(serde_json::to_string(&result).is_ok());
    }
}

#[test]
fn an_empty_reading_is_refused() {
    let book = book();
    let mut evaluator = Evaluator::new(&book, Options::default());
    let result = evaluator.reading(4, &Reading::default(), &Conditions::default(), None);
    assert_eq!(
        (result.id.as_str(), support::refusal(&result)),
        ("#5", "tube-missing")
    );
}
