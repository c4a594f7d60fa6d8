//! Water in the air: relative or absolute humidity, and the way from one to the other, which needs the temperature.
//!
//! Water vapour is taken as an ideal gas, and what the air does to the saturation pressure (0.4 % more at sea level,
//! CIPM-2007) is left out: a hygrometer is not so good.
//!
//! ```compile_fail,E0308
//! use stainbook_core::{AbsoluteHumidity, RelativeHumidity};
//! let h: RelativeHumidity = AbsoluteHumidity::from_g_per_m3(12.0).unwrap();
//! ```
//!
//! ```compile_fail,E0061
//! use stainbook_core::{RelativeHumidity, humidity};
//! let a = humidity::absolute(RelativeHumidity::from_percent(50.0).unwrap()); // without temperature
//! ```

use std::fmt;

use uom::si::ratio::Ratio;

use crate::constants::WATER_MOLAR_MASS;
use crate::litre_gram::{LitreGram, R, typed};
use crate::quantity::either;
use crate::saturation::{self, SaturationError};
use crate::{
    AbsoluteHumidity, Conditions, RelativeHumidity, Temperature, VolumeFraction, ideal_gas,
};

/// A humidity as a sheet may state it: relative to saturation, or as mass per volume.
///
/// The two are not comparable without a temperature: comparing them gives `None`.
///
/// # Example
///
/// ```
/// use stainbook_core::{Humidity, Written};
///
/// let a: Written<Humidity> = "50 % RH".parse()?;
/// let b: Written<Humidity> = "12 mg/L".parse()?;
/// assert!(a.value().relative().is_some());
/// assert_eq!(a.value().partial_cmp(&b.value()), None);
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Humidity {
    /// Water vapour pressure as a share of saturation.
    Relative(RelativeHumidity),
    /// Mass of water vapour per volume of air.
    Absolute(AbsoluteHumidity),
}

either! {
    Humidity, Humidity, "humidity";
    Relative(RelativeHumidity) in RelativeHumidity, relative "relative humidity";
    Absolute(AbsoluteHumidity) in AbsoluteHumidity, absolute "absolute humidity";
}

/// The mass of water vapour in a volume of air of this relative humidity and temperature.
///
/// # Errors
///
/// [`HumidityError::Saturation`]: the saturation pressure is not known at this temperature.
///
/// # Example
///
/// ```
/// use stainbook_core::{RelativeHumidity, Temperature, humidity};
///
/// let a = humidity::absolute(RelativeHumidity::from_percent(50.0)?, Temperature::from_celsius(20.0)?)?;
/// assert_eq!(format!("{:.2}", a.g_per_m3()), "8.64");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn absolute(
    relative: RelativeHumidity,
    temperature: Temperature,
) -> Result<AbsoluteHumidity, HumidityError> {
    let saturated = saturated_g_per_m3(temperature)?;
    Ok(AbsoluteHumidity::of_g_per_m3(
        saturated * relative.percent() / 100.0,
    ))
}

/// The relative humidity of air that holds so much water vapour at this temperature.
///
/// # Errors
///
/// [`HumidityError`]: the saturation pressure is not known at this temperature, or the air cannot hold so much water.
///
/// # Example
///
/// ```
/// use stainbook_core::{AbsoluteHumidity, Temperature, humidity};
///
/// let t = Temperature::from_celsius(20.0)?;
/// let h = humidity::relative(AbsoluteHumidity::from_mg_per_l(12.0)?, t)?;
/// assert_eq!(format!("{:.0}", h.percent()), "69");
/// assert!(humidity::relative(AbsoluteHumidity::from_mg_per_l(18.0)?, t).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn relative(
    absolute: AbsoluteHumidity,
    temperature: Temperature,
) -> Result<RelativeHumidity, HumidityError> {
    let saturated = saturated_g_per_m3(temperature)?;
    // Saturated air itself must not be refused for the last bit of a rounding.
    let percent = absolute.g_per_m3() * 100.0 / saturated;
    let rounding = 100.0 * crate::convert::THERE_AND_BACK;
    let percent = if 100.0 < percent && percent <= 100.0 + rounding {
        100.0
    } else {
        percent
    };
    RelativeHumidity::from_percent(percent).map_err(|_| HumidityError::AboveSaturation {
        absolute,
        temperature,
        saturated: AbsoluteHumidity::of_g_per_m3(saturated),
    })
}

/// The volume fraction of water vapour in air of this relative humidity.
///
/// # Errors
///
/// [`HumidityError`]: the saturation pressure is not known at this temperature, or water would boil at this pressure.
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, Pressure, RelativeHumidity, Temperature, humidity};
///
/// let sauna = Conditions::new(Temperature::from_celsius(35.0)?, Pressure::from_kilopascals(101.325)?);
/// let water = humidity::water_volume_fraction(RelativeHumidity::from_percent(100.0)?, sauna)?;
/// assert_eq!(format!("{:.2}", water.percent()), "5.56");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn water_volume_fraction(
    relative: RelativeHumidity,
    conditions: Conditions,
) -> Result<VolumeFraction, HumidityError> {
    let saturation = saturation::saturation_pressure(conditions.temperature)?;
    let share: Ratio<LitreGram, f64> =
        relative.percent() / 100.0 * saturation.typed() / conditions.pressure.typed();
    VolumeFraction::from_mole_fraction(share.value)
        .map_err(|_| HumidityError::Boiling { conditions })
}

