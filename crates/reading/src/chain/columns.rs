//! The chain for many trials side by side: the same steps, each worked for a column of trials before the next one.
//!
//! What no trial changes is worked out once: the factor of a condition that is not drawn, the strokes, the factor for
//! another gas. Tables become [broken lines](crate::broken_line), so that nothing is looked up. A trial comes out as
//! [`Chain::held`] has it, but for rounding.

use stainbook_catalog::model::{CorrectionTable, FactorTable, OtherFactor, Polynomial};
use stainbook_catalog::written::tube::{Axis, Between, Target};
use stainbook_core::Unit;

use super::{Action, Chain, Reading, Water, ends};
use crate::broken_line::{BrokenLine, BrokenSurface, Reach, hold};
use crate::interpolation::along;

/// How many trials are worked out side by side: their columns stay in the fastest memory.
///
/// Every input draws so many numbers in turn, so another figure here would give other draws for the same seed.
pub(crate) const SIDE_BY_SIDE: usize = 500;

/// A number for each trial.
pub(crate) type Column = [f64; SIDE_BY_SIDE];

/// Where the drawn air can lie.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirReach {
    pub(crate) tube_celsius: Reach,
    pub(crate) air_celsius: Reach,
    pub(crate) humidity: Reach,
    pub(crate) kilopascals: Reach,
}

/// The drawn air of trials side by side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirColumns<'c> {
    pub(crate) tube_celsius: &'c [f64],
    pub(crate) air_celsius: &'c [f64],
    pub(crate) humidity: &'c [f64],
    pub(crate) kilopascals: &'c [f64],
}

/// Of each trial, what became of it on its way.
#[derive(Clone, Debug)]
pub(crate) struct Marks {
    /// An input lay outside a table.
    pub(crate) outside: [bool; SIDE_BY_SIDE],
    /// A formula had no value.
    pub(crate) nothing: [bool; SIDE_BY_SIDE],
}

impl Marks {
    pub(crate) const NONE: Self = Self {
        outside: [false; SIDE_BY_SIDE],
        nothing: [false; SIDE_BY_SIDE],
    };
}

/// Room to work in.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    condition: Column,
    entered: Column,
    factor: Column,
    line: Column,
}

impl Room {
    pub(crate) const EMPTY: Self = Self {
        condition: [0.0; SIDE_BY_SIDE],
        entered: [0.0; SIDE_BY_SIDE],
        factor: [0.0; SIDE_BY_SIDE],
        line: [0.0; SIDE_BY_SIDE],
    };
}

/// A chain made ready for columns of trials.
#[derive(Clone, Debug)]
pub(crate) struct ColumnChain<'t> {
    steps: Vec<Step<'t>>,
    /// The factors that no trial changes, of the steps behind the last two-dimensional table.
    pub(crate) fixed: f64,
}

/// Where a step finds its condition.
#[derive(Clone, Copy, Debug)]
enum Condition {
    /// °C.
    Tube,
    /// As it was stated.
    Humidity,
    /// Turned into this unit, which is of the other kind than the humidity that was stated.
    Converted {
        unit: &'static Unit,
        stated: fn(f64) -> Water,
    },
    /// kPa.
    Pressure,
}

/// A step that depends on what is drawn.
#[derive(Clone, Debug)]
enum Step<'t> {
    /// The calibration's pressure over the station's.
    Proportional { calibration: f64, positive: bool },
    /// A factor by a condition.
    Factor {
        condition: Condition,
        entered: Entered,
        line: BrokenLine,
        logarithmic: bool,
    },
    /// A factor by the reading on the scale.
    ByReading {
        entered: Entered,
        line: BrokenLine,
        logarithmic: bool,
    },
    /// A factor by a formula.
    Formula {
        condition: Condition,
        formula: &'t Polynomial,
    },
    /// A table that gives the value.
    Table {
        /// How the condition enters, where trials change it.
        condition: Option<(Condition, Entered)>,
        value: Entered,
        /// What the value is multiplied by before it enters, and what comes out is multiplied by.
        before: f64,
        after: f64,
        surface: BrokenSurface,
        logarithmic: bool,
    },
}

