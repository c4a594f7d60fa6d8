//! Absolute pressure.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// Absolute pressure, as a barometer at the place shows it.
    ///
    /// Kept in kPa; above zero. The pressure of a weather report is reduced to sea level: see
    /// [`atmosphere::station_pressure`](crate::atmosphere::station_pressure). A mercury column is the conventional one,
    /// 1 mmHg = 133.322387415 Pa; 760 of them are 101.325 kPa to 0.2 parts in a million.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Pressure, Written};
    ///
    /// let p: Written<Pressure> = "1013.25 hPa".parse()?;
    /// assert_eq!(p.value().kilopascals(), 101.325);
    /// assert_eq!(format!("{:.2}", p.value().mmhg()), "760.00");
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    Pressure, Pressure, "pressure", Allowed::AboveZero, of_kilopascals in "kPa";
    from_kilopascals / kilopascals in "kPa";
    from_hectopascals / hectopascals in "hPa";
    from_pascals / pascals in "Pa";
    from_mmhg / mmhg in "mmHg";
}

additive!(Pressure, "pressure");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [83.5, 101.3, 101.325] {
            assert_eq!(Pressure::from_kilopascals(x).unwrap().kilopascals(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, 0.0, -1.0] {
            assert!(Pressure::from_kilopascals(x).is_err(), "{x}");
        }
    }

    #[test]
    fn units() {
        assert_eq!(
            Pressure::from_hectopascals(1013.25).unwrap().kilopascals(),
            101.325
        );
        assert_eq!(
            Pressure::from_pascals(101_325.0).unwrap().kilopascals(),
            101.325
        );
        assert_eq!(
            Pressure::from_mmhg(0.0).unwrap_err().to_string(),
            "`0 mmHg` is given, but a pressure must be above zero"
        );
    }
}
