//! Tables of the corrected value against reading and condition.

use proptest::prelude::*;

use stainbook_core::elementary::{exp, ln};

use crate::bench::{
    Along, MULTIPLIERS, along, at, between, between_rows, cases, nodes, outside, part_of, same,
    target, two_decimals,
};

#[derive(Clone, Debug)]
struct PrintedTable {
    along: Along,
    target: &'static str,
    between: &'static str,
    columns: Vec<f64>,
    lines: Vec<f64>,
    /// For each line the value under each column: rising with the reading, falling with the condition.
    values: Vec<Vec<f64>>,
}

impl PrintedTable {
    fn text(&self, columns: &[usize], lines: &[usize]) -> String {
        let heads: Vec<String> = columns
            .iter()
            .map(|column| format!("{} {}", self.columns[*column], self.along.unit()))
            .collect();
        let rows: Vec<String> = lines
            .iter()
            .map(|line| {
                let values: Vec<String> = columns
                    .iter()
                    .map(|column| self.values[*line][*column].to_string())
                    .collect();
                format!(
                    "{{reading: {} ppm, becomes: [{}]}}",
                    self.lines[*line],
                    values.join(", ")
                )
            })
            .collect();
        format!(
            "{{method: table, replace: {}, columns: [{}], lines: [{}], between: {}}}",
            self.target,
            heads.join(", "),
            rows.join(", "),
            self.between
        )
    }

    fn tube(&self) -> stainbook_catalog::model::Tube {
        let all = |length| (0..length).collect::<Vec<_>>();
        self.along
            .tube(&self.text(&all(self.columns.len()), &all(self.lines.len())))
    }

    /// The reading at which the table is entered with this number, drawn with the stroke count of this row.
    fn reading_for(&self, entered: f64, row: usize) -> f64 {
        if self.target == "concentration" {
            entered / MULTIPLIERS[row]
        } else {
            entered
        }
    }

    /// The concentration that a value of the table means.
    fn concentration(&self, value: f64, row: usize) -> f64 {
        if self.target == "concentration" {
            value
        } else {
            value * MULTIPLIERS[row]
        }
    }

    /// The table's value, worked out apart: weights of the four values about the place.
    fn value(&self, condition: f64, entered: f64) -> f64 {
        let logarithmic = self.between == "logarithmic";
        let find = |nodes: &[f64], at: f64, by_logarithm: bool| {
            let after = nodes
                .iter()
                .position(|node| at <= *node)
                .unwrap_or(nodes.len() - 1)
                .max(1);
            let (a, b) = (nodes[after - 1], nodes[after]);
            let share = if by_logarithm {
                (ln(at) - ln(a)) / (ln(b) - ln(a))
            } else {
                (at - a) / (b - a)
            };
            (after, share)
        };
        let (column, c) = find(&self.columns, condition, false);
        let (line, r) = find(&self.lines, entered, logarithmic);
        let cell = |l: usize, k: usize| {
            let value = self.values[l][k];
            if logarithmic { ln(value) } else { value }
        };
        let sum = cell(line - 1, column - 1) * (1.0 - r) * (1.0 - c)
            + cell(line - 1, column) * (1.0 - r) * c
            + cell(line, column - 1) * r * (1.0 - c)
            + cell(line, column) * r * c;
        if logarithmic { exp(sum) } else { sum }
    }
}

fn printed() -> impl Strategy<Value = PrintedTable> {
    (along(), target(), between()).prop_flat_map(|(along, target, between)| {
        (nodes(along.span()), nodes((0.5, 60.0))).prop_flat_map(move |(columns, lines)| {
            let cells = columns.len() * lines.len();
            let width = columns.len();
            prop::collection::vec(0.05..3.0_f64, cells).prop_map(move |steps| {
                let mut values: Vec<Vec<f64>> = Vec::new();
                for line in steps.chunks(width) {
                    let mut falling: Vec<f64> = Vec::new();
                    // From the last column to the first, so that the first is the highest.
                    for (column, step) in line.iter().enumerate().rev() {
                        let beside = falling.last().copied().unwrap_or(0.3);
                        let above = values.last().map_or(0.0, |line| line[column]);
                        falling.push(two_decimals(beside.max(above) + step));
                    }
                    falling.reverse();
                    values.push(falling);
                }
                PrintedTable {
                    along,
                    target,
                    between,
                    columns: columns.clone(),
                    lines: lines.clone(),
                    values,
                }
            })
        })
    })
}

