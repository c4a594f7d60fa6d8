//! Mass concentration: how much of the substance is in a volume of air.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// Mass of the substance in a volume of air.
    ///
    /// Kept in mg/m³; zero or more. It goes with the density of the air, so it means little without its
    /// [`Conditions`](crate::Conditions); [`convert`](crate::convert) asks for them.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::MassConcentration;
    ///
    /// let c = MassConcentration::from_ug_per_m3(350.0)?;
    /// assert_eq!(c.mg_per_m3(), 0.35);
    /// assert_eq!(c.to_string(), "0.35 mg/m³");
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    MassConcentration, MassConcentration, "mass concentration", Allowed::ZeroOrMore, of_mg_per_m3 in "mg/m³";
    from_mg_per_m3 / mg_per_m3 in "mg/m³";
    from_ug_per_m3 / ug_per_m3 in "µg/m³";
    from_g_per_m3 / g_per_m3 in "g/m³";
    from_mg_per_l / mg_per_l in "mg/L";
}

additive!(MassConcentration, "mass concentration");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 0.1, 25.0, 1e9] {
            assert_eq!(MassConcentration::from_mg_per_m3(x).unwrap().mg_per_m3(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, f64::INFINITY, -1e-9] {
            assert!(MassConcentration::from_mg_per_m3(x).is_err(), "{x}");
        }
    }

    #[test]
    fn units() {
        assert_eq!(
            MassConcentration::from_mg_per_l(0.5).unwrap().mg_per_m3(),
            500.0
        );
        assert_eq!(
            MassConcentration::from_g_per_m3(0.5).unwrap().mg_per_m3(),
            500.0
        );
    }
}
