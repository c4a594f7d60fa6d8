//! A chain made ready for columns: what no trial changes is worked out, and tables become lines.

use stainbook_catalog::model::{BandFactor, CorrectionTable, FactorTable, FactorValue};
use stainbook_catalog::written::tube::{Axis, Between, Target};
use stainbook_core::Unit;
use stainbook_core::elementary::ln;

use super::super::{Action, Chain, StatedHumidity, TableLookup, ends};
use super::{AirReach, ColumnChain, Condition, DrawnStep, Entered};
use crate::broken_line::{BrokenLine, BrokenSurface, Reach};
use crate::interpolation::along;

impl<'t> Chain<'t> {
    /// The chain made ready for columns. Nothing if a table cannot be read, or if a condition that no trial changes lies
    /// outside of its table: the trials are then worked out one by one.
    pub(crate) fn in_columns(
        &self,
        humidity: StatedHumidity,
        reading: Reach,
        air: &AirReach,
    ) -> Option<ColumnChain<'t>> {
        let mut ready = ColumnChain {
            steps: Vec::new(),
            fixed: 1.0,
        };
        for (_, action) in &self.steps {
            match action {
                Action::Nothing | Action::Strokes => {}
                Action::Proportional => {
                    let calibration = self.calibration_kilopascals;
                    match air.kilopascals.only() {
                        Some(kilopascals) => ready.times(calibration / kilopascals)?,
                        None => ready.steps.push(DrawnStep::Proportional {
                            calibration,
                            positive: 0.0 < air.kilopascals.low && 0.0 < calibration,
                        }),
                    }
                }
                Action::Factors(table, axis) => {
                    let (condition, reach) = Condition::of(*axis, table.unit, humidity, air);
                    ready.factors(table, condition, reach)?;
                }
                Action::Polynomial(formula, axis) => {
                    let (condition, reach) = Condition::of(*axis, formula.unit, humidity, air);
                    match reach.only() {
                        Some(at) => {
                            ready.times(formula.factor(condition.in_unit(at, formula.unit)))?;
                        }
                        None => ready.steps.push(DrawnStep::Formula { condition, formula }),
                    }
                }
                Action::Table(table, axis) => {
                    let (condition, reach) = Condition::of(*axis, table.unit, humidity, air);
                    let strokes = if table.target == Target::Concentration {
                        self.multiplier
                    } else {
                        1.0
                    };
                    ready.table(table, strokes * self.in_tables, condition, reach)?;
                }
                Action::BelowFirstRow(_, _, factor) => ready.times(*factor)?,
                Action::Band(_, _, found) => match found.gives {
                    BandFactor::Factor(factor) => ready.times(factor)?,
                    BandFactor::NoneNeeded | BandFactor::NotStated => {}
                    // A factor that runs with the condition: the trials are worked out one by one.
                    BandFactor::PerUnit { .. }
                    | BandFactor::Proportional
                    | BandFactor::DoNotUse => return None,
                },
                Action::Bands(..) | Action::Grid(_) | Action::NotForStrokes => return None,
                Action::ResponseFactor(other) => match &other.factor {
                    FactorValue::Single(factor) => ready.times(*factor)?,
                    FactorValue::ByReading(rows, between) => {
                        ready.by_reading(rows, *between, reading)?;
                    }
                },
            }
        }
        ready.fixed *= self.multiplier;
        Some(ready)
    }
}

/// The factor of a table at a place that no trial changes. Nothing if the place is outside: the ordinary chain counts the
/// trials there.
fn looked_up(rows: &[(f64, f64)], at: f64, between: Between) -> Option<f64> {
    let (low, high) = ends(rows, |row| row.0);
    if !(low <= at && at <= high) {
        return None;
    }
    along(rows, at, TableLookup::Clamped.between(between))
        .ok()
        .map(|found| found.value)
}

/// The nodes of a line: by logarithms it is the logarithm of the factor that goes straight.
fn nodes(rows: &[(f64, f64)], logarithmic: bool) -> Option<Vec<(f64, f64)>> {
    rows.iter()
        .map(|(at, factor)| Some((*at, straight(*factor, logarithmic)?)))
        .collect()
}

/// The number that goes straight from row to row.
fn straight(number: f64, logarithmic: bool) -> Option<f64> {
    if !logarithmic {
        Some(number)
    } else if 0.0 < number {
        Some(ln(number))
    } else {
        None
    }
}

impl Condition {
    /// Condition of an axis, with its reach.
    fn of(
        axis: Axis,
        unit: &'static Unit,
        humidity: StatedHumidity,
        air: &AirReach,
    ) -> (Self, Reach) {
        match axis {
            Axis::Temperature => (Self::Tube, air.tube_celsius),
            Axis::Pressure => (Self::Pressure, air.kilopascals),
            Axis::Humidity if !humidity.is_stated_as(unit) => {
                let stated = match humidity {
                    StatedHumidity::Absolute(_) => StatedHumidity::Absolute,
                    _ => StatedHumidity::Relative,
                };
                (
                    Self::Converted { unit, stated },
                    converted(stated, unit, air),
                )
            }
            Axis::Humidity => (Self::Humidity, air.humidity),
        }
    }

