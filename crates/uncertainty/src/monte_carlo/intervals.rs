//! Coverage intervals of a sample (JCGM 101:2008, 7.7).

use std::ops::Range;

/// Two intervals that cover with the same probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverageIntervals {
    /// As much of the sample below as above (JCGM 101:2008, 3.15).
    pub symmetric: [f64; 2],
    /// The shortest there is (JCGM 101:2008, 3.16).
    pub shortest: [f64; 2],
}

/// Coverage intervals with the median, which a sample has even where it has no mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Quantiles {
    pub(super) intervals: CoverageIntervals,
    pub(super) median: f64,
}

impl Quantiles {
    /// Of no sample.
    pub(super) const NONE: Self = Self {
        intervals: CoverageIntervals::NONE,
        median: f64::NAN,
    };
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

/// Outcomes that can be an end of a coverage interval, or the median.
///
/// Of a sample that is drawn in parts, the first part shows about where ends and median of the whole will lie. What lies clearly
/// between them is counted and let go, so that a million draws do not have to be kept, nor put in order.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Kept {
    /// Upper end of the lower tail, itself included.
    low: f64,
    /// Both ends of the middle, themselves included.
    middle: [f64; 2],
    /// Lower end of the upper tail, itself included.
    high: f64,
}

/// By how many standard errors of the first part what is kept is wider than it has to be: with ten thousand values in it,
/// once in 10⁹ it is not wide enough.
const STANDARD_ERRORS: f64 = 6.0;

impl Kept {
    /// All of it.
    pub(super) const EVERYTHING: Self = Self {
        low: f64::INFINITY,
        middle: [f64::NEG_INFINITY, f64::INFINITY],
        high: f64::NEG_INFINITY,
    };

    /// Those that a first part shows.
    pub(super) fn of(first: &[f64], coverage: f64) -> Self {
        let size = super::count(first.len() as u64);
        let margin = |part: f64| STANDARD_ERRORS * (part * (1.0 - part) / size).sqrt();
        let outside = 1.0 - coverage.clamp(0.0, 1.0);
        let mut first = first.to_vec();
        // Ranks count from 0. All that is outside may lie in one of the tails.
        let mut last = None;
        let mut found = [0.0; 4];
        let lower = outside + margin(outside);
        for (slot, part) in
            found
                .iter_mut()
                .zip([lower, 0.5 - margin(0.5), 0.5 + margin(0.5), 1.0 - lower])
        {
            // Each lies above the one before, so that only what is left above has to be looked through.
            let rank = part_of(first.len(), part);
            let from = last.map_or(0, |last: usize| last + 1);
            let (true, Some(above)) = (rank < first.len(), first.get_mut(from..)) else {
                return Self::EVERYTHING;
            };
            let Some(place) = rank.checked_sub(from).filter(|place| *place < above.len()) else {
                return Self::EVERYTHING;
            };
            *slot = *above.select_nth_unstable_by(place, f64::total_cmp).1;
            last = Some(rank);
        }
        let [low, middle_low, middle_high, high] = found;
        Self {
            low,
            middle: [middle_low, middle_high],
            high,
        }
    }

    /// The values that are kept, and the number of those below the middle. What is not a number is kept.
    #[allow(
        clippy::needless_bitwise_bool,
        reason = "a lazy operator is a branch, which a processor would guess wrong"
    )]
    pub(super) fn keep(self, values: &[f64]) -> (Vec<f64>, u64) {
        /// As many values as are gone through at a time.
        const AT_A_TIME: usize = 512;
        let [middle_low, middle_high] = self.middle;
        let mut kept = Vec::new();
        let mut below = 0;
        let mut room = [0.0; AT_A_TIME];
        for values in values.chunks(AT_A_TIME) {
            // Each value is put down, and stays if it is kept: there is no branch for a processor to guess wrong.
            let mut next = 0;
            for value in values {
                if let Some(slot) = room.get_mut(next) {
                    *slot = *value;
                }
                let before = (self.low < *value) & (*value < middle_low);
                let behind = (middle_high < *value) & (*value < self.high);
                next += usize::from(!(before | behind));
                below += u64::from(*value < middle_low);
            }
            kept.extend(room.iter().take(next));
        }
        (kept, below)
    }

    /// Ends and median of a sample of so many values, of which so many lie below the middle, from those that were kept.
    /// Nothing if one of them was not.
    pub(super) fn quantiles<'k>(
        self,
        kept: impl Iterator<Item = &'k [f64]>,
        (all, below): (u64, u64),
        coverage: f64,
    ) -> Option<Quantiles> {
        let size = usize::try_from(all).ok()?;
        let (_, left) = counts(size, coverage)?;
        let mut ordered = Vec::new();
        for part in kept {
            ordered.extend(part.iter().map(|value| in_order(*value)));
        }
        let everything = self == Self::EVERYTHING;
        // The ranks of the median among what was kept: what lies below the middle and was let go does not count.
        let (first, below) = if everything {
            (0, 0)
        } else {
            let low = in_order(self.middle[0]);
            let first = ordered.iter().filter(|number| **number < low).count();
            (first, usize::try_from(below).ok()?)
        };
        let rank = |rank: usize| Some(rank.checked_sub(below)? + first);
        let (one, other) = (rank((size - 1) / 2)?, rank(size / 2)?);
        put_in_order(&mut ordered, left, [one, other]);
        let numbers = |range: Range<usize>| -> Option<Vec<f64>> {
            let numbers = ordered.get(range)?.iter();
            Some(numbers.map(|number| from_order(*number)).collect())
        };
        let lower = numbers(0..left)?;
        let upper = numbers(ordered.len().checked_sub(left)?..ordered.len())?;
        let in_tails = *lower.last()? <= self.low && self.high <= *upper.first()?;
        let number = |rank: usize| ordered.get(rank).copied().map(from_order);
        let (one, other) = (number(one)?, number(other)?);
        let [low, high] = self.middle;
        let in_middle = low <= one && other <= high;
        ((in_tails && in_middle) || everything).then(|| Quantiles {
            intervals: of_ends(&lower, &upper),
            median: if one.total_cmp(&other).is_eq() {
                one
            } else {
                f64::midpoint(one, other)
            },
        })
    }
}

