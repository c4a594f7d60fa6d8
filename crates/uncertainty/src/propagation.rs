//! The law of propagation of uncertainty (JCGM 100:2008, 5), for any model.
//!
//! A model is a function of its inputs. How much of an input's uncertainty reaches the result is the slope of the model
//! there, [`sensitivity_coefficient`]; what all of them make together is [`combine`], with correlations where there are
//! any; how far that figure itself can be relied on are its effective degrees of freedom, from which [`coverage_factor`]
//! follows.

use crate::student_t;

/// One input's part in the uncertainty of a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Term {
    /// Sensitivity coefficient: the slope of the result along the input, in the unit of the result for one unit of the input.
    pub sensitivity_coefficient: f64,
    /// The standard uncertainty of the input, in its own unit.
    pub standard: f64,
    /// The degrees of freedom of that; infinite where it is taken as exact.
    pub degrees_of_freedom: f64,
}

impl Term {
    /// Contribution to the result: sensitivity coefficient times standard uncertainty, with its sign.
    pub fn reaching(&self) -> f64 {
        self.sensitivity_coefficient * self.standard
    }
}

/// Two inputs that go together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correlation {
    /// One of them, by its place in the list of terms.
    pub first: usize,
    /// The other.
    pub second: usize,
    /// The correlation coefficient, −1 to 1.
    pub coefficient: f64,
}

/// The uncertainty of a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combined {
    /// The combined standard uncertainty, in the unit of the result.
    pub standard: f64,
    /// Its effective degrees of freedom; infinite if no input has finite ones, not a number where inputs are correlated
    /// and some have finite ones (JCGM 100:2008, G.4.1, note 2: the formula holds for independent inputs only).
    pub effective_degrees_of_freedom: f64,
}

/// Combines what reaches the result (JCGM 100:2008, 5.1.2 and 5.2.2; effective degrees of freedom after Welch and
/// Satterthwaite, G.4.1).
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::propagation::{Term, combine};
/// let term = |standard, degrees_of_freedom| Term { sensitivity_coefficient: 1.0, standard, degrees_of_freedom };
/// let combined = combine(&[term(0.57, 9.0), term(0.25, f64::INFINITY)], &[]);
/// assert!((combined.standard - 0.622).abs() < 0.001);
/// assert!((combined.effective_degrees_of_freedom - 12.8).abs() < 0.1);
/// ```
pub fn combine(terms: &[Term], correlations: &[Correlation]) -> Combined {
    let independent = combine_independent(terms.iter().copied());
    let mut variance = independent.standard * independent.standard;
    let mut correlated = false;
    for pair in correlations {
        if let (Some(first), Some(second)) = (terms.get(pair.first), terms.get(pair.second)) {
            variance += 2.0 * pair.coefficient * first.reaching() * second.reaching();
            correlated |= 0.0 < pair.coefficient.abs();
        }
    }
    if !correlated {
        return independent;
    }
    Combined {
        // Rounding alone can make a variance of nothing negative.
        standard: variance.max(0.0).sqrt(),
        effective_degrees_of_freedom: if independent.effective_degrees_of_freedom.is_finite() {
            f64::NAN
        } else {
            f64::INFINITY
        },
    }
}

/// [`combine`] for inputs that are independent.
pub fn combine_independent(terms: impl IntoIterator<Item = Term>) -> Combined {
    let (mut variance, mut over_degrees) = (0.0, 0.0);
    for term in terms {
        let of_term = term.reaching() * term.reaching();
        variance += of_term;
        over_degrees += of_term * of_term / term.degrees_of_freedom;
    }
    Combined {
        standard: variance.sqrt(),
        effective_degrees_of_freedom: if 0.0 < over_degrees {
            variance * variance / over_degrees
        } else {
            f64::INFINITY
        },
    }
}

