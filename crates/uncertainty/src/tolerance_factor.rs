//! One-sided tolerance factors of the normal distribution: with 70 % confidence fewer than 5 % lie above the mean plus the
//! factor times the standard deviation.

/// The number of values with its factor `U_T`.
///
/// One-sided tolerance factors for the 95th percentile with 70 % confidence, from the non-central t distribution. For 6 to 10
/// values they round to what EN 689:2018 prints (2.187, 2.120, 2.072, 2.035, 2.005; seen in a public R package that follows
/// the standard). The test below computes all of them again.
const FACTORS: [(usize, f64); 25] = [
    (6, 2.1867),
    (7, 2.1201),
    (8, 2.0717),
    (9, 2.0347),
    (10, 2.0053),
    (11, 1.9813),
    (12, 1.9612),
    (13, 1.9442),
    (14, 1.9294),
    (15, 1.9165),
    (16, 1.9051),
    (17, 1.8950),
    (18, 1.8859),
    (19, 1.8777),
    (20, 1.8702),
    (21, 1.8633),
    (22, 1.8570),
    (23, 1.8512),
    (24, 1.8459),
    (25, 1.8409),
    (26, 1.8362),
    (27, 1.8318),
    (28, 1.8277),
    (29, 1.8239),
    (30, 1.8203),
];

/// The factor `U_T` for `n` values, and the number it is for: the last row, 30, also serves more values, for which the true
/// factor is smaller, so that a test with it is a little stricter then. Nothing for fewer than six.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::tolerance_factor::tolerance_factor;
/// assert_eq!(tolerance_factor(6), Some((6, 2.1867)));
/// assert_eq!(tolerance_factor(5), None);
/// ```
pub fn tolerance_factor(n: usize) -> Option<(usize, f64)> {
    FACTORS.iter().rev().find(|(of, _)| *of <= n).copied()
}

#[cfg(test)]
mod tests {
    use crate::elementary::{exp, ln};

    use super::*;
    use crate::normal::probability_below;

    /// P(T ≤ k√n) for the non-central t with n − 1 degrees of freedom and non-centrality z₀.₉₅ √n, by Simpson's rule over
    /// the chi distribution: T ≤ t where Z + δ ≤ t·s, s = χ/√ν.
    fn confidence(n: usize, k: f64) -> f64 {
        let nu = n as f64 - 1.0;
        let root = (n as f64).sqrt();
        let delta = 1.644_853_626_951_472_7 * root;
        let to = nu.sqrt() + 10.0;
        let steps = 4000;
        let h = to / f64::from(steps);
        let (mut sum, mut norm) = (0.0, 0.0);
        for i in 0..=steps {
            let x = f64::from(i) * h;
            let weight = if i == 0 || i == steps {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            // The density of χ but for its constant factor, scaled to 1 at its top so that nothing overflows.
            let top = (nu - 1.0).sqrt();
            let density = exp((nu - 1.0) * ln(x / top) - (x * x - top * top) / 2.0);
            norm += weight * density;
            sum += weight * density * probability_below(k * root * x / nu.sqrt() - delta);
        }
        sum / norm
    }

    #[test]
    fn each_factor_gives_70_percent() {
        for (n, k) in FACTORS {
            let (low, high) = (confidence(n, k - 0.000_051), confidence(n, k + 0.000_051));
            assert!(low < 0.70 && 0.70 < high, "{n} {k}: {low} {high}");
        }
    }

    #[test]
    fn which_factor() {
        assert_eq!(tolerance_factor(5), None);
        assert_eq!(tolerance_factor(6), Some((6, 2.1867)));
        assert_eq!(tolerance_factor(99), Some((30, 1.8203)));
    }
}