/// How a table is entered: between which ends, and whether a trial may lie outside of them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entered {
    ends: (f64, f64),
    may_leave: bool,
}

impl Entered {
    /// Nothing is outside.
    pub(crate) const ANYWHERE: Self = Self {
        ends: (f64::NEG_INFINITY, f64::INFINITY),
        may_leave: false,
    };

    pub(crate) fn new(ends: (f64, f64), reach: Reach) -> Self {
        Self {
            ends,
            may_leave: !reach.within(ends),
        }
    }

    pub(crate) fn may_leave(&self) -> bool {
        self.may_leave
    }

    /// Takes what lies outside at the ends, and marks it.
    pub(crate) fn hold(&self, places: &mut [f64], outside: &mut [bool]) {
        if !self.may_leave {
            return;
        }
        let (low, high) = self.ends;
        for (place, outside) in places.iter_mut().zip(outside) {
            *outside |= !(low <= *place && *place <= high);
            *place = hold(*place, self.ends);
        }
    }
}

impl<'t> Chain<'t> {
    /// The chain made ready for columns. Nothing if a table cannot be read, or if a condition that no trial changes lies
    /// outside of its table: the trials are then worked out one by one.
    pub(crate) fn in_columns(
        &self,
        humidity: Water,
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
                        None => ready.steps.push(Step::Proportional {
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
                        None => ready.steps.push(Step::Formula { condition, formula }),
                    }
                }
                Action::Table(table, axis) => {
                    let (condition, reach) = Condition::of(*axis, table.unit, humidity, air);
                    let strokes = if table.target == Target::Concentration {
                        self.multiplier
                    } else {
                        1.0
                    };
                    ready.table(table, strokes, condition, reach)?;
                }
                Action::OtherGas(other) => match &other.factor {
                    OtherFactor::Single(factor) => ready.times(*factor)?,
                    OtherFactor::ByReading(rows, between) => {
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
    along(rows, at, Reading::Held.between(between))
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
        Some(number.ln())
    } else {
        None
    }
}

impl Condition {
    /// Where an axis finds its condition, and where that can lie.
    fn of(axis: Axis, unit: &'static Unit, humidity: Water, air: &AirReach) -> (Self, Reach) {
        match axis {
            Axis::Temperature => (Self::Tube, air.tube_celsius),
            Axis::Pressure => (Self::Pressure, air.kilopascals),
            Axis::Humidity if !humidity.is_stated_as(unit) => {
                let stated = match humidity {
                    Water::Absolute(_) => Water::Absolute,
                    _ => Water::Relative,
                };
                (
                    Self::Converted { unit, stated },
                    converted(stated, unit, air),
                )
            }
            Axis::Humidity => (Self::Humidity, air.humidity),
        }
    }

    /// A place of this condition in the unit of its table.
    fn in_unit(self, place: f64, unit: &Unit) -> f64 {
        match self {
            Self::Converted { .. } => place,
            Self::Tube | Self::Humidity | Self::Pressure => unit.from_base(place),
        }
    }

    /// The place of a table's row as a place of this condition.
    fn of_row(self, row: f64, unit: &Unit) -> f64 {
        match self {
            Self::Converted { .. } => row,
            Self::Tube | Self::Humidity | Self::Pressure => unit.to_base(row),
        }
    }

    /// Fills a column with the conditions of trials.
    fn fill(self, air: &AirColumns<'_>, out: &mut [f64]) {
        let column = match self {
            Self::Tube => air.tube_celsius,
            Self::Humidity => air.humidity,
            Self::Pressure => air.kilopascals,
            Self::Converted { unit, stated } => {
                let each = air.humidity.iter().zip(air.air_celsius);
                for (out, (humidity, celsius)) in out.iter_mut().zip(each) {
                    *out = stated(*humidity).in_unit(unit, *celsius);
                }
                return;
            }
        };
        for (out, condition) in out.iter_mut().zip(column) {
            *out = *condition;
        }
    }
}

/// Where a humidity can lie once it is turned into the other kind. Both kinds rise with each other, and go one way with the
/// temperature: the corners are the ends.
fn converted(stated: fn(f64) -> Water, unit: &'static Unit, air: &AirReach) -> Reach {
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
        self.steps.push(Step::Factor {
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
        self.steps.push(Step::ByReading {
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
            .values
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
        self.steps.push(Step::Table {
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

    /// Whether a trial may be outside a table, or find no value: only then is anything marked.
    pub(crate) fn may_mark(&self) -> bool {
        self.steps.iter().any(|step| match step {
            Step::Proportional { positive, .. } => !positive,
            Step::Factor { entered, .. } | Step::ByReading { entered, .. } => entered.may_leave,
            Step::Formula { .. } | Step::Table { .. } => true,
        })
    }

    /// Works the steps out: `value` comes in as the net reading and goes out as what is left to multiply by
    /// [`fixed`](Self::fixed).
    pub(crate) fn work(
        &self,
        air: &AirColumns<'_>,
        net: &[f64],
        value: &mut [f64],
        marks: &mut Marks,
        room: &mut Room,
    ) {
        for step in &self.steps {
            step.factors(air, net, value, marks, room);
            for (value, factor) in value.iter_mut().zip(&room.factor) {
                *value *= factor;
            }
        }
    }
}

impl Step<'_> {
    /// Works the factors of a step out, into the room's column of them.
    fn factors(
        &self,
        air: &AirColumns<'_>,
        net: &[f64],
        value: &mut [f64],
        marks: &mut Marks,
        room: &mut Room,
    ) {
        let Room {
            condition: conditions,
            entered: places,
            factor: factors,
            line: slopes,
        } = room;
        match self {
            Self::Proportional {
                calibration,
                positive,
            } => {
                for (factor, kilopascals) in factors.iter_mut().zip(air.kilopascals) {
                    *factor = calibration / kilopascals;
                }
                if !positive {
                    mark_not_positive(factors, &mut marks.nothing);
                }
            }
            Self::Factor {
                condition,
                entered,
                line,
                logarithmic,
            } => {
                condition.fill(air, conditions);
                entered.hold(conditions, &mut marks.outside);
                line.fill(conditions, factors);
                raise(factors, *logarithmic);
            }
            Self::ByReading {
                entered,
                line,
                logarithmic,
            } => {
                for (place, net) in places.iter_mut().zip(net) {
                    *place = *net;
                }
                entered.hold(places, &mut marks.outside);
                line.fill(places, factors);
                raise(factors, *logarithmic);
            }
            Self::Formula { condition, formula } => {
                condition.fill(air, conditions);
                for (factor, at) in factors.iter_mut().zip(conditions) {
                    *factor = formula.factor(condition.in_unit(*at, formula.unit));
                }
                mark_not_positive(factors, &mut marks.nothing);
            }
            Self::Table {
                condition,
                value: entered,
                before,
                after,
                surface,
                logarithmic,
            } => {
                if let Some((condition, entered)) = condition {
                    condition.fill(air, conditions);
                    entered.hold(conditions, &mut marks.outside);
                }
                for (place, value) in places.iter_mut().zip(value.iter_mut()) {
                    *value *= before;
                    *place = *value;
                }
                entered.hold(places, &mut marks.outside);
                // Beyond the first and last reading the factor of that line holds.
                let (low, high) = entered.ends;
                for (value, place) in value.iter_mut().zip(places.iter()) {
                    let inside = low <= *value && *value <= high;
                    *value = after * if inside { 1.0 } else { *value / place };
                }
                if *logarithmic {
                    for place in places.iter_mut() {
                        *place = place.ln();
                    }
                }
                surface.fill(conditions, places, slopes, factors);
                raise(factors, *logarithmic);
            }
        }
    }
}

/// From logarithms back to factors.
fn raise(factors: &mut [f64], logarithmic: bool) {
    if logarithmic {
        for factor in factors {
            *factor = factor.exp();
        }
    }
}

fn mark_not_positive(factors: &[f64], nothing: &mut [bool]) {
    for (factor, nothing) in factors.iter().zip(nothing) {
        *nothing |= !(factor.is_finite() && 0.0 < *factor);
    }
}
