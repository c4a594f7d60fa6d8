//! Altitude above sea level.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Height above sea level; below it (mines, the Dead Sea) it is negative.
    ///
    /// Kept in m; any finite number. The [`atmosphere`](crate::atmosphere) has answers from −5,000 m to 11,000 m.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::Altitude;
    ///
    /// assert_eq!(format!("{:.0}", Altitude::from_feet(5280.0)?.metres()), "1609");
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    Altitude, Altitude, "altitude", Allowed::AnyFinite, of_metres in "m";
    from_metres / metres in "m";
    from_feet / feet in "ft";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [-400.0, 0.0, 1600.0] {
            assert_eq!(Altitude::from_metres(x).unwrap().metres(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, f64::INFINITY] {
            assert!(Altitude::from_metres(x).is_err(), "{x}");
        }
    }
}
