//! The conditions without which a mass concentration means nothing: temperature and pressure.

use std::fmt;

use crate::{Pressure, Temperature};

/// A temperature and a pressure.
///
/// There is no default on purpose: a mass concentration at 25 °C and one at 20 °C differ by 1.7 %, one at sea level and
/// one at 2,000 m by more than 20 %, and only the author of the number knows which it is.
///
/// ```compile_fail,E0277
/// fn assumed<T: Default>() -> T { T::default() }
/// let conditions: stainbook_core::Conditions = assumed();
/// ```
///
/// ```compile_fail,E0599
/// let conditions = stainbook_core::Conditions::default();
/// ```
///
/// # Example
///
/// ```
/// use stainbook_core::{Conditions, Pressure, Temperature};
///
/// let here = Conditions { temperature: Temperature::from_celsius(8.0)?, pressure: Pressure::from_kilopascals(83.5)? };
/// assert_eq!(here.to_string(), "8 °C and 83.5 kPa");
/// # Ok::<(), stainbook_core::QuantityError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Temperature of the air.
    pub temperature: Temperature,
    /// Absolute pressure of the air at the place, not reduced to sea level.
    pub pressure: Pressure,
}

impl Conditions {
    /// Conditions of a temperature and a pressure.
    pub const fn new(temperature: Temperature, pressure: Pressure) -> Self {
        Self {
            temperature,
            pressure,
        }
    }

    /// 25 °C and 101.325 kPa (760 mmHg), at which limits of the United States are stated.
    ///
    /// Source: 29 CFR 1910.1000, Table Z-1, footnote (a): ppm by volume at 25 °C and 760 torr.
    pub const fn at_25_celsius() -> Self {
        Self::new(
            Temperature::of_celsius(25.0),
            Pressure::of_kilopascals(crate::constants::STANDARD_ATMOSPHERE_KPA),
        )
    }

    /// 20 °C and 101.325 kPa, at which much of Europe states its limits.
    ///
    /// Source: Directive 2000/39/EC, annex, note on mg/m³: 20 °C and 101.3 kPa (760 mmHg). The directive prints four
    /// digits of the pressure; 760 mmHg is 101.325 kPa.
    pub const fn at_20_celsius() -> Self {
        Self::new(
            Temperature::of_celsius(20.0),
            Pressure::of_kilopascals(crate::constants::STANDARD_ATMOSPHERE_KPA),
        )
    }

    /// 0 °C and 101.325 kPa, the normal state of gas tables.
    ///
    /// Source: ISO 2533:1975 for the pressure; NIST Special Publication 330 for the molar volume at it.
    pub const fn at_0_celsius() -> Self {
        Self::new(
            Temperature::of_celsius(0.0),
            Pressure::of_kilopascals(crate::constants::STANDARD_ATMOSPHERE_KPA),
        )
    }
}

impl fmt::Display for Conditions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} and {}", self.temperature, self.pressure)
    }
}

#[cfg(test)]
mod tests {
    use super::Conditions;

    #[test]
    fn the_usual_ones_are_told_apart() {
        let texts: Vec<String> = [
            Conditions::at_0_celsius(),
            Conditions::at_20_celsius(),
            Conditions::at_25_celsius(),
        ]
        .iter()
        .map(ToString::to_string)
        .collect();
        assert_eq!(
            texts,
            [
                "0 °C and 101.325 kPa",
                "20 °C and 101.325 kPa",
                "25 °C and 101.325 kPa"
            ]
        );
    }
}
