//! Student's t distribution: how much wider an interval has to be when the uncertainty itself rests on few readings.

use statrs::function::beta::checked_beta_reg;

use crate::normal;

/// The probability that a variable with Student's t distribution lies within `t` of zero.
fn within(t: f64, degrees_of_freedom: f64) -> f64 {
    let x = degrees_of_freedom / (degrees_of_freedom + t * t);
    checked_beta_reg(degrees_of_freedom / 2.0, 0.5, x).map_or(f64::NAN, |outside| 1.0 - outside)
}

/// The probability that a variable with Student's t distribution is at most `t`. With infinite degrees of freedom it is that
/// of the normal distribution.
///
/// Degrees of freedom above zero, whole or not. Anything else is not a number. A small probability keeps its digits.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::student_t::probability_below;
/// assert!((probability_below(-2.262, 9.0) - 0.025).abs() < 0.000_1);
/// ```
pub fn probability_below(t: f64, degrees_of_freedom: f64) -> f64 {
    let known = 0.0 < degrees_of_freedom;
    if !known {
        return f64::NAN;
    }
    if LIKE_NORMAL < degrees_of_freedom {
        return normal::probability_below(t);
    }
    let x = degrees_of_freedom / (degrees_of_freedom + t * t);
    let tail = checked_beta_reg(degrees_of_freedom / 2.0, 0.5, x).map_or(f64::NAN, |p| p / 2.0);
    if t < 0.0 { tail } else { 1.0 - tail }
}

/// From here on t and the normal distribution are the same to seven digits.
const LIKE_NORMAL: f64 = 1e7;

/// The factor that the standard uncertainty is multiplied by for an interval that covers with this probability:
/// `t_p(ν)` of JCGM 100:2008, table G.2. With infinite degrees of freedom it is that of the normal distribution.
///
/// Probabilities from 0 to 0.999 999; degrees of freedom above zero, whole or not. Anything else is not a number.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::student_t::two_sided;
/// assert!((two_sided(0.95, 9.0) - 2.262).abs() < 0.001);
/// assert!((two_sided(0.95, f64::INFINITY) - 1.960).abs() < 0.001);
/// ```
pub fn two_sided(probability: f64, degrees_of_freedom: f64) -> f64 {
    let known = 0.0 < degrees_of_freedom && 0.0 <= probability && probability <= 0.999_999;
    if !known {
        return f64::NAN;
    }
    if LIKE_NORMAL < degrees_of_freedom {
        return normal::two_sided(probability);
    }
    let (mut low, mut high) = (0.0, 2.0);
    while within(high, degrees_of_freedom) < probability && high < 1e12 {
        low = high;
        high *= 4.0;
    }
    // Halving cannot fail where the density is flat; 90 steps end between two neighbouring numbers.
    for _ in 0..90 {
        let middle = f64::midpoint(low, high);
        if within(middle, degrees_of_freedom) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::elementary::{atan, tan};

    use super::*;

    #[test]
    fn one_and_two_degrees_of_freedom_have_closed_forms() {
        // ν = 1 is Cauchy's: t = tan(πp/2); ν = 2: t = p·√(2/(1 − p²)).
        for p in [0.1, 0.5, 0.9, 0.95, 0.99] {
            let one = tan(std::f64::consts::FRAC_PI_2 * p);
            let two = p * (2.0 / (1.0 - p * p)).sqrt();
            assert!((two_sided(p, 1.0) / one - 1.0).abs() < 1e-9, "{p}");
            assert!((two_sided(p, 2.0) / two - 1.0).abs() < 1e-9, "{p}");
        }
    }

    #[test]
    fn probabilities_of_one_and_two_degrees_of_freedom() {
        // ν = 1: ½ + atan(t)/π; ν = 2: ½ + t/(2·√(2 + t²)).
        for t in [-30.0, -2.0, -0.1, 0.0, 0.5, 4.0_f64] {
            let one = 0.5 + atan(t) / std::f64::consts::PI;
            let two = 0.5 + t / (2.0 * (2.0 + t * t).sqrt());
            assert!((probability_below(t, 1.0) - one).abs() < 1e-12, "{t}");
            assert!((probability_below(t, 2.0) - two).abs() < 1e-12, "{t}");
        }
        assert!(probability_below(1.0, 0.0).is_nan());
        let far = probability_below(-1e5, 2.0);
        assert!((far * 2e10 - 1.0).abs() < 1e-6, "{far}");
    }

    #[test]
    fn what_cannot_be_is_not_a_number() {
        for (p, nu) in [
            (0.95, 0.0),
            (0.95, -1.0),
            (0.95, f64::NAN),
            (1.0, 5.0),
            (-0.1, 5.0),
        ] {
            assert!(two_sided(p, nu).is_nan(), "{p} {nu}");
        }
    }

    proptest! {
        #[test]
        fn more_readings_make_it_narrower_down_to_normal(nu in 1.0..500.0_f64, more in 0.1..50.0_f64, p in 0.5..0.99_f64) {
            let (few, many) = (two_sided(p, nu), two_sided(p, nu + more));
            prop_assert!(many < few);
            prop_assert!(normal::two_sided(p) < many);
        }
    }
}
