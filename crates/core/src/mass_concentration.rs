//! Mass of a substance per volume of air.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Mass of a substance per volume of air.
    MassConcentration, MassConcentration, "mass concentration", Allowed::ZeroOrMore;
    from_mg_per_m3 / mg_per_m3 in "mg/m³";
    from_ug_per_m3 / ug_per_m3 in "µg/m³";
    from_g_per_m3 / g_per_m3 in "g/m³";
    from_mg_per_l / mg_per_l in "mg/L";
}
