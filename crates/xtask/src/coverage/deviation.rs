//! The sum of the relative deviations of a stain from what the truth shows on average, and its distribution function.

use stainbook_core::elementary::exp;

/// Half-width of the grid, in standard deviations of the sum: beyond it less than 10⁻¹⁴ is left of a normal part.
const REACH: f64 = 8.0;
/// Steps of the grid to one standard deviation of its smooth part.
const STEPS: f64 = 120.0;
/// Deviations closer than this are the same.
const SAME: f64 = 5e-5;
/// The normal quantile for 95 % between two sides, the confidence of every accuracy of the sheets used here.
pub(super) const QUANTILE: f64 = 1.959_964;
/// Number of equal parts of probability in which a lognormal accuracy is taken.
const PARTS: u32 = 400;

/// Relative deviations of one tube at one truth.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Deviations {
    /// Standard deviation for scale and lot.
    pub(super) accuracy: f64,
    /// Standard deviation of repeated readings.
    pub(super) repeatability: f64,
    /// Half-widths of what lies anywhere within them: volume of the strokes, printed digits, instruments.
    pub(super) rectangular: Vec<f64>,
}

impl Deviations {
    /// True if no sum would tell them from others.
    pub(super) fn is_like(&self, other: &Self) -> bool {
        let all = |it: &Self| -> Vec<f64> {
            let rectangular = it.rectangular.iter().copied();
            [it.accuracy, it.repeatability]
                .into_iter()
                .chain(rectangular)
                .collect()
        };
        let (own, others) = (all(self), all(other));
        own.len() == others.len() && own.iter().zip(&others).all(|(a, b)| (a - b).abs() < SAME)
    }
}

/// Distribution of scales and lots about the true value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AccuracyIs {
    /// As the program takes it.
    Normal,
    /// Anywhere within what the leaflet states, as if that held for every tube.
    Rectangular,
    /// A factor whose logarithm is normal, with the same standard deviation.
    Lognormal,
}

/// Distribution function of the sum, on a grid.
#[derive(Clone, Debug)]
pub(super) struct DeviationSum {
    start: f64,
    step: f64,
    below: Vec<f64>,
}

impl DeviationSum {
    /// The normal parts in closed form, the rectangular ones folded in one after the other.
    pub(super) fn of(deviations: &Deviations, accuracy: AccuracyIs) -> Self {
        let Deviations {
            accuracy: lot,
            repeatability,
            rectangular,
        } = deviations;
        let (smooth, wide) = match accuracy {
            AccuracyIs::Normal => ((lot * lot + repeatability * repeatability).sqrt(), 0.0),
            AccuracyIs::Rectangular => (*repeatability, lot * QUANTILE),
            AccuracyIs::Lognormal => (*repeatability, exp(REACH * lot) - 1.0),
        };
        let half = REACH * smooth + wide + rectangular.iter().sum::<f64>();
        let step = smooth / STEPS;
        let mut sum = Self::normal(smooth, half, step);
        if accuracy == AccuracyIs::Lognormal {
            sum = sum.shifted_by(&equally_probable(*lot));
        }
        let lot = (accuracy == AccuracyIs::Rectangular).then_some(wide);
        for half_width in rectangular.iter().copied().chain(lot) {
            if 0.0 < half_width {
                sum = sum.spread(half_width);
            }
        }
        sum
    }

    /// A normal distribution: its density summed up by Simpson's rule.
    fn normal(standard: f64, half: f64, step: f64) -> Self {
        let density = |z: f64| exp(-z * z / 2.0);
        let mut below = vec![0.0];
        let mut total = 0.0;
        let mut at = -half;
        while at < half {
            let (a, b) = (at / standard, (at + step) / standard);
            total += density(a) + 4.0 * density(f64::midpoint(a, b)) + density(b);
            below.push(total);
            at += step;
        }
        for share in &mut below {
            *share /= total;
        }
        Self {
            start: -half,
            step,
            below,
        }
    }

    /// Probability of a sum below this.
    pub(super) fn below(&self, deviation: f64) -> f64 {
        let (index, part) = self.place(deviation);
        let at = |index: usize| self.below.get(index).copied().unwrap_or(1.0);
        at(index) + (at(index + 1) - at(index)) * part
    }

