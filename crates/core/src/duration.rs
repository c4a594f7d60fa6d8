//! Length of time.

use crate::quantity::{Allowed, quantity};

quantity! {
    /// Length of time.
    Duration, Duration, "duration", Allowed::ZeroOrMore;
    from_seconds / seconds in "s";
    from_minutes / minutes in "min";
    from_hours / hours in "h";
    from_days / days in "days";
    from_months / months in "months";
    from_years / years in "years";
}
