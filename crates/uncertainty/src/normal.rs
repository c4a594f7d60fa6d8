//! The normal distribution.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use crate::elementary::{erfc, exp};

/// The probability that a standard normal variable is at most `z`: half of `erfc(−z/√2)`, so that a small probability keeps its
/// digits.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::normal::probability_below;
/// assert!((probability_below(1.959_963_984_540_054) - 0.975).abs() < 1e-12);
/// ```
pub fn probability_below(z: f64) -> f64 {
    erfc(-z * FRAC_1_SQRT_2) / 2.0
}

/// The `z` that a standard normal variable keeps to on both sides with a probability: 1.96 for 0.95.
///
/// Newton's steps from 0 come from the left and never pass the root, since the distribution is concave there. The
/// probability is taken between 0 and 0.999999.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::normal::two_sided;
/// assert!((two_sided(0.95) - 1.959_963_984_540_054).abs() < 1e-9);
/// ```
pub fn two_sided(probability: f64) -> f64 {
    let wanted = 0.5 + probability.clamp(0.0, 0.999_999) / 2.0;
    let mut z = 0.0;
    for _ in 0..60 {
        let step = (wanted - probability_below(z)) / density(z);
        z += step;
        if step.abs() < 1e-13 {
            break;
        }
    }
    z
}

fn density(z: f64) -> f64 {
    exp(-z * z / 2.0) / (2.0 * PI).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_values() {
        // Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.1, from memory.
        for (z, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_543),
            (2.0, 0.977_249_868_051_821),
            (3.0, 0.998_650_101_968_370),
            (-1.0, 0.158_655_253_931_457),
        ] {
            assert!((probability_below(z) - p).abs() < 1e-13, "{z}");
        }
        let far = probability_below(-5.0);
        assert!((far / 2.866_515_718_791_9e-7 - 1.0).abs() < 1e-9, "{far}");
    }

    /// Laplace's continued fraction of the tail, `z + 1/(z + 2/(z + 3/(z + …)))` from the inside out: another way to the same.
    fn tail(z: f64) -> f64 {
        let fraction = (1..=400_u32)
            .rev()
            .fold(z, |inner, level| z + f64::from(level) / inner);
        density(z) / fraction
    }

    #[test]
    fn small_probabilities_keep_their_digits() {
        for z in [2.0, 3.5, 6.0, 12.0, 30.0] {
            let (found, fraction) = (probability_below(-z), tail(z));
            // A half of the last bit of `z` counts z² times in the tail.
            assert!(
                (found / fraction - 1.0).abs() < (4.0 + 2.0 * z * z) * f64::EPSILON,
                "{z} {found} {fraction}"
            );
        }
        assert!(probability_below(f64::NAN).is_nan());
    }

    #[test]
    fn both_ways_meet() {
        for p in [0.5, 0.6827, 0.9, 0.95, 0.99, 0.999] {
            let z = two_sided(p);
            assert!(
                (probability_below(z) - probability_below(-z) - p).abs() < 1e-12,
                "{p}"
            );
        }
    }
}