    /// The grid's cell of a deviation, and its place within.
    fn place(&self, deviation: f64) -> (usize, f64) {
        let at = ((deviation - self.start) / self.step).clamp(0.0, self.last());
        let index = at.floor();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "it was held within the grid"
        )]
        (index as usize, at - index)
    }

    #[allow(clippy::cast_precision_loss, reason = "a few thousand")]
    fn last(&self) -> f64 {
        self.below.len().saturating_sub(1) as f64
    }

    fn map(&self, below: impl Fn(f64) -> f64) -> Self {
        let mut at = self.start;
        let shares = self.below.iter().map(|_| {
            let share = below(at);
            at += self.step;
            share
        });
        Self {
            below: shares.collect(),
            ..*self
        }
    }

    /// With something added that lies anywhere within a half-width: the mean of the function over it.
    fn spread(&self, half_width: f64) -> Self {
        let mut integral = vec![0.0];
        let mut total = 0.0;
        for pair in self.below.windows(2) {
            if let [a, b] = pair {
                total += f64::midpoint(*a, *b) * self.step;
                integral.push(total);
            }
        }
        let up_to = |deviation: f64| {
            let (index, part) = self.place(deviation);
            let whole = integral.get(index).copied().unwrap_or(total);
            let at = |index: usize| self.below.get(index).copied().unwrap_or(1.0);
            let here = at(index);
            let within = self.step * part * (here + (at(index + 1) - here) * part / 2.0);
            // Beyond the grid everything lies below.
            whole + within + (deviation - self.start - self.last() * self.step).max(0.0)
        };
        self.map(|at| (up_to(at + half_width) - up_to(at - half_width)) / (2.0 * half_width))
    }

    /// With one of these added, each as probable as the others.
    #[allow(clippy::cast_precision_loss, reason = "a few hundred")]
    fn shifted_by(&self, shifts: &[f64]) -> Self {
        let count = shifts.len() as f64;
        self.map(|at| {
            shifts
                .iter()
                .map(|shift| self.below(at - shift))
                .sum::<f64>()
                / count
        })
    }
}

/// Deviations of a factor whose logarithm is normal, each as probable as the others.
fn equally_probable(standard: f64) -> Vec<f64> {
    let normal = DeviationSum::normal(1.0, REACH, 1.0 / STEPS);
    (0..PARTS)
        .map(|part| {
            let wanted = (f64::from(part) + 0.5) / f64::from(PARTS);
            let (mut low, mut high) = (-REACH, REACH);
            for _ in 0..50 {
                let middle = f64::midpoint(low, high);
                if normal.below(middle) < wanted {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            exp(standard * low) - 1.0
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(accuracy: f64, repeatability: f64, rectangular: &[f64]) -> Deviations {
        Deviations {
            accuracy,
            repeatability,
            rectangular: rectangular.to_vec(),
        }
    }

    #[test]
    fn a_normal_sum_has_the_quantiles_of_the_tables() {
        let sum = DeviationSum::of(&sum(0.3, 0.4, &[]), AccuracyIs::Normal);
        for (z, below) in [
            (0.0, 0.5),
            (1.644_854, 0.95),
            (-1.959_964, 0.025),
            (3.0, 0.998_650),
        ] {
            assert!((sum.below(z * 0.5) - below).abs() < 1e-5, "{z}");
        }
    }

    /// Two rectangular parts make a triangle, of which the corner holds `(1 − t)²/2`; a narrow normal one hardly moves it.
    #[test]
    fn rectangular_parts_are_folded_in() {
        let narrow = DeviationSum::of(&sum(0.0, 0.002, &[0.5, 0.5]), AccuracyIs::Normal);
        for t in [0.3, 0.5, 0.8_f64] {
            let beyond = (1.0 - t) * (1.0 - t) / 2.0;
            assert!((1.0 - narrow.below(t) - beyond).abs() < 1e-5, "{t}");
            assert!((narrow.below(-t) - beyond).abs() < 1e-5, "{t}");
        }
        let lot = DeviationSum::of(&sum(0.5 / QUANTILE, 0.002, &[0.5]), AccuracyIs::Rectangular);
        assert!((lot.below(0.3) - narrow.below(0.3)).abs() < 1e-6);
    }

    #[test]
    fn a_lognormal_accuracy_has_its_median_at_none_and_a_longer_upper_tail() {
        let sum = DeviationSum::of(&sum(0.2, 0.01, &[]), AccuracyIs::Lognormal);
        assert!((sum.below(0.0) - 0.5).abs() < 2e-3);
        let (up, down) = (exp(0.4) - 1.0, exp(-0.4) - 1.0);
        assert!((1.0 - sum.below(up) - 0.022_750).abs() < 2e-3);
        assert!((sum.below(down) - 0.022_750).abs() < 2e-3);
    }
}
