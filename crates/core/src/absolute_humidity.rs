//! Mass of water vapour per volume of air.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Mass of water vapour per volume of air.
    AbsoluteHumidity, AbsoluteHumidity, "absolute humidity", Allowed::ZeroOrMore;
    from_g_per_m3 / g_per_m3 in "g/m³";
    from_mg_per_l / mg_per_l in "mg/L";
}
