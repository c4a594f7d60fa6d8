//! Which conditions a sheet needs, and whether they are those in which the tube works.
//!
//! A correction without its input is refused: nothing is assumed. Where the leaflet needs no correction a missing
//! condition is flagged, as the usable range cannot be judged then.

use stainbook_catalog::model::{Correction, Scale, Tube};
use stainbook_core::{Humidity, Quantity, Unit, print};

use crate::air::{AirAtPlace, celsius, round};
use crate::chain::{StatedHumidity, pressure_applies};
use crate::outcome::{Code, Flag, Refusal};
use crate::pointers;

/// Looks whether what the corrections need is there, and whether the tube works in this air.
///
/// # Errors
///
/// A [`Refusal`] that names the condition to be measured.
pub(crate) fn conditions(
    tube: &Tube,
    scale: &Scale,
    place: &AirAtPlace,
    flags: &mut Vec<Flag>,
) -> Result<(), Refusal> {
    for (correction, what) in [
        (&tube.temperature, "temperature"),
        (&tube.humidity, "humidity"),
    ] {
        if *correction == Correction::NotStated {
            flags.push(Flag::new(
                Code::CorrectionNotStated,
                format!("the leaflet says nothing of a correction for {what}; none was made"),
            ));
        }
    }
    if tube.pressure == Correction::NotStated {
        flags.push(Flag::new(
            Code::CorrectionNotStated,
            "the leaflet says nothing of a correction for pressure; none was made",
        ));
    }
    temperature(tube, place, flags)?;
    humidity(tube, place, flags)?;
    if pressure_applies(&tube.pressure, scale) && place.pressure.is_none() {
        if flags
            .iter()
            .any(|flag| flag.code == Code::SeaLevelPressureWithoutAltitude)
        {
            return Err(Refusal::new(
                Code::PressureMissing,
                "the sheet corrects for pressure, and a sea-level pressure without the altitude says nothing about the place",
                "state the altitude beside it, or the station pressure",
            )
            .at(pointers::SEA_LEVEL_PRESSURE));
        }
        return Err(Refusal::new(
            Code::PressureMissing,
            "the sheet corrects for pressure, and neither a station pressure nor an altitude is stated",
            "state the station pressure, or the altitude of the place, which is enough",
        )
        .at(pointers::PRESSURE));
    }
    Ok(())
}

fn temperature(tube: &Tube, place: &AirAtPlace, flags: &mut Vec<Flag>) -> Result<(), Refusal> {
    let (low, high) = tube.usable_temperature;
    // Put into words only where something is said: every reading comes by here.
    let range = || format!("{} to {}", celsius(low), celsius(high));
    let Some(temperature) = place.of_tube() else {
        if needs_input(&tube.temperature) {
            return Err(Refusal::new(
                Code::TemperatureMissing,
                "the sheet corrects for temperature, and none is stated; none is assumed",
                "state the air temperature, and the tube's where it differs",
            )
            .at(pointers::AIR_TEMPERATURE));
        }
        flags.push(Flag::new(
            Code::TemperatureMissing,
            format!(
                "no temperature is stated: whether the tube was used between {} cannot be seen",
                range()
            ),
        ));
        return Ok(());
    };
    let outside = temperature < low || high < temperature;
    // A printed formula holds in the usable range, as a table does between its first and last row.
    if outside && matches!(tube.temperature, Correction::Polynomial(_)) {
        return Err(Refusal::new(
            Code::OutsideTemperatureTable,
            format!(
                "{} is outside {}, for which correct.temperature gives a formula",
                celsius(temperature),
                range()
            ),
            "bring tube and pump to a temperature inside the range and state it as `tube_temperature`, or use another tube; nothing is extrapolated",
        )
        .at(place.temperature_field()));
    }
    if outside {
        flags.push(Flag::new(
            Code::OutsideUsableTemperature,
            format!(
                "{} is outside the range in which the tube works, {}",
                celsius(temperature),
                range()
            ),
        ));
    }
    Ok(())
}

fn humidity(tube: &Tube, place: &AirAtPlace, flags: &mut Vec<Flag>) -> Result<(), Refusal> {
    let correction_unit = unit_of(&tube.humidity);
    let Some(humidity) = place.humidity else {
        if needs_input(&tube.humidity) {
            return Err(Refusal::new(
                Code::HumidityMissing,
                "the sheet corrects for humidity, and none is stated; none is assumed",
                "state the humidity of the air, relative or absolute",
            )
            .at(pointers::HUMIDITY));
        }
        if tube.usable_humidity.is_some() {
            flags.push(Flag::new(
                Code::HumidityMissing,
                "no humidity is stated: whether the air was within the range in which the tube works cannot be seen",
            ));
        }
        return Ok(());
    };
    if let Some(unit) = correction_unit
        && unit.dimension() != humidity.dimension()
        && place.air.is_none()
    {
        return Err(Refusal::new(
            Code::TemperatureMissing,
            format!(
                "the sheet corrects for humidity in {}, the survey states it in another kind, and without the air temperature one cannot be turned into the other",
                unit.canonical()
            ),
            "state the air temperature",
        )
        .at(pointers::AIR_TEMPERATURE));
    }
    let Some((low, high)) = tube.usable_humidity else {
        return Ok(());
    };
    match compare(humidity, low, high, place) {
        Some(true) => {}
        Some(false) => {
            // A printed formula holds in the usable range only.
            if matches!(tube.humidity, Correction::Polynomial(_)) {
                return Err(Refusal::new(
                    Code::OutsideHumidityTable,
                    format!("{} is outside {} to {}, for which correct.humidity gives a formula", words(humidity), words(low), words(high)),
                    "use a tube whose sheet covers this humidity; nothing is extrapolated",
                )
                .at(pointers::HUMIDITY));
            }
            flags.push(Flag::new(
                Code::OutsideUsableHumidity,
                format!("{} is outside the range in which the tube works, {} to {}", words(humidity), words(low), words(high)),
            ));
        }
        None => flags.push(Flag::new(
            Code::HumidityNotComparable,
            "whether the humidity is within the range in which the tube works cannot be seen without the air temperature",
        )),
    }
    Ok(())
}

/// Whether a humidity lies between two others, converted at the air temperature where the kinds differ.
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

fn words(humidity: Humidity) -> String {
    let unit = humidity.base_unit();
    format!(
        "{} {}",
        print::number(round(humidity.in_unit(unit), 2)),
        unit.canonical()
    )
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
