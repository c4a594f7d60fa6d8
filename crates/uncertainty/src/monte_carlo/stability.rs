//! Stopping rule of the draws (JCGM 101:2008, 7.9.4): the averages over the blocks stand to half the last digit that is
//! asked for, with twice their standard deviation.
//!
//! Only the ends of the interval are watched. A model that divides by what may be near zero has no mean and no standard
//! deviation, and averages of those never come to rest.

use super::{Block, COVERAGE, numerical_tolerance};
use crate::normal;

/// Watches the blocks as they come.
#[derive(Clone, Debug)]
pub(super) struct Watch {
    digits: u32,
    blocks: f64,
    /// Of the lower and the upper end: the mean over the blocks and the sum of squared differences.
    ends: [(f64, f64); 2],
}

/// Stability after a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stability {
    /// True if both ends stand.
    pub(super) settled: bool,
    /// The numerical tolerance of the standard uncertainty that the interval of all draws so far comes from.
    pub(super) tolerance: f64,
}

impl Watch {
    pub(super) fn new(digits: u32) -> Self {
        Self {
            digits,
            blocks: 0.0,
            ends: [(0.0, 0.0); 2],
        }
    }

    pub(super) fn add(&mut self, block: &Block) -> Stability {
        self.blocks += 1.0;
        let of_block = block.symmetric.unwrap_or([f64::NAN; 2]);
        for ((mean, squares), value) in self.ends.iter_mut().zip(of_block) {
            let off = value - *mean;
            *mean += off / self.blocks;
            *squares += off * (value - *mean);
        }
        let [(low, _), (high, _)] = self.ends;
        // As wide as that of a normal distribution with this standard deviation.
        let standard = (high - low) / (2.0 * normal::two_sided(COVERAGE));
        let tolerance = numerical_tolerance(standard, self.digits);
        let stands = |squares: f64| {
            let of_average = (squares / (self.blocks * (self.blocks - 1.0))).sqrt();
            2.0 * of_average <= tolerance
        };
        Stability {
            settled: 1.0 < self.blocks && self.ends.iter().all(|(_, squares)| stands(*squares)),
            tolerance,
        }
    }
}
