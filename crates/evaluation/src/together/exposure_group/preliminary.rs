//! The preliminary test of EN 689.
//!
//! Sources: 3 values below 0.1, 4 below 0.15 and 5 below 0.2 of the limit: 4 and 0.15 seen in a public R package that follows
//! the standard, the others from memory, as is strictly below rather than at or below.

use stainbook_catalog::model::Limit;
use stainbook_core::print;

use super::super::GroupMember;
use super::super::result::{Decision, NamedFigure, Test};
use super::words;

/// The preliminary test: how many values, and below which part of the limit all of them have to be.
const PRELIMINARY: [(usize, f64); 3] = [(3, 0.1), (4, 0.15), (5, 0.2)];

/// The preliminary test over 3 to 5 values. A bound counts with the end that is against it: to be below with its upper end, to
/// be above with its lower one.
pub(super) fn preliminary(
    n: usize,
    parts: &[(&str, &GroupMember)],
    at: f64,
    limit: &Limit,
) -> Test {
    let part = PRELIMINARY
        .iter()
        .find(|(of, _)| *of == n)
        .map_or(0.0, |(_, part)| *part);
    let below = |known: &GroupMember| {
        known
            .ends
            .highest
            .as_ref()
            .is_some_and(|highest| highest.value < part * at)
    };
    let above = |known: &GroupMember| {
        known
            .ends
            .lowest
            .as_ref()
            .is_some_and(|lowest| at < lowest.value)
    };
    let too_high: Vec<&str> = parts
        .iter()
        .filter(|(_, known)| above(known))
        .map(|(id, _)| *id)
        .collect();
    let factor = print::number(part);
    let (decision, text) = if !too_high.is_empty() {
        (
            Decision::NonCompliance,
            format!("{} above the limit, {}", too_high.join(", "), words(limit)),
        )
    } else if parts.iter().all(|(_, known)| below(known)) {
        (
            Decision::Compliance,
            format!(
                "all {n} values are below {factor} times the limit, {}",
                words(limit)
            ),
        )
    } else {
        (
            Decision::NoDecision,
            format!(
                "not all {n} values are below {factor} times the limit, {}, and none is clearly above it: measure further, at least 6 values in all, for the group test",
                words(limit)
            ),
        )
    };
    let highest = parts
        .iter()
        .filter_map(|(_, known)| Some(known.ends.highest.as_ref()?.value))
        .fold(0.0, f64::max);
    Test {
        name: "EN 689 preliminary test".to_owned(),
        decision,
        text,
        figures: vec![
            NamedFigure::new("limit", at, "ppm"),
            NamedFigure::new("all below", part * at, "ppm"),
            NamedFigure::new("highest value or bound", highest, "ppm"),
        ],
    }
}

/// The preliminary test where there are more values than it is for, and some are bounds: any five of them would do, so the
/// first five that were taken do. Nothing if not all are below.
pub(super) fn of_any_five(parts: &[(&str, &GroupMember)], at: f64, limit: &Limit) -> Option<Test> {
    let (of, part) = *PRELIMINARY.last()?;
    let below = parts.iter().all(|(_, known)| {
        let highest = known.ends.highest.as_ref();
        highest.is_some_and(|highest| highest.value < part * at)
    });
    below.then(|| Test {
        name: "EN 689 preliminary test".to_owned(),
        decision: Decision::Compliance,
        text: format!(
            "all {} values are below {} times the limit, {}, even at their upper ends: whichever {of} were taken first pass",
            parts.len(),
            print::number(part),
            words(limit)
        ),
        figures: vec![
            NamedFigure::new("limit", at, "ppm"),
            NamedFigure::new("all below", part * at, "ppm"),
        ],
    })
}
