//! Water vapour pressure as a share of saturation.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Water vapour pressure as a share of saturation.
    RelativeHumidity, RelativeHumidity, "relative humidity", Allowed::UpTo(100.0);
    from_percent / percent in "%RH";
}
