//! One factor for each condition: factor tables and points read off a graph, along every condition.

use proptest::prelude::*;

use stainbook_core::elementary::{exp, ln};

use crate::bench::{
    Along, MULTIPLIERS, along, at, between, between_rows, cases, nodes, outside, part_of, same,
    target, two_decimals,
};

/// A table as it is drawn at random.
#[derive(Clone, Debug)]
struct PrintedTable {
    along: Along,
    method: &'static str,
    target: &'static str,
    between: &'static str,
    rows: Vec<(f64, f64)>,
    factor_first: bool,
}

impl PrintedTable {
    /// As a sheet states it, with the rows in this order.
    fn text(&self, order: &[usize]) -> String {
        let unit = self.along.unit();
        let (columns, rows): (String, Vec<String>) = if self.factor_first {
            let rows = order.iter().map(|i| &self.rows[*i]);
            (
                format!("[factor, '{unit}']"),
                rows.map(|(c, f)| format!("[{f}, {c}]")).collect(),
            )
        } else {
            let rows = order.iter().map(|i| &self.rows[*i]);
            (
                format!("['{unit}', factor]"),
                rows.map(|(c, f)| format!("[{c}, {f}]")).collect(),
            )
        };
        format!(
            "{{method: {}, multiply: {}, columns: {columns}, rows: [{}], between: {}}}",
            self.method,
            self.target,
            rows.join(", "),
            self.between
        )
    }

    fn in_order(&self) -> Vec<usize> {
        (0..self.rows.len()).collect()
    }

    fn conditions(&self) -> Vec<f64> {
        self.rows.iter().map(|row| row.0).collect()
    }

    /// The factor, worked out apart.
    fn factor(&self, condition: f64) -> f64 {
        let after = self
            .rows
            .iter()
            .position(|row| condition <= row.0)
            .unwrap_or(self.rows.len() - 1)
            .max(1);
        let ((c0, f0), (c1, f1)) = (self.rows[after - 1], self.rows[after]);
        let share = (condition - c0) / (c1 - c0);
        if self.between == "logarithmic" {
            exp(ln(f0) * (1.0 - share) + ln(f1) * share)
        } else {
            f0 * (1.0 - share) + f1 * share
        }
    }

    /// The steepest that the factor can be anywhere, per unit of the condition.
    fn steepest(&self) -> f64 {
        self.rows
            .windows(2)
            .map(|pair| {
                let ((c0, f0), (c1, f1)) = (pair[0], pair[1]);
                if self.between == "logarithmic" {
                    ln(f1 / f0).abs() * f0.max(f1) / (c1 - c0)
                } else {
                    (f1 - f0).abs() / (c1 - c0)
                }
            })
            .fold(0.0, f64::max)
    }
}

fn printed() -> impl Strategy<Value = PrintedTable> {
    (
        along(),
        target(),
        between(),
        any::<bool>(),
        prop::sample::select(vec!["factor table", "curve points"]),
    )
        .prop_flat_map(|(along, target, between, factor_first, method)| {
            nodes(along.span()).prop_flat_map(move |conditions| {
                prop::collection::vec(0.2..3.0_f64, conditions.len()).prop_map(move |factors| {
                    PrintedTable {
                        along,
                        method,
                        target,
                        between,
                        factor_first,
                        rows: conditions
                            .iter()
                            .copied()
                            .zip(factors.into_iter().map(two_decimals))
                            .collect(),
                    }
                })
            })
        })
}

