//! The normal distribution.

use std::f64::consts::PI;

/// The probability that a standard normal variable is at most `z`.
///
/// For small `z` the series of G. Marsaglia, "Evaluating the Normal Distribution", Journal of Statistical Software 11
/// (2004), whose terms are all of one sign; for large ones Laplace's continued fraction of the tail, so that a small
/// probability keeps its digits.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::normal::probability_below;
/// assert!((probability_below(1.959_963_984_540_054) - 0.975).abs() < 1e-12);
/// ```
pub fn probability_below(z: f64) -> f64 {
    if z.is_nan() {
        return f64::NAN;
    }
    if z.abs() > SERIES_TO {
        let tail = tail(z.abs());
        return if z < 0.0 { tail } else { 1.0 - tail };
    }
    let (mut term, mut sum, mut odd) = (z, z, 1.0);
    while term.abs() > sum.abs() * f64::EPSILON / 4.0 {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    0.5 + sum * density(z)
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

/// Beyond this many standard deviations the continued fraction is used.
const SERIES_TO: f64 = 3.5;

fn density(z: f64) -> f64 {
    (-z * z / 2.0).exp() / (2.0 * PI).sqrt()
}

fn tail(z: f64) -> f64 {
    // z + 1/(z + 2/(z + 3/(z + …))), from the inside out; 60 levels are exact to the last digits from 3.5 on.
    let fraction = (1..=60_u32)
        .rev()
        .fold(z, |inner, level| z + f64::from(level) / inner);
    density(z) / fraction
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

    #[test]
    fn both_ways_meet() {
        let (series, fraction) = (probability_below(-3.5), tail(3.5));
        assert!((series / fraction - 1.0).abs() < 1e-10);
        for p in [0.5, 0.6827, 0.9, 0.95, 0.99, 0.999] {
            let z = two_sided(p);
            assert!(
                (probability_below(z) - probability_below(-z) - p).abs() < 1e-12,
                "{p}"
            );
        }
    }
}
