//! Pseudo-random numbers, uniform and normal and Student's t.

mod ziggurat;

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::Settings;
use crate::elementary::{ln, powf};
use ziggurat::Ziggurat;

/// Pseudo-random numbers: xoshiro256++ (D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM
/// Transactions on Mathematical Software 47, 2021), with a period of 2²⁵⁶ − 1. Block `n` starts 2¹²⁸·n numbers after the
/// seed's beginning, so that blocks never share a number.
#[derive(Clone, Debug)]
pub struct Generator {
    source: Xoshiro256PlusPlus,
    normal: &'static Ziggurat,
}

impl Generator {
    /// The generator of one block.
    pub fn of_block(seed: u64, block: u64) -> Self {
        let mut generator = Self::seeded(seed);
        generator.source.jump_ce(block, 128);
        generator
    }

    /// The generator of one block of a run.
    pub(crate) fn of_block_of(settings: &Settings, block: u64) -> Self {
        Self::of_block(settings.seed, block)
    }

    fn seeded(seed: u64) -> Self {
        Self {
            source: Xoshiro256PlusPlus::seed_from_u64(seed),
            normal: Ziggurat::of_normal(),
        }
    }

    /// The generators of block 0, 1, 2 …: a jump from each to the next, which takes less than a thousandth of the time that
    /// it takes to reach a block that lies far off.
    pub(crate) fn of_blocks(settings: &Settings) -> impl Iterator<Item = Self> {
        std::iter::successors(Some(Self::seeded(settings.seed)), |before| {
            let mut next = before.clone();
            next.source.jump();
            Some(next)
        })
    }

    /// A number from 0 up to, and without, 1: 53 bits, all as likely.
    #[inline]
    pub fn zero_to_one(&mut self) -> f64 {
        /// 2⁻⁵³
        const STEP: f64 = f64::EPSILON / 2.0;
        bits(self.source.next_u64() >> 11) * STEP
    }

    /// A number from −1 up to 1.
    #[inline]
    pub fn about_zero(&mut self) -> f64 {
        2.0 * self.zero_to_one() - 1.0
    }

    /// A number with the standard normal distribution.
    #[inline]
    pub fn standard_normal(&mut self) -> f64 {
        let normal = self.normal;
        normal.draw(self)
    }

    /// A number with Student's t distribution: a normal one over the root of χ²/ν.
    ///
    /// Degrees of freedom above zero, whole or not.
    #[inline]
    pub fn student_t(&mut self, degrees_of_freedom: f64) -> f64 {
        self.standard_normal() * self.root_of_chi_square(degrees_of_freedom)
    }

    /// A number with the distribution of √(ν/χ²): the true standard deviation over the one that was found from few readings.
    /// Normal numbers times the same one are those of several errors whose standard deviation was found once for all of them.
    ///
    /// Degrees of freedom ν above zero, whole or not.
    #[inline]
    pub fn root_of_chi_square(&mut self, degrees_of_freedom: f64) -> f64 {
        let half = degrees_of_freedom / 2.0;
        (half / self.gamma(half)).sqrt()
    }

    /// A number with the gamma distribution of this shape, above zero, and scale one: G. Marsaglia and W. W. Tsang, "A simple
    /// method for generating gamma variables", ACM Transactions on Mathematical Software 26, 2000, from memory.
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let above_zero = 1.0 - self.zero_to_one();
            return self.gamma(shape + 1.0) * powf(above_zero, 1.0 / shape);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.standard_normal();
            let root = 1.0 + c * x;
            if root <= 0.0 {
                continue;
            }
            let v = root * root * root;
            let square = x * x;
            let u = 1.0 - self.zero_to_one();
            // The first is a bound that is cheap and holds nearly always.
            if u < 1.0 - 0.0331 * square * square || ln(u) < square / 2.0 + d * (1.0 - v + ln(v)) {
                return d * v;
            }
        }
    }

    /// A number with the exponential distribution of mean one.
    #[inline]
    fn exponential(&mut self) -> f64 {
        -ln(1.0 - self.zero_to_one())
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
        let settings = Settings {
            seed: 42,
            ..Settings::default()
        };
        for (block, mut stepped) in (0..4).zip(Generator::of_blocks(&settings)) {
            let mut at_once = Generator::of_block(settings.seed, block);
            for _ in 0..5 {
                assert_eq!(
                    at_once.source.next_u64(),
                    stepped.source.next_u64(),
                    "{block}"
                );
            }
        }
    }

    #[test]
    fn seeds_differ() {
        let (mut a, mut b) = (Generator::of_block(1, 0), Generator::of_block(2, 0));
        assert!((0..10).any(|_| a.source.next_u64() != b.source.next_u64()));
    }

    const DRAWS: u32 = 300_000;

    /// As many of the draws lie below as the probability says, within four standard errors.
    fn lie_as_they_should(draw: impl Fn(&mut Generator) -> f64, below: impl Fn(f64) -> f64) {
        let mut generator = Generator::of_block(3, 0);
        let mut drawn: Vec<f64> = (0..DRAWS).map(|_| draw(&mut generator)).collect();
        drawn.sort_unstable_by(f64::total_cmp);
        for at in [
            -4.2, -3.7, -3.0, -2.0, -1.0, -0.3, -0.01, 0.0, 0.2, 0.7, 1.5, 2.5, 3.6, 4.0,
        ] {
            let share = drawn.partition_point(|value| *value < at) as f64 / f64::from(DRAWS);
            let wanted: f64 = below(at);
            let error = (wanted * (1.0 - wanted) / f64::from(DRAWS)).sqrt();
            assert!(
                (share - wanted).abs() < 4.0 * error,
                "{at}: {share} for {wanted}"
            );
        }
    }

    #[test]
    fn normal_draws_lie_as_they_should() {
        lie_as_they_should(Generator::standard_normal, crate::normal::probability_below);
    }

    #[test]
    fn draws_of_students_t_lie_as_they_should() {
        for nu in [1.0, 2.5, 9.0, 80.0] {
            lie_as_they_should(
                |generator| generator.student_t(nu),
                |t| crate::student_t::probability_below(t, nu),
            );
        }
    }
}
