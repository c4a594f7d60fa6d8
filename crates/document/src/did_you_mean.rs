//! The name that was probably meant.

/// The candidate nearest to what was written, if any is near enough to be worth asking about.
///
/// Capitals, hyphens, underscores and blanks do not count; beyond those at most one slip in three
/// characters is allowed (a letter left out, added, changed, or swapped with its neighbour).
///
/// # Example
///
/// ```
/// use stainbook_document::did_you_mean::nearest;
///
/// let keys = ["handle", "ranges", "length_of_handle"];
/// assert_eq!(nearest("Length-of-handle", keys), Some("length_of_handle"));
/// assert_eq!(nearest("rnages", keys), Some("ranges"));
/// assert_eq!(nearest("moisture", keys), None);
/// ```
pub fn nearest<'a>(
    written: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let wanted = bare(written);
    let allowed = (wanted.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let bare = bare(candidate);
        if bare.len().abs_diff(wanted.len()) > allowed {
            continue;
        }
        let slips = slips(&wanted, &bare);
        if slips <= allowed && slips < wanted.len() && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// How many letters have to be changed, put in, left out or swapped with their neighbour to make
/// one text of the other.
pub fn distance(one: &str, other: &str) -> usize {
    let letters = |text: &str| text.chars().take(64).collect::<Vec<_>>();
    slips(&letters(one), &letters(other))
}

fn bare(text: &str) -> Vec<char> {
    text.chars()
        .filter(|c| !matches!(c, '-' | '_' | ' '))
        .flat_map(char::to_lowercase)
        .take(64)
        .collect()
}

/// Edits that turn one into the other, a swap of neighbours counting as one (optimal string
/// alignment).
fn slips(one: &[char], other: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=other.len()).collect();
    for (row, a) in one.iter().enumerate() {
        let mut here = Vec::with_capacity(other.len() + 1);
        here.push(row + 1);
        for (column, b) in other.iter().enumerate() {
            let at =
                |line: &[usize], column: usize| line.get(column).copied().unwrap_or(usize::MAX / 2);
            let changed = at(&above, column) + usize::from(a != b);
            let mut least = changed
                .min(at(&above, column + 1) + 1)
                .min(at(&here, column) + 1);
            let swapped = row > 0
                && column > 0
                && one.get(row - 1) == Some(b)
                && other.get(column - 1) == Some(a);
            if swapped {
                least = least.min(at(&before, column - 1) + 1);
            }
            here.push(least);
        }
        before = std::mem::replace(&mut above, here);
    }
    above.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_slips() {
        let cases = [
            ("", "", 0),
            ("abc", "abc", 0),
            ("abc", "acb", 1),
            ("abc", "ab", 1),
            ("abc", "xyz", 3),
        ];
        for (one, other, expected) in cases {
            assert_eq!(slips(&bare(one), &bare(other)), expected, "{one} {other}");
        }
    }

    #[test]
    fn asks_only_about_what_is_near() {
        assert_eq!(
            nearest("multipy_by", ["multiply_by", "multiply"]),
            Some("multiply_by")
        );
        assert_eq!(nearest("x", ["y"]), None);
        assert_eq!(nearest("to", ["from", "uses"]), None);
        assert_eq!(
            nearest("Proportional", ["proportional"]),
            Some("proportional")
        );
    }
}