proptest! {
    #![proptest_config(cases(64))]

    #[test]
    fn exact_where_a_value_is_printed(table in printed(), row in 0..3_usize) {
        let tube = table.tube();
        for (line, entered) in table.lines.iter().enumerate() {
            for (column, condition) in table.columns.iter().enumerate() {
                let reading = table.reading_for(*entered, row);
                let found = at(&tube, row, None, reading, &table.along.air(*condition)).unwrap();
                let expected = table.concentration(table.values[line][column], row);
                prop_assert!(same(found, expected), "{found} and not {expected}");
            }
        }
    }

    #[test]
    fn as_worked_out_apart(table in printed(), row in 0..3_usize, shares in (0.0..1.0_f64, 0.0..1.0_f64)) {
        let (condition, entered) = (part_of(&table.columns, shares.0), part_of(&table.lines, shares.1));
        let found = at(&table.tube(), row, None, table.reading_for(entered, row), &table.along.air(condition)).unwrap();
        let expected = table.concentration(table.value(condition, entered), row);
        prop_assert!((found / expected - 1.0).abs() < 1e-6, "{found} and not {expected}");
    }

    #[test]
    fn no_jump_at_a_line_or_column(table in printed(), share in 0.0..1.0_f64, step in 1e-8..1e-3_f64) {
        let tube = table.tube();
        let value = |condition: f64, entered: f64| at(&tube, 1, None, entered, &table.along.air(condition)).unwrap();
        let highest = table.values.iter().flatten().copied().fold(0.0, f64::max);
        let lowest = table.values.iter().flatten().copied().fold(f64::INFINITY, f64::min);
        let apart = |nodes: &[f64]| nodes.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
        // No table is steeper than all of its height, or of its logarithms, between the two nearest of its lines.
        let whole = highest.max(highest * ln(highest / lowest));
        let about_the_logarithm = table.lines[table.lines.len() - 1] / table.lines[0];
        for (nodes, other, along_columns) in [(&table.columns, part_of(&table.lines, share), true), (&table.lines, part_of(&table.columns, share), false)] {
            let slope = whole / apart(nodes) * if along_columns { 1.0 } else { about_the_logarithm };
            for about in &nodes[1..nodes.len() - 1] {
                let at = |node| if along_columns { value(node, other) } else { value(other, node) };
                for beside in [about - step, about + step] {
                    let jump = (at(*about) - at(beside)).abs();
                    prop_assert!(jump <= slope * (step + 2e-9 * about.abs().max(1.0)), "{jump} at {about}");
                }
            }
        }
    }

    #[test]
    fn monotone_as_the_table_is(table in printed(), row in 0..3_usize, a in (0.0..1.0_f64, 0.0..1.0_f64), b in (0.0..1.0_f64, 0.0..1.0_f64)) {
        let tube = table.tube();
        let value = |condition: f64, entered: f64| at(&tube, row, None, table.reading_for(entered, row), &table.along.air(condition)).unwrap();
        // More condition gives less, more reading gives more.
        let (low, high) = (part_of(&table.columns, a.0.min(b.0)), part_of(&table.columns, a.0.max(b.0)));
        let (short, long) = (part_of(&table.lines, a.1.min(b.1)), part_of(&table.lines, a.1.max(b.1)));
        prop_assert!(value(high, short) <= value(low, short) + 1e-9);
        prop_assert!(value(low, short) <= value(low, long) + 1e-9);
        prop_assert!(value(high, short) <= value(low, long) + 1e-9);
    }

    #[test]
    fn the_order_of_lines_and_columns_does_not_count(
        (table, columns, lines) in printed().prop_flat_map(|table| {
            let columns = Just((0..table.columns.len()).collect::<Vec<_>>()).prop_shuffle();
            let lines = Just((0..table.lines.len()).collect::<Vec<_>>()).prop_shuffle();
            (Just(table), columns, lines)
        }),
        shares in (0.0..1.0_f64, 0.0..1.0_f64),
    ) {
        let air = table.along.air(part_of(&table.columns, shares.0));
        let reading = part_of(&table.lines, shares.1);
        let shuffled = table.along.tube(&table.text(&columns, &lines));
        prop_assert_eq!(at(&table.tube(), 1, None, reading, &air).unwrap(), at(&shuffled, 1, None, reading, &air).unwrap());
    }

    #[test]
    fn nothing_outside_and_between_printed_ones_only_if_allowed(table in printed(), row in 0..3_usize, share in 0.02..0.98_f64, beyond in 1e-4..2.0_f64) {
        let tube = table.tube();
        let (columns, lines) = (&table.columns, &table.lines);
        let (c0, c1) = (columns[0], columns[columns.len() - 1]);
        let (r0, r1) = (lines[0], lines[lines.len() - 1]);
        let value = |tube: &_, condition: f64, entered: f64| at(tube, row, None, table.reading_for(entered, row), &table.along.air(condition));
        let middle = (part_of(columns, share), part_of(lines, share));
        for (condition, entered, ends) in [
            (c0 - beyond.min(c0.abs() / 2.0 + 1e-4), middle.1, (c0, c1)),
            (c1 + beyond, middle.1, (c0, c1)),
            (middle.0, r0 - beyond.min(r0 / 2.0), (r0, r1)),
            (middle.0, r1 + beyond, (r0, r1)),
        ] {
            let found = outside(value(&tube, condition, entered));
            prop_assert!(found.is_some_and(|(low, high)| same(low, ends.0) && same(high, ends.1)), "{found:?} at {condition}, {entered}");
        }
        let printed_only = PrintedTable { between: "not allowed", ..table.clone() }.tube();
        let (condition, entered) = (columns[0] + (columns[1] - columns[0]) * share, lines[0] + (lines[1] - lines[0]) * share);
        prop_assert!(between_rows(value(&printed_only, condition, lines[0])));
        prop_assert!(between_rows(value(&printed_only, columns[0], entered)));
        prop_assert!(same(value(&printed_only, columns[1], lines[1]).unwrap(), table.concentration(table.values[1][1], row)));
    }
}
