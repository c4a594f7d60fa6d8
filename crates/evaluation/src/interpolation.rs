//! Reading a printed table between its rows: at a row exactly what is printed, outside it nothing.
//!
//! The tables come sorted ([`stainbook_catalog::model`] sorts them), so the order of the rows on the sheet does not count.

use stainbook_catalog::written::tube::Between;
use stainbook_core::elementary::{ln, powf};

/// Reasons for which a table has no value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoValue {
    /// The condition or reading is below the table's first or above its last.
    Outside {
        /// The axis of the two.
        axis: TableAxis,
        /// Value that was looked for.
        at: f64,
        /// The first row or column.
        low: f64,
        /// The last row or column.
        high: f64,
    },
    /// It lies between two rows, and the sheet allows the printed ones only.
    BetweenRows {
        /// The axis of the two.
        axis: TableAxis,
        /// Value that was looked for.
        at: f64,
        /// The row or column before.
        before: f64,
        /// The row or column after.
        after: f64,
    },
    /// A cell that the value would need is empty on the leaflet.
    EmptyCell,
    /// The leaflet says that the tube must not be used in this band of conditions; its ends, which are not numbers outside all
    /// bands.
    Barred {
        /// Value that was looked for.
        at: f64,
        /// The lower end of the band.
        low: f64,
        /// The upper end of the band.
        high: f64,
    },
    /// The sheet asks for logarithms of something that is not above zero, or the table is empty.
    Unreadable,
}

impl NoValue {
    /// The same of a table whose lines are humidities.
    pub(crate) fn along_humidity(mut self) -> Self {
        if let Self::Outside { axis, .. } | Self::BetweenRows { axis, .. } = &mut self
            && *axis == TableAxis::Reading
        {
            *axis = TableAxis::Humidity;
        }
        self
    }

    /// The same with readings in the unit of a scale of which one is so many of the table's.
    pub(crate) fn on_scale(self, in_tables: f64) -> Self {
        match self {
            Self::Outside {
                axis: TableAxis::Reading,
                at,
                low,
                high,
            } => Self::Outside {
                axis: TableAxis::Reading,
                at: at / in_tables,
                low: low / in_tables,
                high: high / in_tables,
            },
            Self::BetweenRows {
                axis: TableAxis::Reading,
                at,
                before,
                after,
            } => Self::BetweenRows {
                axis: TableAxis::Reading,
                at: at / in_tables,
                before: before / in_tables,
                after: after / in_tables,
            },
            other => other,
        }
    }
}

/// Along what a table has no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableAxis {
    /// Temperature, humidity or pressure.
    Condition,
    /// The reading or concentration.
    Reading,
    /// The humidity of a table for temperature and humidity together.
    Humidity,
}

/// A value from a table, and between which rows it lies. The rows are the same where it is a printed one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interpolated {
    /// The value.
    pub value: f64,
    /// The rows (of a two-dimensional table: the columns), counted from 0 in rising order.
    pub rows: (usize, usize),
    /// Of a two-dimensional table: the lines, counted from 0 in rising order.
    pub lines: Option<(usize, usize)>,
}

/// Position of a number among rising ones: the two that it lies between, and its part of the way from the first to the
/// second (0 to 1).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Position {
    before: usize,
    after: usize,
    share: f64,
}

/// The factor of a one-dimensional table at a condition.
///
/// `Linear` is a straight line of the factor, `Logarithmic` a straight line of its logarithm.
///
/// # Errors
///
/// [`NoValue`]: outside the table, or between rows where that is not allowed.
///
/// # Example
///
/// ```
/// use stainbook_catalog::written::tube::Between;
/// use stainbook_evaluation::interpolation::along;
///
/// let rows = [(0.0, 1.25), (10.0, 1.10), (20.0, 1.00)];
/// let found = along(&rows, 5.0, Between::Linear).unwrap();
/// assert!((found.value - 1.175).abs() < 1e-12);
/// assert!(along(&rows, 25.0, Between::Linear).is_err());
/// ```
pub fn along(rows: &[(f64, f64)], at: f64, between: Between) -> Result<Interpolated, NoValue> {
    let position = locate(
        rows.len(),
        |index| rows.get(index).map(|row| row.0),
        at,
        TableAxis::Condition,
        between,
        Spacing::Even,
    )?;
    let factor = |index: usize| rows.get(index).map(|row| row.1).ok_or(NoValue::Unreadable);
    let value = mix(
        factor(position.before)?,
        factor(position.after)?,
        position.share,
        between,
    )?;
    Ok(Interpolated {
        value,
        rows: (position.before, position.after),
        lines: None,
    })
}

