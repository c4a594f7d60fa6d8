//! Coverage intervals of a sample (JCGM 101:2008, 7.7).

/// Two intervals that cover with the same probability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intervals {
    /// As much of the sample below as above (JCGM 101:2008, 3.15).
    pub symmetric: [f64; 2],
    /// The shortest there is (JCGM 101:2008, 3.16).
    pub shortest: [f64; 2],
}

/// The coverage intervals of a sample, whose order is changed on the way.
///
/// Of `M` values `q = pM` lie in an interval, which runs from the `r`-th smallest to the `(r + q)`-th; `r = (M − q)/2`
/// makes the symmetric one, and the `r` with the least width the shortest. Only the smallest and largest `M − q` values
/// can be an end, so only they are put in order.
///
/// A sample of less than two values gives not a number.
pub fn intervals(values: &mut [f64], coverage: f64) -> Intervals {
    let nothing = Intervals {
        symmetric: [f64::NAN; 2],
        shortest: [f64::NAN; 2],
    };
    let m = values.len();
    let Some((covered, left)) = counts(m, coverage) else {
        return nothing;
    };
    // Ranks count from 0 here: lower ends are ranks 0 to M − q − 1, upper ends ranks q to M − 1.
    if left <= covered {
        values.select_nth_unstable_by(covered, f64::total_cmp);
        let (below, above) = values.split_at_mut(covered);
        below.select_nth_unstable_by(left - 1, f64::total_cmp);
        let Some(below) = below.get_mut(..left) else {
            return nothing;
        };
        below.sort_unstable_by(f64::total_cmp);
        above.sort_unstable_by(f64::total_cmp);
        of_ends(below, above)
    } else {
        values.sort_unstable_by(f64::total_cmp);
        match (values.get(..left), values.get(covered..)) {
            (Some(low), Some(high)) => of_ends(low, high),
            _ => nothing,
        }
    }
}

/// The same of a sample that lies in several parts, each of which was drawn in the same way.
///
/// The first part shows about where the ends lie. What lies clearly between them is passed over; should too much have been
/// passed over, which a sample drawn in one way does not let happen, everything is looked at.
pub(super) fn of_parts(parts: &[&[f64]], coverage: f64) -> Intervals {
    in_the_tails(parts, coverage).unwrap_or_else(|| intervals(&mut parts.concat(), coverage))
}

/// By how many standard errors of the first part more than needed is looked at.
const STANDARD_ERRORS: f64 = 6.0;

fn in_the_tails(parts: &[&[f64]], coverage: f64) -> Option<Intervals> {
    let (covered, left) = counts(parts.iter().map(|part| part.len()).sum(), coverage)?;
    let mut first = parts.first()?.to_vec();
    let tail = tail_of(first.len(), coverage);
    if covered < left || parts.len() < 2 || first.len() < 2 * tail + 2 {
        return None;
    }
    let (_, low, above) = first.select_nth_unstable_by(tail, f64::total_cmp);
    let from_above = above.len().checked_sub(tail + 1)?;
    let (_, high, _) = above.select_nth_unstable_by(from_above, f64::total_cmp);
    let (low, high) = (*low, *high);

    /// As many values as are gone through at a time.
    const AT_A_TIME: usize = 512;
    let mut room = [0.0; AT_A_TIME];
    let mut tails: Vec<i64> = Vec::new();
    for chunk in parts.iter().flat_map(|part| part.chunks(AT_A_TIME)) {
        // Each value is put down, and stays if it lies in a tail: no place where a processor would have to guess.
        let mut kept = 0;
        for value in chunk {
            if let Some(slot) = room.get_mut(kept) {
                *slot = *value;
            }
            kept += usize::from(!(low < *value && *value < high));
        }
        tails.extend(room.iter().take(kept).map(|value| in_order(*value)));
    }
    tails.sort_unstable();
    let tails: Vec<f64> = tails.into_iter().map(from_order).collect();
    let (lower, upper) = (
        tails.get(..left)?,
        tails.get(tails.len().checked_sub(left)?..)?,
    );
    // Not enough in a tail shows by an end that does not lie in it.
    (*lower.last()? <= low && high <= *upper.first()?).then(|| of_ends(lower, upper))
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

/// How many values of the first part are taken as one tail.
fn tail_of(m: usize, coverage: f64) -> usize {
    let outside = 1.0 - coverage.clamp(0.0, 1.0);
    let margin = STANDARD_ERRORS * (outside * (1.0 - outside) / super::count(m as u64)).sqrt();
    part_of(m, outside + margin)
}

/// The intervals from all lower and all upper ends, both rising.
fn of_ends(low: &[f64], high: &[f64]) -> Intervals {
    // The standard's r = (M − q + 1)/2 counts from 1 and is cut down to a whole number.
    let middle = low.len().div_ceil(2).saturating_sub(1);
    let ends = low.iter().zip(high);
    let symmetric = ends.clone().nth(middle);
    let shortest = ends.min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    let pair =
        |found: Option<(&f64, &f64)>| found.map_or([f64::NAN; 2], |(low, high)| [*low, *high]);
    Intervals {
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

    use super::*;

    /// The standard's own way: everything in order, every `r` tried.
    fn plainly(values: &[f64], coverage: f64) -> Intervals {
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
        Intervals {
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