    /// The place of a table's row as a place of this condition.
    fn of_row(self, row: f64, unit: &Unit) -> f64 {
        match self {
            Self::Converted { .. } => row,
            Self::Tube | Self::Humidity | Self::Pressure => unit.to_base(row),
        }
    }
}

/// Reach of a humidity once it is turned into the other kind. Both kinds rise with each other, and go one way with the
/// temperature: the corners are the ends.
fn converted(stated: fn(f64) -> StatedHumidity, unit: &'static Unit, air: &AirReach) -> Reach {
    let celsius = [air.air_celsius.low, air.air_celsius.high];
    let corners = [air.humidity.low, air.humidity.high]
        .into_iter()
        .flat_map(|humidity| celsius.map(|celsius| stated(humidity).in_unit(unit, celsius)));
    let mut reach: Option<Reach> = None;
    for corner in corners {
        if !corner.is_finite() {
            return Reach::ANYWHERE;
        }
        reach = Some(reach.map_or(Reach::at(corner), |reach| Reach {
            low: reach.low.min(corner),
            high: reach.high.max(corner),
        }));
    }
    reach.unwrap_or(Reach::ANYWHERE)
}

impl ColumnChain<'_> {
    /// A factor that no trial changes. Nothing if it is none.
    fn times(&mut self, factor: f64) -> Option<()> {
        if !(factor.is_finite() && 0.0 < factor) {
            return None;
        }
        self.fixed *= factor;
        Some(())
    }

    fn factors(&mut self, table: &FactorTable, condition: Condition, reach: Reach) -> Option<()> {
        if let Some(at) = reach.only() {
            let at = condition.in_unit(at, table.unit);
            return self.times(looked_up(&table.points, at, table.between)?);
        }
        let logarithmic = table.between == Between::Logarithmic;
        let mut nodes = nodes(&table.points, logarithmic)?;
        for (at, _) in &mut nodes {
            *at = condition.of_row(*at, table.unit);
        }
        let ends = ends(&nodes, |node| node.0);
        self.steps.push(DrawnStep::Factor {
            condition,
            entered: Entered::new(ends, reach),
            line: BrokenLine::new(&nodes, reach.held(ends))?,
            logarithmic,
        });
        Some(())
    }

    fn by_reading(&mut self, rows: &[(f64, f64)], between: Between, reading: Reach) -> Option<()> {
        if let Some(at) = reading.only() {
            return self.times(looked_up(rows, at, between)?);
        }
        let logarithmic = between == Between::Logarithmic;
        let ends = ends(rows, |row| row.0);
        self.steps.push(DrawnStep::ByReading {
            entered: Entered::new(ends, reading),
            line: BrokenLine::new(&nodes(rows, logarithmic)?, reading.held(ends))?,
            logarithmic,
        });
        Some(())
    }

    fn table(
        &mut self,
        table: &CorrectionTable,
        strokes: f64,
        condition: Condition,
        reach: Reach,
    ) -> Option<()> {
        let logarithmic = table.between == Between::Logarithmic;
        let columns: Vec<f64> = table
            .columns
            .iter()
            .map(|column| condition.of_row(*column, table.unit))
            .collect();
        let lines: Vec<f64> = table
            .readings
            .iter()
            .map(|reading| straight(*reading, logarithmic))
            .collect::<Option<_>>()?;
        let values: Vec<Vec<f64>> = table
            .filled
            .iter()
            .map(|row| {
                row.iter()
                    .map(|value| straight(*value, logarithmic))
                    .collect()
            })
            .collect::<Option<_>>()?;
        let of_columns = ends(&columns, |column| *column);
        if reach.only().is_some() && !reach.within(of_columns) {
            return None;
        }
        // What comes to a table is a reading with factors on it: it may be anywhere.
        let anywhere = Reach::ANYWHERE.held(ends(&lines, |line| *line));
        let surface =
            BrokenSurface::new(&columns, &lines, &values, reach.held(of_columns), anywhere)?;
        self.steps.push(DrawnStep::Table {
            condition: match reach.only() {
                Some(_) => None,
                None => Some((condition, Entered::new(of_columns, reach))),
            },
            value: Entered::new(ends(&table.readings, |reading| *reading), Reach::ANYWHERE),
            before: std::mem::replace(&mut self.fixed, 1.0) * strokes,
            after: 1.0 / strokes,
            surface,
            logarithmic,
        });
        Some(())
    }
}
