//! Stopping rule of the draws (JCGM 101:2008, 7.9.4): the averages over the blocks stand to half the last digit that is
//! asked for, with twice their standard deviation.

use super::{Block, count, numerical_tolerance};

/// Watches the blocks as they come.
#[derive(Clone, Debug)]
pub(super) struct Watch {
    digits: u32,
    blocks: f64,
    draws: f64,
    mean: f64,
    squares: f64,
    /// Of mean, standard deviation, lower and upper end: the mean over the blocks and the sum of squared differences.
    watched: [(f64, f64); 4],
}

/// Stability after a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stability {
    /// True if everything that is watched stands.
    pub(super) settled: bool,
    /// The numerical tolerance of the standard deviation of all draws so far.
    pub(super) tolerance: f64,
}

impl Watch {
    pub(super) fn new(digits: u32) -> Self {
        Self {
            digits,
            blocks: 0.0,
            draws: 0.0,
            mean: 0.0,
            squares: 0.0,
            watched: [(0.0, 0.0); 4],
        }
    }

    pub(super) fn add(&mut self, block: &Block) -> Stability {
        let draws = count(block.draws);
        let (off, all) = (block.mean - self.mean, self.draws + draws);
        self.mean += off * draws / all;
        self.squares += block.squares + off * off * self.draws * draws / all;
        self.draws = all;
        self.blocks += 1.0;
        let [low, high] = block.symmetric.unwrap_or([f64::NAN; 2]);
        let of_block = [
            block.mean,
            (block.squares / (draws - 1.0)).sqrt(),
            low,
            high,
        ];
        for ((mean, squares), value) in self.watched.iter_mut().zip(of_block) {
            let off = value - *mean;
            *mean += off / self.blocks;
            *squares += off * (value - *mean);
        }
        let tolerance =
            numerical_tolerance((self.squares / (self.draws - 1.0)).sqrt(), self.digits);
        let stands = |squares: f64| {
            let of_average = (squares / (self.blocks * (self.blocks - 1.0))).sqrt();
            2.0 * of_average <= tolerance
        };
        Stability {
            settled: 1.0 < self.blocks && self.watched.iter().all(|(_, squares)| stands(*squares)),
            tolerance,
        }
    }
}
