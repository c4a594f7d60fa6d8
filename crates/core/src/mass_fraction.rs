//! Mass fraction: how much of the mass is the substance.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// Share of the substance in the mass: mg/kg, parts per million by mass, % by mass.
    ///
    /// Kept in mg/kg; from 0 to the whole, 10⁶ mg/kg. It turns up in reagents and liquids, hardly ever in air, where ppm is by
    /// volume: the two differ by the ratio of the molar masses and are never taken for one another.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{MassFraction, Written};
    ///
    /// let x: Written<MassFraction> = "12 ppm by mass".parse()?;
    /// assert_eq!(x.value(), MassFraction::from_mg_per_kg(12.0)?);
    /// assert!("12 ppm".parse::<Written<MassFraction>>().is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    MassFraction, MassFraction, "mass fraction", Allowed::UpTo(1e6), of_mg_per_kg in "mg/kg";
    from_mg_per_kg / mg_per_kg in "mg/kg";
    from_percent / percent in "% by mass";
}

additive!(MassFraction, "mass fraction");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 0.1, 25.0, 1e6] {
            assert_eq!(MassFraction::from_mg_per_kg(x).unwrap().mg_per_kg(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -1.0, 2e6] {
            assert!(MassFraction::from_mg_per_kg(x).is_err(), "{x}");
        }
    }
}
