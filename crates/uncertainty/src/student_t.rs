//! Student's t distribution: how much wider an interval has to be when the uncertainty itself rests on few readings.

use std::f64::consts::PI;

use crate::elementary::{exp, ln_1p};
use crate::normal;

/// From here on t and the normal distribution are the same to seven digits.
const LIKE_NORMAL: f64 = 1e7;

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
    let tail = Sides::of(t, degrees_of_freedom).outside / 2.0;
    if t < 0.0 { tail } else { 1.0 - tail }
}

/// The probabilities of lying within `±t` and outside. The smaller of the two keeps its digits.
struct Sides {
    within: f64,
    outside: f64,
}

impl Sides {
    /// The regularized incomplete beta function `I_x(ν/2, 1/2)` at `x = ν/(ν + t²)`, or `I_{1−x}(1/2, ν/2)` where the fraction
    /// of that one converges better (NIST Digital Library of Mathematical Functions, 8.17.4 and 8.17.22).
    fn of(t: f64, degrees_of_freedom: f64) -> Self {
        let a = degrees_of_freedom / 2.0;
        let ratio = t / degrees_of_freedom.sqrt();
        let square = ratio * ratio;
        if square == 0.0 {
            return Self {
                within: 0.0,
                outside: 1.0,
            };
        }
        if square.is_infinite() {
            return Self {
                within: 1.0,
                outside: 0.0,
            };
        }
        let x = 1.0 / (1.0 + square);
        let rest = square / (1.0 + square);
        // xᵃ·(1 − x)^½ / B(a, ½)
        let front = exp(-a * ln_1p(square)) * rest.sqrt() * gamma_ratio(a) / PI.sqrt();
        if x < (a + 1.0) / (a + 2.5) {
            let outside = front / a / beta_fraction(a, 0.5, x);
            Self {
                within: 1.0 - outside,
                outside,
            }
        } else {
            let within = front / 0.5 / beta_fraction(0.5, a, rest);
            Self {
                within,
                outside: 1.0 - within,
            }
        }
    }
}

/// `Γ(a + ½)/Γ(a)`: by its series in 1/a (NIST Digital Library of Mathematical Functions, 5.11.13), reached from below by
/// `Γ(a + 1) = a·Γ(a)`. No difference of two large logarithms is taken, so that all digits stand.
fn gamma_ratio(a: f64) -> f64 {
    /// From here on what the series leaves out is below 1e-16.
    const SERIES: f64 = 24.0;
    let (mut a, mut product) = (a, 1.0);
    while a < SERIES {
        product *= a / (a + 0.5);
        a += 1.0;
    }
    let z = 1.0 / a;
    let terms = [
        1.0,
        -1.0 / 8.0,
        1.0 / 128.0,
        5.0 / 1024.0,
        -21.0 / 32_768.0,
        -399.0 / 262_144.0,
        869.0 / 4_194_304.0,
        39_325.0 / 33_554_432.0,
    ];
    let series = terms.iter().rev().fold(0.0, |sum, term| sum * z + term);
    product * a.sqrt() * series
}

/// The continued fraction `1 + d₁/(1 + d₂/(1 + …))` of the incomplete beta function (NIST Digital Library of Mathematical
/// Functions, 8.17.22 and 8.17.23), from the front by the method of W. J. Lentz (Applied Optics 15, 1976, from memory).
fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    /// Substitute for a denominator of zero.
    const TINY: f64 = 1e-300;
    /// About the square root of the largest parameter is needed; this is many times that.
    const MOST: u32 = 100_000;
    let away_from_zero = |value: f64| if value.abs() < TINY { TINY } else { value };
    let (mut value, mut above, mut below) = (1.0, 1.0, 0.0);
    for pair in 0..MOST {
        let m = f64::from(pair);
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let next = m + 1.0;
        let even = next * (b - next) * x / ((a + 2.0 * next - 1.0) * (a + 2.0 * next));
        let mut change = 1.0;
        for d in [odd, even] {
            below = 1.0 / away_from_zero(1.0 + d * below);
            above = away_from_zero(1.0 + d / above);
            change *= above * below;
        }
        value *= change;
        if (change - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    value
}

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
    while Sides::of(high, degrees_of_freedom).within < probability && high < 1e12 {
        low = high;
        high *= 4.0;
    }
    // Halving cannot fail where the density is flat; 90 steps end between two neighbouring numbers.
    for _ in 0..90 {
        let middle = f64::midpoint(low, high);
        if Sides::of(middle, degrees_of_freedom).within < probability {
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

    #[test]
    fn a_small_tail_keeps_its_digits() {
        // ν = 4: P(T > t) = ½ − s·(3 − s²)/4 with s = t/√(4 + t²), written as (1 − s)²·(2 + s)/4 so that nothing cancels.
        for t in [2.0, 10.0, 300.0_f64] {
            let square = t * t / (4.0 + t * t);
            let rest = 4.0 / (4.0 + t * t);
            let one_less = rest / (1.0 + square.sqrt());
            let tail = one_less * one_less * (2.0 + square.sqrt()) / 4.0;
            assert!(
                (probability_below(-t, 4.0) / tail - 1.0).abs() < 1e-13,
                "{t}"
            );
        }
    }

    proptest! {
        #[test]
        fn another_library_finds_the_same(nu in 0.3..1000.0_f64, t in 0.1..50.0_f64) {
            let x = nu / (nu + t * t);
            let outside = statrs::function::beta::beta_reg(nu / 2.0, 0.5, x);
            let ours = 2.0 * probability_below(-t, nu);
            // Theirs takes the difference of logarithms of large numbers, which costs it some digits.
            prop_assert!((ours - outside).abs() < 1e-11 * outside + 1e-14, "{ours} {outside}");
        }

        #[test]
        fn more_readings_make_it_narrower_down_to_normal(nu in 1.0..500.0_f64, more in 0.1..50.0_f64, p in 0.5..0.99_f64) {
            let (few, many) = (two_sided(p, nu), two_sided(p, nu + more));
            prop_assert!(many < few);
            prop_assert!(normal::two_sided(p) < many);
        }
    }
}
