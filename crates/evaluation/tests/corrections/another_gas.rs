//! Another gas that the tube measures: one factor, or a factor for each reading.

use proptest::prelude::*;
use stainbook_catalog::model::Tube;
use stainbook_core::elementary::ln;

use crate::bench::{
    Along, MULTIPLIERS, at, between, between_rows, cases, nodes, outside, part_of, same, target,
    tube, two_decimals,
};

fn sheet(factor: &str, target: &str) -> Tube {
    tube(&[(
        "  lowest_visible: {concentration: 0.2 ppm, strokes: 6}",
        &format!(
            "  lowest_visible: {{concentration: 0.2 ppm, strokes: 6}}\n  also_measures:\n    - {{substance: bromine, multiply: {target}, {factor}, strokes: 2, from: 1, to: 20}}"
        ),
    )])
}

fn value(
    tube: &Tube,
    row: usize,
    reading: f64,
) -> Result<f64, stainbook_evaluation::chain::StepFailed> {
    at(
        tube,
        row,
        Some(&tube.response_factors[0]),
        reading,
        &Along::Temperature.air(20.0),
    )
}

fn rows(order: &[usize], rows: &[(f64, f64)], between: &str) -> String {
    let rows: Vec<String> = order
        .iter()
        .map(|index| format!("[{}, {}]", rows[*index].0, rows[*index].1))
        .collect();
    format!("rows: [{}], between: {between}", rows.join(", "))
}

fn table() -> impl Strategy<Value = Vec<(f64, f64)>> {
    nodes((1.0, 20.0)).prop_flat_map(|readings| {
        prop::collection::vec(0.2..3.0_f64, readings.len()).prop_map(move |factors| {
            readings
                .iter()
                .copied()
                .zip(factors.into_iter().map(two_decimals))
                .collect()
        })
    })
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn one_factor(by in 0.2..5.0_f64, target in target(), row in 0..3_usize, reading in 1.0..20.0_f64) {
        let by = two_decimals(by);
        let found = value(&sheet(&format!("by: {by}"), target), row, reading).unwrap();
        prop_assert!(same(found, reading * MULTIPLIERS[row] * by));
    }

    /// The rows are by the reading on the glass, whatever the stroke count.
    #[test]
    fn exact_at_the_rows(table in table(), target in target(), between in between(), row in 0..3_usize) {
        let all: Vec<usize> = (0..table.len()).collect();
        let sheet = sheet(&rows(&all, &table, between), target);
        for (reading, factor) in &table {
            prop_assert!(same(value(&sheet, row, *reading).unwrap(), reading * MULTIPLIERS[row] * factor));
        }
    }

    #[test]
    fn without_a_jump_and_one_way_between_rows(table in table(), between in between(), shares in (0.0..1.0_f64, 0.0..1.0_f64), step in 1e-9..1e-3_f64) {
        let all: Vec<usize> = (0..table.len()).collect();
        let sheet = sheet(&rows(&all, &table, between), "reading");
        let factor = |reading: f64| value(&sheet, 1, reading).unwrap() / reading;
        for pair in table.windows(2) {
            let ((r0, f0), (r1, f1)) = (pair[0], pair[1]);
            let inside = |share: f64| r0 + (r1 - r0) * share;
            let (a, b) = (factor(inside(shares.0.min(shares.1))), factor(inside(shares.0.max(shares.1))));
            let one_way = if f0 <= f1 { a <= b + 1e-12 } else { b <= a + 1e-12 };
            prop_assert!(one_way, "{a} {b} in {pair:?}");
            let slope = (f1 - f0).abs().max(ln(f1 / f0).abs() * f0.max(f1)) / (r1 - r0);
            for (row, beside) in [(r0, r0 + step), (r1, r1 - step)] {
                let jump = (factor(row) - factor(beside)).abs();
                prop_assert!(jump <= slope * (step + 2e-8) * 1.001 + 1e-12, "{jump} at {row}");
            }
        }
    }

    #[test]
    fn the_order_of_the_rows_does_not_count(
        (table, order) in table().prop_flat_map(|table| { let order = Just((0..table.len()).collect::<Vec<_>>()).prop_shuffle(); (Just(table), order) }),
        share in 0.0..1.0_f64,
    ) {
        let all: Vec<usize> = (0..table.len()).collect();
        let readings: Vec<f64> = table.iter().map(|row| row.0).collect();
        let reading = part_of(&readings, share);
        let of = |order: &[usize]| value(&sheet(&rows(order, &table, "linear"), "reading"), 1, reading).unwrap();
        prop_assert_eq!(of(&all), of(&order));
    }

    #[test]
    fn nothing_outside_and_between_printed_rows_only_if_allowed(table in table(), beyond in 1e-4..0.5_f64, share in 0.02..0.98_f64) {
        let all: Vec<usize> = (0..table.len()).collect();
        let (first, last) = (table[0].0, table[table.len() - 1].0);
        let linear = sheet(&rows(&all, &table, "linear"), "reading");
        for reading in [first - beyond, last + beyond] {
            let ends = outside(value(&linear, 1, reading));
            prop_assert!(ends.is_some_and(|(low, high)| same(low, first) && same(high, last)), "{ends:?}");
        }
        let printed_only = sheet(&rows(&all, &table, "not allowed"), "reading");
        prop_assert!(between_rows(value(&printed_only, 1, first + (table[1].0 - first) * share)));
        prop_assert!(same(value(&printed_only, 1, table[1].0).unwrap(), table[1].0 * table[1].1));
    }
}
