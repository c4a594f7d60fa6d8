//! Temperature on a scale.

use std::ops::Sub;

use crate::QuantityError;
use crate::TemperatureDifference;
use crate::quantity::{Allowed, quantity};

quantity! {
    /// A temperature on a scale, above absolute zero.
    ///
    /// Kept in °C, which gives back both scales unharmed: 20 °C is 20 °C again, and a kelvin value between 137 K and 546 K also
    /// comes back to the last bit, because the subtraction of 273.15 is exact there. Kept in kelvin, 25.1 °C would come back as
    /// 25.100000000000023 °C. From °F a value comes back within four units in the last place of its distance from absolute zero.
    ///
    /// A temperature is not a difference: two of them cannot be added.
    ///
    /// ```compile_fail,E0369
    /// use stainbook_core::Temperature;
    /// let sum = Temperature::from_celsius(20.0).unwrap() + Temperature::from_celsius(5.0).unwrap();
    /// ```
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{Temperature, TemperatureDifference};
    /// let difference: TemperatureDifference = Temperature::from_celsius(20.0).unwrap();
    /// ```
    ///
    /// ```compile_fail,E0599
    /// use stainbook_core::Temperature;
    /// let twice = Temperature::from_celsius(20.0).unwrap().times(2.0);
    /// ```
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Temperature, TemperatureDifference};
    ///
    /// let t = Temperature::from_celsius(20.0)?;
    /// assert_eq!(t.kelvin(), 293.15);
    /// let warmer = t.plus(TemperatureDifference::from_kelvin(5.0)?)?;
    /// assert_eq!(warmer.celsius(), 25.0);
    /// assert_eq!((warmer - t).kelvin(), 5.0);
    /// assert!(Temperature::from_celsius(-300.0).is_err());
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    Temperature, Temperature, "temperature", Allowed::AboveAbsoluteZero, of_celsius in "°C";
    from_celsius / celsius in "°C";
    from_kelvin / kelvin in "K";
    from_fahrenheit / fahrenheit in "°F";
}

impl Temperature {
    /// This temperature and a difference more.
    ///
    /// # Errors
    ///
    /// [`QuantityError`]: the result is not above absolute zero.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Temperature, TemperatureDifference};
    ///
    /// let cooled = Temperature::from_celsius(4.0)?.plus(TemperatureDifference::from_kelvin(-6.0)?)?;
    /// assert_eq!(cooled.celsius(), -2.0);
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    pub fn plus(self, difference: TemperatureDifference) -> Result<Self, QuantityError> {
        Self::from_celsius(self.base + difference.kelvin())
    }
}

/// The difference of two temperatures.
impl Sub for Temperature {
    type Output = TemperatureDifference;

    fn sub(self, other: Self) -> TemperatureDifference {
        TemperatureDifference::of_kelvin(self.base - other.base)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [-40.0, -0.1, 0.0, 20.0, 25.1, 37.7] {
            assert_eq!(Temperature::from_celsius(x).unwrap().celsius(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -273.15, -300.0, f64::INFINITY] {
            assert!(Temperature::from_celsius(x).is_err(), "{x}");
        }
    }

    #[test]
    fn kelvin_comes_back() {
        for k in [233.15, 273.15, 293.15, 298.15, 310.95] {
            assert_eq!(Temperature::from_kelvin(k).unwrap().kelvin(), k);
        }
        assert!(Temperature::from_kelvin(0.0).is_err());
    }

    proptest! {
        #[test]
        fn both_scales_come_back_to_the_last_bit(celsius in -273.0..1e4_f64, kelvin in 137.0..546.0_f64) {
            prop_assert_eq!(Temperature::from_celsius(celsius).unwrap().celsius(), celsius);
            prop_assert_eq!(Temperature::from_kelvin(kelvin).unwrap().kelvin(), kelvin);
        }

        #[test]
        fn differences_add_up(a in -40.0..60.0_f64, b in -40.0..60.0_f64) {
            let (a, b) = (Temperature::from_celsius(a).unwrap(), Temperature::from_celsius(b).unwrap());
            prop_assert!((b.plus(a - b).unwrap().celsius() - a.celsius()).abs() <= 1e-13);
        }
    }

    #[test]
    fn fixed_points_of_fahrenheit() {
        for (f, c) in [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (68.0, 20.0)] {
            assert!(
                (Temperature::from_fahrenheit(f).unwrap().celsius() - c).abs() < 1e-12,
                "{f}"
            );
        }
        assert_eq!(
            Temperature::from_fahrenheit(-500.0)
                .unwrap_err()
                .to_string(),
            "`-500 °F` is not above absolute zero (-273.15 °C)"
        );
    }
}
