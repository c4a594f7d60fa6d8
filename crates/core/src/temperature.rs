//! A temperature on a scale.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// A temperature on a scale.
    Temperature, Temperature, "temperature", Allowed::AboveAbsoluteZero;
    from_celsius / celsius in "°C";
    from_kelvin / kelvin in "K";
    from_fahrenheit / fahrenheit in "°F";
}
