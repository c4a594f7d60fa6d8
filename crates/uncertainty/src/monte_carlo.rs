//! Propagation of distributions by a Monte Carlo method (JCGM 101:2008, 7), for any model.
//!
//! Trials are made in blocks of [`BLOCK`]. Each block draws from its own stretch of one generator, so a block gives the
//! same numbers wherever and whenever it is worked out, and what comes out does not depend on how many threads there are:
//! a caller that has threads hands in its own way to work through blocks ([`InBlocks`]), and the blocks are put together
//! in their order.
//!
//! ```
//! # #[cfg(feature = "monte-carlo")] {
//! use stainbook_uncertainty::distribution::Distribution;
//! use stainbook_uncertainty::monte_carlo::{Draws, Independent, Settings, one_after_another, run};
//!
//! // The sum of two inputs that lie anywhere within 1 of 10 and of 20.
//! let rectangular = Distribution::Rectangular { half_width: 1.0 };
//! let model = Independent { inputs: &[(10.0, rectangular), (20.0, rectangular)], model: |x: &[f64]| x[0] + x[1] };
//! let settings = Settings::new(Draws::Exactly(100_000), 0);
//! let outcome = run(&model, &settings, &one_after_another);
//! assert!((outcome.mean - 30.0).abs() < 0.01);
//! assert!((outcome.standard - (2.0_f64 / 3.0).sqrt()).abs() < 0.01);
//! # }
//! ```

use crate::elementary::{log10, powf};

use crate::distribution::Distribution;

#[cfg(feature = "monte-carlo")]
mod generator;
#[cfg(not(feature = "monte-carlo"))]
#[path = "monte_carlo/no_generator.rs"]
mod generator;
mod intervals;
mod stability;

pub use generator::Generator;
pub use intervals::{CoverageIntervals, intervals};

use intervals::{Kept, Quantiles};

/// Number of trials in a block. Source: JCGM 101:2008, 7.9.4 b: the greater of 10 000 and 100/(1 − p), which for 95 % is
/// 2 000.
pub const BLOCK: u64 = 10_000;

/// The coverage probability of the intervals.
pub const COVERAGE: f64 = 0.95;

/// Name of the generator, as it stands in results.
pub const GENERATOR: &str = "xoshiro256++, a jump of 2^128 for each block of 10000 draws; normal by a ziggurat of 256 layers";

/// A model that can be tried.
pub trait Trials: Sync {
    /// Fills `out` with the outcomes of as many trials and returns how many of them had to be held somewhere: an input at
    /// the end of a table, or the outcome at zero.
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped;
}

/// Numbers of trials that were clamped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Clamped {
    /// An input lay outside a table or formula, and was taken at its end.
    pub at_an_end: u64,
    /// The outcome was below zero, and was taken as zero.
    pub at_zero: u64,
}

impl Clamped {
    fn add(&mut self, other: Self) {
        self.at_an_end += other.at_an_end;
        self.at_zero += other.at_zero;
    }
}

/// Number of draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Draws {
    /// So many.
    Exactly(u64),
    /// Until both ends of the interval have settled (JCGM 101:2008, 7.9, of which only the ends are taken: what is drawn may
    /// have no mean), and no more than this.
    UntilStable {
        /// Number of digits of the standard uncertainty that have to stand, 1 or 2.
        digits: u32,
        /// The most draws that are made.
        at_most: u64,
    },
}

/// Number of draws and seed of a run. Without the feature `monte-carlo` no value of it can be made, and so nothing is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Settings {
    /// Number of draws.
    pub draws: Draws,
    /// Seed of the generator. The same seed gives the same result.
    pub seed: u64,
    #[cfg(not(feature = "monte-carlo"))]
    never: std::convert::Infallible,
}

#[cfg(feature = "monte-carlo")]
impl Settings {
    /// So many draws, from this seed.
    pub const fn new(draws: Draws, seed: u64) -> Self {
        Self { draws, seed }
    }
}

impl Settings {
    /// Half of the draws, for runs of which each gives one end of an interval.
    #[must_use]
    pub fn halved(self) -> Self {
        let draws = match self.draws {
            Draws::Exactly(draws) => Draws::Exactly(draws.div_ceil(2)),
            Draws::UntilStable { digits, at_most } => Draws::UntilStable {
                digits,
                at_most: at_most.div_ceil(2),
            },
        };
        Self { draws, ..self }
    }
}