/// The value of a two-dimensional table at a condition and a reading.
///
/// `Linear` is bilinear. `Logarithmic` is a straight line of the logarithms of reading and value, and along the condition
/// a straight line of the value's logarithm. Where it is not allowed to go between, both have to be printed.
///
/// # Errors
///
/// [`NoValue`]: outside the table, between rows where that is not allowed, or from a cell that is empty (NaN).
pub fn across(
    columns: &[f64],
    readings: &[f64],
    values: &[Vec<f64>],
    condition: f64,
    reading: f64,
    between: Between,
) -> Result<Interpolated, NoValue> {
    let column = locate(
        columns.len(),
        |i| columns.get(i).copied(),
        condition,
        TableAxis::Condition,
        between,
        Spacing::Even,
    )?;
    let spacing = if between == Between::Logarithmic {
        Spacing::Logarithmic
    } else {
        Spacing::Even
    };
    let line = locate(
        readings.len(),
        |i| readings.get(i).copied(),
        reading,
        TableAxis::Reading,
        between,
        spacing,
    )?;
    let in_line = |index: usize| {
        let row = values.get(index).ok_or(NoValue::Unreadable)?;
        let before = row.get(column.before).copied().ok_or(NoValue::Unreadable)?;
        let after = row.get(column.after).copied().ok_or(NoValue::Unreadable)?;
        mix(before, after, column.share, between)
    };
    let value = mix(
        in_line(line.before)?,
        in_line(line.after)?,
        line.share,
        between,
    )?;
    Ok(Interpolated {
        value,
        rows: (column.before, column.after),
        lines: Some((line.before, line.after)),
    })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Spacing {
    Even,
    Logarithmic,
}

/// Relative tolerance within which two numbers count as the same row: the rest of a conversion between units.
const SAME_ROW: f64 = 1e-9;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_ROW * a.abs().max(b.abs()).max(1.0)
}

fn locate(
    length: usize,
    node: impl Fn(usize) -> Option<f64>,
    at: f64,
    axis: TableAxis,
    between: Between,
    spacing: Spacing,
) -> Result<Position, NoValue> {
    let last = length.checked_sub(1).ok_or(NoValue::Unreadable)?;
    let (low, high) = (
        node(0).ok_or(NoValue::Unreadable)?,
        node(last).ok_or(NoValue::Unreadable)?,
    );
    if !at.is_finite() {
        return Err(NoValue::Unreadable);
    }
    let exactly = |index| {
        Ok(Position {
            before: index,
            after: index,
            share: 0.0,
        })
    };
    if same(at, low) {
        return exactly(0);
    }
    if same(at, high) {
        return exactly(last);
    }
    if at < low || high < at {
        return Err(NoValue::Outside {
            axis,
            at,
            low,
            high,
        });
    }
    // Leaflets have a handful of rows: walking is quicker than halving.
    for before in 0..last {
        let (a, b) = (
            node(before).ok_or(NoValue::Unreadable)?,
            node(before + 1).ok_or(NoValue::Unreadable)?,
        );
        if same(at, b) {
            return exactly(before + 1);
        }
        if at < b {
            if between == Between::NotAllowed {
                return Err(NoValue::BetweenRows {
                    axis,
                    at,
                    before: a,
                    after: b,
                });
            }
            let share = match spacing {
                Spacing::Even => (at - a) / (b - a),
                Spacing::Logarithmic if 0.0 < a => ln(at / a) / ln(b / a),
                Spacing::Logarithmic => return Err(NoValue::Unreadable),
            };
            return Ok(Position {
                before,
                after: before + 1,
                share,
            });
        }
    }
    Err(NoValue::Unreadable)
}

