//! Correction tables: the same table may be typed with its columns, and its rows, in another order.

use stainbook_document::Node;

use super::align::pair_rows;
use super::shape::Shape;
use super::walk::{ComparisonWalk, WalkPosition, figure};

/// A table of one factor for each condition, wherever its two columns stand.
struct Factors<'n> {
    heads: Node<'n>,
    /// Column of the condition; the other holds the factor.
    condition: usize,
    factor: usize,
    rows: Vec<Node<'n>>,
}

/// A table of values against reading and condition.
struct Grid<'n> {
    heads: Vec<Node<'n>>,
    lines: Vec<(Node<'n>, Node<'n>, Node<'n>)>,
}

/// Compares two corrections that hold tables of the same form; `false` if they are none, and nothing has been compared.
pub(super) fn correction(
    walk: &mut ComparisonWalk,
    a: Node<'_>,
    b: Node<'_>,
    shape: Shape,
    at: &WalkPosition,
) -> bool {
    // One for all stroke counts, or one of several tables.
    let is_correction = match at.keys.as_slice() {
        [correct, _] => correct == "correct",
        [correct, _, tables] => correct == "correct" && tables == "tables",
        _ => false,
    };
    if !is_correction {
        return false;
    }
    if let (Some(left), Some(right)) = (Factors::of(a), Factors::of(b)) {
        walk.fields(a, b, shape, at, &["columns", "rows"]);
        left.compare(&right, walk, shape, at);
        return true;
    }
    if let (Some(left), Some(right)) = (Grid::of(a), Grid::of(b)) {
        walk.fields(a, b, shape, at, &["columns", "lines"]);
        left.compare(&right, walk, shape, at);
        return true;
    }
    false
}

impl<'n> Factors<'n> {
    fn of(correction: Node<'n>) -> Option<Self> {
        let heads = correction.get("columns")?;
        let names: Vec<&str> = heads.items().filter_map(Node::text).collect();
        let (condition, factor) = match names.as_slice() {
            [_, "factor"] => (0, 1),
            ["factor", _] => (1, 0),
            _ => return None,
        };
        let rows: Vec<Node<'n>> = correction.get("rows")?.items().collect();
        let whole = heads.len() == 2
            && !rows.is_empty()
            && rows
                .iter()
                .all(|row| row.len() == 2 && row.items().filter_map(Node::text).count() == 2);
        whole.then_some(Self {
            heads,
            condition,
            factor,
            rows,
        })
    }

    fn compare(&self, other: &Self, walk: &mut ComparisonWalk, shape: Shape, at: &WalkPosition) {
        let at_heads = at.field("columns");
        if let (Some(a), Some(b)) = (
            self.heads.item(self.condition),
            other.heads.item(other.condition),
        ) {
            let at = at_heads.entry(Some(self.condition), Some(other.condition));
            walk.value(a, b, shape.field("columns").item(), &at);
        }
        let at_rows = at.field("rows");
        let cells = shape.field("rows").item().item();
        let keys = |table: &Self| -> Vec<String> {
            let key = |row: &Node<'_>| {
                row.item(table.condition)
                    .map(|cell| figure(cell, cells, &at_rows.keys).key())
                    .unwrap_or_default()
            };
            table.rows.iter().map(key).collect()
        };
        let cell_same = |i: usize, j: usize, column_a: usize, column_b: usize| {
            let a = self.rows.get(i).and_then(|row| row.item(column_a));
            let b = other.rows.get(j).and_then(|row| row.item(column_b));
            a.zip(b)
                .is_some_and(|(a, b)| walk.same(a, b, cells, &at_rows))
        };
        let factor_same = |i, j| cell_same(i, j, self.factor, other.factor);
        let pairs = pair_rows(
            &keys(self),
            &keys(other),
            |i, j| factor_same(i, j) && cell_same(i, j, self.condition, other.condition),
            |i, j| if factor_same(i, j) { 0.5 } else { 0.0 },
        );
        for (i, j) in pairs {
            let (row_a, row_b) = (
                i.and_then(|i| self.rows.get(i)),
                j.and_then(|j| other.rows.get(j)),
            );
            let name = row_a
                .and_then(|row| Some((row.item(self.condition)?, self)))
                .or_else(|| Some((row_b?.item(other.condition)?, other)))
                .map(|(cell, table)| table.row_name(cell))
                .unwrap_or_default();
            let at_row = at_rows.entry(i, j).named(name);
            match (row_a, row_b) {
                (Some(a), Some(b)) => {
                    for (column_a, column_b, column) in [
                        (self.condition, other.condition, "condition"),
                        (self.factor, other.factor, "factor"),
                    ] {
                        if let (Some(a), Some(b)) = (a.item(column_a), b.item(column_b)) {
                            let at = at_row.entry(Some(column_a), Some(column_b)).named(column);
                            walk.value(a, b, cells, &at);
                        }
                    }
                }
                (Some(a), None) => walk.only_in_a(*a, &at_row),
                (None, Some(b)) => walk.only_in_b(*b, &at_row),
                (None, None) => {}
            }
        }
    }

    /// `at 0 °C`.
    fn row_name(&self, cell: Node<'_>) -> String {
        let unit = self.heads.item(self.condition).and_then(Node::text);
        let number = cell.text().unwrap_or_default();
        format!("at {number} {}", unit.unwrap_or_default())
    }
}

