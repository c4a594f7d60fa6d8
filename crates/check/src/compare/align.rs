//! Alignment of the entries of two lists.

use std::collections::BTreeMap;

/// Entries that belong together; an entry without a partner stands alone.
pub(super) type Pairing = Vec<(Option<usize>, Option<usize>)>;

/// From how much in common two rows with different names are taken for one row whose name was mistyped.
const ALIKE: f64 = 0.5;

/// Largest number of leftovers on each side that are compared with each other.
const MOST_LEFT: usize = 200;

/// Largest number of comparisons for lists in order, before they are compared place by place.
const MOST_COMPARISONS: usize = 250_000;

/// Pairs rows that are known by a key, whatever their order: rows of the same key, equal ones first, then rows that have
/// much in common though their keys differ. In the order of A, then what only B has.
pub(super) fn pair_rows(
    a: &[String],
    b: &[String],
    same: impl Fn(usize, usize) -> bool,
    likeness: impl Fn(usize, usize) -> f64,
) -> Pairing {
    let mut by_key: BTreeMap<&str, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for (index, key) in a.iter().enumerate() {
        by_key.entry(key).or_default().0.push(index);
    }
    for (index, key) in b.iter().enumerate() {
        by_key.entry(key).or_default().1.push(index);
    }
    let mut partner: BTreeMap<usize, usize> = BTreeMap::new();
    let (mut left_a, mut left_b) = (Vec::new(), Vec::new());
    for (mut of_a, mut of_b) in by_key.into_values() {
        if of_a.len() != 1 || of_b.len() != 1 {
            of_a.retain(|i| match of_b.iter().position(|j| same(*i, *j)) {
                Some(at) => {
                    partner.insert(*i, of_b.remove(at));
                    false
                }
                None => true,
            });
        }
        let both = of_a.len().min(of_b.len());
        left_a.extend(of_a.split_off(both));
        left_b.extend(of_b.split_off(both));
        partner.extend(of_a.into_iter().zip(of_b));
    }
    left_a.sort_unstable();
    left_b.sort_unstable();
    if left_a.len() <= MOST_LEFT && left_b.len() <= MOST_LEFT {
        let mut alike: Vec<(f64, usize, usize)> = left_a
            .iter()
            .flat_map(|i| {
                left_b
                    .iter()
                    .map(|j| (likeness(*i, *j), *i, *j))
                    .collect::<Vec<_>>()
            })
            .filter(|(likeness, ..)| ALIKE <= *likeness)
            .collect();
        alike.sort_by(|x, y| y.0.total_cmp(&x.0).then((x.1, x.2).cmp(&(y.1, y.2))));
        for (_, i, j) in alike {
            if left_b.contains(&j) && !partner.contains_key(&i) {
                partner.insert(i, j);
                left_b.retain(|other| *other != j);
            }
        }
    }
    let mut pairs: Pairing = (0..a.len())
        .map(|i| (Some(i), partner.get(&i).copied()))
        .collect();
    pairs.extend(left_b.into_iter().map(|j| (None, Some(j))));
    pairs
}

/// Pairs entries whose order counts: as many equal ones as possible keep their order, what lies between them is paired
/// place by place, and what is left over stands alone. One mark left out is then one difference.
pub(super) fn in_order(a: usize, b: usize, same: impl Fn(usize, usize) -> bool) -> Pairing {
    let head = (0..a.min(b)).take_while(|i| same(*i, *i)).count();
    let tail = (0..(a.min(b) - head))
        .take_while(|i| same(a - 1 - i, b - 1 - i))
        .count();
    let (middle_a, middle_b) = (a - head - tail, b - head - tail);
    let anchors = if middle_a.saturating_mul(middle_b) <= MOST_COMPARISONS {
        longest_common(middle_a, middle_b, |i, j| same(head + i, head + j))
    } else {
        Vec::new()
    };
    let mut pairs: Pairing = (0..head).map(|i| (Some(i), Some(i))).collect();
    let (mut from_a, mut from_b) = (head, head);
    let ends = std::iter::once((middle_a, middle_b));
    for (i, j) in anchors.into_iter().chain(ends) {
        let (to_a, to_b) = (head + i, head + j);
        let longer = (to_a - from_a).max(to_b - from_b);
        for step in 0..longer {
            let i = Some(from_a + step).filter(|i| *i < to_a);
            let j = Some(from_b + step).filter(|j| *j < to_b);
            pairs.push((i, j));
        }
        if to_a < a - tail && to_b < b - tail {
            pairs.push((Some(to_a), Some(to_b)));
        }
        (from_a, from_b) = (to_a + 1, to_b + 1);
    }
    pairs.extend((0..tail).map(|i| (Some(a - tail + i), Some(b - tail + i))));
    pairs
}

