//! Pressure from altitude and back, through the standard atmosphere.
//!
//! `p = p0 · (1 − L·h/T0)^(g0·M0/(R*·L))` in the lowest layer, with `h` geopotential. Source: ISO 2533:1975, identical to
//! ICAO Doc 7488/3 and the US Standard Atmosphere 1976 up to 32 km; the constants stand in [`constants`](crate::constants).
//!
//! The standard atmosphere is an average. The day's weather moves the pressure at a place by 2 to 3 % (common practice,
//! no source), which belongs in the uncertainty of whatever is worked out from an altitude.

use std::fmt;

use crate::constants::{
    ATMOSPHERE_GAS_CONSTANT, ATMOSPHERE_LAPSE, ATMOSPHERE_MOLAR_MASS, ATMOSPHERE_SEA_LEVEL_KELVIN,
    EARTH_RADIUS, STANDARD_ATMOSPHERE_KPA, STANDARD_GRAVITY,
};
use crate::elementary::powf;
use crate::{Altitude, Pressure, Temperature};

/// The lowest altitude for which there is an answer. Source: ICAO Doc 7488/3, whose tables begin at −5,000 m.
pub const LOWEST_METRES: f64 = -5000.0;

/// The highest altitude for which there is an answer: the top of the lowest layer. Source: ISO 2533:1975.
pub const HIGHEST_METRES: f64 = 11_000.0;

/// Largest difference of an altitude that comes back from its own pressure. The worst of 5 million random ones was 6.4e-12 m.
const ROUNDING_METRES: f64 = 1e-10;

/// The exponent of the barometric formula, 5.25588.
const EXPONENT: f64 =
    STANDARD_GRAVITY * ATMOSPHERE_MOLAR_MASS / (ATMOSPHERE_GAS_CONSTANT * ATMOSPHERE_LAPSE);

/// The pressure that the standard atmosphere has at a geopotential altitude.
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, atmosphere};
///
/// let p = atmosphere::standard_pressure(Altitude::from_metres(1600.0)?)?;
/// assert_eq!(format!("{:.2}", p.kilopascals()), "83.52");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn standard_pressure(altitude: Altitude) -> Result<Pressure, AtmosphereError> {
    let h = within_layer(altitude)?;
    let ratio = 1.0 - ATMOSPHERE_LAPSE * h / ATMOSPHERE_SEA_LEVEL_KELVIN;
    Ok(Pressure::of_kilopascals(
        STANDARD_ATMOSPHERE_KPA * powf(ratio, EXPONENT),
    ))
}

/// The temperature that the standard atmosphere has at a geopotential altitude.
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, atmosphere::standard_temperature};
///
/// // 6.5 K less for each kilometre.
/// let there = standard_temperature(Altitude::from_metres(2000.0)?)?;
/// assert!((there.celsius() - 2.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn standard_temperature(altitude: Altitude) -> Result<Temperature, AtmosphereError> {
    let h = within_layer(altitude)?;
    let kelvin = ATMOSPHERE_SEA_LEVEL_KELVIN - ATMOSPHERE_LAPSE * h;
    Ok(Temperature::of_celsius(
        kelvin - crate::constants::ZERO_CELSIUS_IN_KELVIN,
    ))
}

/// The geopotential altitude at which the standard atmosphere has a pressure (the pressure altitude).
///
/// # Errors
///
/// [`AtmosphereError`]: the pressure belongs to an altitude below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Pressure, atmosphere};
///
/// let h = atmosphere::standard_altitude(Pressure::from_kilopascals(83.5)?)?;
/// assert_eq!(format!("{:.0}", h.metres()), "1602");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn standard_altitude(pressure: Pressure) -> Result<Altitude, AtmosphereError> {
    let ratio = powf(
        pressure.kilopascals() / STANDARD_ATMOSPHERE_KPA,
        1.0 / EXPONENT,
    );
    let h = ATMOSPHERE_SEA_LEVEL_KELVIN / ATMOSPHERE_LAPSE * (1.0 - ratio);
    if LOWEST_METRES - ROUNDING_METRES <= h && h <= HIGHEST_METRES + ROUNDING_METRES {
        Ok(Altitude::of_metres(h.clamp(LOWEST_METRES, HIGHEST_METRES)))
    } else {
        Err(AtmosphereError::PressureOutside { pressure })
    }
}

