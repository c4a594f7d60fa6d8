//! A difference of two temperatures.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// A difference of two temperatures.
    TemperatureDifference, TemperatureDifference, "temperature difference", Allowed::AnyFinite;
    from_kelvin / kelvin in "K";
}
