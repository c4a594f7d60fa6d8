//! The order of one authority's limits: 8-hour average, short-term, ceiling, danger.

use stainbook_catalog::written::LimitKind;

/// A limit as far as its order matters.
pub(crate) struct Ordered {
    /// Its place in the entry.
    pub(crate) index: usize,
    pub(crate) authority: String,
    pub(crate) kind: LimitKind,
    pub(crate) ppm: f64,
    pub(crate) text: String,
}

/// Pairs in which the limit that should be the higher one is the lower one.
pub(crate) fn contradictions(limits: &[Ordered]) -> Vec<(&Ordered, &Ordered)> {
    let mut found = Vec::new();
    for low in limits {
        for high in limits {
            let of_one = low.authority == high.authority && low.kind < high.kind;
            if of_one && low.ppm > high.ppm * (1.0 + 1e-9) {
                found.push((low, high));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_limits_of_one_authority_are_ordered() {
        let limit = |index, authority: &str, kind, ppm| Ordered {
            index,
            authority: authority.to_owned(),
            kind,
            ppm,
            text: String::new(),
        };
        let limits = [
            limit(0, "a", LimitKind::EightHours, 10.0),
            limit(1, "a", LimitKind::Ceiling, 5.0),
            limit(2, "b", LimitKind::ShortTerm, 1.0),
            limit(3, "a", LimitKind::Danger, 10.0),
        ];
        let found: Vec<_> = contradictions(&limits)
            .iter()
            .map(|(low, high)| (low.index, high.index))
            .collect();
        assert_eq!(found, [(0, 1)]);
    }
}
