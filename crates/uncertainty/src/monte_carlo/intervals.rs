//! Coverage intervals of a sample (JCGM 101:2008, 7.7).

/// Two intervals that cover with the same probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverageIntervals {
    /// As much of the sample below as above (JCGM 101:2008, 3.15).
    pub symmetric: [f64; 2],
    /// The shortest there is (JCGM 101:2008, 3.16).
    pub shortest: [f64; 2],
}

impl CoverageIntervals {
    /// Of no sample.
    pub(super) const NONE: Self = Self {
        symmetric: [f64::NAN; 2],
        shortest: [f64::NAN; 2],
    };
}

/// The coverage intervals of a sample, whose order is changed on the way.
///
/// Of `M` values `q = pM` lie in an interval, which runs from the `r`-th smallest to the `(r + q)`-th; `r = (M − q)/2`
/// makes the symmetric one, and the `r` with the least width the shortest. Only the smallest and largest `M − q` values
/// can be an end, so only they are put in order.
///
/// A sample of less than two values gives not a number.
pub fn intervals(values: &mut [f64], coverage: f64) -> CoverageIntervals {
    let m = values.len();
    let Some((covered, left)) = counts(m, coverage) else {
        return CoverageIntervals::NONE;
    };
    // Ranks count from 0 here: lower ends are ranks 0 to M − q − 1, upper ends ranks q to M − 1.
    if left <= covered {
        values.select_nth_unstable_by(covered, f64::total_cmp);
        let (below, above) = values.split_at_mut(covered);
        below.select_nth_unstable_by(left - 1, f64::total_cmp);
        let Some(below) = below.get_mut(..left) else {
            return CoverageIntervals::NONE;
        };
        below.sort_unstable_by(f64::total_cmp);
        above.sort_unstable_by(f64::total_cmp);
        of_ends(below, above)
    } else {
        values.sort_unstable_by(f64::total_cmp);
        match (values.get(..left), values.get(covered..)) {
            (Some(low), Some(high)) => of_ends(low, high),
            _ => CoverageIntervals::NONE,
        }
    }
}

/// Outcomes so far out that they can be an end of a coverage interval.
///
/// Of a sample that is drawn in parts, the first part shows about where the ends of the whole will lie. What lies clearly
/// between them is counted and let go, so that a million draws do not have to be kept, nor put in order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tails {
    /// Upper end of the lower tail, itself included.
    low: f64,
    /// Lower end of the upper tail, itself included.
    high: f64,
}

/// By how many standard errors of the first part its tails are wider than they have to be: with ten thousand values in it,
/// once in 10⁹ they are not wide enough.
const STANDARD_ERRORS: f64 = 6.0;

impl Tails {
    /// Nothing lies between them.
    pub(super) const EVERYTHING: Self = Self {
        low: f64::INFINITY,
        high: f64::NEG_INFINITY,
    };

    /// The tails that a first part shows.
    pub(super) fn of(first: &[f64], coverage: f64) -> Self {
        let outside = 1.0 - coverage.clamp(0.0, 1.0);
        let size = super::count(first.len() as u64);
        let error = (outside * (1.0 - outside) / size).sqrt();
        // Ranks count from 0. All that is outside may lie in one of the tails.
        let lower = part_of(first.len(), outside + STANDARD_ERRORS * error);
        let Some(upper) = first.len().checked_sub(lower + 1) else {
            return Self::EVERYTHING;
        };
        if upper <= lower {
            return Self::EVERYTHING;
        }
        let mut first = first.to_vec();
        let (_, low, above) = first.select_nth_unstable_by(lower, f64::total_cmp);
        let (_, high, _) = above.select_nth_unstable_by(upper - lower - 1, f64::total_cmp);
        Self {
            low: *low,
            high: *high,
        }
    }