proptest! {
    #![proptest_config(cases(96))]

    #[test]
    fn exact_at_the_rows(table in printed(), row in 0..3_usize, reading in 1.0..20.0_f64) {
        let tube = table.along.tube(&table.text(&table.in_order()));
        for (condition, factor) in &table.rows {
            let found = at(&tube, row, None, reading, &table.along.air(*condition)).unwrap();
            prop_assert!(same(found, reading * MULTIPLIERS[row] * factor), "{found} at {condition}");
        }
    }

    #[test]
    fn as_worked_out_apart(table in printed(), row in 0..3_usize, share in 0.0..1.0_f64) {
        let tube = table.along.tube(&table.text(&table.in_order()));
        let condition = part_of(&table.conditions(), share);
        let found = at(&tube, row, None, 5.0, &table.along.air(condition)).unwrap();
        // A condition within a billionth of a row counts as that row.
        let expected = 5.0 * MULTIPLIERS[row] * table.factor(condition);
        prop_assert!((found / expected - 1.0).abs() < 1e-6, "{found} and not {expected}");
    }

    #[test]
    fn no_jump_anywhere(table in printed(), share in 0.0..1.0_f64, step in 1e-9..1e-2_f64) {
        let tube = table.along.tube(&table.text(&table.in_order()));
        let nodes = table.conditions();
        let (first, last) = (nodes[0], nodes[nodes.len() - 1]);
        let slope = 5.0 * table.steepest();
        // About each row, where one line of the table hands over to the next, and somewhere else.
        for about in nodes.iter().copied().chain([part_of(&nodes, share)]) {
            for other in [about - step, about + step] {
                if first <= other && other <= last {
                    let value = |condition| at(&tube, 1, None, 5.0, &table.along.air(condition)).unwrap();
                    let jump = (value(about) - value(other)).abs();
                    // Twice a billionth is how near a condition counts as a row's own.
                    prop_assert!(jump <= slope * (step + 2e-9 * about.abs().max(1.0)) * 1.001 + 1e-12, "{jump} at {about}");
                }
            }
        }
    }

    #[test]
    fn between_two_rows_it_goes_one_way(table in printed(), shares in (0.0..1.0_f64, 0.0..1.0_f64)) {
        let tube = table.along.tube(&table.text(&table.in_order()));
        let value = |condition| at(&tube, 1, None, 5.0, &table.along.air(condition)).unwrap();
        let (one, other) = (shares.0.min(shares.1), shares.0.max(shares.1));
        for pair in table.rows.windows(2) {
            let ((c0, f0), (c1, f1)) = (pair[0], pair[1]);
            let (a, b) = (value(c0 + (c1 - c0) * one), value(c0 + (c1 - c0) * other));
            let one_way = if f0 <= f1 { a <= b + 1e-12 } else { b <= a + 1e-12 };
            prop_assert!(one_way, "{a} {b} in {pair:?}");
        }
    }

    #[test]
    fn the_order_of_rows_and_columns_does_not_count(
        (table, order) in printed().prop_flat_map(|table| {
            let order = Just(table.in_order()).prop_shuffle();
            (Just(table), order)
        }),
        share in 0.0..1.0_f64,
    ) {
        let turned = PrintedTable { factor_first: !table.factor_first, ..table.clone() };
        let air = table.along.air(part_of(&table.conditions(), share));
        let value = |text: &str| at(&table.along.tube(text), 0, None, 5.0, &air).unwrap();
        prop_assert_eq!(value(&table.text(&table.in_order())), value(&turned.text(&order)));
    }

    #[test]
    fn nothing_outside_and_between_printed_rows_only_if_allowed(table in printed(), beyond in 1e-5..5.0_f64, share in 0.01..0.99_f64) {
        let tube = table.along.tube(&table.text(&table.in_order()));
        let nodes = table.conditions();
        let (first, last) = (nodes[0], nodes[nodes.len() - 1]);
        for condition in [(first - beyond).max(first * 0.5 - 1.0).min(first - 1e-5), last + beyond] {
            let ends = outside(at(&tube, 1, None, 5.0, &table.along.air(condition)));
            prop_assert!(ends.is_some_and(|(low, high)| same(low, first) && same(high, last)), "{ends:?} at {condition}");
        }
        let printed_only = PrintedTable { between: "not allowed", ..table };
        let tube = printed_only.along.tube(&printed_only.text(&printed_only.in_order()));
        for pair in nodes.windows(2) {
            let condition = pair[0] + (pair[1] - pair[0]) * share;
            prop_assert!(between_rows(at(&tube, 1, None, 5.0, &printed_only.along.air(condition))));
        }
        for (condition, factor) in &printed_only.rows {
            let found = at(&tube, 1, None, 5.0, &printed_only.along.air(*condition)).unwrap();
            prop_assert!(same(found, 5.0 * factor));
        }
    }
}