#[cfg(feature = "monte-carlo")]
impl Default for Settings {
    fn default() -> Self {
        Self {
            draws: Draws::UntilStable {
                digits: 2,
                at_most: 10_000_000,
            },
            seed: 0,
        }
    }
}

/// The outcome of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct MonteCarloResult {
    /// Number of draws made.
    pub draws: u64,
    /// Number of blocks.
    pub blocks: u64,
    /// The mean of the outcomes: the estimate (JCGM 101:2008, 7.6). It says nothing of a model that divides by what may be
    /// near zero, which has none; the median is always there.
    pub mean: f64,
    /// Their standard deviation: the standard uncertainty, where the model has one.
    pub standard: f64,
    /// The median of the outcomes.
    pub median: f64,
    /// The intervals that cover with [`COVERAGE`].
    pub intervals: CoverageIntervals,
    /// Numbers of trials that were clamped.
    pub clamped: Clamped,
    /// For a run until stable: the numerical tolerance δ that had to be reached (JCGM 101:2008, 7.9.2), and whether it was.
    pub stable: Option<(f64, bool)>,
}

impl MonteCarloResult {
    /// The lower end from these draws and the upper end from others, with what both together say. There is no shortest interval.
    #[must_use]
    pub fn and_upper(self, upper: &Self) -> Self {
        let (both, part) = (self.draws + upper.draws, count(self.draws));
        let weighted =
            |one: f64, other: f64| (one * part + other * count(upper.draws)) / count(both);
        Self {
            draws: both,
            blocks: self.blocks + upper.blocks,
            mean: weighted(self.mean, upper.mean),
            standard: weighted(self.standard, upper.standard),
            median: f64::midpoint(self.median, upper.median),
            intervals: CoverageIntervals {
                symmetric: [self.intervals.symmetric[0], upper.intervals.symmetric[1]],
                ..CoverageIntervals::NONE
            },
            clamped: Clamped {
                at_an_end: self.clamped.at_an_end + upper.clamped.at_an_end,
                at_zero: self.clamped.at_zero + upper.clamped.at_zero,
            },
            stable: self
                .stable
                .zip(upper.stable)
                .map(|(one, other)| (one.0.min(other.0), one.1 && other.1)),
        }
    }
}

/// One block worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    draws: u64,
    mean: f64,
    /// The sum of the squared differences from the mean.
    squares: f64,
    clamped: Clamped,
    /// The ends of its own symmetric interval, where a run is watched until it is stable.
    symmetric: Option<[f64; 2]>,
    /// The values that can be an end of an interval of all blocks, or their median, and which those are.
    kept: Vec<f64>,
    keeping: Kept,
    /// Number of values below the middle.
    below: u64,
}

/// A way to work through blocks: gives for each number of the range, in order, the block that `work` makes of it.
pub type InBlocks<'b> =
    dyn Fn(std::ops::Range<u64>, &(dyn Fn(u64) -> Block + Sync)) -> Vec<Block> + 'b;

/// Blocks one after the other, on the thread that calls.
pub fn one_after_another(
    numbers: std::ops::Range<u64>,
    work: &(dyn Fn(u64) -> Block + Sync),
) -> Vec<Block> {
    numbers.map(work).collect()
}

/// Number of blocks handed out at a time when it is not known how many will be needed: enough for the threads of a
/// usual machine, few enough that little is made in vain.
const AT_A_TIME: u64 = 8;

/// Runs a model.
///
/// The outcome depends on the model and the settings only, not on `in_blocks`.
pub fn run(trials: &dyn Trials, settings: &Settings, in_blocks: &InBlocks<'_>) -> MonteCarloResult {
    let (blocks, stable) = work_through(trials, settings, in_blocks, None);
    if let Some(quantiles) = quantiles_of(&blocks) {
        return outcome(&blocks, quantiles, stable);
    }
    // The first block was not like the others: the ends lie among what was not kept.
    let (blocks, stable) = work_through(trials, settings, in_blocks, Some(Kept::EVERYTHING));
    let quantiles = quantiles_of(&blocks).unwrap_or(Quantiles::NONE);
    outcome(&blocks, quantiles, stable)
}