/// The correlation of two results of the same inputs (JCGM 100:2008, F.1.2.3 and H.2.3), from the terms of each.
pub fn correlation(first: &[Term], second: &[Term], correlations: &[Correlation]) -> f64 {
    let mut covariance: f64 = first
        .iter()
        .zip(second)
        .map(|(a, b)| a.reaching() * b.reaching())
        .sum();
    for pair in correlations {
        for (i, j) in [(pair.first, pair.second), (pair.second, pair.first)] {
            if let (Some(a), Some(b)) = (first.get(i), second.get(j)) {
                covariance += pair.coefficient * a.reaching() * b.reaching();
            }
        }
    }
    covariance / (combine(first, correlations).standard * combine(second, correlations).standard)
}

/// Sensitivity coefficient of a model along one input: the central difference over one standard uncertainty to either side
/// (JCGM 100:2008, 5.1.4, note 2), so that a bend inside that width counts on both sides.
///
/// Inside `span` only; to one side where the other has no value; over a smaller step where neither has. Nothing if the
/// input is not known, has no uncertainty, or no step gives a value.
pub fn sensitivity_coefficient(
    at: f64,
    standard: f64,
    span: (f64, f64),
    model: impl Fn(f64) -> Option<f64>,
) -> Option<f64> {
    if !at.is_finite() || standard <= 0.0 {
        return None;
    }
    [standard, standard * 0.1, standard * 0.01]
        .into_iter()
        .find_map(|step| {
            let (low, high) = (
                (at - step).max(span.0.min(at)),
                (at + step).min(span.1.max(at)),
            );
            let (low, high, below, above) = match (model(low), model(high)) {
                (Some(below), Some(above)) => (low, high, below, above),
                (Some(below), None) => (low, at, below, model(at)?),
                (None, Some(above)) => (at, high, model(at)?, above),
                (None, None) => return None,
            };
            (low < high).then(|| (above - below) / (high - low))
        })
}

/// No bounds for [`sensitivity_coefficient`].
pub const ANYWHERE: (f64, f64) = (f64::MIN, f64::MAX);

/// The terms of a model of several inputs: estimates with their standard uncertainties and degrees of freedom.
pub fn terms(inputs: &[(f64, f64, f64)], model: impl Fn(&[f64]) -> f64) -> Vec<Term> {
    let estimates: Vec<f64> = inputs.iter().map(|input| input.0).collect();
    inputs
        .iter()
        .enumerate()
        .map(|(index, (estimate, standard, degrees_of_freedom))| {
            let along = |value: f64| {
                let mut moved = estimates.clone();
                *moved.get_mut(index)? = value;
                Some(model(&moved))
            };
            Term {
                sensitivity_coefficient: sensitivity_coefficient(
                    *estimate, *standard, ANYWHERE, along,
                )
                .unwrap_or(0.0),
                standard: *standard,
                degrees_of_freedom: *degrees_of_freedom,
            }
        })
        .collect()
}

/// The degrees of freedom of an uncertainty that is itself known to a part of it only: ν ≈ ½·(Δu/u)⁻²
/// (JCGM 100:2008, G.4.2, formula G.3). A quarter makes 8, a tenth 50.
pub fn degrees_of_freedom_of_inexact(relative_uncertainty: f64) -> f64 {
    0.5 / (relative_uncertainty * relative_uncertainty)
}

/// The coverage factor for an interval that covers with a probability: the normal quantile where the degrees of freedom are
/// infinite (1.960 for 95 %), else that of Student's t (JCGM 100:2008, table G.2 and G.6.4).
///
/// The degrees of freedom are cut down to a whole number first, as there, so that a factor is not too small.
pub fn coverage_factor(coverage: f64, effective_degrees_of_freedom: f64) -> f64 {
    student_t::two_sided(coverage, whole(effective_degrees_of_freedom))
}

