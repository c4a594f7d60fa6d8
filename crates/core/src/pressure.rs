//! Absolute pressure.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Absolute pressure.
    Pressure, Pressure, "pressure", Allowed::AboveZero;
    from_kilopascals / kilopascals in "kPa";
    from_hectopascals / hectopascals in "hPa";
    from_pascals / pascals in "Pa";
    from_mmhg / mmhg in "mmHg";
}
