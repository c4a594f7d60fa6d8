//! Height above sea level.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Height above sea level.
    Altitude, Altitude, "altitude", Allowed::AnyFinite;
    from_metres / metres in "m";
    from_feet / feet in "ft";
}
