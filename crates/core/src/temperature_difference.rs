//! Difference of two temperatures.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// A difference of two temperatures, in which 1 °C is 1 K and 9 °F are 5 K.
    ///
    /// Kept in K; any finite number. Uncertainties and tolerances of a temperature are differences.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{TemperatureDifference, Written};
    ///
    /// let d: Written<TemperatureDifference> = "2 °C".parse()?;
    /// assert_eq!(d.value().kelvin(), 2.0); // and not 275.15
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    TemperatureDifference, TemperatureDifference, "temperature difference", Allowed::AnyFinite, of_kelvin in "K";
    from_kelvin / kelvin in "K";
}

additive!(TemperatureDifference, "temperature difference");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [-5.0, 0.0, 0.1, 20.0] {
            assert_eq!(TemperatureDifference::from_kelvin(x).unwrap().kelvin(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(TemperatureDifference::from_kelvin(x).is_err(), "{x}");
        }
    }
}
