//! The range of several values of one normal distribution: how far the largest and the smallest of them lie apart.

use crate::elementary::{exp, powf};

use crate::normal::probability_below;

/// The range, in standard deviations, that `n` values keep to with 95 % probability: 2.77 for two.
///
/// With the repeatability standard deviation it gives the repeatability limit (for two) and the critical range (for more).
/// Source: ISO 5725-6, from memory; the factors there are rounded, here they are computed from
/// `P(range ≤ w) = n ∫ φ(x) [Φ(x + w) − Φ(x)]^(n−1) dx`.
pub fn critical_range(n: usize) -> f64 {
    const COVERAGE: f64 = 0.95;
    // For any number of values that there can be the range stays below 12.
    let (mut low, mut high) = (0.0, 12.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if range_within(middle, n) < COVERAGE {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

fn range_within(width: f64, n: usize) -> f64 {
    const STEPS: i32 = 400;
    const TO: f64 = 8.0;
    let step = 2.0 * TO / f64::from(STEPS);
    // As many values as a list holds are few enough for a float.
    let count = f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    let sum: f64 = (0..=STEPS)
        .map(|index| {
            let x = -TO + f64::from(index) * step;
            let density = exp(-x * x / 2.0) / std::f64::consts::TAU.sqrt();
            let others = probability_below(x + width) - probability_below(x);
            density * powf(others, count - 1.0)
        })
        .sum();
    count * sum * step
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Factors of ISO 5725-6, table of critical ranges, from memory.
    #[test]
    fn factors_of_the_standard() {
        for (n, printed) in [
            (2, 2.8),
            (3, 3.3),
            (4, 3.6),
            (5, 3.9),
            (6, 4.0),
            (7, 4.2),
            (8, 4.3),
            (9, 4.4),
            (10, 4.5),
        ] {
            let computed = critical_range(n);
            assert!((computed - printed).abs() <= 0.05, "{n}: {computed}");
        }
    }

    /// Two values: their difference is normal with √2.
    #[test]
    fn of_two() {
        let exact = 2.0_f64.sqrt() * crate::normal::two_sided(0.95);
        assert!((critical_range(2) - exact).abs() < 1e-6);
    }
}