/// The longest run of equal entries that keeps the order on both sides.
fn longest_common(a: usize, b: usize, same: impl Fn(usize, usize) -> bool) -> Vec<(usize, usize)> {
    let width = b + 1;
    let mut equal = vec![false; a * b];
    let mut longest = vec![0_usize; (a + 1) * width];
    let at =
        |longest: &[usize], i: usize, j: usize| longest.get(i * width + j).copied().unwrap_or(0);
    for i in (0..a).rev() {
        for j in (0..b).rev() {
            let is_same = same(i, j);
            let best = if is_same {
                at(&longest, i + 1, j + 1) + 1
            } else {
                at(&longest, i + 1, j).max(at(&longest, i, j + 1))
            };
            if let (Some(cell), Some(flag)) =
                (longest.get_mut(i * width + j), equal.get_mut(i * b + j))
            {
                (*cell, *flag) = (best, is_same);
            }
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut common = Vec::new();
    while i < a && j < b {
        if equal.get(i * b + j).copied().unwrap_or(false) {
            common.push((i, j));
            (i, j) = (i + 1, j + 1);
        } else if at(&longest, i, j + 1) <= at(&longest, i + 1, j) {
            i += 1;
        } else {
            j += 1;
        }
    }
    common
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ordered(a: &str, b: &str) -> String {
        let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
        let pairs = in_order(a.len(), b.len(), |i, j| a[i] == b[j]);
        let show = |list: &[char], i: Option<usize>| i.map_or('-', |i| list[i]);
        pairs
            .iter()
            .map(|(i, j)| format!("{}{}", show(&a, *i), show(&b, *j)))
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn one_entry_more_or_less_is_one_difference() {
        let cases = [
            ("abc", "abc", "aa bb cc"),
            ("abc", "ac", "aa b- cc"),
            ("ac", "abc", "aa -b cc"),
            ("abc", "axc", "aa bx cc"),
            ("abc", "bcd", "a- bb cc -d"),
            ("abc", "", "a- b- c-"),
            ("", "x", "-x"),
            ("abcd", "xbyd", "ax bb cy dd"),
            ("aab", "ab", "aa a- bb"),
        ];
        for (a, b, expected) in cases {
            assert_eq!(ordered(a, b), expected, "{a} {b}");
        }
    }

    #[test]
    fn rows_by_key_then_by_likeness() {
        let keys = |text: &str| text.chars().map(String::from).collect::<Vec<_>>();
        let none = |_: usize, _: usize| false;
        let pairs = pair_rows(&keys("abc"), &keys("cax"), none, |_, _| 0.6);
        assert_eq!(
            pairs,
            [(Some(0), Some(1)), (Some(1), Some(2)), (Some(2), Some(0))]
        );
        let pairs = pair_rows(&keys("abc"), &keys("cax"), none, |_, _| 0.4);
        assert_eq!(
            pairs,
            [
                (Some(0), Some(1)),
                (Some(1), None),
                (Some(2), Some(0)),
                (None, Some(2))
            ]
        );
        // A doubled row: the equal one is taken, the other stands alone.
        let pairs = pair_rows(&keys("a"), &keys("aa"), |_, j| j == 1, |_, _| 0.0);
        assert_eq!(pairs, [(Some(0), Some(1)), (None, Some(0))]);
    }
}
