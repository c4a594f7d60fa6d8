//! The probability that the true value is above a limit, and what it rests on.
//!
//! Source: JCGM 106:2012, 7.2, for a normal distribution. Where the standard uncertainty itself rests on few readings, Student's t
//! takes its place, shifted and scaled (JCGM 101:2008, 6.4.9), with the effective degrees of freedom cut down to a whole number,
//! as for the coverage factor (JCGM 100:2008, G.4.1 and G.6.4).

use crate::interval::{Deviation, Variance};
use crate::result::JudgedFrom;
use stainbook_uncertainty::{normal, propagation, student_t};

/// The probability that a deviation is at most so many of its standard deviations.
pub(crate) fn probability_below(z: f64, degrees_of_freedom: f64) -> f64 {
    if degrees_of_freedom.is_finite() {
        student_t::probability_below(z, propagation::whole(degrees_of_freedom))
    } else {
        normal::probability_below(z)
    }
}

/// The distribution that goes with degrees of freedom.
pub(crate) fn by(degrees_of_freedom: f64) -> JudgedFrom {
    if degrees_of_freedom.is_finite() {
        JudgedFrom::StudentT
    } else {
        JudgedFrom::Normal
    }
}

/// A figure of several readings, with how far each kind of deviation may move it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Estimate {
    pub(crate) value: f64,
    /// Distance to what it would be if every reading stood at the upper end of what it stands for.
    pub(crate) up: f64,
    /// The same at the lower ends.
    pub(crate) down: f64,
    /// Deviations that do not grow with what is there.
    pub(crate) absolute: Variance,
    /// Those that are parts of what is there, as they are at the value.
    pub(crate) relative: Variance,
    /// Those that are so above the value, and below it no less than at it.
    pub(crate) relative_above: Variance,
}

impl Estimate {
    /// The probability that the true value is above a limit, seen from so far above the value, with deviations as they are at
    /// the limit.
    pub(crate) fn above(&self, limit: f64, off: f64) -> f64 {
        let Deviation {
            standard,
            degrees_of_freedom,
        } = self.deviation(limit);
        let distance = self.value + off - limit;
        if 0.0 < standard {
            probability_below(distance / standard, degrees_of_freedom)
        } else if 0.0 < distance {
            1.0
        } else {
            0.0
        }
    }

    /// The distribution at a limit.
    pub(crate) fn by(&self, limit: f64) -> JudgedFrom {
        by(self.deviation(limit).degrees_of_freedom)
    }

    fn deviation(&self, limit: f64) -> Deviation {
        let times = if 0.0 < self.value {
            limit / self.value
        } else {
            1.0
        };
        self.absolute
            .sum(1.0, self.relative, times)
            .sum(1.0, self.relative_above, times.max(1.0))
            .deviation()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Deviations are those of the limit: a value of 10 whose relative part is a tenth has 1.2 at a limit of 12.
    #[test]
    fn probabilities() {
        for (relative, degrees_of_freedom, limit, expected) in [
            (0.1, f64::INFINITY, 10.0, 0.5),
            // z = −2/1.2.
            (0.1, f64::INFINITY, 12.0, 0.047_790),
            // z = 2/0.8.
            (0.1, f64::INFINITY, 8.0, 0.993_790),
            (0.0, f64::INFINITY, 12.0, 0.0),
            // ν = 2: ½ + t/(2·√(2 + t²)) for t = −5/3, and the same for 2.9, which is cut down.
            (0.1, 2.0, 12.0, 0.118_754),
            (0.1, 2.9, 12.0, 0.118_754),
        ] {
            let square: f64 = relative * relative * 100.0;
            let estimate = Estimate {
                value: 10.0,
                relative: Variance {
                    square,
                    over_degrees: square * square / degrees_of_freedom,
                },
                ..Estimate::default()
            };
            let found = estimate.above(limit, 0.0);
            assert!(
                (found - expected).abs() < 1e-6,
                "{limit} {degrees_of_freedom}: {found}"
            );
        }
    }

    /// A part that does not grow stays: √(1 + 1.2²) at 12, seen from an upper end that lies 0.5 higher.
    #[test]
    fn what_does_not_grow() {
        let one = Variance {
            square: 1.0,
            over_degrees: 0.0,
        };
        let estimate = Estimate {
            value: 10.0,
            up: 0.5,
            down: 0.4,
            absolute: one,
            relative: one,
            relative_above: Variance::default(),
        };
        let z: f64 = -1.5 / (1.0 + 1.44_f64).sqrt();
        let found = estimate.above(12.0, estimate.up);
        assert!((found - normal::probability_below(z)).abs() < 1e-12);
        // Another gas's error: √(1 + 1.2²) at 12 as well, and √(1 + 1) at 8.
        let estimate = Estimate {
            relative: Variance::default(),
            relative_above: one,
            ..estimate
        };
        assert!((estimate.above(12.0, estimate.up) - found).abs() < 1e-12);
        let found = estimate.above(8.0, -estimate.down);
        assert!((found - normal::probability_below(1.6 / 2.0_f64.sqrt())).abs() < 1e-12);
    }
}
