//! Number of draws of a figure above each limit.
//!
//! The draws go by in blocks and are not kept; they are counted as they are made.

use stainbook_core::elementary::{exp_m1, ln};

use super::probability::Above;
use crate::evaluate::MonteCarloOptions;
use crate::result::{JudgedFrom, ProbabilityBound};
use stainbook_uncertainty::monte_carlo::{self, Clamped, Generator, MonteCarloResult, Trials};

/// One-sided confidence that the probability lies where the draws leave it: 95 %.
const CONFIDENCE: f64 = 0.95;

/// The one-sided normal quantile for that.
const QUANTILE: f64 = 1.644_853_626_951_472_7;

/// Number of draws of a figure above each limit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct DrawnAbove {
    draws: u64,
    /// A limit in ppm (or of a sum of shares), and how many draws lie above it.
    limits: Vec<(f64, u64)>,
}

impl DrawnAbove {
    /// Draws above a limit; nothing for one that they were not counted at.
    pub(crate) fn above(&self, limit: f64) -> Option<Above> {
        let (_, above) = self
            .limits
            .iter()
            .find(|(counted, _)| counted.total_cmp(&limit).is_eq())?;
        Some(share(*above, self.draws))
    }
}

/// Draws, and counts what comes out above each limit. `per_ppm` is what makes of a limit a figure in the unit of the draws.
pub(crate) fn run(
    trials: &dyn Trials,
    options: &MonteCarloOptions<'_>,
    limits: &[f64],
    per_ppm: f64,
) -> (MonteCarloResult, DrawnAbove) {
    let judged = JudgedTrials {
        trials,
        limits: limits.iter().map(|limit| limit * per_ppm).collect(),
    };
    let outcome = monte_carlo::run(&judged, &options.settings, options.in_blocks);
    let limits = limits.iter().copied().zip(outcome.above.iter().copied());
    let drawn = DrawnAbove {
        draws: outcome.draws,
        limits: limits.collect(),
    };
    (outcome, drawn)
}

/// Trials that are held against limits.
struct JudgedTrials<'t> {
    trials: &'t dyn Trials,
    limits: Vec<f64>,
}

impl Trials for JudgedTrials<'_> {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        self.trials.draw(generator, out)
    }

    fn limits(&self) -> &[f64] {
        &self.limits
    }
}

/// The share of the draws above, with what so many draws leave open about it (95 % to one side): the score interval of
/// E. B. Wilson (J. Am. Stat. Assoc. 22, 1927, from memory). Where none lies above, the probability is at most
/// `1 − 0.05^(1/M)`, about 3/M: with a larger one, one draw at least would lie above with 95 % probability.
fn share(above: u64, draws: u64) -> Above {
    let (k, m) = (number(above), number(draws));
    let rule_of_three = -exp_m1(ln(1.0 - CONFIDENCE) / m);
    let p = k / m;
    let square = QUANTILE * QUANTILE;
    let middle = (k + square / 2.0) / (m + square);
    let half = QUANTILE / (m + square) * (k * (1.0 - p) + square / 4.0).sqrt();
    let (probability, bound, between) = if above == 0 {
        (
            rule_of_three,
            Some(ProbabilityBound::AtMost),
            [0.0, rule_of_three],
        )
    } else if above == draws {
        let least = 1.0 - rule_of_three;
        (least, Some(ProbabilityBound::AtLeast), [least, 1.0])
    } else {
        (p, None, [middle - half, middle + half])
    };
    Above {
        probability,
        bound,
        by: JudgedFrom::Draws,
        between,
        draws,
    }
}

#[allow(clippy::cast_precision_loss, reason = "nobody waits for 2⁵³ draws")]
fn number(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use std::ops::Range;

    use stainbook_core::elementary::{exp, ln_1p};

    use super::*;
    use crate::judgement::JudgementSettings;
    use crate::result::Verdict;
    use stainbook_uncertainty::distribution::Distribution;
    use stainbook_uncertainty::monte_carlo::{Block, Draws, Independent, one_after_another};

    /// The probability of none in `M` draws is (1 − p)^M: 5 % at the bound.
    #[test]
    fn none_and_all_are_no_certainty() {
        for draws in [1_u64, 50, 1000, 10_000_000] {
            let none = share(0, draws);
            let still = exp(number(draws) * ln_1p(-none.probability));
            assert!((still - 0.05).abs() < 1e-6, "{draws} {still}");
            assert_eq!(none.bound, Some(ProbabilityBound::AtMost));
            let all = share(draws, draws);
            assert!((all.probability + none.probability - 1.0).abs() < 1e-12);
            assert_eq!(all.bound, Some(ProbabilityBound::AtLeast));
        }
    }

    /// The guard level is 5 %; so few draws do not carry every share on its side.
    #[test]
    fn chance_turns_no_verdict() {
        for (above, draws, verdict) in [
            (0, 50, Verdict::CannotTell),
            (0, 100, Verdict::Below),
            (4, 100, Verdict::CannotTell),
            (400, 10_000, Verdict::Below),
            (490, 10_000, Verdict::CannotTell),
            (4_900, 100_000, Verdict::CannotTell),
            (48_000, 1_000_000, Verdict::Below),
            (500_000, 1_000_000, Verdict::CannotTell),
            (96, 100, Verdict::CannotTell),
            (9_600, 10_000, Verdict::Above),
        ] {
            let (said, reason) = share(above, draws).verdict(&JudgementSettings::default());
            assert_eq!(said, verdict, "{above} of {draws}: {reason:?}");
        }
    }

    /// One of four of a rectangular distribution lies above three quarters of its width, however the blocks are made.
    #[test]
    fn counted_as_drawn() {
        let inputs = [(10.0, Distribution::Rectangular { half_width: 2.0 })];
        let model = Independent {
            inputs: &inputs,
            model: |x: &[f64]| x.first().copied().unwrap_or(f64::NAN),
        };
        let settings = |draws| monte_carlo::Settings::new(draws, 7);
        let from_behind = |numbers: Range<u64>, work: &(dyn Fn(u64) -> Block + Sync)| {
            let mut made: Vec<Block> = numbers.rev().map(work).collect();
            made.reverse();
            made
        };
        for draws in [
            Draws::Exactly(25_000),
            monte_carlo::Settings::default().draws,
        ] {
            let drawn = |in_blocks| {
                let options = MonteCarloOptions::new(settings(draws), in_blocks);
                run(&model, &options, &[5.5, 3.0], 2.0)
            };
            let (outcome, counted) = drawn(&one_after_another);
            let quarter = counted.above(5.5).unwrap();
            assert!((quarter.probability - 0.25).abs() < 0.02, "{quarter:?}");
            assert_eq!(counted.draws, outcome.draws);
            assert_eq!(
                counted.above(3.0).unwrap().bound,
                Some(ProbabilityBound::AtLeast)
            );
            assert_eq!(counted.above(4.0), None);
            assert_eq!(drawn(&from_behind), (outcome, counted));
        }
    }
}
