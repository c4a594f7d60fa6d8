//! The concentrations that a stain can come from.
//!
//! A leaflet's figures speak of the stain that a concentration shows: "within 25 %" is a quarter of what is there, not of what
//! was read. So an interval holds every stain `s` of a true concentration that would show the one that was read, `r`, within
//! its central 95 %:
//!
//! ```text
//! (r − s)² = k²·(u_A² + u²(s))     u²(s) = (Σ of the whole stain)·s² + (Σ of the net stain)·(s − b)² + shares²
//! ```
//!
//! `u_A` is what the eye leaves open between the marks, `b` the share of other gases. Where bands of accuracy or repeatability
//! change at a stain the set is ragged, and its outermost ends count. Where `k·u` grows faster than the stain there is no
//! upper end.
//!
//! Sources: intervals from what each truth would show are those of J. Neyman (Phil. Trans. R. Soc. A 236, 1937, from memory);
//! the standard uncertainties and degrees of freedom are those of JCGM 100:2008.

use crate::cell::Middle;
use stainbook_uncertainty::{propagation, student_t};

/// A variance with what its degrees of freedom are found from (Welch and Satterthwaite, JCGM 100:2008, G.4.1).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Variance {
    pub(crate) square: f64,
    /// Σ u⁴/ν.
    pub(crate) over_degrees: f64,
}

impl Variance {
    pub(crate) fn add(&mut self, standard: f64, degrees_of_freedom: f64) {
        self.add_square(standard * standard, degrees_of_freedom);
    }

    pub(crate) fn add_square(&mut self, square: f64, degrees_of_freedom: f64) {
        self.square += square;
        self.over_degrees += square * square / degrees_of_freedom;
    }

    /// Of two together, each times a factor of the standard deviation.
    pub(crate) fn sum(self, factor: f64, other: Self, of_other: f64) -> Self {
        let (a, b) = (factor * factor, of_other * of_other);
        Self {
            square: self.square * a + other.square * b,
            over_degrees: self.over_degrees * a * a + other.over_degrees * b * b,
        }
    }

    /// The standard deviation with its degrees of freedom.
    pub(crate) fn deviation(self) -> Deviation {
        Deviation {
            standard: self.square.sqrt(),
            degrees_of_freedom: if 0.0 < self.over_degrees {
                self.square * self.square / self.over_degrees
            } else {
                f64::INFINITY
            },
        }
    }
}

/// The spread of the stain that a concentration shows, by what each part of it is a part of.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Spread {
    /// Of the whole stain, the share of other gases included.
    pub(crate) whole: Variance,
    /// Of what is left without that share.
    pub(crate) net: Variance,
    /// The variance of that share, in the unit of the scale squared.
    pub(crate) share: f64,
    /// The share.
    pub(crate) bias: f64,
}

/// A standard deviation with its degrees of freedom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Deviation {
    pub(crate) standard: f64,
    pub(crate) degrees_of_freedom: f64,
}

impl Spread {
    /// Of a stain, with a variance that is its own, in the unit of the scale squared.
    pub(crate) fn at(&self, stain: f64, variance: f64) -> Deviation {
        let mut all = self.whole.sum(stain, self.net, stain - self.bias);
        all.square += self.share + variance;
        all.deviation()
    }

    /// As a part of the stain, where that is long.
    pub(crate) fn relative(&self) -> f64 {
        (self.whole.square + self.net.square).sqrt()
    }

    /// The stains within two ends that would show this one.
    fn stains(&self, seen: Middle, k: f64, (from, to): (f64, f64)) -> Option<(f64, f64)> {
        let k2 = k * k;
        let squares = self.whole.square + self.net.square;
        let of_share = self.net.square * self.bias;
        let a = 1.0 - k2 * squares;
        let b = 2.0 * (seen.at - k2 * of_share);
        let c = seen.at * seen.at - k2 * (seen.variance + self.share + of_share * self.bias);
        // The stain that was read lies between the roots, so that rounding alone can make this negative.
        let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
        let low = if 0.0 < b {
            2.0 * c / (b + root)
        } else if 0.0 < a {
            (b - root) / (2.0 * a)
        } else {
            0.0
        };
        let high = if 0.0 < a {
            (b + root) / (2.0 * a)
        } else {
            f64::INFINITY
        };
        let (low, high) = (low.max(from), high.min(to));
        (low <= high).then_some((low, high))
    }
}