/// The geopotential altitude of a geometric one (what a map or a satellite receiver gives): `H = r·z/(r + z)`.
///
/// At 6,000 m the two differ by 5.7 m, 0.08 % of the pressure.
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, atmosphere::geopotential};
///
/// let on_the_map = Altitude::from_metres(6000.0)?;
/// assert!((geopotential(on_the_map)?.metres() - 5994.3).abs() < 0.1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn geopotential(geometric: Altitude) -> Result<Altitude, AtmosphereError> {
    let z = geometric.metres();
    if !(LOWEST_METRES * 1.01 <= z && z <= HIGHEST_METRES * 1.01) {
        return Err(AtmosphereError::AltitudeOutside {
            altitude: geometric,
        });
    }
    Ok(Altitude::of_metres(EARTH_RADIUS * z / (EARTH_RADIUS + z)))
}

/// The geometric altitude of a geopotential one.
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, atmosphere::{geometric, geopotential}};
///
/// let on_the_map = Altitude::from_metres(1600.0)?;
/// let there_and_back = geometric(geopotential(on_the_map)?)?;
/// assert!((there_and_back.metres() - 1600.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn geometric(geopotential: Altitude) -> Result<Altitude, AtmosphereError> {
    let h = within_layer(geopotential)?;
    Ok(Altitude::of_metres(EARTH_RADIUS * h / (EARTH_RADIUS - h)))
}

/// The pressure at a station, from the sea-level pressure of a weather report.
///
/// A weather report reduces the pressure to sea level; typed in as the station's own at 1,600 m it is 20 % wrong. The
/// reduction assumes a column of air below the station that is warmer by 6.5 K for each kilometre down, as the standard
/// atmosphere is, beginning at the station's air temperature: `p = p_sea · (1 + L·h/T)^(−g0·M0/(R*·L))`. Humidity of the
/// column is left out. Weather services average the temperature over twelve hours or more; a single reading on a hot
/// afternoon or in a cold hollow moves the result by 1.4 % at 1,600 m if it is 20 K off.
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, Pressure, Temperature, atmosphere};
///
/// let p = atmosphere::station_pressure(
///     Pressure::from_hectopascals(1020.0)?,
///     Altitude::from_metres(1600.0)?,
///     Temperature::from_celsius(15.0)?,
/// )?;
/// assert_eq!(format!("{:.0}", p.hectopascals()), "847");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn station_pressure(
    sea_level: Pressure,
    altitude: Altitude,
    temperature: Temperature,
) -> Result<Pressure, AtmosphereError> {
    let ratio = reduction(altitude, temperature)?;
    Ok(Pressure::of_kilopascals(sea_level.kilopascals() / ratio))
}

/// The sea-level pressure that a weather report would give for a station's pressure: the way back of
/// [`station_pressure`].
///
/// # Errors
///
/// [`AtmosphereError`]: below −5,000 m or above 11,000 m.
///
/// # Example
///
/// ```
/// use stainbook_core::{Altitude, Pressure, Temperature};
/// use stainbook_core::atmosphere::{sea_level_pressure, station_pressure};
///
/// let (altitude, air) = (Altitude::from_metres(420.0)?, Temperature::from_celsius(12.0)?);
/// let report = Pressure::from_kilopascals(101.8)?;
/// let here = station_pressure(report, altitude, air)?;
/// assert!((sea_level_pressure(here, altitude, air)?.kilopascals() - 101.8).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn sea_level_pressure(
    station: Pressure,
    altitude: Altitude,
    temperature: Temperature,
) -> Result<Pressure, AtmosphereError> {
    let ratio = reduction(altitude, temperature)?;
    Ok(Pressure::of_kilopascals(station.kilopascals() * ratio))
}

fn reduction(altitude: Altitude, temperature: Temperature) -> Result<f64, AtmosphereError> {
    let h = within_layer(altitude)?;
    let base = 1.0 + ATMOSPHERE_LAPSE * h / temperature.kelvin();
    if base <= 0.0 {
        return Err(AtmosphereError::AltitudeOutside { altitude });
    }
    Ok(powf(base, EXPONENT))
}

