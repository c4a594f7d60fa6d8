//! The air at the place, from what the survey states: temperatures, humidity, and the pressure in one of three ways.

use stainbook_catalog::written::Conditions as WrittenConditions;
use stainbook_core::elementary::power_of_ten;
use stainbook_core::{Humidity, Pressure, Temperature, atmosphere, print};

use crate::chain::{AirState, StatedHumidity};
use crate::defaults;
use crate::outcome::{Code, Flag, Refusal};
use crate::pointers;

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
    /// How it is known.
    pub origin: PressureOrigin,
}

/// How a station pressure is known.
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
    let elsewhere = reading.altitude.is_some() || reading.sea_level_pressure.is_some();
    let pressure = if elsewhere {
        None
    } else {
        survey.pressure.clone()
    };
    WrittenConditions {
        air_temperature: reading
            .air_temperature
            .clone()
            .or_else(|| survey.air_temperature.clone()),
        tube_temperature: reading
            .tube_temperature
            .clone()
            .or_else(|| survey.tube_temperature.clone()),
        humidity: reading.humidity.clone().or_else(|| survey.humidity.clone()),
        pressure: reading.pressure.clone().or(pressure),
        altitude: reading.altitude.clone().or_else(|| survey.altitude.clone()),
        sea_level_pressure: reading
            .sea_level_pressure
            .clone()
            .or_else(|| survey.sea_level_pressure.clone()),
    }
}

/// Works out the air at the place. What is missing stays unknown; what has to be said is added to `flags`.
///
/// # Errors
///
/// A [`Refusal`] where the conditions contradict each other or cannot be.
pub fn at_place(
    conditions: &WrittenConditions,
    flags: &mut Vec<Flag>,
) -> Result<AirAtPlace, Refusal> {
    let air = conditions.air_temperature.as_ref().map(|t| t.value());
    let tube = conditions.tube_temperature.as_ref().map(|t| t.value());
    if let (Some(air), Some(tube)) = (air, tube)
        && (tube - air).kelvin().abs() > defaults::TUBE_AND_AIR
    {
        flags.push(Flag::new(
            Code::TubeTemperatureDiffers,
            format!(
                "the tube was at {} in air of {}; the corrections are taken at the tube's temperature, and the air that passed through may have changed it",
                celsius(tube),
                celsius(air)
            ),
        ));
    }
    let humidity = conditions.humidity.as_ref().map(|h| h.value());
    if let (Some(humidity), Some(air)) = (humidity, air)
        && let Err(error) = humidity.to_relative(air)
    {
        return Err(Refusal::new(
            Code::HumidityImpossible,
            format!("the humidity and the air temperature do not go together: {error}"),
            "look at both again; an absolute humidity is in g/m³ (the same as mg/L)",
        )
        .at(pointers::HUMIDITY));
    }
    Ok(AirAtPlace {
        air,
        tube,
        humidity,
        pressure: station_pressure(conditions, air, flags)?,
    })
}

fn station_pressure(
    conditions: &WrittenConditions,
    air: Option<Temperature>,
    flags: &mut Vec<Flag>,
) -> Result<Option<StationPressure>, Refusal> {
    let altitude = conditions.altitude.as_ref();
    let standard = altitude
        .map(|altitude| atmosphere::standard_pressure(altitude.value()))
        .transpose()
        .map_err(|error| {
            Refusal::new(
                Code::AltitudeImpossible,
                format!("no pressure can be worked out from the altitude: {error}"),
                "look at the altitude and its unit again, or state the station pressure",
            )
            .at(pointers::ALTITUDE)
        })?;
    if let Some(written) = &conditions.pressure {
        let pressure = written.value();
        let (low, high) = defaults::STATION_PRESSURE;
        if !(low <= pressure.kilopascals() && pressure.kilopascals() <= high) {
            return Err(Refusal::new(
                Code::PressureImpossible,
                format!(
                    "`{}` is no pressure at which a tube is used ({low} to {high} kPa)",
                    written.text()
                ),
                "look at the unit again; the pressure is the absolute one at the place, not a gauge reading",
            )
            .at(pointers::PRESSURE));
        }
        if let (Some(standard), Some(altitude)) = (standard, altitude) {
            let off = pressure.kilopascals() / standard.kilopascals() - 1.0;
            if off.abs() > defaults::PRESSURE_CONTRADICTS_ALTITUDE {
                return Err(Refusal::new(
                    Code::PressureContradictsAltitude,
                    format!(
                        "`{}` cannot be the station pressure at `{}`: there it is about {} kPa, give or take 3 % for the weather",
                        written.text(),
                        altitude.text(),
                        print::to_significant(standard.kilopascals(), 3)
                    ),
                    if off > 0.0 {
                        "it looks like the pressure of a weather report, which is reduced to sea level: write it as `sea_level_pressure`"
                    } else {
                        "read the barometer at the place again, and look at the altitude and both units"
                    },
                )
                .at(pointers::PRESSURE));
            }
        }
        return Ok(Some(StationPressure {
            pressure,
            origin: PressureOrigin::Stated,
        }));
    }
    if let Some(written) = &conditions.sea_level_pressure {
        let sea_level = written.value();
        let (low, high) = defaults::SEA_LEVEL_PRESSURE;
        if !(low <= sea_level.kilopascals() && sea_level.kilopascals() <= high) {
            return Err(Refusal::new(
                Code::SeaLevelPressureImpossible,
                format!(
                    "`{}` is no pressure reduced to sea level ({low} to {high} kPa)",
                    written.text()
                ),
                "if it was read at the place, write it as `pressure`; else look at the unit again",
            )
            .at(pointers::SEA_LEVEL_PRESSURE));
        }
        let Some(altitude) = altitude else {
            flags.push(Flag::new(
                Code::SeaLevelPressureWithoutAltitude,
                "a sea-level pressure says nothing about the place without the altitude; it was not used",
            ));
            return Ok(None);
        };
        let impossible = |error: stainbook_core::AtmosphereError| {
            Refusal::new(
                Code::AltitudeImpossible,
                error.to_string(),
                "look at the altitude and its unit again",
            )
            .at(pointers::ALTITUDE)
        };
        let column = if let Some(air) = air {
            air
        } else {
            let assumed = atmosphere::standard_temperature(altitude.value()).map_err(impossible)?;
            flags.push(Flag::new(
                Code::ColumnTemperatureAssumed,
                format!("the sea-level pressure was brought to the altitude with an assumed {}, the standard atmosphere's there, as no air temperature is stated", celsius(assumed)),
            ));
            assumed
        };
        let pressure = atmosphere::station_pressure(sea_level, altitude.value(), column)
            .map_err(impossible)?;
        return Ok(Some(StationPressure {
            pressure,
            origin: PressureOrigin::SeaLevel,
        }));
    }
    Ok(standard.map(|pressure| StationPressure {
        pressure,
        origin: PressureOrigin::Altitude,
    }))
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
