//! Mass of a substance per mass of the whole.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Mass of a substance per mass of the whole.
    MassFraction, MassFraction, "mass fraction", Allowed::UpTo(1e6);
    from_mg_per_kg / mg_per_kg in "mg/kg";
    from_percent / percent in "% by mass";
}