    /// The values that lie in the tails. What is not a number does.
    pub(super) fn keep(self, values: &[f64]) -> Vec<f64> {
        /// As many values as are gone through at a time.
        const AT_A_TIME: usize = 512;
        let mut kept = Vec::new();
        let mut room = [0.0; AT_A_TIME];
        for values in values.chunks(AT_A_TIME) {
            // Each value is put down, and stays if it lies in a tail: there is no branch for a processor to guess wrong.
            let mut next = 0;
            for value in values {
                if let Some(slot) = room.get_mut(next) {
                    *slot = *value;
                }
                next += usize::from(!(self.low < *value && *value < self.high));
            }
            kept.extend(room.iter().take(next));
        }
        kept
    }

    /// The intervals of a sample of so many values, from those in the tails. Nothing if an end does not lie there.
    pub(super) fn intervals<'k>(
        self,
        kept: impl Iterator<Item = &'k [f64]>,
        all: u64,
        coverage: f64,
    ) -> Option<CoverageIntervals> {
        let (_, left) = counts(usize::try_from(all).ok()?, coverage)?;
        let mut tails: Vec<i64> = kept.flatten().map(|value| in_order(*value)).collect();
        tails.sort_unstable();
        let tails: Vec<f64> = tails.into_iter().map(from_order).collect();
        let lower = tails.get(..left)?;
        let upper = tails.get(tails.len().checked_sub(left)?..)?;
        let in_tails = *lower.last()? <= self.low && self.high <= *upper.first()?;
        (in_tails || self == Self::EVERYTHING).then(|| of_ends(lower, upper))
    }
}

/// Numbers whose order is that of the values ([`f64::total_cmp`]), and which are sorted in half the time.
fn in_order(value: f64) -> i64 {
    let bits = value.to_bits().cast_signed();
    bits ^ ((bits >> 63) & i64::MAX)
}

fn from_order(number: i64) -> f64 {
    f64::from_bits((number ^ ((number >> 63) & i64::MAX)).cast_unsigned())
}

/// `q` and `M − q`. Nothing for less than two values.
fn counts(m: usize, coverage: f64) -> Option<(usize, usize)> {
    if m < 2 {
        return None;
    }
    let covered = part_of(m, coverage).clamp(1, m - 1);
    Some((covered, m - covered))
}

/// The intervals from all lower and all upper ends, both rising.
fn of_ends(low: &[f64], high: &[f64]) -> CoverageIntervals {
    // The standard's r = (M − q + 1)/2 counts from 1 and is cut down to a whole number.
    let middle = low.len().div_ceil(2).saturating_sub(1);
    let ends = low.iter().zip(high);
    let symmetric = ends.clone().nth(middle);
    let shortest = ends.min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    let pair =
        |found: Option<(&f64, &f64)>| found.map_or([f64::NAN; 2], |(low, high)| [*low, *high]);
    CoverageIntervals {
        symmetric: pair(symmetric),
        shortest: pair(shortest),
    }
}

