//! The probability that the true value is above a limit, and what it rests on.
//!
//! Source: JCGM 106:2012, 7.2, for a normal distribution about the result. Where the standard uncertainty itself rests on few
//! readings, Student's t takes its place, shifted and scaled (JCGM 101:2008, 6.4.9), with the effective degrees of freedom cut
//! down to a whole number, as for the coverage factor (JCGM 100:2008, G.4.1 and G.6.4): so the end of the interval has the
//! same probability beyond it here and there. Where draws were made, their share above the limit counts.

use super::{JudgementSettings, Reason};
use crate::result::{JudgedFrom, ProbabilityBound, Verdict};
use stainbook_uncertainty::{normal, student_t};

/// A value with its standard uncertainty and the degrees of freedom of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Estimate {
    pub(crate) value: f64,
    pub(crate) standard: f64,
    /// Infinite where the standard uncertainty is taken as exact.
    pub(crate) degrees_of_freedom: f64,
}

impl Estimate {
    /// None of it, and no doubt about that: the lower end of "less than".
    pub(crate) const NOTHING: Self = Self {
        value: 0.0,
        standard: 0.0,
        degrees_of_freedom: f64::INFINITY,
    };

    /// The probability that the true value is above a limit.
    pub(crate) fn above(&self, limit: f64) -> f64 {
        if self.standard > 0.0 {
            // Not 1 − P(below): a small probability keeps its digits.
            let z = (self.value - limit) / self.standard;
            return match self.by() {
                JudgedFrom::StudentT => {
                    student_t::probability_below(z, self.degrees_of_freedom.floor().max(1.0))
                }
                JudgedFrom::Normal | JudgedFrom::Draws => normal::probability_below(z),
            };
        }
        if self.value > limit { 1.0 } else { 0.0 }
    }

    /// The distribution.
    pub(crate) fn by(&self) -> JudgedFrom {
        if self.degrees_of_freedom.is_finite() {
            JudgedFrom::StudentT
        } else {
            JudgedFrom::Normal
        }
    }
}

/// The probability of being above a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Above {
    pub(crate) probability: f64,
    /// Bound of the probability, where draws cannot tell it more closely.
    pub(crate) bound: Option<ProbabilityBound>,
    pub(crate) by: JudgedFrom,
    /// Between which probabilities so many draws leave it; the same twice where nothing was drawn.
    pub(crate) between: [f64; 2],
    /// Number of draws.
    pub(crate) draws: u64,
}

impl Above {
    /// From the distribution about an estimate.
    pub(crate) fn of(estimate: &Estimate, limit: f64) -> Self {
        let probability = estimate.above(limit);
        Self {
            probability,
            bound: None,
            by: estimate.by(),
            between: [probability; 2],
            draws: 0,
        }
    }

    /// The verdict, which no chance of the draws may turn.
    pub(crate) fn verdict(&self, settings: &JudgementSettings) -> (Verdict, Option<Reason>) {
        let [low, high] = self.between.map(|end| settings.verdict(end));
        if low == high {
            return (low, None);
        }
        (
            Verdict::CannotTell,
            Some(Reason::DrawsLeaveOpen(self.draws)),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn probabilities() {
        for (value, relative, degrees_of_freedom, limit, expected) in [
            (10.0, 0.1, f64::INFINITY, 10.0, 0.5),
            (10.0, 0.1, f64::INFINITY, 12.0, 0.022_750),
            (10.0, 0.1, f64::INFINITY, 8.0, 0.977_250),
            (1.0, 0.0, f64::INFINITY, 2.0, 0.0),
            // ν = 2: ½ + t/(2·√(2 + t²)) for t = −2, and the same for 2.9, which is cut down.
            (10.0, 0.1, 2.0, 12.0, 0.091_752),
            (10.0, 0.1, 2.9, 12.0, 0.091_752),
            (10.0, 0.1, 2.0, 8.0, 0.908_248),
            // Less than one is one: ½ + atan(−2)/π.
            (10.0, 0.1, 0.5, 12.0, 0.147_584),
        ] {
            let estimate = Estimate {
                value,
                standard: value * relative,
                degrees_of_freedom,
            };
            assert!(
                (estimate.above(limit) - expected).abs() < 1e-6,
                "{value} {limit} {degrees_of_freedom}"
            );
        }
    }

    /// The ends of an interval have the same probability beyond them, whatever the degrees of freedom.
    #[test]
    fn interval_and_probability_go_together() {
        for degrees_of_freedom in [1.0, 3.7, 12.0, 800.0] {
            let k = stainbook_uncertainty::propagation::coverage_factor(degrees_of_freedom);
            let estimate = Estimate {
                value: 10.0,
                standard: 1.0,
                degrees_of_freedom,
            };
            let beyond = estimate.above(10.0 + k);
            assert!(
                (beyond - 0.022_750_132).abs() < 1e-8,
                "{degrees_of_freedom} {beyond}"
            );
        }
    }
}
