//! Amount of a gas per amount of air.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Amount of a gas per amount of air.
    VolumeFraction, VolumeFraction, "volume fraction", Allowed::UpTo(1e6);
    from_ppm / ppm in "ppm";
    from_ppb / ppb in "ppb";
    from_percent / percent in "% by volume";
    from_mole_fraction / mole_fraction in "mol/mol";
}