/// A part of a number of values, rounded to a whole one.
#[allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a sample has far fewer than 2⁵³ values, and the part is between 0 and all of them"
)]
fn part_of(m: usize, part: f64) -> usize {
    (m as f64 * part.clamp(0.0, 1.0) + 0.5).floor() as usize
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::elementary::powi;

    use super::*;

    /// The standard's own way: everything in order, every `r` tried.
    fn plainly(values: &[f64], coverage: f64) -> CoverageIntervals {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let m = sorted.len();
        let q = part_of(m, coverage).clamp(1, m - 1);
        let r = (m - q).div_ceil(2);
        let at = |r: usize| [sorted[r - 1], sorted[r + q - 1]];
        let shortest = (1..=m - q)
            .map(at)
            .min_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
            .unwrap();
        CoverageIntervals {
            symmetric: at(r),
            shortest,
        }
    }

    #[test]
    fn of_a_hundred_numbers() {
        let mut values: Vec<f64> = (1..=100).rev().map(f64::from).collect();
        let found = intervals(&mut values, 0.95);
        // q = 95, r = 3: from the third to the 98th.
        assert_eq!(found.symmetric, [3.0, 98.0]);
        assert_eq!(found.shortest[1] - found.shortest[0], 95.0);
    }

    #[test]
    fn of_next_to_nothing() {
        assert!(intervals(&mut [], 0.95).symmetric[0].is_nan());
        assert!(intervals(&mut [1.0], 0.95).symmetric[0].is_nan());
        assert_eq!(intervals(&mut [2.0, 1.0], 0.95).symmetric, [1.0, 2.0]);
    }

    /// Numbers that look drawn, from a multiplication.
    fn scattered(count: u32) -> Vec<f64> {
        (0..count)
            .map(|n| f64::from(n.wrapping_mul(2_654_435_761)) / f64::from(u32::MAX))
            .map(|u| powi(u - 0.4, 3) + 0.1 * u)
            .collect()
    }

    #[test]
    fn from_what_parts_keep_as_from_everything() {
        for (parts, part) in [(1, 7000), (4, 2500), (9, 1000), (3, 60), (20, 2)] {
            let values = scattered(parts * part);
            let parts: Vec<&[f64]> = values.chunks(part as usize).collect();
            let tails = Tails::of(parts[0], 0.95);
            let kept: Vec<Vec<f64>> = parts.iter().map(|part| tails.keep(part)).collect();
            let kept = kept.iter().map(Vec::as_slice);
            let found = tails.intervals(kept, values.len() as u64, 0.95).unwrap();
            assert_eq!(found, plainly(&values, 0.95), "{}", values.len());
        }
    }

    #[test]
    fn few_are_kept() {
        let values = scattered(10_000);
        let kept = Tails::of(&values, 0.95).keep(&values).len();
        assert!((1000..1500).contains(&kept), "{kept}");
    }

    #[test]
    fn a_first_part_unlike_the_others_shows() {
        let first = vec![5.0; 5000];
        let others = scattered(5000);
        for (first, second) in [(&first, &others), (&others, &first)] {
            let tails = Tails::of(first, 0.95);
            let kept = [tails.keep(first), tails.keep(second)];
            let found = tails.intervals(kept.iter().map(Vec::as_slice), 10_000, 0.95);
            let mut all = [first.as_slice(), second.as_slice()].concat();
            let expected = intervals(&mut all, 0.95);
            // Either it is right, or it is nothing.
            assert!(found.is_none_or(|found| found == expected), "{found:?}");
        }
        let (low, high) = (vec![1.0; 5000], scattered(5000));
        let tails = Tails::of(&high, 0.95);
        let narrow = Tails {
            low: tails.low - 1.0,
            ..tails
        };
        let kept = [narrow.keep(&low), narrow.keep(&high)];
        let kept = kept.iter().map(Vec::as_slice);
        assert_eq!(narrow.intervals(kept, 10_000, 0.95), None);
    }

    #[test]
    fn zeros_and_what_is_no_number() {
        let mut values = vec![0.0, -0.0, f64::NAN, 1.0, -1.0, f64::INFINITY, -f64::NAN];
        values.extend(scattered(500));
        let kept = Tails::EVERYTHING.keep(&values);
        assert_eq!(kept.len(), values.len());
        let found = Tails::EVERYTHING.intervals([kept.as_slice()].into_iter(), 507, 0.95);
        let expected = intervals(&mut values, 0.95);
        assert_eq!(found.unwrap().symmetric, expected.symmetric);
        for value in [0.0, -0.0, 1.5, -1.5, f64::INFINITY] {
            assert_eq!(from_order(in_order(value)).to_bits(), f64::to_bits(value));
        }
        assert!(in_order(-0.0) < in_order(0.0) && in_order(-2.0) < in_order(-1.0));
    }

    proptest! {
        #[test]
        fn as_with_everything_in_order(
            values in prop::collection::vec(-10.0..10.0_f64, 2..400), coverage in 0.05..0.999_f64,
        ) {
            let expected = plainly(&values, coverage);
            let found = intervals(&mut values.clone(), coverage);
            prop_assert_eq!(found.symmetric, expected.symmetric);
            let width = |ends: [f64; 2]| ends[1] - ends[0];
            prop_assert_eq!(width(found.shortest), width(expected.shortest));
        }
    }
}
