//! Settings of the Monte Carlo method, if it is asked for.

use std::ops::Range;

use clap::Args;
use rayon::prelude::*;
use stainbook_evaluation::MonteCarloOptions;
use stainbook_uncertainty::monte_carlo::{Block, Draws, Settings};

/// The fewest draws that still have an interval worth the name, and the most that fit in a usual memory.
const FEWEST_AND_MOST: std::ops::RangeInclusive<u64> = 1_000..=100_000_000;

/// Settings of the Monte Carlo method.
#[derive(Clone, Copy, Debug, Args)]
pub(super) struct DrawsArgs {
    /// Work out the uncertainty by a Monte Carlo method as well, with as many draws as it takes
    #[arg(long)]
    monte_carlo: bool,
    /// The same, with so many draws for each reading
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u64).range(FEWEST_AND_MOST))]
    draws: Option<u64>,
    /// The same, from this seed: the same seed gives the same figures again, on any number of processors [default: 0]
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
}

impl DrawsArgs {
    /// Nothing, if no drawing is asked for.
    pub(super) fn options(self) -> Option<MonteCarloOptions<'static>> {
        if !self.monte_carlo && self.draws.is_none() && self.seed.is_none() {
            return None;
        }
        let usual = Settings::default();
        Some(MonteCarloOptions::new(
            Settings::new(
                self.draws.map_or(usual.draws, Draws::Exactly),
                self.seed.unwrap_or(usual.seed),
            ),
            &on_all_processors,
        ))
    }
}

/// Blocks on all processors, given back in their order.
fn on_all_processors(numbers: Range<u64>, work: &(dyn Fn(u64) -> Block + Sync)) -> Vec<Block> {
    numbers.into_par_iter().map(work).collect()
}