/// Density of saturated water vapour in g/m³.
fn saturated_g_per_m3(temperature: Temperature) -> Result<f64, SaturationError> {
    let pressure = saturation::saturation_pressure(temperature)?;
    let density = ideal_gas::vapour_density(
        R,
        temperature.typed(),
        pressure.typed(),
        typed(WATER_MOLAR_MASS),
    );
    Ok(density.value * G_PER_M3_OF_G_PER_L)
}

/// 1 g/L in g/m³.
const G_PER_M3_OF_G_PER_L: f64 = 1000.0;

impl Humidity {
    /// The relative humidity at this temperature, whichever way it was stated.
    ///
    /// # Errors
    ///
    /// [`HumidityError`], as for [`relative`].
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Humidity, RelativeHumidity, Temperature};
    ///
    /// let (half, air) = (RelativeHumidity::from_percent(50.0)?, Temperature::from_celsius(20.0)?);
    /// let water = Humidity::Relative(half).to_absolute(air)?;
    /// let again = Humidity::Absolute(water).to_relative(air)?;
    /// assert!((again.percent() - 50.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn to_relative(self, temperature: Temperature) -> Result<RelativeHumidity, HumidityError> {
        match self {
            Self::Relative(h) => Ok(h),
            Self::Absolute(a) => relative(a, temperature),
        }
    }

    /// The absolute humidity at this temperature, whichever way it was stated.
    ///
    /// # Errors
    ///
    /// [`HumidityError`], as for [`absolute`].
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Humidity, RelativeHumidity, Temperature};
    ///
    /// let half = Humidity::Relative(RelativeHumidity::from_percent(50.0)?);
    /// let water = half.to_absolute(Temperature::from_celsius(20.0)?)?;
    /// assert!((water.g_per_m3() - 8.6).abs() < 0.1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn to_absolute(self, temperature: Temperature) -> Result<AbsoluteHumidity, HumidityError> {
        match self {
            Self::Relative(h) => absolute(h, temperature),
            Self::Absolute(a) => Ok(a),
        }
    }
}

/// A humidity that cannot be, or cannot be worked out.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum HumidityError {
    /// The saturation pressure is not known at this temperature.
    Saturation(SaturationError),
    /// More water than the air can hold.
    AboveSaturation {
        /// The humidity given.
        absolute: AbsoluteHumidity,
        /// The temperature given.
        temperature: Temperature,
        /// Largest humidity of air at this temperature.
        saturated: AbsoluteHumidity,
    },
    /// The vapour pressure of water would be more than the pressure of the air.
    Boiling {
        /// The conditions given.
        conditions: Conditions,
    },
}

impl From<SaturationError> for HumidityError {
    fn from(error: SaturationError) -> Self {
        Self::Saturation(error)
    }
}

impl fmt::Display for HumidityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Saturation(error) => error.fmt(f),
            Self::AboveSaturation {
                absolute,
                temperature,
                saturated,
            } => {
                // Rounded down, so that what is refused is never within what is said to be possible.
                let at_most = (saturated.g_per_m3() * 100.0).floor() / 100.0;
                write!(
                    f,
                    "`{absolute}` is more water than air of `{temperature}` can hold, at most `{at_most:.2} g/m³`"
                )?;
                if saturation::is_over_supercooled_water(*temperature) {
                    write!(f, " ({})", saturation::OVER_SUPERCOOLED_WATER)?;
                }
                Ok(())
            }
            Self::Boiling { conditions } => write!(
                f,
                "at {conditions} the vapour alone would be more than the whole"
            ),
        }
    }
}

impl std::error::Error for HumidityError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::convert::THERE_AND_BACK;

    fn celsius(t: f64) -> Temperature {
        Temperature::from_celsius(t).unwrap()
    }

    #[test]
    fn more_than_saturated_is_refused_with_what_is_possible() {
        let error = relative(
            AbsoluteHumidity::from_g_per_m3(20.0).unwrap(),
            celsius(20.0),
        )
        .unwrap_err();
        assert_eq!(
            error.to_string(),
            "`20 g/m³` is more water than air of `20 °C` can hold, at most `17.28 g/m³`"
        );
    }

    #[test]
    fn boiling_is_refused() {
        let wet = RelativeHumidity::from_percent(100.0).unwrap();
        let hot = Conditions::new(
            celsius(101.0),
            crate::Pressure::from_kilopascals(101.325).unwrap(),
        );
        assert!(matches!(
            water_volume_fraction(wet, hot),
            Err(HumidityError::Boiling { .. })
        ));
        assert!(matches!(
            absolute(wet, celsius(-60.0)),
            Err(HumidityError::Saturation(_))
        ));
    }

    proptest! {
        #[test]
        fn there_and_back(percent in 0.0..=100.0_f64, t in -45.0..300.0_f64) {
            let h = RelativeHumidity::from_percent(percent).unwrap();
            let back = relative(absolute(h, celsius(t)).unwrap(), celsius(t)).unwrap();
            prop_assert!((back.percent() - percent).abs() <= THERE_AND_BACK * percent);
        }

        #[test]
        fn rises_with_both(percent in 1.0..99.0_f64, t in -44.0..90.0_f64, more in 1e-3..1.0_f64) {
            let value = |h, t| absolute(RelativeHumidity::from_percent(h).unwrap(), celsius(t)).unwrap();
            prop_assert!(value(percent, t) < value(percent + more, t));
            prop_assert!(value(percent, t) < value(percent, t + more));
        }
    }
}