/// Coverage of an interval, or of a bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Covers {
    /// 95 % between two ends.
    Central,
    /// 95 % to one side.
    OneSided,
}

impl Covers {
    /// The coverage factor: the normal quantile, or Student's t where the degrees of freedom are finite.
    pub(crate) fn factor(self, degrees_of_freedom: f64) -> f64 {
        let (normal, two_sided) = match self {
            Self::Central => (1.959_963_984_540_054, 0.95),
            Self::OneSided => (1.644_853_626_951_472_7, 0.90),
        };
        if degrees_of_freedom.is_finite() {
            student_t::two_sided(two_sided, propagation::whole(degrees_of_freedom))
        } else {
            normal
        }
    }
}

/// Spread within one piece of a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum WithinPiece {
    /// The same for every stain.
    Same,
    /// Changing with the stain, as a correction table does.
    Changing,
}

/// The outermost stains that would show the one that was read, of a spread that changes with the stain. `pieces` are the
/// stretches of the scale in each of which it does not, but for what a correction table does, if there is one.
pub(crate) fn ends(
    seen: Middle,
    covers: Covers,
    pieces: impl Iterator<Item = (f64, f64)>,
    spread_at: impl Fn(f64) -> Spread,
) -> Option<(f64, f64)> {
    ends_within(seen, covers, pieces, WithinPiece::Changing, spread_at)
}

/// The same, where it is known whether the spread changes within a piece.
pub(crate) fn ends_within(
    seen: Middle,
    covers: Covers,
    pieces: impl Iterator<Item = (f64, f64)>,
    within_piece: WithinPiece,
    spread_at: impl Fn(f64) -> Spread,
) -> Option<(f64, f64)> {
    let mut outermost: Option<(f64, f64)> = None;
    for (from, to) in pieces {
        let mut of_piece: Option<(f64, f64)> = None;
        let mut places = [Some(seen.at), None];
        // Again at the ends that were found: degrees of freedom and tables are those of the stain that is asked about.
        for _ in 0..2 {
            let before = of_piece;
            let mut everywhere = false;
            for place in places.into_iter().flatten() {
                let place = place.clamp(from, if to.is_finite() { to } else { place.max(from) });
                let spread = spread_at(place);
                let degrees_of_freedom = spread.at(place, seen.variance).degrees_of_freedom;
                let k = covers.factor(degrees_of_freedom);
                of_piece = wider(of_piece, spread.stains(seen, k, (from, to)));
                everywhere =
                    within_piece == WithinPiece::Same && degrees_of_freedom == f64::INFINITY;
            }
            // Where spread and coverage factor are the same at the ends that were found, so are the ends.
            if of_piece == before || everywhere {
                break;
            }
            places = of_piece.map_or([None; 2], |(low, high)| {
                [Some(low), high.is_finite().then_some(high)]
            });
        }
        outermost = wider(outermost, of_piece);
    }
    outermost
}

