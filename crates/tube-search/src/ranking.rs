//! Order of the sheets that can serve.

use std::cmp::Ordering;

use crate::found::{SuitableTube, Weight};
use crate::level::in_percent;

/// Criteria of the order, in words; the first that differs counts.
pub(crate) fn words() -> Vec<String> {
    [
        "how many of the levels it reads",
        "fewer heavy reasons against it, for which its result would not be relied on",
        "for a limit: whether it measures all that a procedure should around it",
        "the smaller expanded uncertainty at the level, in whole percent",
        "the shorter drawing",
        "fewer light reasons against it",
        "the name of the sheet",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// The order of two sheets.
pub(crate) fn order(a: &SuitableTube, b: &SuitableTube) -> Ordering {
    let reads = |found: &SuitableTube| {
        found
            .levels
            .iter()
            .filter(|level| level.best.is_some())
            .count()
    };
    let weighing = |found: &SuitableTube, weight| {
        found
            .against
            .iter()
            .filter(|reason| reason.weight == weight)
            .count()
    };
    let partly = |found: &SuitableTube| {
        found
            .levels
            .iter()
            .filter(|level| {
                level
                    .coverage
                    .as_ref()
                    .is_some_and(|coverage| coverage.whole == Some(false))
            })
            .count()
    };
    let worst = |found: &SuitableTube| {
        found
            .levels
            .iter()
            .filter_map(|level| Some(in_percent(level.best.as_ref()?.relative_expanded)))
            .reduce(f64::max)
            .unwrap_or(f64::INFINITY)
    };
    let seconds = |found: &SuitableTube| {
        found
            .levels
            .iter()
            .filter_map(|level| Some(level.best.as_ref()?.seconds))
            .reduce(f64::max)
            .unwrap_or(f64::INFINITY)
    };
    reads(b)
        .cmp(&reads(a))
        .then(weighing(a, Weight::Heavy).cmp(&weighing(b, Weight::Heavy)))
        .then(partly(a).cmp(&partly(b)))
        .then(worst(a).total_cmp(&worst(b)))
        .then(seconds(a).total_cmp(&seconds(b)))
        .then(weighing(a, Weight::Light).cmp(&weighing(b, Weight::Light)))
        .then(a.sheet.cmp(&b.sheet))
}
