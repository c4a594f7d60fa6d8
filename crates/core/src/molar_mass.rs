//! Mass per amount of substance.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Mass per amount of substance.
    MolarMass, MolarMass, "molar mass", Allowed::AboveZero;
    from_g_per_mol / g_per_mol in "g/mol";
}
