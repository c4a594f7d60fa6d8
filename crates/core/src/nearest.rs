//! The spelling that was probably meant.

use strsim::osa_distance;

/// The candidate nearest to `text`, if it is within `allowed` letters that are added, dropped, changed or swapped with a
/// neighbour; the first of equally near ones.
pub(crate) fn nearest<'a>(
    text: &str,
    candidates: impl IntoIterator<Item = &'a str>,
    allowed: usize,
) -> Option<&'a str> {
    candidates
        .into_iter()
        .map(|candidate| (osa_distance(text, candidate), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn one_slip_is_near() {
        for (text, candidate) in [
            ("ppm", "ppm"),
            ("pmp", "ppm"),
            ("ppn", "ppm"),
            ("mgm3", "mg/m3"),
        ] {
            assert_eq!(nearest(text, [candidate], 1), Some(candidate), "{text}");
            assert_eq!(nearest(candidate, [text], 1), Some(text), "{text}");
        }
        assert_eq!(nearest("ppm", ["mol"], 1), None);
        assert_eq!(nearest("ppn", ["ppb", "ppm"], 1), Some("ppb"));
    }
}
