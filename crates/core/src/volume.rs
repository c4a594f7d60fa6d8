//! Volume of air.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// A volume of air, as a pump draws it.
    ///
    /// Kept in mL; zero or more.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::Volume;
    ///
    /// let stroke = Volume::from_millilitres(100.0)?;
    /// assert_eq!(stroke.times(10.0)?.litres(), 1.0);
    /// # Ok::<(), stainbook_core::QuantityError>(())
    /// ```
    Volume, Volume, "volume", Allowed::ZeroOrMore, of_millilitres in "mL";
    from_millilitres / millilitres in "mL";
    from_litres / litres in "L";
}

additive!(Volume, "volume");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 50.0, 100.0] {
            assert_eq!(Volume::from_millilitres(x).unwrap().millilitres(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -1.0] {
            assert!(Volume::from_millilitres(x).is_err(), "{x}");
        }
    }
}
