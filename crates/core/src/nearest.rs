//! Distance of two spellings.

/// The number of letters to add, drop, change or swap with a neighbour to get from one text to the other
/// (optimal string alignment).
pub(crate) fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=b.len()).collect();
    let mut previous: Option<char> = None;
    for (row, letter) in a.chars().enumerate() {
        let mut current = Vec::with_capacity(b.len() + 1);
        let mut left = row + 1;
        current.push(left);
        let mut diagonal = above.first().copied().unwrap_or(0);
        let mut other_previous: Option<char> = None;
        for (column, &other) in b.iter().enumerate() {
            let up = above.get(column + 1).copied().unwrap_or(usize::MAX);
            let mut cost = (diagonal + usize::from(letter != other))
                .min(left + 1)
                .min(up.saturating_add(1));
            let swapped = previous == Some(other) && other_previous == Some(letter);
            if let (true, Some(skipped)) =
                (swapped, column.checked_sub(1).and_then(|c| before.get(c)))
            {
                cost = cost.min(skipped + 1);
            }
            current.push(cost);
            diagonal = up;
            left = cost;
            other_previous = Some(other);
        }
        before = std::mem::replace(&mut above, current);
        previous = Some(letter);
    }
    above.last().copied().unwrap_or(0)
}

/// The candidate nearest to `text`, if it is within `allowed`; the first of equally near ones.
pub(crate) fn nearest<'a>(
    text: &str,
    candidates: impl IntoIterator<Item = &'a str>,
    allowed: usize,
) -> Option<&'a str> {
    candidates
        .into_iter()
        .map(|candidate| (distance(text, candidate), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::distance;

    #[test]
    fn distances() {
        for (a, b, expected) in [
            ("", "", 0),
            ("", "abc", 3),
            ("ppm", "ppm", 0),
            ("pmp", "ppm", 1),
            ("ppm", "ppb", 1),
            ("mgm3", "mg/m3", 1),
            ("kitten", "sitting", 3),
        ] {
            assert_eq!(distance(a, b), expected, "{a} {b}");
            assert_eq!(distance(b, a), expected, "{b} {a}");
        }
    }
}