fn within_layer(altitude: Altitude) -> Result<f64, AtmosphereError> {
    let h = altitude.metres();
    if LOWEST_METRES <= h && h <= HIGHEST_METRES {
        Ok(h)
    } else {
        Err(AtmosphereError::AltitudeOutside { altitude })
    }
}

/// An altitude or a pressure outside the lowest layer of the standard atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum AtmosphereError {
    /// The altitude is not between −5,000 m and 11,000 m.
    AltitudeOutside {
        /// The altitude given.
        altitude: Altitude,
    },
    /// The pressure belongs to an altitude that is not.
    PressureOutside {
        /// The pressure given.
        pressure: Pressure,
    },
}

impl fmt::Display for AtmosphereError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AltitudeOutside { altitude } => {
                write!(
                    f,
                    "`{altitude}` is outside `-5000 m to 11000 m`, where the standard atmosphere is used"
                )
            }
            Self::PressureOutside { pressure } => {
                write!(
                    f,
                    "`{pressure}` is no pressure of the standard atmosphere between `-5000 m` and `11000 m`"
                )
            }
        }
    }
}

impl std::error::Error for AtmosphereError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn metres(h: f64) -> Altitude {
        Altitude::from_metres(h).unwrap()
    }

    #[test]
    fn the_exponent_is_the_one_that_handbooks_print() {
        assert_eq!(format!("{EXPONENT:.5}"), "5.25588");
    }

    #[test]
    fn outside_the_layer_is_refused() {
        for h in [-5000.1, 11_000.1, 1e9] {
            assert!(standard_pressure(metres(h)).is_err(), "{h}");
            assert!(geometric(metres(h)).is_err(), "{h}");
        }
        for p in [20.0, 200.0] {
            assert!(
                standard_altitude(Pressure::from_kilopascals(p).unwrap()).is_err(),
                "{p}"
            );
        }
        let error = standard_pressure(metres(12_000.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "`12000 m` is outside `-5000 m to 11000 m`, where the standard atmosphere is used"
        );
    }

    #[test]
    fn in_the_standard_atmosphere_itself_the_reduction_gives_the_standard_pressure() {
        for h in [-400.0, 0.0, 500.0, 1600.0, 4000.0] {
            let sea = Pressure::of_kilopascals(STANDARD_ATMOSPHERE_KPA);
            let t = standard_temperature(metres(h)).unwrap();
            let here = station_pressure(sea, metres(h), t).unwrap();
            let standard = standard_pressure(metres(h)).unwrap();
            assert!(
                (here.kilopascals() / standard.kilopascals() - 1.0).abs() < 1e-14,
                "{h}"
            );
        }
    }

    proptest! {
        #[test]
        fn there_and_back(h in -5000.0..11_000.0_f64) {
            // An absolute bound: near sea level a relative one would ask for more than the pressure can hold.
            let back = standard_altitude(standard_pressure(metres(h)).unwrap()).unwrap().metres();
            prop_assert!((back - h).abs() < ROUNDING_METRES, "{h} {back}");
        }

        #[test]
        fn pressure_falls_with_altitude(h in -5000.0..10_999.0_f64, up in 0.001..1.0_f64) {
            prop_assert!(standard_pressure(metres(h)).unwrap() > standard_pressure(metres(h + up)).unwrap());
        }

        #[test]
        fn geopotential_and_geometric(h in -5000.0..11_000.0_f64) {
            let back = geopotential(geometric(metres(h)).unwrap()).unwrap().metres();
            prop_assert!((back - h).abs() <= 4.0 * f64::EPSILON * h.abs());
        }

        #[test]
        fn sea_level_and_station(h in -5000.0..11_000.0_f64, t in -40.0..50.0_f64, p in 50.0..110.0_f64) {
            let (t, p) = (Temperature::from_celsius(t).unwrap(), Pressure::from_kilopascals(p).unwrap());
            let back = sea_level_pressure(station_pressure(p, metres(h), t).unwrap(), metres(h), t).unwrap();
            prop_assert!((back.kilopascals() / p.kilopascals() - 1.0).abs() <= 4.0 * f64::EPSILON);
        }
    }
}
