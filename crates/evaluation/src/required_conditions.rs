//! Conditions that a sheet needs, and their comparison with those in which the tube works.
//!
//! A correction without its input is refused: nothing is assumed. Where the leaflet needs no correction a missing
//! condition is flagged, as the usable range cannot be judged then.

use stainbook_catalog::model::{BandFactor, Correction, Tube};
use stainbook_catalog::written::tube::Axis;
use stainbook_core::{Dimension, Humidity, Quantity};

use crate::air::AirAtPlace;
use crate::chain::{StatedHumidity, band_at, condition, pressure_applies};
use crate::defaults;
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
    let strokes = drawn.range.strokes;
    let axes = [
        (&tube.temperature, Axis::Temperature),
        (&tube.humidity, Axis::Humidity),
        (&tube.pressure, Axis::Pressure),
    ];
    let mut flags: Vec<RecordFlag> = axes
        .into_iter()
        .filter(|(of, axis)| is_not_stated(of.at(strokes), *axis, place))
        .map(|(_, axis)| RecordFlag::CorrectionNotStated(axis))
        .collect();
    for (of, axis) in axes {
        let stated_at = of.entry_at(strokes).and_then(|entry| entry.at_humidity);
        if let Some(stated_at) = stated_at
            && !is_at(stated_at, place)
        {
            flags.push(RecordFlag::CorrectionAtAnotherHumidity(axis));
        }
    }
    for checked in [temperature, humidity] {
        match checked(tube, strokes, place) {
            Ok(flag) => flags.extend(flag),
            Err(why) => return (flags, Err(why)),
        }
    }
    if let Err(why) = of_strokes(drawn, place) {
        return (flags, Err(why));
    }
    let by_pressure = pressure_applies(tube.pressure.at(strokes), drawn.scale);
    let lacks_pressure = by_pressure && place.pressure.is_none();
    let done = if lacks_pressure {
        Err(NotPrepared::PressureMissing { at_sea_level })
    } else {
        Ok(())
    };
    (flags, done)
}

/// True if the leaflet says nothing of a correction here.
fn is_not_stated(correction: &Correction, axis: Axis, place: &AirAtPlace) -> bool {
    match correction {
        Correction::NotStated => true,
        Correction::Bands(bands) => {
            let at = condition(axis, bands.unit, &place.numbers());
            band_at(bands, at, 1.0).is_ok_and(|found| found.gives == BandFactor::NotStated)
        }
        _ => false,
    }
}

/// True if the humidity is one at which a leaflet states its correction, as closely as a humidity is known. One that is not
/// stated is not known to be.
fn is_at([low, high]: [Option<Humidity>; 2], place: &AirAtPlace) -> bool {
    let Some(at) = place.humidity else {
        return false;
    };
    let celsius = place
        .air
        .map_or(f64::NAN, stainbook_core::Temperature::celsius);
    let compared = |end: Option<Humidity>, off: f64| {
        end.is_none_or(|end| {
            let unit = end.base_unit();
            let at = StatedHumidity::of(at).in_unit(unit, celsius);
            let end = end.in_unit(unit);
            let within = match unit.dimension() {
                Dimension::RelativeHumidity => defaults::RELATIVE_HUMIDITY_WITHIN,
                _ => defaults::ABSOLUTE_HUMIDITY_WITHIN * end,
            };
            off * (at - end) <= within
        })
    };
    compared(low, -1.0) && compared(high, 1.0)
}

/// A stroke count that the leaflet bars at this temperature. Where none is stated, that is flagged or refused as of every tube.
fn of_strokes(drawn: &DrawnRange<'_>, place: &AirAtPlace) -> Result<(), NotPrepared> {
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

fn temperature(
    tube: &Tube,
    strokes: f64,
    place: &AirAtPlace,
) -> Result<Option<RecordFlag>, NotPrepared> {
    let correction = tube.temperature.at(strokes);
    let usable = tube.usable_temperature;
    let Some(at) = place.of_tube() else {
        return if needs_input(correction) {
            Err(NotPrepared::TemperatureMissing)
        } else {
            Ok(Some(RecordFlag::TemperatureMissing { usable }))
        };
    };
    if !(at < usable.0 || usable.1 < at) {
        return Ok(None);
    }
    // A printed formula holds in the usable range, as a table does between its first and last row.
    if matches!(correction, Correction::Polynomial(_)) {
        let field = place.temperature_field();
        return Err(NotPrepared::OutsideTemperatureFormula { at, usable, field });
    }
    Ok(Some(RecordFlag::OutsideUsableTemperature { at, usable }))
}

fn humidity(
    tube: &Tube,
    strokes: f64,
    place: &AirAtPlace,
) -> Result<Option<RecordFlag>, NotPrepared> {
    let correction = tube.humidity.at(strokes);
    // The humidity's factor may stand in the table of the temperature.
    let unit = match tube.temperature.at(strokes) {
        Correction::WithHumidity(grid) => Some(grid.humidity_unit),
        _ => correction.unit(),
    };
    let Some(at) = place.humidity else {
        return if unit.is_some() {
            Err(NotPrepared::HumidityMissing)
        } else {
            Ok(tube.usable_humidity.map(|_| RecordFlag::HumidityMissing))
        };
    };
    if let Some(unit) = unit
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
        Some(false) if matches!(correction, Correction::Polynomial(_)) => {
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

fn needs_input(correction: &Correction) -> bool {
    correction.unit().is_some()
}
