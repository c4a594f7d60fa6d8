//! Sheets to be compared with the newest leaflet, and accepted findings whose acceptance ends.

use stainbook_catalog::{Book, Entry, WrittenEntry};

use super::{DueItem, DueKind, DueState, DueWhen, file_of, item_id};
use crate::exceptions::accepted;

pub(super) fn add(book: &Book, entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
    review(book, entry, when, items);
    for exception in accepted(entry) {
        let Some(until) = &exception.accept.until else {
            continue;
        };
        let Some(state) = when.state(until.last(), DueState::Expired) else {
            continue;
        };
        let rule = exception.accept.rule.as_deref().unwrap_or_default();
        let because = exception.accept.because.as_deref();
        let because = because.map(|because| format!(", because {because}"));
        items.push(DueItem {
            state,
            what: DueKind::Exception,
            about: entry.id().to_owned(),
            day: Some(until.last().to_string()),
            text: format!(
                "`{rule}` is accepted until then{}",
                because.unwrap_or_default()
            ),
            remedy:
                "look whether the reason still holds; move `until`, or mend what the rule finds"
                    .to_owned(),
            file: file_of(entry),
            id: item_id(
                DueKind::Exception,
                &[
                    entry.kind.name(),
                    entry.id(),
                    rule,
                    &exception.path.to_string(),
                ],
            ),
        });
    }
}

/// A sheet that was withdrawn or replaced is kept for old records and not reviewed any more.
fn review(book: &Book, entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
    let WrittenEntry::Tube(sheet) = &entry.written else {
        return;
    };
    let Some(by) = &sheet.review_by else { return };
    if sheet.withdrawn.is_some() || book.is_replaced(entry.id()) {
        return;
    }
    let Some(state) = when.state(by.last(), DueState::Overdue) else {
        return;
    };
    let leaflet = sheet.leaflet.as_ref();
    let title = leaflet.and_then(|leaflet| leaflet.title.as_deref());
    let revision = leaflet.and_then(|leaflet| leaflet.revision.as_deref());
    items.push(DueItem {
        state,
        what: DueKind::Review,
        about: entry.id().to_owned(),
        day: Some(by.last().to_string()),
        text: format!(
            "{}, revision {}",
            title.unwrap_or("leaflet without a title"),
            revision.unwrap_or("not stated")
        ),
        remedy: "compare it with the leaflet in the newest box; move `review_by`, or enter the new leaflet".to_owned(),
        file: file_of(entry),
        id: item_id(DueKind::Review, &[entry.id()]),
    });
}