fn wider(one: Option<(f64, f64)>, other: Option<(f64, f64)>) -> Option<(f64, f64)> {
    match (one, other) {
        (Some(one), Some(other)) => Some((one.0.min(other.0), one.1.max(other.1))),
        (one, other) => one.or(other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn relative(standard: f64, degrees_of_freedom: f64) -> Spread {
        let mut spread = Spread::default();
        spread.whole.add(standard, degrees_of_freedom);
        spread
    }

    fn seen(at: f64, half_width: f64) -> Middle {
        Middle {
            at,
            variance: half_width * half_width / 3.0,
        }
    }

    const ANYWHERE: (f64, f64) = (0.0, f64::INFINITY);

    fn of(seen: Middle, covers: Covers, spread: Spread) -> Option<(f64, f64)> {
        ends(seen, covers, std::iter::once(ANYWHERE), |_| spread)
    }

    /// That a spread is known not to change saves work and nothing else: the same bits, with bands and few readings.
    #[test]
    fn known_to_be_the_same_within_a_piece() {
        let pieces = [(0.0, 20.0), (20.000_000_001, f64::INFINITY)];
        for degrees_of_freedom in [3.0, 40.0, f64::INFINITY] {
            let spread = |stain: f64| {
                let mut spread = relative(0.05, f64::INFINITY);
                spread.net.add(0.03, 12.0);
                (spread.share, spread.bias) = (0.04, 0.5);
                let of_band = if stain <= 20.0 { 0.1 } else { 0.3 };
                spread.whole.add(of_band, degrees_of_freedom);
                spread
            };
            for (at, half) in [
                (0.0, 0.0),
                (1.0, 0.4),
                (17.0, 0.0),
                (19.9, 2.0),
                (35.0, 3.0),
            ] {
                for covers in [Covers::Central, Covers::OneSided] {
                    let found = |within| {
                        ends_within(seen(at, half), covers, pieces.into_iter(), within, spread)
                    };
                    assert_eq!(
                        found(WithinPiece::Same),
                        found(WithinPiece::Changing),
                        "{at}"
                    );
                }
            }
        }
    }

    /// Without a cell the ends are those of division: r/(1 + k·u) and r/(1 − k·u).
    #[test]
    fn a_reading_is_divided() {
        let k = Covers::Central.factor(f64::INFINITY);
        let (low, high) = of(
            seen(100.0, 0.0),
            Covers::Central,
            relative(0.15, f64::INFINITY),
        )
        .unwrap();
        assert!((low - 100.0 / (1.0 + k * 0.15)).abs() < 1e-9);
        assert!((high - 100.0 / (1.0 - k * 0.15)).abs() < 1e-9);
    }

    /// Each end put back into the equation it comes from, with a share of another gas.
    #[test]
    fn each_end_shows_the_reading_at_its_quantile() {
        let mut spread = relative(0.2, 12.0);
        spread.net.add(0.1, f64::INFINITY);
        spread.share = 0.5;
        spread.bias = 3.0;
        let seen = seen(12.0, 1.5);
        let (low, high) = of(seen, Covers::OneSided, spread).unwrap();
        for end in [low, high] {
            let deviation = spread.at(end, seen.variance);
            let off = (seen.at - end).abs() / deviation.standard;
            let k = Covers::OneSided.factor(deviation.degrees_of_freedom);
            // IntervalEnds are the outermost of those for the degrees of freedom at the reading and at the end itself.
            assert!(k <= off + 1e-9 && off < k * 1.05, "{end}: {off} {k}");
        }
    }

    #[test]
    fn an_end_that_is_not_there() {
        // k·u = 1.96 · 0.6 is more than 1: nothing is too much to show this stain.
        let (low, high) = of(
            seen(10.0, 1.0),
            Covers::Central,
            relative(0.6, f64::INFINITY),
        )
        .unwrap();
        assert!(high.is_infinite() && 0.0 < low, "{low} {high}");
        // Nor too little, where the cell alone reaches down to nothing.
        let (low, _) = of(
            seen(1.0, 1.0),
            Covers::Central,
            relative(0.6, f64::INFINITY),
        )
        .unwrap();
        assert_eq!(low, 0.0);
    }

    /// A band that doubles from 20 on reaches further than the one below it, which ends there.
    #[test]
    fn the_outermost_ends_of_a_ragged_set() {
        let spread = |stain: f64| relative(if stain <= 20.0 { 0.1 } else { 0.3 }, f64::INFINITY);
        let pieces = [(0.0, 20.0), (20.000_001, f64::INFINITY)];
        let found = ends(seen(17.0, 0.0), Covers::Central, pieces.into_iter(), spread).unwrap();
        let k = Covers::Central.factor(f64::INFINITY);
        assert!((found.0 - 17.0 / (1.0 + k * 0.1)).abs() < 1e-9, "{found:?}");
        assert!((found.1 - 17.0 / (1.0 - k * 0.3)).abs() < 1e-9, "{found:?}");
        // Far below the band it is not reached.
        let found = ends(seen(5.0, 0.0), Covers::Central, pieces.into_iter(), spread).unwrap();
        assert!((found.1 - 5.0 / (1.0 - k * 0.1)).abs() < 1e-9, "{found:?}");
    }
}
