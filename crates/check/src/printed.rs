//! Intervals of numbers before they were rounded for print.
//!
//! A leaflet prints figures to a few digits. Two of them contradict each other only if no numbers that round to what is
//! printed would agree, so the rules compute with the intervals that the digits leave open.

use stainbook_catalog::printed_digits::{half_step_of_result, half_step_of_rounded};
use stainbook_core::{Decimal, Quantity, Written};

/// A figure that is an estimate by its nature, such as what can just be seen, may have one digit only.
const LEAST_DIGITS_OF_ESTIMATE: f64 = 1.0;

/// Relative error of the arithmetic itself: far above the rounding of an `f64`, far below any
/// printed digit.
const ARITHMETIC: f64 = 1e-9;

/// The numbers between two bounds, bounds included.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Interval {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Interval {
    /// A number that is meant as it stands, such as a mark on the glass or a count.
    pub(crate) fn exactly(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// A number within a tolerance.
    pub(crate) fn around(value: f64, tolerance: f64) -> Self {
        Self {
            low: value - tolerance,
            high: value + tolerance,
        }
    }

    /// Interval that rounds to the digits as written: half a step either way.
    pub(crate) fn of(number: &Decimal) -> Self {
        Self::around(number.value(), number.half_step())
    }

    /// Interval that rounds to the digits as written, or to two significant digits where the zeros before the point may
    /// be filling.
    pub(crate) fn of_result(number: &Decimal) -> Self {
        Self::around(number.value(), half_step_of_result(number))
    }

    /// Interval that rounds to the digits of an estimate as written, zeros before the point taken as filling, in the
    /// written unit.
    pub(crate) fn of_estimate<Q: Quantity>(written: &Written<Q>) -> Self {
        let tolerance = half_step_of_rounded(
            written.number(),
            written.half_step(),
            LEAST_DIGITS_OF_ESTIMATE,
        );
        Self::around(written.number(), tolerance)
    }

    /// Interval that rounds to the digits as written, for a number with a unit, in that unit.
    pub(crate) fn of_written<Q: Quantity>(written: &Written<Q>) -> Self {
        Self::around(written.number(), written.half_step())
    }

    /// Products of two intervals of numbers above zero.
    pub(crate) fn times(self, other: Self) -> Self {
        Self {
            low: self.low * other.low,
            high: self.high * other.high,
        }
    }

    /// Quotients of two intervals of numbers above zero.
    pub(crate) fn over(self, other: Self) -> Self {
        Self {
            low: self.low / other.high,
            high: self.high / other.low,
        }
    }

    /// True if all of this lies below all of the other.
    pub(crate) fn is_below(self, other: Self) -> bool {
        self.high < other.low - ARITHMETIC * other.low.abs().max(self.high.abs())
    }

    /// True if a number lies in both.
    pub(crate) fn meets(self, other: Self) -> bool {
        !self.is_below(other) && !other.is_below(self)
    }

    /// Intersection; possibly empty.
    pub(crate) fn meet(self, other: Self) -> Option<Self> {
        self.meets(other).then(|| Self {
            low: self.low.max(other.low),
            high: self.high.min(other.high),
        })
    }

    /// The interval that reaches over both.
    pub(crate) fn hull(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    /// Half its width.
    pub(crate) fn half_width(self) -> f64 {
        (self.high - self.low) / 2.0
    }

    /// Its middle.
    pub(crate) fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// Widened by a part of each bound; for numbers above zero.
    pub(crate) fn widened(self, part: f64) -> Self {
        Self {
            low: self.low / (1.0 + part),
            high: self.high * (1.0 + part),
        }
    }
}

/// True if two counts or numbers are the same as far as `f64` can tell.
pub(crate) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= ARITHMETIC * a.abs().max(b.abs())
}

/// The number with its decimal point moved by one place, as it would be written: left, then right.
pub(crate) fn point_moved(number: &Decimal) -> Vec<(f64, String)> {
    [0.1, 10.0]
        .into_iter()
        .map(|factor| {
            let value = number.value() * factor;
            (value, crate::words::number(value))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of_result(text: &str) -> (f64, f64) {
        let interval = Interval::of_result(&Decimal::parse(text).unwrap());
        (interval.low, interval.high)
    }

    #[test]
    fn filling_zeros_are_not_taken_for_digits() {
        for (text, low, high) in [
            ("0.28", 0.275, 0.285),
            ("13", 12.5, 13.5),
            ("120", 115.0, 125.0),
            ("124", 123.5, 124.5),
            ("100", 95.0, 105.0),
            ("3770", 3765.0, 3775.0),
            ("3700", 3650.0, 3750.0),
            ("3000", 2950.0, 3050.0),
            ("5.0", 4.95, 5.05),
            ("0", -0.5, 0.5),
        ] {
            let found = of_result(text);
            assert!(
                (found.0 - low).abs() < 1e-9 && (found.1 - high).abs() < 1e-9,
                "{text}: {found:?}"
            );
        }
    }

    #[test]
    fn intervals_meet_at_a_common_bound() {
        let (a, b) = (Interval::around(1.0, 0.1), Interval::around(1.2, 0.1));
        assert!(a.meets(b) && b.meets(a));
        assert!(a.is_below(Interval::around(1.3, 0.1)));
        assert!(a.meet(Interval::exactly(2.0)).is_none());
    }
}
