//! Plain ratio.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// A plain number or a percentage: a relative standard deviation, a tolerance, a factor.
    ///
    /// Kept as a number; any finite one. It is no volume fraction, though both may be written in %:
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{Ratio, VolumeFraction};
    /// let x: VolumeFraction = Ratio::from_percent(5.0).unwrap();
    /// ```
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Ratio, Written};
    ///
    /// let rsd: Written<Ratio> = "10 %".parse()?;
    /// assert_eq!(rsd.value().fraction(), 0.1);
    /// let factor: Written<Ratio> = "1.25".parse()?;
    /// assert_eq!(factor.value().fraction(), 1.25);
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    Ratio, Ratio, "ratio", Allowed::AnyFinite, of_fraction in "";
    from_fraction / fraction in "";
    from_percent / percent in "%";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [-0.5, 0.0, 0.1, 1.25] {
            assert_eq!(Ratio::from_fraction(x).unwrap().fraction(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, f64::INFINITY] {
            assert!(Ratio::from_fraction(x).is_err(), "{x}");
        }
    }
}
