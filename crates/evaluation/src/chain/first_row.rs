//! Readings below the first row of a two-dimensional table.
//!
//! A table that starts above the first mark says nothing of what lies below: the scale is right there as printed at the
//! calibration, and elsewhere nothing is known but that the table's own factors hold above. So such a reading is a bound,
//! with the largest factor of the column that its condition lies in.

use stainbook_catalog::model::CorrectionTable;
use stainbook_catalog::written::tube::{Axis, Target};

use super::{Action, AirState, Chain, TableLookup, condition, ends};
use crate::interpolation::across;

/// A reading below the first row of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BelowFirstRow {
    pub(crate) axis: Axis,
    /// The first row, in the unit of the scale.
    pub(crate) first: f64,
    /// Number with which the table is entered, in that unit.
    pub(crate) entered: f64,
    /// The largest factor of the column; 1 at the calibration.
    pub(crate) factor: f64,
    /// True if the condition is that of the calibration.
    pub(crate) at_calibration: bool,
}

/// Relative tolerance within which a condition is that of the calibration.
const SAME_CONDITION: f64 = 1e-9;

impl Chain<'_> {
    /// The chain with a bound in place of a table whose first row lies above this reading, and that bound; nothing if every table
    /// reaches down to it. `calibration` gives the condition of an axis at which the scale is right, in the table's unit.
    pub(crate) fn below_first_row(
        mut self,
        reading: f64,
        air: &AirState,
        calibration: impl Fn(Axis, &'static stainbook_core::Unit) -> Option<f64>,
    ) -> Option<(Self, BelowFirstRow)> {
        let (index, table, axis) =
            self.steps
                .iter()
                .enumerate()
                .find_map(|(index, (_, action))| match action {
                    Action::Table(table, axis) => Some((index, *table, *axis)),
                    _ => None,
                })?;
        let before = Self {
            steps: {
                let mut steps = self.steps;
                for (_, action) in steps.iter_mut().skip(index) {
                    if !matches!(action, Action::Strokes) {
                        *action = Action::Nothing;
                    }
                }
                steps
            },
            ..self
        };
        let reached = before.value(reading, air, TableLookup::AsStated).ok()?;
        let entered = match table.target {
            Target::Reading => reached / self.multiplier,
            Target::Concentration => reached,
        };
        // In the unit of the scale, as the reading is.
        let first = *table.readings.first()? / self.in_tables;
        if first.is_nan() {
            return None;
        }
        if first * (1.0 - SAME_CONDITION) <= entered {
            return None;
        }
        let at = condition(axis, table.unit, air);
        let at_calibration = calibration(axis, table.unit).is_some_and(|calibration| {
            (at - calibration).abs() <= SAME_CONDITION * at.abs().max(1.0)
        });
        let factor = if at_calibration {
            1.0
        } else {
            largest_factor(table, at)?
        };
        if let Some((_, action)) = self.steps.get_mut(index) {
            *action = Action::BelowFirstRow(table, axis, factor);
        }
        Some((
            self,
            BelowFirstRow {
                axis,
                first,
                entered,
                factor,
                at_calibration,
            },
        ))
    }
}

/// The largest factor of a table at a condition; nothing outside its columns, and where no row states one.
fn largest_factor(table: &CorrectionTable, at: f64) -> Option<f64> {
    let (low, high) = ends(&table.columns, |column| *column);
    if !(low <= at && at <= high) {
        return None;
    }
    let between = TableLookup::AsStated.between(table.between);
    let factors = table.readings.iter().filter_map(|reading| {
        let found = across(
            &table.columns,
            &table.readings,
            &table.values,
            at,
            *reading,
            between,
        );
        found.ok().map(|found| found.value / reading)
    });
    factors.reduce(f64::max)
}
