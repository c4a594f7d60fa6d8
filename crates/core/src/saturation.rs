//! The saturation pressure of water vapour over liquid water.

use std::fmt;

use crate::constants::ZERO_CELSIUS_IN_KELVIN;
use crate::elementary::{exp, powi};
use crate::{Pressure, Temperature};

/// The lowest temperature for which there is an answer, in °C. Source: the range of the Magnus form in WMO-No. 8.
pub const LOWEST_CELSIUS: f64 = -45.0;

/// The highest temperature for which there is an answer, in °C: the critical point of water, 647.096 K.
/// Source: IAPWS R7-97(2012).
pub const HIGHEST_CELSIUS: f64 = 647.096 - ZERO_CELSIUS_IN_KELVIN;

/// Coefficients of the saturation line. Source: IAPWS R7-97(2012), table 34, from memory; the three printed check values
/// of table 35 are a test.
const N: [f64; 10] = [
    0.116_705_214_527_67e4,
    -0.724_213_167_032_06e6,
    -0.170_738_469_400_92e2,
    0.120_208_247_024_70e5,
    -0.323_255_503_223_33e7,
    0.149_151_086_135_30e2,
    -0.482_326_573_615_91e4,
    0.405_113_405_420_57e6,
    -0.238_555_575_678_49,
    0.650_175_348_447_98e3,
];

/// The pressure of water vapour that is in balance with liquid water, over pure water without air.
///
/// From 0 °C up the saturation line of the industrial formulation 1997: IAPWS R7-97(2012), equation 30, within
/// 0.008 % of the scientific formulation IAPWS-95 and of CIPM-2007 from 0 to 50 °C. From −45 °C to 0 °C, where that has no answer, the Magnus form
/// for supercooled water of WMO-No. 8, `6.112 hPa · exp(17.62 t/(243.12 °C + t))`, from memory. Humidity below freezing is
/// reported over water, as weather services do, and not over ice.
///
/// # Errors
///
/// [`SaturationError`]: below −45 °C or above 373.946 °C.
///
/// # Example
///
/// ```
/// use stainbook_core::{Temperature, saturation};
///
/// let p = saturation::saturation_pressure(Temperature::from_celsius(20.0)?)?;
/// assert_eq!(format!("{:.3}", p.kilopascals()), "2.339");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn saturation_pressure(temperature: Temperature) -> Result<Pressure, SaturationError> {
    let celsius = temperature.celsius();
    if !(LOWEST_CELSIUS <= celsius && celsius <= HIGHEST_CELSIUS) {
        return Err(SaturationError { temperature });
    }
    let kilopascals = if celsius < 0.0 {
        supercooled_kilopascals(celsius)
    } else {
        liquid_kilopascals(temperature.kelvin())
    };
    Ok(Pressure::of_kilopascals(kilopascals))
}

/// Sentence that goes with humidity below 0 °C, where the saturation is not that over ice. The share is that of the two
/// saturation pressures of WMO-No. 8, from memory: 5 % less over ice at −5 °C, 9 % at −10 °C, 18 % at −20 °C.
pub const OVER_SUPERCOOLED_WATER: &str = "below 0 °C humidity counts over supercooled water, as weather services report it; over ice air would hold about 1 % less for each degree below";

/// True if the saturation pressure at this temperature is that over supercooled water.
///
/// # Example
///
/// ```
/// use stainbook_core::{Temperature, saturation};
///
/// assert!(saturation::is_over_supercooled_water(Temperature::from_celsius(-5.0)?));
/// assert!(!saturation::is_over_supercooled_water(Temperature::from_celsius(5.0)?));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn is_over_supercooled_water(temperature: Temperature) -> bool {
    temperature.celsius() < 0.0
}

fn liquid_kilopascals(kelvin: f64) -> f64 {
    let [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = N;
    let theta = kelvin + n9 / (kelvin - n10);
    let a = theta * theta + n1 * theta + n2;
    let b = n3 * theta * theta + n4 * theta + n5;
    let c = n6 * theta * theta + n7 * theta + n8;
    let root = 2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt());
    powi(root, 4) * 1000.0
}

fn supercooled_kilopascals(celsius: f64) -> f64 {
    0.6112 * exp(17.62 * celsius / (243.12 + celsius))
}

/// A temperature for which no saturation pressure is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaturationError {
    temperature: Temperature,
}

impl SaturationError {
    /// The temperature given.
    pub const fn temperature(&self) -> Temperature {
        self.temperature
    }
}

impl fmt::Display for SaturationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is outside `-45 to 373.946 °C`, where the saturation pressure over water is known",
            self.temperature
        )
    }
}

impl std::error::Error for SaturationError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(celsius: f64) -> Result<f64, SaturationError> {
        saturation_pressure(Temperature::from_celsius(celsius).unwrap()).map(Pressure::pascals)
    }

    #[test]
    fn check_values_printed_by_iapws() {
        // IAPWS R7-97(2012), table 35.
        for (kelvin, megapascals) in [
            (300.0, "3.53658941e-3"),
            (500.0, "2.63889776e0"),
            (600.0, "1.23443146e1"),
        ] {
            let p = saturation_pressure(Temperature::from_kelvin(kelvin).unwrap()).unwrap();
            assert_eq!(format!("{:.8e}", p.pascals() / 1e6), megapascals);
        }
    }

    #[test]
    fn outside_the_range_is_refused() {
        for celsius in [-45.1, -200.0, 374.0, 1e6] {
            let error = at(celsius).unwrap_err();
            assert!(error.to_string().contains("-45 to 373.946 °C"), "{error}");
        }
        assert!(at(LOWEST_CELSIUS).is_ok());
        assert!(at(HIGHEST_CELSIUS).is_ok());
    }

    #[test]
    fn the_two_forms_meet_at_freezing() {
        let (below, above) = (
            supercooled_kilopascals(0.0),
            liquid_kilopascals(ZERO_CELSIUS_IN_KELVIN),
        );
        assert!(below < above && above / below < 1.000_05, "{below} {above}");
    }

    proptest! {
        #[test]
        fn rises_with_temperature(t in -45.0..373.0_f64, more in 1e-6..0.9_f64) {
            prop_assert!(at(t).unwrap() < at(t + more).unwrap());
        }
    }
}
