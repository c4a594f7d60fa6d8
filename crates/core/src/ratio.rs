//! A plain number or a percentage.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// A plain number or a percentage.
    Ratio, Ratio, "ratio", Allowed::AnyFinite;
    from_fraction / fraction in "";
    from_percent / percent in "%";
}