/// Works out as many blocks as are asked for, or needed. Which values they keep is stated, or follows from the first block.
fn work_through(
    trials: &dyn Trials,
    settings: &Settings,
    in_blocks: &InBlocks<'_>,
    mut keeping: Option<Kept>,
) -> (Vec<Block>, Option<(f64, bool)>) {
    let (most, mut watch) = match settings.draws {
        Draws::Exactly(draws) => (draws.max(2), None),
        Draws::UntilStable { digits, at_most } => {
            (at_most.max(2 * BLOCK), Some(stability::Watch::new(digits)))
        }
    };
    let blocks = most.div_ceil(BLOCK);
    let watched = watch.is_some();
    let mut generators = Generator::of_blocks(settings);
    let mut made: Vec<Block> = Vec::new();
    let mut stable = None;
    let mut next = 0;
    while next < blocks {
        let until = match (keeping, watched) {
            (None, _) => next + 1,
            (_, true) => (next + AT_A_TIME).min(blocks),
            (_, false) => blocks,
        };
        let starts: Vec<Generator> = (next..until)
            .zip(generators.by_ref())
            .map(|(_, generator)| generator)
            .collect();
        let start = |number: u64| {
            let place = usize::try_from(number - next).ok();
            place
                .and_then(|place| starts.get(place).cloned())
                .unwrap_or_else(|| Generator::of_block_of(settings, number))
        };
        let work = |number: u64| {
            let draws = (most - number * BLOCK).min(BLOCK);
            block(trials, draws, keeping, watched, start(number))
        };
        for block in in_blocks(next..until, &work) {
            let verdict = watch.as_mut().map(|watch| watch.add(&block));
            stable = verdict.map(|verdict| (verdict.tolerance, verdict.settled));
            keeping = keeping.or(Some(block.keeping));
            made.push(block);
            // The blocks behind this one were made in vain: they do not count, whoever made them.
            if stable.is_some_and(|(_, settled)| settled) {
                return (made, stable);
            }
        }
        next = until;
    }
    (made, stable)
}

fn block(
    trials: &dyn Trials,
    draws: u64,
    keeping: Option<Kept>,
    watched: bool,
    mut generator: Generator,
) -> Block {
    let mut values = vec![0.0; usize::try_from(draws).unwrap_or(usize::MAX)];
    let clamped = trials.draw(&mut generator, &mut values);
    let mean = sum(&values, |value| value) / count(draws);
    let squares = sum(&values, |value| (value - mean) * (value - mean));
    let keeping = keeping.unwrap_or_else(|| Kept::of(&values, COVERAGE));
    let (kept, below) = keeping.keep(&values);
    Block {
        draws,
        mean,
        squares,
        clamped,
        kept,
        keeping,
        below,
        symmetric: watched.then(|| intervals(&mut values, COVERAGE).symmetric),
    }
}

/// A sum over values, in eight sums that wait for nothing but themselves.
fn sum(values: &[f64], of: impl Fn(f64) -> f64) -> f64 {
    let (eights, rest) = values.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for eight in eights {
        for (sum, value) in sums.iter_mut().zip(eight) {
            *sum += of(*value);
        }
    }
    sums.iter().sum::<f64>() + rest.iter().map(|value| of(*value)).sum::<f64>()
}

/// Ends and median of all blocks; nothing if one of them lies among what the blocks did not keep.
fn quantiles_of(blocks: &[Block]) -> Option<Quantiles> {
    let keeping = blocks.first()?.keeping;
    let draws = blocks.iter().map(|block| block.draws).sum();
    let below = blocks.iter().map(|block| block.below).sum();
    let kept = blocks.iter().map(|block| block.kept.as_slice());
    keeping.quantiles(kept, (draws, below), COVERAGE)
}