/// Degrees of freedom cut down to a whole number, of which there is at least one. What arithmetic leaves short of a whole number
/// is that number.
pub fn whole(effective_degrees_of_freedom: f64) -> f64 {
    (effective_degrees_of_freedom * (1.0 + 1e-9))
        .floor()
        .max(1.0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn term(sensitivity_coefficient: f64, standard: f64, degrees_of_freedom: f64) -> Term {
        Term {
            sensitivity_coefficient,
            standard,
            degrees_of_freedom,
        }
    }

    #[test]
    fn correlation_adds_or_takes_away() {
        let terms = [term(1.0, 3.0, f64::INFINITY), term(1.0, 4.0, f64::INFINITY)];
        for (coefficient, expected) in [(0.0, 5.0), (1.0, 7.0), (-1.0, 1.0)] {
            let pair = Correlation {
                first: 0,
                second: 1,
                coefficient,
            };
            let combined = combine(&terms, &[pair]);
            assert!(
                (combined.standard - expected).abs() < 1e-12,
                "{coefficient}"
            );
        }
    }

    #[test]
    fn no_degrees_of_freedom_for_correlated_inputs() {
        let pair = Correlation {
            first: 0,
            second: 1,
            coefficient: 0.5,
        };
        let some = combine(&[term(1.0, 3.0, 5.0), term(1.0, 4.0, 5.0)], &[pair]);
        assert!(some.effective_degrees_of_freedom.is_nan());
        let none = combine(
            &[term(1.0, 3.0, f64::INFINITY), term(1.0, 4.0, f64::INFINITY)],
            &[pair],
        );
        assert!(none.effective_degrees_of_freedom.is_infinite());
    }

    #[test]
    fn a_slope_stays_inside_its_span() {
        let model = |x: f64| (0.0 <= x && x <= 10.0).then_some(x * x);
        // In the middle both sides, at the end one.
        assert!((sensitivity_coefficient(5.0, 1.0, ANYWHERE, model).unwrap() - 10.0).abs() < 1e-12);
        assert!(
            (sensitivity_coefficient(10.0, 1.0, ANYWHERE, model).unwrap() - 19.0).abs() < 1e-12
        );
        assert!(
            (sensitivity_coefficient(5.0, 1.0, (5.0, 6.0), model).unwrap() - 11.0).abs() < 1e-12
        );
        assert_eq!(sensitivity_coefficient(12.0, 1.0, ANYWHERE, model), None);
        assert_eq!(sensitivity_coefficient(5.0, 0.0, ANYWHERE, model), None);
    }

    #[test]
    fn coverage_factors() {
        // JCGM 100:2008, table G.2, columns 95.45 % and 95 %, from memory.
        for (coverage, nu, k) in [
            (0.954_499_7, 5.0, 2.65),
            (0.954_499_7, 10.9, 2.28),
            (0.954_499_7, 50.0, 2.05),
            (0.954_499_7, f64::INFINITY, 2.00),
            (0.95, 0.5, 12.71),
            (0.95, 5.0, 2.57),
            (0.95, 10.9, 2.23),
            (0.95, f64::INFINITY, 1.96),
        ] {
            assert!((coverage_factor(coverage, nu) - k).abs() < 0.005, "{nu}");
        }
    }

    proptest! {
        #[test]
        fn effective_degrees_lie_between_the_least_and_the_sum(
            parts in prop::collection::vec((0.1..5.0_f64, 1.0..40.0_f64), 1..6),
        ) {
            let terms: Vec<Term> = parts.iter().map(|(u, nu)| term(1.0, *u, *nu)).collect();
            let effective = combine(&terms, &[]).effective_degrees_of_freedom;
            let least = parts.iter().map(|part| part.1).fold(f64::INFINITY, f64::min);
            let sum: f64 = parts.iter().map(|part| part.1).sum();
            prop_assert!(least * (1.0 - 1e-9) <= effective && effective <= sum * (1.0 + 1e-9));
        }

        #[test]
        fn the_order_of_the_inputs_does_not_count(
            parts in prop::collection::vec((-3.0..3.0_f64, 0.1..5.0_f64), 1..6),
        ) {
            let mut terms: Vec<Term> = parts.iter().map(|(c, u)| term(*c, *u, 7.0)).collect();
            let one = combine(&terms, &[]);
            terms.reverse();
            let other = combine(&terms, &[]);
            prop_assert!((one.standard - other.standard).abs() <= 1e-12 * one.standard);
        }
    }
}
