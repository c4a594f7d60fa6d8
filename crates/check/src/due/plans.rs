//! Plans of rounds that lack a tube, a box within its date, or a pump that can be counted on.

use stainbook_catalog::{Book, Entry, WrittenEntry};

use super::{DueItem, DueKind, DueState, DueWhen, file_of, item_id};
use crate::plans::{day_of, lacks, placed};

/// A plan whose day is over is nobody's concern, nor is one that lies further ahead than is looked.
pub(super) fn add(book: &Book, entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
    let WrittenEntry::Plan(plan) = &entry.written else {
        return;
    };
    let Some(day) = day_of(plan) else { return };
    if day < when.as_of || when.until() < day {
        return;
    }
    for (row, (_, planned)) in placed(plan).enumerate() {
        let id = planned.id.as_deref().unwrap_or_default();
        let lacks: Vec<String> = lacks(plan, row, book, day)
            .iter()
            .map(crate::plans::PlanLack::words)
            .collect();
        if lacks.is_empty() {
            continue;
        }
        let place = planned.place.as_deref().unwrap_or_default();
        items.push(DueItem {
            state: DueState::Missing,
            what: DueKind::Plan,
            about: entry.id().to_owned(),
            day: Some(day.to_string()),
            text: format!("{id}, {place}: {}", lacks.join("; ")),
            remedy: "see to it before the day, or choose otherwise: `stainbook plan` proposes what is in stock".to_owned(),
            file: file_of(entry),
            id: item_id(DueKind::Plan, &[entry.id(), id]),
        });
    }
}
