//! Volume of air.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Volume of air.
    Volume, Volume, "volume", Allowed::ZeroOrMore;
    from_millilitres / millilitres in "mL";
    from_litres / litres in "L";
}
