//! From the number on the scale to the concentration: numbers only, nothing allocated.
//!
//! `x = k_strokes · f(r − r_bias)`, where `f` takes the sheet's steps in the sheet's order. The stroke multiplier is kept
//! beside the value, so that a table which the leaflet states for the reading gets the reading, and one that it states
//! for the concentration gets the concentration, wherever `order` puts the strokes.

use stainbook_catalog::model::USUAL_ORDER;
use stainbook_catalog::model::{
    Correction, CorrectionTable, FactorBands, FactorTable, FactorValue, HumidityGrid,
    MeasuringRange, Polynomial, ResponseFactor, Scale, Tube,
};
use stainbook_catalog::written::tube::correct::CorrectionStep;
use stainbook_catalog::written::tube::{Axis, Between, MassStated, Target};
use stainbook_core::{Dimension, Humidity, Temperature, Unit};

use crate::interpolation::{Interpolated, NoValue, across, along};

pub(crate) mod bands;
pub(crate) mod columns;
mod first_row;
mod slopes;

pub(crate) use bands::{AirHalfWidths, BandFound, BandPick, band_at};
pub(crate) use first_row::BelowFirstRow;
pub(crate) use slopes::ChainForSlopes;

/// The air and the tube as numbers. What is not known is not a number (NaN); a step that needs it then has no value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirState {
    /// The temperature of the tube, °C: it governs the reaction.
    pub tube_celsius: f64,
    /// The temperature of the air, °C: a relative humidity is relative to it.
    pub air_celsius: f64,
    /// The humidity at the air's temperature.
    pub humidity: StatedHumidity,
    /// The station pressure, kPa.
    pub kilopascals: f64,
}

/// A humidity as it was stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StatedHumidity {
    /// %RH.
    Relative(f64),
    /// g/m³.
    Absolute(f64),
    /// Not known.
    Unknown,
}

impl StatedHumidity {
    /// The humidity as a number of this unit, converted at an air temperature if it was stated in the other kind.
    pub fn in_unit(self, unit: &'static Unit, celsius: f64) -> f64 {
        let wanted = unit.dimension();
        let base = match (self, wanted) {
            (Self::Relative(percent), Dimension::RelativeHumidity) => Some(percent),
            (Self::Absolute(grams), Dimension::AbsoluteHumidity) => Some(grams),
            (Self::Unknown, _) => None,
            _ => self.as_humidity().and_then(|humidity| {
                let temperature = Temperature::from_celsius(celsius).ok()?;
                if wanted == Dimension::RelativeHumidity {
                    humidity
                        .to_relative(temperature)
                        .ok()
                        .map(stainbook_core::RelativeHumidity::percent)
                } else {
                    humidity
                        .to_absolute(temperature)
                        .ok()
                        .map(stainbook_core::AbsoluteHumidity::g_per_m3)
                }
            }),
        };
        base.map_or(f64::NAN, |base| unit.from_base(base))
    }

    /// True if it was stated in the kind of humidity that a unit measures, so that nothing has to be converted.
    pub(crate) fn is_stated_as(self, unit: &Unit) -> bool {
        match self {
            Self::Relative(_) => unit.dimension() == Dimension::RelativeHumidity,
            Self::Absolute(_) => unit.dimension() == Dimension::AbsoluteHumidity,
            Self::Unknown => true,
        }
    }

    /// As a quantity; nothing if it is not known or cannot be.
    pub fn as_humidity(self) -> Option<Humidity> {
        match self {
            Self::Relative(percent) => stainbook_core::RelativeHumidity::from_percent(percent)
                .ok()
                .map(Humidity::from),
            Self::Absolute(grams) => stainbook_core::AbsoluteHumidity::from_g_per_m3(grams)
                .ok()
                .map(Humidity::from),
            Self::Unknown => None,
        }
    }

    /// From a quantity.
    pub fn of(humidity: Humidity) -> Self {
        match humidity {
            Humidity::Relative(relative) => Self::Relative(relative.percent()),
            Humidity::Absolute(absolute) => Self::Absolute(absolute.g_per_m3()),
        }
    }
}

