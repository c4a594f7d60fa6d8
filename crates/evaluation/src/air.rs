//! The air at the place, from what the survey states: temperatures, humidity, and the pressure in one of three ways.

use stainbook_catalog::written::Conditions as WrittenConditions;
use stainbook_core::elementary::power_of_ten;
use stainbook_core::plausible_air::{SEA_LEVEL_PRESSURE_KPA, STATION_PRESSURE_KPA, within};
use stainbook_core::{Humidity, Pressure, Temperature, atmosphere, print};

use crate::chain::{AirState, StatedHumidity};
use crate::defaults;
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::record_flag::RecordFlag;
use crate::outcome::{Flag, Refusal};
use crate::pointers;
use crate::words;

/// The air at the place, as far as it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirAtPlace {
    /// The temperature of the air.
    pub air: Option<Temperature>,
    /// The temperature of the tube, if it was stated by itself.
    pub tube: Option<Temperature>,
    /// The humidity.
    pub humidity: Option<Humidity>,
    /// The station pressure.
    pub pressure: Option<StationPressure>,
}

/// A station pressure and how it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StationPressure {
    /// The pressure.
    pub pressure: Pressure,
    /// Origin of the pressure.
    pub origin: PressureOrigin,
}

/// Origin of a station pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PressureOrigin {
    /// Read at the place.
    Stated,
    /// The standard atmosphere at the altitude.
    Altitude,
    /// A weather report's pressure brought to the altitude.
    SeaLevel,
}

impl PressureOrigin {
    /// Half the width within which the pressure is known, as a part of it.
    pub fn within(self) -> f64 {
        match self {
            Self::Stated => defaults::STATION_PRESSURE_WITHIN,
            Self::Altitude => defaults::STANDARD_ATMOSPHERE_WITHIN,
            Self::SeaLevel => defaults::REDUCED_PRESSURE_WITHIN,
        }
    }

    /// The field that states it.
    pub fn field(self) -> &'static str {
        match self {
            Self::Stated => pointers::PRESSURE,
            Self::Altitude => pointers::ALTITUDE,
            Self::SeaLevel => pointers::SEA_LEVEL_PRESSURE,
        }
    }

    /// In words, after the pressure.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stated => "as stated",
            Self::Altitude => "standard atmosphere at the altitude stated",
            Self::SeaLevel => "sea-level pressure brought to the altitude stated",
        }
    }
}

impl AirAtPlace {
    /// The temperature that governs the reaction: the tube's, which is the air's if nothing else is said.
    pub fn of_tube(&self) -> Option<Temperature> {
        self.tube.or(self.air)
    }

    /// The field that states the temperature of the tube.
    pub fn temperature_field(&self) -> &'static str {
        if self.tube.is_some() {
            pointers::TUBE_TEMPERATURE
        } else {
            pointers::AIR_TEMPERATURE
        }
    }

    /// The field that states the pressure, or would.
    pub fn pressure_field(&self) -> &'static str {
        self.pressure
            .map_or(pointers::PRESSURE, |station| station.origin.field())
    }

    /// As numbers for the chain.
    pub fn numbers(&self) -> AirState {
        let celsius =
            |temperature: Option<Temperature>| temperature.map_or(f64::NAN, Temperature::celsius);
        AirState {
            tube_celsius: celsius(self.of_tube()),
            air_celsius: celsius(self.air),
            humidity: self
                .humidity
                .map_or(StatedHumidity::Unknown, StatedHumidity::of),
            kilopascals: self
                .pressure
                .map_or(f64::NAN, |station| station.pressure.kilopascals()),
        }
    }
}

/// The survey's conditions with the reading's own in their place.
///
/// A reading that states its own altitude or sea-level pressure is at another place: the survey's station pressure does
/// not hold there.
pub fn merged(survey: &WrittenConditions, reading: &WrittenConditions) -> WrittenConditions {
    reading.or_general(survey)
}

