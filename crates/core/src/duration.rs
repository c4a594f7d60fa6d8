//! Length of time.

use crate::quantity::{Allowed, additive, quantity};

quantity! {
    /// A length of time: of a stroke, of a shelf life.
    ///
    /// Kept in s; zero or more. A year is 365.25 days and a month a twelfth of it: good for comparing shelf lives, not for
    /// counting calendar dates, which only a calendar can.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Duration, Written};
    ///
    /// let a: Written<Duration> = "24 months".parse()?;
    /// let b: Written<Duration> = "2 years".parse()?;
    /// assert_eq!(a.value(), b.value());
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    Duration, Duration, "duration", Allowed::ZeroOrMore, of_seconds in "s";
    from_seconds / seconds in "s";
    from_minutes / minutes in "min";
    from_hours / hours in "h";
    from_days / days in "days";
    from_months / months in "months";
    from_years / years in "years";
}

additive!(Duration, "duration");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_comes_back() {
        for x in [0.0, 40.0, 90.5] {
            assert_eq!(Duration::from_seconds(x).unwrap().seconds(), x);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for x in [f64::NAN, -1.0] {
            assert!(Duration::from_seconds(x).is_err(), "{x}");
        }
    }

    #[test]
    fn units() {
        assert_eq!(Duration::from_hours(1.5).unwrap().minutes(), 90.0);
        assert_eq!(Duration::from_years(1.0).unwrap().days(), 365.25);
        assert_eq!(
            Duration::from_months(12.0).unwrap(),
            Duration::from_years(1.0).unwrap()
        );
    }
}