/// Puts so many numbers at either end in order, and those of two neighbouring ranks in their places: nobody asks where the
/// others belong.
fn put_in_order(numbers: &mut [i64], ends: usize, [one, other]: [usize; 2]) {
    let upper = numbers.len().saturating_sub(ends);
    if upper <= ends {
        numbers.sort_unstable();
        return;
    }
    numbers.select_nth_unstable(ends);
    if let Some(above) = numbers.get_mut(ends..) {
        above.select_nth_unstable(upper - ends);
    }
    for end in [0..ends, upper..numbers.len()] {
        if let Some(end) = numbers.get_mut(end) {
            end.sort_unstable();
        }
    }
    // What the ranks before have put in its place stays there.
    let mut from = ends;
    for rank in [one, other] {
        if let (true, Some(middle)) = (from <= rank && rank < upper, numbers.get_mut(from..upper)) {
            middle.select_nth_unstable(rank - from);
            from = rank + 1;
        }
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

    fn median(values: &[f64]) -> f64 {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let half = sorted.len() / 2;
        f64::midpoint(sorted[(sorted.len() - 1) / 2], sorted[half])
    }

    fn of_parts(kept: Kept, parts: &[&[f64]]) -> Option<Quantiles> {
        let all = parts.iter().map(|part| part.len() as u64).sum();
        let of_each: Vec<(Vec<f64>, u64)> = parts.iter().map(|part| kept.keep(part)).collect();
        let below = of_each.iter().map(|(_, below)| below).sum();
        kept.quantiles(
            of_each.iter().map(|(kept, _)| kept.as_slice()),
            (all, below),
            0.95,
        )
    }

    #[test]
    fn from_what_parts_keep_as_from_everything() {
        for (parts, part) in [(1, 7000), (4, 2500), (9, 1000), (3, 60), (20, 2)] {
            let values = scattered(parts * part);
            let parts: Vec<&[f64]> = values.chunks(part as usize).collect();
            let found = of_parts(Kept::of(parts[0], 0.95), &parts).unwrap();
            assert_eq!(found.intervals, plainly(&values, 0.95), "{}", values.len());
            assert_eq!(found.median, median(&values), "{}", values.len());
        }
    }

    #[test]
    fn only_what_is_asked_for_is_put_in_order() {
        let scattered: Vec<i64> = (0..1000_i64).map(|n| n * 7919 % 1009).collect();
        let mut sorted = scattered.clone();
        sorted.sort_unstable();
        for (ends, ranks) in [
            (50, [499, 500]),
            (50, [500, 500]),
            (1, [1, 998]),
            (300, [10, 11]),
            (300, [299, 300]),
            (300, [699, 700]),
            (500, [499, 500]),
            (900, [499, 500]),
            (50, [2000, 2000]),
        ] {
            let mut found = scattered.clone();
            put_in_order(&mut found, ends, ranks);
            assert_eq!(found[..ends], sorted[..ends], "{ends}");
            assert_eq!(found[1000 - ends..], sorted[1000 - ends..], "{ends}");
            for rank in ranks.into_iter().filter(|rank| *rank < found.len()) {
                assert_eq!(found[rank], sorted[rank], "{ends} {rank}");
            }
        }
    }

    #[test]
    fn few_are_kept() {
        let values = scattered(10_000);
        let (kept, below) = Kept::of(&values, 0.95).keep(&values);
        assert!((1500..2200).contains(&kept.len()), "{}", kept.len());
        assert!((4600..4800).contains(&below), "{below}");
    }

    #[test]
    fn a_first_part_unlike_the_others_shows() {
        let first = vec![5.0; 5000];
        let others = scattered(5000);
        for (first, second) in [(&first, &others), (&others, &first)] {
            let found = of_parts(Kept::of(first, 0.95), &[first, second]);
            let mut all = [first.as_slice(), second.as_slice()].concat();
            let (expected, middle) = (intervals(&mut all.clone(), 0.95), median(&all));
            all.clear();
            // Either it is right, or it is nothing.
            let right = |found: Quantiles| found.intervals == expected && found.median == middle;
            assert!(found.is_none_or(right), "{found:?}");
        }
        let (low, high) = (vec![1.0; 5000], scattered(5000));
        let kept = Kept::of(&high, 0.95);
        let narrow = Kept {
            low: kept.low - 1.0,
            ..kept
        };
        assert_eq!(of_parts(narrow, &[&low, &high]), None);
        let elsewhere = Kept {
            middle: kept.middle.map(|end| end - 1.0),
            ..kept
        };
        assert_eq!(of_parts(elsewhere, &[&high, &high]), None);
    }

    #[test]
    fn zeros_and_what_is_no_number() {
        let mut values = vec![0.0, -0.0, f64::NAN, 1.0, -1.0, f64::INFINITY, -f64::NAN];
        values.extend(scattered(500));
        let found = of_parts(Kept::EVERYTHING, &[&values]).unwrap();
        assert_eq!(found.median, median(&values));
        let expected = intervals(&mut values, 0.95);
        assert_eq!(found.intervals.symmetric, expected.symmetric);
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
