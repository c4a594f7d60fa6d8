//! Molar mass: how much a mole of the substance weighs.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// Mass of a mole of the substance.
    ///
    /// Kept in g/mol; above zero. Rather than typed in, it is worked out from the formula:
    /// [`Formula::molar_mass`](crate::Formula::molar_mass).
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Formula, MolarMass};
    ///
    /// let typed = MolarMass::from_g_per_mol(17.03)?;
    /// let computed = "NH3".parse::<Formula>()?.molar_mass();
    /// assert!((typed.ratio_to(computed) - 1.0).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    MolarMass, MolarMass, "molar mass", Allowed::AboveZero, of_g_per_mol in "g/mol";
    from_g_per_mol / g_per_mol in "g/mol";
}

additive!(MolarMass, "molar mass");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [2.016, 17.031, 345.7] {
            assert_eq!(MolarMass::from_g_per_mol(x).unwrap().g_per_mol(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, 0.0, -17.0] {
            assert!(MolarMass::from_g_per_mol(x).is_err(), "{x}");
        }
    }
}