/// Puts blocks together in their order.
fn outcome(
    blocks: &[Block],
    quantiles: Quantiles,
    stable: Option<(f64, bool)>,
) -> MonteCarloResult {
    let (mut draws, mut mean, mut squares) = (0, 0.0, 0.0);
    let mut clamped = Clamped::default();
    for block in blocks {
        // The mean and the sum of squares of two samples together, from those of each.
        let (before, more) = (count(draws), count(block.draws));
        let (off, all) = (block.mean - mean, before + more);
        mean += off * more / all;
        squares += block.squares + off * off * before * more / all;
        draws += block.draws;
        clamped.add(block.clamped);
    }
    MonteCarloResult {
        draws,
        blocks: blocks.len() as u64,
        mean,
        standard: (squares / (count(draws) - 1.0)).sqrt(),
        median: quantiles.median,
        intervals: quantiles.intervals,
        clamped,
        stable,
    }
}

/// A number of draws as a number to compute with: exact up to 2⁵³.
#[allow(clippy::cast_precision_loss, reason = "nobody waits for 2⁵³ draws")]
fn count(draws: u64) -> f64 {
    draws as f64
}

/// Independent inputs, each with its estimate and its distribution, and a function of them.
pub struct Independent<'i, F> {
    /// The estimates, with what is known about each.
    pub inputs: &'i [(f64, Distribution)],
    /// The model.
    pub model: F,
}

impl<F: Fn(&[f64]) -> f64 + Sync> Trials for Independent<'_, F> {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        let columns: Vec<Vec<f64>> = self
            .inputs
            .iter()
            .map(|(_, distribution)| {
                let mut column = vec![0.0; out.len()];
                distribution.draw(generator, &mut column);
                column
            })
            .collect();
        let mut inputs = vec![0.0; self.inputs.len()];
        for (trial, slot) in out.iter_mut().enumerate() {
            for ((input, (estimate, _)), column) in inputs.iter_mut().zip(self.inputs).zip(&columns)
            {
                *input = estimate + column.get(trial).copied().unwrap_or(0.0);
            }
            *slot = (self.model)(&inputs);
        }
        Clamped::default()
    }
}

/// Comparison of the law of propagation with the draws (JCGM 101:2008, 8.1.3).
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Comparison {
    /// The numerical tolerance δ of the standard uncertainty, see [`numerical_tolerance`].
    pub tolerance: f64,
    /// Distances between the lower and between the upper ends of the two coverage intervals.
    pub apart: [f64; 2],
}

impl Comparison {
    /// Compares the interval that the law of propagation leads to with the probabilistically symmetric one of the draws, to so
    /// many significant digits of the standard uncertainty, 1 or 2. The draws have to stand to a digit more. Two ends that are
    /// both at infinity are not apart.
    pub fn new(
        propagated: [f64; 2],
        standard: f64,
        outcome: &MonteCarloResult,
        digits: u32,
    ) -> Self {
        let [low, high] = outcome.intervals.symmetric;
        let apart = |one: f64, other: f64| {
            if one.total_cmp(&other).is_eq() {
                0.0
            } else {
                (one - other).abs()
            }
        };
        Self {
            tolerance: numerical_tolerance(standard, digits),
            apart: [apart(propagated[0], low), apart(propagated[1], high)],
        }
    }

    /// True if the draws bear the law of propagation out.
    pub fn agrees(&self) -> bool {
        self.apart.iter().all(|apart| *apart <= self.tolerance)
    }
}

/// Half a step of the last significant digit of a standard uncertainty that is stated with so many digits: δ of
/// JCGM 101:2008, 7.9.2.
///
/// # Example
///
/// ```
/// use stainbook_uncertainty::monte_carlo::numerical_tolerance;
/// // The examples of that clause: 0.000 35 to two digits, and 0.0004 to one.
/// assert!((numerical_tolerance(0.000_35, 2) - 0.000_005).abs() < 1e-12);
/// assert!((numerical_tolerance(0.000_35, 1) - 0.000_05).abs() < 1e-12);
/// ```
pub fn numerical_tolerance(standard: f64, digits: u32) -> f64 {
    if !(0.0 < standard && standard.is_finite()) {
        return 0.0;
    }
    let step = |standard: f64| {
        let magnitude = log10(standard).floor();
        powf(10.0, magnitude - f64::from(digits.max(1)) + 1.0)
    };
    // 0.0999 printed to one digit is 0.1, which has another step.
    let rounded = (standard / step(standard)).round() * step(standard);
    step(rounded * (1.0 + 1e-12)) / 2.0
}

#[cfg(all(test, feature = "monte-carlo"))]
mod tests;