fn mix(a: f64, b: f64, share: f64, between: Between) -> Result<f64, NoValue> {
    if a.is_nan() || 0.0 < share && b.is_nan() {
        return Err(NoValue::EmptyCell);
    }
    if share <= 0.0 {
        return Ok(a);
    }
    match between {
        Between::Linear | Between::NotAllowed => Ok(a + (b - a) * share),
        Between::Logarithmic if 0.0 < a && 0.0 < b => Ok(a * powf(b / a, share)),
        Between::Logarithmic => Err(NoValue::Unreadable),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use stainbook_core::elementary::exp;

    use super::*;

    const ROWS: [(f64, f64); 5] = [
        (0.0, 1.25),
        (10.0, 1.10),
        (20.0, 1.00),
        (30.0, 0.93),
        (40.0, 0.88),
    ];

    #[test]
    fn between_two_rows() {
        for (at, between, expected) in [
            (0.0, Between::Linear, 1.25),
            (6.0, Between::Linear, 1.16),
            (25.0, Between::Linear, 0.965),
            (40.0, Between::NotAllowed, 0.88),
            (5.0, Between::Logarithmic, (1.25_f64 * 1.10).sqrt()),
        ] {
            assert!(
                (along(&ROWS, at, between).unwrap().value - expected).abs() < 1e-12,
                "{at}"
            );
        }
    }

    #[test]
    fn nothing_outside_and_nothing_between_where_not_allowed() {
        for at in [-0.1, 40.1, f64::NAN, f64::INFINITY] {
            assert!(along(&ROWS, at, Between::Linear).is_err(), "{at}");
        }
        assert_eq!(
            along(&ROWS, 12.0, Between::NotAllowed),
            Err(NoValue::BetweenRows {
                axis: TableAxis::Condition,
                at: 12.0,
                before: 10.0,
                after: 20.0
            })
        );
        assert_eq!(along(&[], 1.0, Between::Linear), Err(NoValue::Unreadable));
    }

    #[test]
    fn a_plane_is_read_exactly() {
        // value = 2 + 0.1·condition + 3·reading is a plane, which bilinear interpolation gives back everywhere.
        let columns = [0.0, 10.0, 40.0];
        let readings = [1.0, 2.0, 7.0];
        let plane = |c: f64, r: f64| 2.0 + 0.1 * c + 3.0 * r;
        let values: Vec<Vec<f64>> = readings
            .iter()
            .map(|r| columns.iter().map(|c| plane(*c, *r)).collect())
            .collect();
        for (c, r) in [(5.0, 1.5), (0.0, 7.0), (39.0, 6.9), (10.0, 2.0)] {
            let found = across(&columns, &readings, &values, c, r, Between::Linear).unwrap();
            assert!((found.value - plane(c, r)).abs() < 1e-12, "{c} {r}");
        }
        assert!(across(&columns, &readings, &values, 5.0, 0.9, Between::Linear).is_err());
        assert!(across(&columns, &readings, &values, 41.0, 1.5, Between::Linear).is_err());
    }

    #[test]
    fn a_power_law_is_read_exactly_by_logarithms() {
        // value = reading^1.2 · e^(−0.01·condition)
        let columns = [0.0, 15.0, 30.0];
        let readings = [0.5, 2.0, 9.0];
        let law = |c: f64, r: f64| powf(r, 1.2) * exp(-0.01 * c);
        let values: Vec<Vec<f64>> = readings
            .iter()
            .map(|r| columns.iter().map(|c| law(*c, *r)).collect())
            .collect();
        for (c, r) in [(7.0, 1.0), (22.0, 8.0), (30.0, 0.5)] {
            let found = across(&columns, &readings, &values, c, r, Between::Logarithmic).unwrap();
            assert!(
                (found.value - law(c, r)).abs() < 1e-12 * law(c, r).max(1.0),
                "{c} {r}"
            );
        }
    }

    fn between() -> impl Strategy<Value = Between> {
        prop_oneof![Just(Between::Linear), Just(Between::Logarithmic)]
    }

    /// Rising conditions at least 0.5 apart, with any factors.
    fn table() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.5..20.0_f64, 0.2..3.0_f64), 2..8).prop_map(|steps| {
            let mut at = -20.0;
            steps
                .into_iter()
                .map(|(step, factor)| {
                    at += step;
                    (at, factor)
                })
                .collect()
        })
    }

    proptest! {
        #[test]
        fn exact_at_rows(rows in table(), between in between()) {
            for (at, factor) in &rows {
                prop_assert!((along(&rows, *at, between).unwrap().value - factor).abs() <= 1e-12);
            }
        }

        #[test]
        fn continuous(rows in table(), between in between(), share in 0.0..1.0_f64) {
            let (low, high) = (rows[0].0, rows[rows.len() - 1].0);
            let at = low + (high - low) * share;
            let near = (at + 1e-7).min(high);
            let a = along(&rows, at, between).unwrap().value;
            let b = along(&rows, near, between).unwrap().value;
            // Between 0.2 and 3 over half a degree the slope is at most 5.6, by logarithms 3·ln(15)/0.5.
            prop_assert!((a - b).abs() <= 20.0 * 1e-7);
        }

        #[test]
        fn between_its_neighbours_and_so_monotone_where_the_table_is(
            rows in table(), between in between(), share in 0.0..1.0_f64, more in 0.0..1.0_f64,
        ) {
            let mut rows = rows;
            let mut factors: Vec<f64> = rows.iter().map(|row| row.1).collect();
            factors.sort_by(|a, b| b.total_cmp(a));
            for (row, factor) in rows.iter_mut().zip(factors) {
                row.1 = factor;
            }
            let (low, high) = (rows[0].0, rows[rows.len() - 1].0);
            let first = low + (high - low) * share;
            let second = first + (high - first) * more;
            let a = along(&rows, first, between).unwrap().value;
            let b = along(&rows, second, between).unwrap().value;
            prop_assert!(b <= a + 1e-12);
        }
    }
}
