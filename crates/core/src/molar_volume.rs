//! Volume per amount of gas.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Volume per amount of gas.
    MolarVolume, MolarVolume, "molar volume", Allowed::AboveZero;
    from_l_per_mol / l_per_mol in "L/mol";
}