impl<'n> Grid<'n> {
    fn of(correction: Node<'n>) -> Option<Self> {
        let heads: Vec<Node<'n>> = correction.get("columns")?.items().collect();
        let lines: Vec<_> = correction
            .get("lines")?
            .items()
            .map(|line| {
                let (reading, values) = (line.get("reading")?, line.get("becomes")?);
                let whole = reading.text().is_some() && values.len() == heads.len();
                whole.then_some((line, reading, values))
            })
            .collect::<Option<_>>()?;
        let whole = !lines.is_empty() && heads.iter().all(|head| head.text().is_some());
        whole.then_some(Self { heads, lines })
    }

    fn compare(&self, other: &Self, walk: &mut ComparisonWalk, shape: Shape, at: &WalkPosition) {
        let at_heads = at.field("columns");
        let head_shape = shape.field("columns").item();
        let head_keys = |grid: &Self| -> Vec<String> {
            let key = |head: &Node<'_>| figure(*head, head_shape, &at_heads.keys).key();
            grid.heads.iter().map(key).collect()
        };
        // Heads that no one else is like are taken in their order: one of them was mistyped.
        let columns = pair_rows(
            &head_keys(self),
            &head_keys(other),
            |_, _| true,
            |i, j| if i == j { 1.0 } else { 0.5 },
        );
        for (i, j) in &columns {
            let (a, b) = (
                i.and_then(|i| self.heads.get(i)),
                j.and_then(|j| other.heads.get(j)),
            );
            let name = a.or(b).and_then(|head| head.text()).unwrap_or_default();
            let at = at_heads.entry(*i, *j).named(name);
            match (a, b) {
                (Some(a), Some(b)) => walk.value(*a, *b, head_shape, &at),
                (Some(a), None) => walk.only_in_a(*a, &at),
                (None, Some(b)) => walk.only_in_b(*b, &at),
                (None, None) => {}
            }
        }
        let at_lines = at.field("lines");
        let line_shape = shape.field("lines").item();
        let (readings, cells) = (
            line_shape.field("reading"),
            line_shape.field("becomes").item(),
        );
        let keys = |grid: &Self| -> Vec<String> {
            let key = |(_, reading, _): &(Node<'_>, Node<'_>, Node<'_>)| {
                figure(*reading, readings, &at_lines.keys).key()
            };
            grid.lines.iter().map(key).collect()
        };
        let equal_cells = |i: usize, j: usize| {
            let (Some((.., a)), Some((.., b))) = (self.lines.get(i), other.lines.get(j)) else {
                return 0;
            };
            columns
                .iter()
                .filter_map(|(i, j)| Some((a.item((*i)?)?, b.item((*j)?)?)))
                .filter(|(a, b)| walk.same(*a, *b, cells, &at_lines))
                .count()
        };
        let paired = columns
            .iter()
            .filter(|(i, j)| i.is_some() && j.is_some())
            .count();
        let same_reading = |i: usize, j: usize| match (self.lines.get(i), other.lines.get(j)) {
            (Some((_, a, _)), Some((_, b, _))) => walk.same(*a, *b, readings, &at_lines),
            _ => false,
        };
        let pairs = pair_rows(
            &keys(self),
            &keys(other),
            |i, j| equal_cells(i, j) == paired && same_reading(i, j),
            |i, j| {
                if paired <= 2 * equal_cells(i, j) {
                    0.5
                } else {
                    0.0
                }
            },
        );
        for (i, j) in pairs {
            let (a, b) = (
                i.and_then(|i| self.lines.get(i)),
                j.and_then(|j| other.lines.get(j)),
            );
            let name = a
                .or(b)
                .and_then(|(_, reading, _)| reading.text())
                .map(|reading| format!("reading {reading}"))
                .unwrap_or_default();
            let at_line = at_lines.entry(i, j).named(name);
            match (a, b) {
                (Some((line_a, reading_a, values_a)), Some((line_b, reading_b, values_b))) => {
                    walk.value(*reading_a, *reading_b, readings, &at_line.field("reading"));
                    walk.fields(
                        *line_a,
                        *line_b,
                        line_shape,
                        &at_line,
                        &["reading", "becomes"],
                    );
                    for (i, j) in &columns {
                        let (Some(i), Some(j)) = (*i, *j) else {
                            continue;
                        };
                        if let (Some(a), Some(b)) = (values_a.item(i), values_b.item(j)) {
                            let head = self.heads.get(i).and_then(|head| head.text());
                            let at = at_line
                                .field("becomes")
                                .entry(Some(i), Some(j))
                                .named(format!("at {}", head.unwrap_or_default()));
                            walk.value(a, b, cells, &at);
                        }
                    }
                }
                (Some((line, ..)), None) => walk.only_in_a(*line, &at_line),
                (None, Some((line, ..))) => walk.only_in_b(*line, &at_line),
                (None, None) => {}
            }
        }
    }
}
