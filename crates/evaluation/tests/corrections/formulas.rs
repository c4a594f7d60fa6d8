//! Printed formulas.

use proptest::prelude::*;
use stainbook_evaluation::chain::{Failure, StepFailed};

use crate::bench::{MULTIPLIERS, along, at, cases, part_of, same, target};
use crate::support::{GOOD, book_of, one, refusal};

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn as_printed_along_every_condition(
        along in along(),
        target in target(),
        row in 0..3_usize,
        c in (0.5..1.5_f64, -2e-3..2e-3_f64, -1e-6..1e-6_f64),
        share in 0.0..1.0_f64,
    ) {
        let tube = along.tube(&format!(
            "{{method: polynomial, multiply: {target}, of: '{}', coefficients: [{}, {}, {}]}}",
            along.unit(), c.0, c.1, c.2
        ));
        let x = part_of(&[along.span().0, along.span().1], share);
        let factor = c.0 + c.1 * x + c.2 * x * x;
        let found = at(&tube, row, None, 5.0, &along.air(x));
        if factor <= 0.0 {
            let impossible = matches!(found, Err(StepFailed { why: Failure::FactorNotPositive(_), .. }));
            prop_assert!(impossible, "{:?}", found);
        } else {
            prop_assert!((found.unwrap() / (5.0 * MULTIPLIERS[row] * factor) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn it_holds_in_the_usable_range_and_not_beyond(celsius in -20.0..60.0_f64) {
        thread_local! {
            static BOOK: stainbook_catalog::Book = book_of(&[(
                "method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]",
                "method: polynomial\n    multiply: reading\n    of: °C\n    coefficients: [1.2, -0.01]",
            )], &[]);
        }
        let result = BOOK.with(|book| one(book, &format!(
            "{GOOD}, strokes: 2, reading: {{at: 5 ppm}}, conditions: {{humidity: 50 %RH, pressure: 101.3 kPa, air_temperature: {celsius} °C}}"
        )));
        if (0.0..=40.0).contains(&celsius) {
            prop_assert!(same(result.concentration.unwrap().value, 5.0 * (1.2 - 0.01 * celsius)));
        } else {
            prop_assert_eq!(refusal(&result), "outside-temperature-table");
        }
    }
}
