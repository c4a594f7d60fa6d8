//! Volume fraction.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// Share of the gas in the air: a ratio of amounts, which does not change with temperature or pressure.
    ///
    /// Kept in ppm (parts per million by volume), so that 25 ppm is 25 and not 24.999999999999996. From 0 to the whole, 10⁶ ppm.
    /// For an ideal gas the volume fraction is the mole fraction; parts per million by mass are another quantity,
    /// [`MassFraction`](crate::MassFraction), and do not mix:
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{MassFraction, VolumeFraction};
    /// let sum = VolumeFraction::from_ppm(1.0).unwrap().plus(MassFraction::from_mg_per_kg(1.0).unwrap());
    /// ```
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{MassConcentration, VolumeFraction};
    /// let sum = VolumeFraction::from_ppm(1.0).unwrap().plus(MassConcentration::from_mg_per_m3(1.0).unwrap());
    /// ```
    ///
    /// ```compile_fail,E0369
    /// use stainbook_core::{MassConcentration, VolumeFraction};
    /// let sum = VolumeFraction::from_ppm(1.0).unwrap() + MassConcentration::from_mg_per_m3(1.0).unwrap();
    /// ```
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{MassConcentration, VolumeFraction};
    /// let above = VolumeFraction::from_ppm(1.0).unwrap() > MassConcentration::from_mg_per_m3(1.0).unwrap();
    /// ```
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::VolumeFraction;
    ///
    /// let x = VolumeFraction::from_percent(0.5)?;
    /// assert_eq!(x.ppm(), 5000.0);
    /// assert_eq!(x.plus(VolumeFraction::from_ppm(1.0)?)?.ppm(), 5001.0);
    /// assert!(VolumeFraction::from_percent(101.0).is_err());
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    VolumeFraction, VolumeFraction, "volume fraction", Allowed::UpTo(1e6), of_ppm in "ppm";
    from_ppm / ppm in "ppm";
    from_ppb / ppb in "ppb";
    from_percent / percent in "% by volume";
    from_mole_fraction / mole_fraction in "mol/mol";
}

additive!(VolumeFraction, "volume fraction");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 1e-9, 0.1, 25.0, 35.7, 1e6] {
            assert_eq!(VolumeFraction::from_ppm(x).unwrap().ppm(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, f64::INFINITY, -1e-9, 1_000_000.1] {
            assert!(VolumeFraction::from_ppm(x).is_err(), "{x}");
        }
    }

    #[test]
    fn units() {
        assert_eq!(VolumeFraction::from_ppb(35.0).unwrap().ppm(), 0.035);
        assert_eq!(VolumeFraction::from_percent(2.5).unwrap().ppm(), 25_000.0);
        assert_eq!(
            VolumeFraction::from_mole_fraction(1.0).unwrap().percent(),
            100.0
        );
        assert_eq!(
            VolumeFraction::from_percent(120.0).unwrap_err().to_string(),
            "`120 % by volume` is more than the whole, a volume fraction is at most `100 % by volume`"
        );
        assert_eq!(
            VolumeFraction::from_ppm(25.0).unwrap().to_string(),
            "25 ppm"
        );
    }
}