/// The air at the place and what raises a doubt about it. What is missing stays unknown.
///
/// # Errors
///
/// [`NotPrepared`] where the conditions contradict each other or cannot be.
pub(crate) fn at_place(
    conditions: &WrittenConditions,
) -> (Vec<RecordFlag>, Result<AirAtPlace, NotPrepared>) {
    let air = conditions.air_temperature.as_ref().map(|t| t.value());
    let tube = conditions.tube_temperature.as_ref().map(|t| t.value());
    let differs = match (air, tube) {
        (Some(air), Some(tube)) if (tube - air).kelvin().abs() > defaults::TUBE_AND_AIR => {
            Some(RecordFlag::TubeTemperatureDiffers { tube, air })
        }
        _ => None,
    };
    let mut flags: Vec<RecordFlag> = differs.into_iter().collect();
    let humidity = conditions.humidity.as_ref().map(|h| h.value());
    if let (Some(humidity), Some(air)) = (humidity, air)
        && let Err(error) = humidity.to_relative(air)
    {
        return (flags, Err(NotPrepared::HumidityImpossible(error)));
    }
    let place = station_pressure(conditions, air).map(|(pressure, flag)| {
        flags.extend(flag);
        AirAtPlace {
            air,
            tube,
            humidity,
            pressure,
        }
    });
    (flags, place)
}

/// The same in words, for a place at which nothing was read yet.
///
/// # Errors
///
/// A [`Refusal`] where the conditions contradict each other or cannot be.
pub fn at_place_in_words(
    conditions: &WrittenConditions,
) -> Result<(AirAtPlace, Vec<Flag>), Refusal> {
    let (flags, place) = at_place(conditions);
    let place = place.map_err(|why| words::not_prepared::refusal(&why))?;
    Ok((place, flags.iter().map(words::record_flag::flag).collect()))
}

fn station_pressure(
    conditions: &WrittenConditions,
    air: Option<Temperature>,
) -> Result<(Option<StationPressure>, Option<RecordFlag>), NotPrepared> {
    let known = |pressure, origin| Some(StationPressure { pressure, origin });
    let altitude = conditions.altitude.as_ref();
    let standard = altitude
        .map(|altitude| atmosphere::standard_pressure(altitude.value()))
        .transpose()
        .map_err(NotPrepared::AltitudeWithoutPressure)?;
    if let Some(written) = &conditions.pressure {
        let pressure = written.value();
        if !within(pressure.kilopascals(), STATION_PRESSURE_KPA) {
            let text = written.text().to_owned();
            return Err(NotPrepared::PressureImpossible { text });
        }
        if let (Some(standard), Some(altitude)) = (standard, altitude) {
            let off = pressure.kilopascals() / standard.kilopascals() - 1.0;
            if off.abs() > defaults::PRESSURE_CONTRADICTS_ALTITUDE {
                return Err(NotPrepared::PressureContradictsAltitude {
                    pressure: written.text().to_owned(),
                    altitude: altitude.text().to_owned(),
                    standard,
                    too_high: off > 0.0,
                });
            }
        }
        return Ok((known(pressure, PressureOrigin::Stated), None));
    }
    if let Some(written) = &conditions.sea_level_pressure {
        let sea_level = written.value();
        if !within(sea_level.kilopascals(), SEA_LEVEL_PRESSURE_KPA) {
            let text = written.text().to_owned();
            return Err(NotPrepared::SeaLevelPressureImpossible { text });
        }
        let Some(altitude) = altitude.map(|altitude| altitude.value()) else {
            return Ok((None, Some(RecordFlag::SeaLevelPressureWithoutAltitude)));
        };
        let (column, flag) = if let Some(air) = air {
            (air, None)
        } else {
            let assumed = atmosphere::standard_temperature(altitude)
                .map_err(NotPrepared::AltitudeImpossible)?;
            (assumed, Some(RecordFlag::ColumnTemperatureAssumed(assumed)))
        };
        let pressure = atmosphere::station_pressure(sea_level, altitude, column)
            .map_err(NotPrepared::AltitudeImpossible)?;
        return Ok((known(pressure, PressureOrigin::SeaLevel), flag));
    }
    Ok((
        standard.and_then(|pressure| known(pressure, PressureOrigin::Altitude)),
        None,
    ))
}

/// A temperature as it is printed in flags.
pub fn celsius(temperature: Temperature) -> String {
    format!("{} °C", print::number(round(temperature.celsius(), 2)))
}

/// A number without the digits that nobody measured.
pub fn round(value: f64, decimals: i32) -> f64 {
    let step = power_of_ten(decimals);
    let rounded = (value * step).round() / step;
    if rounded.is_finite() { rounded } else { value }
}