/// Actions of a step.
#[derive(Clone, Copy, Debug)]
enum Action<'t> {
    Nothing,
    Strokes,
    Factors(&'t FactorTable, Axis),
    Table(&'t CorrectionTable, Axis),
    Polynomial(&'t Polynomial, Axis),
    Proportional,
    ResponseFactor(&'t ResponseFactor),
    Bands(&'t FactorBands, Axis),
    /// The same once the band is settled.
    Band(&'t FactorBands, Axis, BandFound),
    Grid(&'t HumidityGrid),
    /// A table below its first row: the factor that bounds what it would give there.
    BelowFirstRow(&'t CorrectionTable, Axis, f64),
    NotForStrokes,
}

/// A sheet made ready for one scale, one stroke count and one gas.
#[derive(Clone, Copy, Debug)]
pub struct Chain<'t> {
    multiplier: f64,
    calibration_kilopascals: f64,
    /// False for a mass in the air as it was drawn, which no pressure changes.
    by_pressure: bool,
    /// One of the scale's unit in the unit of the tables, which is that of the first scale; not a number (NaN) if the two are of
    /// different kinds, so that a table has no value.
    in_tables: f64,
    steps: [(CorrectionStep, Action<'t>); USUAL_ORDER.len()],
}

/// One step as it was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepDone {
    /// The step.
    pub step: CorrectionStep,
    /// Factor that the value was multiplied by.
    pub factor: f64,
    /// Argument with which the step's table or formula was entered.
    pub argument: Target,
    /// The value before, in the unit of the scale.
    pub before: f64,
    /// The value after.
    pub after: f64,
    /// The condition in the unit of the step's table; NaN for a step without one.
    pub condition: f64,
    /// The rows of the table.
    pub found: Option<Interpolated>,
    /// True if the table was entered at its end, as what it was to be entered with lies outside. [`TableLookup::Clamped`] only.
    pub held: bool,
}

/// A step that has no value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepFailed {
    /// The step.
    pub step: CorrectionStep,
    /// The reason.
    pub why: Failure,
}

/// Reasons for which a step has no value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Failure {
    /// The table has none.
    Table(NoValue),
    /// The formula gives a factor that is not above zero.
    FactorNotPositive(f64),
    /// The leaflet's correction does not hold for the stroke count.
    NotForStrokes,
}

/// Strictness of table look-ups.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableLookup {
    /// As the sheet states.
    AsStated,
    /// For a slope: where the sheet allows the printed rows only, a small change about such a row follows the straight
    /// line to the next one. A result is never taken from this.
    ForSensitivity,
    /// For a trial: as for a slope, and what lies outside a table is taken at its end; beyond the last reading of a
    /// two-dimensional table the factor of its last line holds. How often that happens is counted. A result is never taken
    /// from one such trial.
    Clamped,
}

impl<'t> Chain<'t> {
    /// Makes a sheet ready. `other` is the row of another gas that the tube measures, if that is the one.
    pub fn new(
        tube: &'t Tube,
        scale: &Scale,
        range: &MeasuringRange,
        other: Option<&'t ResponseFactor>,
    ) -> Self {
        let mut steps = [(CorrectionStep::Strokes, Action::Nothing); USUAL_ORDER.len()];
        // An order that leaves a step out means that step last: the checker speaks of it, the result lists it.
        let in_order = tube
            .order
            .iter()
            .chain(USUAL_ORDER.iter().filter(|step| !tube.order.contains(step)));
        for (slot, step) in steps.iter_mut().zip(in_order) {
            let action = match step {
                CorrectionStep::Strokes => Action::Strokes,
                CorrectionStep::Temperature => {
                    Action::of(tube.temperature.at(range.strokes), Axis::Temperature)
                }
                CorrectionStep::Humidity => {
                    Action::of(tube.humidity.at(range.strokes), Axis::Humidity)
                }
                CorrectionStep::Pressure => {
                    let pressure = tube.pressure.at(range.strokes);
                    if pressure_applies(pressure, scale) {
                        Action::of(pressure, Axis::Pressure)
                    } else {
                        Action::Nothing
                    }
                }
                CorrectionStep::ResponseFactor => {
                    other.map_or(Action::Nothing, Action::ResponseFactor)
                }
            };
            *slot = (*step, action);
        }
        Self {
            multiplier: range.multiplier,
            calibration_kilopascals: tube.calibration.pressure.kilopascals(),
            by_pressure: !is_mass_as_drawn(scale),
            in_tables: in_tables(tube, scale),
            steps,
        }
    }

    /// The calibration's pressure over the station's; 1 where no pressure changes what the scale states.
    fn proportional(&self, air: &AirState) -> f64 {
        if self.by_pressure {
            self.calibration_kilopascals / air.kilopascals
        } else {
            1.0
        }
    }

    /// The same without the factor for another gas: what a gas that only disturbs goes through.
    #[must_use]
    pub fn without_other_gas(mut self) -> Self {
        for (_, action) in &mut self.steps {
            if matches!(action, Action::ResponseFactor(_)) {
                *action = Action::Nothing;
            }
        }
        self
    }

    /// The concentration for a reading, in the unit of the scale.
    ///
    /// # Errors
    ///
    /// [`StepFailed`]: a step's table has no value there.
    pub fn value(
        &self,
        reading: f64,
        air: &AirState,
        strictness: TableLookup,
    ) -> Result<f64, StepFailed> {
        self.run(reading, air, strictness, |_| {})
    }

    /// The concentration for a trial that may lie outside a table, and whether it did: see [`TableLookup::Clamped`]. Nothing if a
    /// formula has no value there.
    pub fn held(&self, reading: f64, air: &AirState) -> (Option<f64>, bool) {
        let mut held = false;
        let value = self.run(reading, air, TableLookup::Clamped, |done| held |= done.held);
        (value.ok(), held)
    }

    /// True if the result is proportional to the reading: no table or factor depends on how long the stain is.
    pub fn is_proportional(&self) -> bool {
        self.steps.iter().all(|(_, action)| match action {
            Action::Table(..) => false,
            Action::ResponseFactor(other) => matches!(other.factor, FactorValue::Single(_)),
            Action::Nothing
            | Action::Strokes
            | Action::Factors(..)
            | Action::Polynomial(..)
            | Action::Bands(..)
            | Action::Band(..)
            | Action::Grid(_)
            | Action::BelowFirstRow(..)
            | Action::NotForStrokes
            | Action::Proportional => true,
        })
    }

    /// True if a condition has a part in the result.
    pub fn uses(&self, axis: Axis) -> bool {
        self.steps.iter().any(|(_, action)| match action {
            Action::Factors(_, of)
            | Action::Table(_, of)
            | Action::BelowFirstRow(_, of, _)
            | Action::Bands(_, of)
            | Action::Band(_, of, _)
            | Action::Polynomial(_, of) => *of == axis,
            Action::Grid(_) => axis != Axis::Pressure,
            Action::Proportional => axis == Axis::Pressure,
            Action::Nothing
            | Action::Strokes
            | Action::NotForStrokes
            | Action::ResponseFactor(_) => false,
        })
    }

    /// True if a humidity of this kind is turned into the other one, for which the air's temperature counts.
    pub fn converts(&self, humidity: StatedHumidity) -> bool {
        self.steps.iter().any(|(_, action)| {
            let unit = match action {
                Action::Factors(table, Axis::Humidity) => table.unit,
                Action::Table(table, Axis::Humidity) => table.unit,
                Action::Polynomial(formula, Axis::Humidity) => formula.unit,
                Action::Bands(bands, Axis::Humidity) | Action::Band(bands, Axis::Humidity, _) => {
                    bands.unit
                }
                Action::Grid(grid) => grid.humidity_unit,
                _ => return false,
            };
            !humidity.is_stated_as(unit)
        })
    }

    /// The same, telling each step that does something as it is taken.
    ///
    /// # Errors
    ///
    /// [`StepFailed`]: a step's table has no value there.
    pub fn run(
        &self,
        reading: f64,
        air: &AirState,
        strictness: TableLookup,
        mut tell: impl FnMut(StepDone),
    ) -> Result<f64, StepFailed> {
        // The value without the stroke multiplier, which is applied where a table wants the concentration.
        let mut value = reading;
        let mut shown = 1.0;
        for (step, action) in &self.steps {
            let before = value * shown;
            let mut done = StepDone {
                step: *step,
                factor: 1.0,
                argument: Target::Reading,
                before,
                after: before,
                condition: f64::NAN,
                found: None,
                held: false,
            };
            let failed = |why| StepFailed { step: *step, why };
            match action {
                Action::Nothing => continue,
                Action::Strokes => {
                    shown = self.multiplier;
                    done.factor = self.multiplier;
                }
                Action::Proportional => {
                    done.factor = self.calibration_kilopascals / air.kilopascals;
                    done.condition = air.kilopascals;
                    done.argument = Target::Concentration;
                    if !done.factor.is_finite() || done.factor <= 0.0 {
                        return Err(failed(Failure::FactorNotPositive(done.factor)));
                    }
                    value *= done.factor;
                }
                Action::Factors(table, axis) => {
                    done.condition = condition(*axis, table.unit, air);
                    let ends = ends(&table.points, |point| point.0);
                    let entered = strictness.hold(done.condition, ends, &mut done.held);
                    let found = along(&table.points, entered, strictness.between(table.between))
                        .map_err(|why| failed(Failure::Table(why)))?;
                    (done.factor, done.argument, done.found) =
                        (found.value, table.target, Some(found));
                    value *= found.value;
                }
                Action::Polynomial(formula, axis) => {
                    done.condition = condition(*axis, formula.unit, air);
                    (done.factor, done.argument) = (formula.factor(done.condition), formula.target);
                    if !done.factor.is_finite() || done.factor <= 0.0 {
                        return Err(failed(Failure::FactorNotPositive(done.factor)));
                    }
                    value *= done.factor;
                }
                Action::Table(table, axis) => {
                    done.condition = condition(*axis, table.unit, air);
                    let strokes = if table.target == Target::Concentration {
                        self.multiplier
                    } else {
                        1.0
                    };
                    let entered = value * strokes * self.in_tables;
                    let between = strictness.between(table.between);
                    let columns = ends(&table.columns, |column| *column);
                    let lines = ends(&table.readings, |reading| *reading);
                    let at = strictness.hold(entered, lines, &mut done.held);
                    let found = across(
                        &table.columns,
                        &table.readings,
                        strictness.cells(&table.values, &table.filled),
                        strictness.hold(done.condition, columns, &mut done.held),
                        at,
                        between,
                    )
                    .map_err(|why| failed(Failure::Table(why.on_scale(self.in_tables))))?;
                    (done.factor, done.argument, done.found) =
                        (found.value / at, table.target, Some(found));
                    // What was not held is the table's own value, to the last digit.
                    value = found.value / strokes / self.in_tables
                        * if done.held { entered / at } else { 1.0 };
                }
                Action::Bands(bands, axis) => {
                    done.condition = condition(*axis, bands.unit, air);
                    let found = band_at(bands, done.condition, self.proportional(air))
                        .map_err(|why| failed(Failure::Table(why)))?;
                    self.band(bands, found, air, &mut done).map_err(failed)?;
                    value *= done.factor;
                }
                Action::Band(bands, axis, found) => {
                    done.condition = condition(*axis, bands.unit, air);
                    self.band(bands, *found, air, &mut done).map_err(failed)?;
                    value *= done.factor;
                }
                Action::Grid(grid) => {
                    done.condition = condition(Axis::Temperature, grid.unit, air);
                    let found = grid_factor(grid, air, strictness, &mut done.held)
                        .map_err(|why| failed(Failure::Table(why)))?;
                    (done.factor, done.argument, done.found) =
                        (found.value, grid.target, Some(found));
                    value *= found.value;
                }
                Action::BelowFirstRow(table, axis, factor) => {
                    done.condition = condition(*axis, table.unit, air);
                    (done.factor, done.argument) = (*factor, table.target);
                    value *= factor;
                }
                Action::NotForStrokes => return Err(failed(Failure::NotForStrokes)),
                Action::ResponseFactor(other) => {
                    done.argument = other.target;
                    match &other.factor {
                        FactorValue::Single(factor) => done.factor = *factor,
                        FactorValue::ByReading(rows, between) => {
                            // These rows are always by the reading on the scale, as printed.
                            let lines = ends(rows, |row| row.0);
                            let at = strictness.hold(reading, lines, &mut done.held);
                            let found = along(rows, at, strictness.between(*between))
                                .map_err(|why| failed(Failure::Table(why)))?;
                            (done.factor, done.found, done.condition) =
                                (found.value, Some(found), reading);
                        }
                    }
                    value *= done.factor;
                }
            }
            done.after = value * shown;
            tell(done);
        }
        Ok(value * self.multiplier)
    }

    /// The factor of a band that is settled, at the condition of `done`.
    fn band(
        &self,
        bands: &FactorBands,
        found: BandFound,
        air: &AirState,
        done: &mut StepDone,
    ) -> Result<(), Failure> {
        let factor = found.gives.factor(done.condition, self.proportional(air));
        done.factor = factor.unwrap_or(f64::NAN);
        done.argument = bands.target;
        done.found = found.band.map(|band| Interpolated {
            value: done.factor,
            rows: (band, band),
            lines: None,
        });
        if done.factor.is_finite() && 0.0 < done.factor {
            Ok(())
        } else {
            Err(Failure::FactorNotPositive(done.factor))
        }
    }
}

/// One of a scale's unit in the unit of the first scale, in which tables are.
fn in_tables(tube: &Tube, scale: &Scale) -> f64 {
    let first = tube.scales.first().map_or(scale.unit, |first| first.unit);
    if std::ptr::eq(first, scale.unit) {
        1.0
    } else if first.dimension() == scale.unit.dimension() {
        scale.unit.to_base(1.0) / first.to_base(1.0)
    } else {
        f64::NAN
    }
}

/// The factor of a table against temperature and humidity.
fn grid_factor(
    grid: &HumidityGrid,
    air: &AirState,
    strictness: TableLookup,
    held: &mut bool,
) -> Result<Interpolated, NoValue> {
    let celsius = condition(Axis::Temperature, grid.unit, air);
    let humidity = condition(Axis::Humidity, grid.humidity_unit, air);
    across(
        &grid.columns,
        &grid.humidities,
        strictness.cells(&grid.factors, &grid.filled),
        strictness.hold(celsius, ends(&grid.columns, |column| *column), held),
        strictness.hold(humidity, ends(&grid.humidities, |humidity| *humidity), held),
        strictness.between(grid.between),
    )
    .map_err(NoValue::along_humidity)
}

impl TableLookup {
    /// The cells of a table: as printed for a result, filled for slopes and trials.
    fn cells<'c>(self, printed: &'c [Vec<f64>], filled: &'c [Vec<f64>]) -> &'c [Vec<f64>] {
        match self {
            Self::AsStated => printed,
            Self::ForSensitivity | Self::Clamped => filled,
        }
    }

    fn between(self, stated: Between) -> Between {
        match (self, stated) {
            (Self::ForSensitivity | Self::Clamped, Between::NotAllowed) => Between::Linear,
            _ => stated,
        }
    }

    /// Argument of a table: for a trial never outside.
    fn hold(self, at: f64, (low, high): (f64, f64), held: &mut bool) -> f64 {
        if self != Self::Clamped || (low <= at && at <= high) {
            return at;
        }
        *held = true;
        // Not a number is what a humidity beyond saturation becomes on its way to the other kind.
        if at < low { low } else { high }
    }
}

/// The ends of rising numbers.
fn ends<T>(rising: &[T], number: impl Fn(&T) -> f64) -> (f64, f64) {
    match rising {
        [only] => (number(only), number(only)),
        [first, .., last] => (number(first), number(last)),
        [] => (f64::NAN, f64::NAN),
    }
}

impl<'t> Action<'t> {
    fn of(correction: &'t Correction, axis: Axis) -> Self {
        match correction {
            Correction::NoneNeeded | Correction::NotStated | Correction::WithTemperature => {
                Self::Nothing
            }
            Correction::NotForStrokes => Self::NotForStrokes,
            Correction::Bands(bands) => Self::Bands(bands, axis),
            Correction::WithHumidity(grid) => Self::Grid(grid),
            Correction::Proportional => Self::Proportional,
            Correction::Factors(table) => Self::Factors(table, axis),
            Correction::Table(table) => Self::Table(table, axis),
            Correction::Polynomial(formula) => Self::Polynomial(formula, axis),
        }
    }
}

/// True if the sheet's pressure correction is for this scale: a mass in the air as it was drawn has no
/// calibration-to-station factor, whatever the tube's other scale needs.
pub fn pressure_applies(pressure: &Correction, scale: &Scale) -> bool {
    match pressure {
        Correction::NoneNeeded | Correction::NotStated | Correction::WithTemperature => false,
        Correction::Proportional => !is_mass_as_drawn(scale),
        Correction::Factors(_)
        | Correction::Table(_)
        | Correction::Polynomial(_)
        | Correction::Bands(_)
        | Correction::WithHumidity(_)
        | Correction::NotForStrokes => true,
    }
}

fn is_mass_as_drawn(scale: &Scale) -> bool {
    scale.unit.dimension() == Dimension::MassConcentration
        && scale.mass_stated == Some(MassStated::AsDrawn)
}

/// The condition of an axis in a unit.
pub(crate) fn condition(axis: Axis, unit: &'static Unit, air: &AirState) -> f64 {
    match axis {
        Axis::Temperature => unit.from_base(air.tube_celsius),
        Axis::Humidity => air.humidity.in_unit(unit, air.air_celsius),
        Axis::Pressure => unit.from_base(air.kilopascals),
    }
}
