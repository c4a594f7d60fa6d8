//! Molar volume.

use crate::litre_gram::R;
use crate::quantity::{Allowed, additive, quantity};
use crate::{Conditions, ideal_gas};

quantity! {
    /// Volume of a mole of gas.
    ///
    /// Kept in L/mol; above zero. Handbooks round: 24.45 for 25 °C and 760 mmHg is 24.465 by the exact gas constant, 0.06 % more.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Conditions, MolarVolume};
    ///
    /// let v = MolarVolume::of_ideal_gas(Conditions::at_20_celsius());
    /// assert_eq!(format!("{:.5}", v.l_per_mol()), "24.05512");
    /// ```
    MolarVolume, MolarVolume, "molar volume", Allowed::AboveZero, of_l_per_mol in "L/mol";
    from_l_per_mol / l_per_mol in "L/mol";
    from_m3_per_mol / m3_per_mol in "m³/mol";
}

additive!(MolarVolume, "molar volume");

impl MolarVolume {
    /// The molar volume of an ideal gas: `Vm = R·T/p`.
    ///
    /// A real vapour at a few hundred ppm in air at room conditions differs from it by well under 0.1 % (common practice,
    /// no source).
    #[inline]
    pub fn of_ideal_gas(conditions: Conditions) -> Self {
        let volume = ideal_gas::molar_volume(
            R,
            conditions.temperature.typed(),
            conditions.pressure.typed(),
        );
        Self::of_l_per_mol(volume.value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [22.414, 24.45, 30.51] {
            assert_eq!(MolarVolume::from_l_per_mol(x).unwrap().l_per_mol(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, 0.0, -24.0] {
            assert!(MolarVolume::from_l_per_mol(x).is_err(), "{x}");
        }
    }

    #[test]
    fn of_the_usual_conditions() {
        for (conditions, expected) in [
            (Conditions::at_0_celsius(), "22.41397"),
            (Conditions::at_20_celsius(), "24.05512"),
            (Conditions::at_25_celsius(), "24.46540"),
        ] {
            assert_eq!(
                format!("{:.5}", MolarVolume::of_ideal_gas(conditions).l_per_mol()),
                expected
            );
        }
    }
}
