//! Pseudo-random generator of the draws.

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// The generator's name, as it stands in results.
pub const GENERATOR: &str = "xoshiro256++, a jump of 2^128 for each block of 10000 draws";

/// Pseudo-random numbers: xoshiro256++ (D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM
/// Transactions on Mathematical Software 47, 2021), with a period of 2²⁵⁶ − 1. Block `n` starts 2¹²⁸·n numbers after the
/// seed's beginning, so that blocks never share a number.
#[derive(Clone, Debug)]
pub struct Generator(pub(crate) Xoshiro256PlusPlus);

impl Generator {
    /// The generator of one block.
    pub fn of_block(seed: u64, block: u64) -> Self {
        let mut generator = Xoshiro256PlusPlus::seed_from_u64(seed);
        generator.jump_ce(block, 128);
        Self(generator)
    }

    /// The generators of block 0, 1, 2 …: a jump from each to the next, which takes less than a thousandth of the time that
    /// it takes to reach a block that lies far off.
    pub(crate) fn of_blocks(seed: u64) -> impl Iterator<Item = Self> {
        let first = Self(Xoshiro256PlusPlus::seed_from_u64(seed));
        std::iter::successors(Some(first), |before| {
            let mut next = before.clone();
            next.0.jump();
            Some(next)
        })
    }

    /// A number from 0 up to, and without, 1: 53 bits, all as likely.
    #[inline]
    pub fn zero_to_one(&mut self) -> f64 {
        /// 2⁻⁵³
        const STEP: f64 = f64::EPSILON / 2.0;
        bits(self.0.next_u64() >> 11) * STEP
    }

    /// A number from −1 up to 1.
    #[inline]
    pub fn about_zero(&mut self) -> f64 {
        2.0 * self.zero_to_one() - 1.0
    }
}

#[inline]
#[allow(
    clippy::cast_precision_loss,
    reason = "53 bits are what a number holds"
)]
fn bits(number: u64) -> f64 {
    number as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_is_a_jump_further() {
        for (block, mut stepped) in (0..4).zip(Generator::of_blocks(42)) {
            let mut at_once = Generator::of_block(42, block);
            for _ in 0..5 {
                assert_eq!(at_once.0.next_u64(), stepped.0.next_u64(), "{block}");
            }
        }
    }

    #[test]
    fn seeds_differ() {
        let (mut a, mut b) = (Generator::of_block(1, 0), Generator::of_block(2, 0));
        assert!((0..10).any(|_| a.0.next_u64() != b.0.next_u64()));
    }
}
