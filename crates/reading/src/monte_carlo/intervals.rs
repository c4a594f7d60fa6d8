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
    let covered = part_of(m, coverage).clamp(1, m.saturating_sub(1).max(1));
    if m < 2 {
        return nothing;
    }
    // Ranks count from 0 here: lower ends are ranks 0 to M − q − 1, upper ends ranks q to M − 1.
    let left = m - covered;
    let (low, high): (&[f64], &[f64]) = if left <= covered {
        values.select_nth_unstable_by(covered, f64::total_cmp);
        let (below, above) = values.split_at_mut(covered);
        below.select_nth_unstable_by(left - 1, f64::total_cmp);
        let Some(below) = below.get_mut(..left) else {
            return nothing;
        };
        below.sort_unstable_by(f64::total_cmp);
        above.sort_unstable_by(f64::total_cmp);
        (below, above)
    } else {
        values.sort_unstable_by(f64::total_cmp);
        let (Some(low), Some(high)) = (values.get(..left), values.get(covered..)) else {
            return nothing;
        };
        (low, high)
    };
    // The standard's r = (M − q + 1)/2 counts from 1 and is cut down to a whole number.
    let middle = left.div_ceil(2) - 1;
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
