//! Conditions that a sheet needs, and their comparison with those in which the tube works.
//!
//! A correction without its input is refused: nothing is assumed. Where the leaflet needs no correction a missing
//! condition is flagged, as the usable range cannot be judged then.

use stainbook_catalog::model::{Correction, Tube};
use stainbook_catalog::written::tube::Axis;
use stainbook_core::{Humidity, Quantity, Unit};

use crate::air::AirAtPlace;
use crate::chain::{StatedHumidity, pressure_applies};
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::record_flag::RecordFlag;
use crate::stain::DrawnRange;

/// Doubts about a tube in this air, and the refusal there.
///
/// # Errors
///
/// [`NotPrepared`] with the condition to be measured.
pub(crate) fn conditions(
    tube: &Tube,
    drawn: &DrawnRange<'_>,
    place: &AirAtPlace,
    at_sea_level: bool,
) -> (Vec<RecordFlag>, Result<(), NotPrepared>) {
    let mut flags: Vec<RecordFlag> = [
        (&tube.temperature, Axis::Temperature),
        (&tube.humidity, Axis::Humidity),
        (&tube.pressure, Axis::Pressure),
    ]
    .into_iter()
    .filter(|(correction, _)| **correction == Correction::NotStated)
    .map(|(_, axis)| RecordFlag::CorrectionNotStated(axis))
    .collect();
    for checked in [temperature, humidity] {
        match checked(tube, place) {
            Ok(flag) => flags.extend(flag),
            Err(why) => return (flags, Err(why)),
        }
    }
    if let Err(why) = strokes(drawn, place) {
        return (flags, Err(why));
    }
    let lacks_pressure = pressure_applies(&tube.pressure, drawn.scale) && place.pressure.is_none();
    let done = if lacks_pressure {
        Err(NotPrepared::PressureMissing { at_sea_level })
    } else {
        Ok(())
    };
    (flags, done)
}

/// A stroke count that the leaflet bars at this temperature. Where none is stated, that is flagged or refused as of every tube.
fn strokes(drawn: &DrawnRange<'_>, place: &AirAtPlace) -> Result<(), NotPrepared> {
    let usable = drawn.range.usable;
    let Some(at) = place.of_tube() else {
        return if usable == (None, None) {
            Ok(())
        } else {
            Err(NotPrepared::TemperatureMissingForStrokes)
        };
    };
    let barred = usable.0.is_some_and(|low| at < low) || usable.1.is_some_and(|high| high < at);
    if barred {
        return Err(NotPrepared::StrokesBarred {
            strokes: drawn.range.strokes,
            at,
            usable,
            field: place.temperature_field(),
        });
    }
    Ok(())
}

fn temperature(tube: &Tube, place: &AirAtPlace) -> Result<Option<RecordFlag>, NotPrepared> {
    let usable = tube.usable_temperature;
    let Some(at) = place.of_tube() else {
        return if needs_input(&tube.temperature) {
            Err(NotPrepared::TemperatureMissing)
        } else {
            Ok(Some(RecordFlag::TemperatureMissing { usable }))
        };
    };
    if !(at < usable.0 || usable.1 < at) {
        return Ok(None);
    }
    // A printed formula holds in the usable range, as a table does between its first and last row.
    if matches!(tube.temperature, Correction::Polynomial(_)) {
        let field = place.temperature_field();
        return Err(NotPrepared::OutsideTemperatureFormula { at, usable, field });
    }
    Ok(Some(RecordFlag::OutsideUsableTemperature { at, usable }))
}

fn humidity(tube: &Tube, place: &AirAtPlace) -> Result<Option<RecordFlag>, NotPrepared> {
    let Some(at) = place.humidity else {
        return if needs_input(&tube.humidity) {
            Err(NotPrepared::HumidityMissing)
        } else {
            Ok(tube.usable_humidity.map(|_| RecordFlag::HumidityMissing))
        };
    };
    if let Some(unit) = unit_of(&tube.humidity)
        && unit.dimension() != at.dimension()
        && place.air.is_none()
    {
        return Err(NotPrepared::TemperatureMissingForHumidity { unit });
    }
    let Some(usable) = tube.usable_humidity else {
        return Ok(None);
    };
    match compare(at, usable.0, usable.1, place) {
        Some(true) => Ok(None),
        // A printed formula holds in the usable range only.
        Some(false) if matches!(tube.humidity, Correction::Polynomial(_)) => {
            Err(NotPrepared::OutsideHumidityFormula { at, usable })
        }
        Some(false) => Ok(Some(RecordFlag::OutsideUsableHumidity { at, usable })),
        None => Ok(Some(RecordFlag::HumidityNotComparable)),
    }
}

/// Comparison of a humidity with two others, converted at the air temperature where the kinds differ.
fn compare(humidity: Humidity, low: Humidity, high: Humidity, place: &AirAtPlace) -> Option<bool> {
    let unit = low.base_unit();
    let celsius = place
        .air
        .map_or(f64::NAN, stainbook_core::Temperature::celsius);
    let at = StatedHumidity::of(humidity).in_unit(unit, celsius);
    let (low, high) = (low.in_unit(unit), high.in_unit(unit));
    let rounding = 1e-9 * high.abs();
    at.is_finite()
        .then_some(low - rounding <= at && at <= high + rounding)
}

fn unit_of(correction: &Correction) -> Option<&'static Unit> {
    match correction {
        Correction::Factors(table) => Some(table.unit),
        Correction::Table(table) => Some(table.unit),
        Correction::Polynomial(formula) => Some(formula.unit),
        Correction::NoneNeeded | Correction::NotStated | Correction::Proportional => None,
    }
}

fn needs_input(correction: &Correction) -> bool {
    unit_of(correction).is_some()
}
