//! Absolute humidity.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// The mass of water vapour in a volume of air.
    ///
    /// Kept in g/m³, which is mg/L; zero or more.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::AbsoluteHumidity;
    ///
    /// assert_eq!(AbsoluteHumidity::from_mg_per_l(9.0)?, AbsoluteHumidity::from_g_per_m3(9.0)?);
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    AbsoluteHumidity, AbsoluteHumidity, "absolute humidity", Allowed::ZeroOrMore, of_g_per_m3 in "g/m³";
    from_g_per_m3 / g_per_m3 in "g/m³";
    from_mg_per_l / mg_per_l in "mg/L";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 8.65, 12.0] {
            assert_eq!(AbsoluteHumidity::from_g_per_m3(x).unwrap().g_per_m3(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -1.0] {
            assert!(AbsoluteHumidity::from_g_per_m3(x).is_err(), "{x}");
        }
    }
}
