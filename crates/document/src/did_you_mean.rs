//! The name that was probably meant.

use strsim::osa_distance;

/// Letters of a text that are looked at: no name is longer, and a text may be as long as its author likes.
const LONGEST: usize = 64;

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
    let length = wanted.chars().count();
    let allowed = (length / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let bare = bare(candidate);
        if bare.chars().count().abs_diff(length) > allowed {
            continue;
        }
        let slips = osa_distance(&wanted, &bare);
        if slips <= allowed && slips < length && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Number of letters to be changed, put in, left out or swapped with their neighbour to make
/// one text of the other.
pub fn distance(one: &str, other: &str) -> usize {
    osa_distance(start_of(one), start_of(other))
}

fn start_of(text: &str) -> &str {
    let end = text.char_indices().nth(LONGEST);
    end.and_then(|(end, _)| text.get(..end)).unwrap_or(text)
}

fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| !matches!(c, '-' | '_' | ' '))
        .flat_map(char::to_lowercase)
        .take(LONGEST)
        .collect()
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
            assert_eq!(distance(one, other), expected, "{one} {other}");
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
