//! Relative humidity.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// The pressure of water vapour as a share of its saturation pressure over liquid water at the same temperature.
    ///
    /// Kept in %; from 0 to 100. Without a temperature it says nothing about how much water there is:
    /// [`humidity::absolute`](crate::humidity::absolute) asks for it.
    ///
    /// ```compile_fail,E0308
    /// use stainbook_core::{AbsoluteHumidity, RelativeHumidity};
    /// let more = RelativeHumidity::from_percent(50.0).unwrap() < AbsoluteHumidity::from_g_per_m3(9.0).unwrap();
    /// ```
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{RelativeHumidity, Written};
    ///
    /// let h: Written<RelativeHumidity> = "50 % RH".parse()?;
    /// assert_eq!(h.value().percent(), 50.0);
    /// assert!("120 %RH".parse::<Written<RelativeHumidity>>().is_err());
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    RelativeHumidity, RelativeHumidity, "relative humidity", Allowed::UpTo(100.0), of_percent in "%RH";
    from_percent / percent in "%RH";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 33.3, 50.0, 100.0] {
            assert_eq!(RelativeHumidity::from_percent(x).unwrap().percent(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -1.0, 100.1] {
            assert!(RelativeHumidity::from_percent(x).is_err(), "{x}");
        }
    }
}
