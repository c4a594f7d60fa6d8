//! Boxes in stock that expire.

use stainbook_catalog::written::BoxContents;
use stainbook_catalog::{Entry, ListedBox};

use super::{DueItem, DueKind, DueState, DueWhen, file_of, item_id};

/// A box that is used up, or in which nothing is left, is nobody's concern.
pub(super) fn add(entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
    for listed in ListedBox::of(entry) {
        let stock = listed.stock;
        let gone = stock.used_up.as_ref();
        let empty = stock.left.as_ref().is_some_and(|left| left.value() == 0);
        if empty || gone.is_some_and(|gone| gone.first() <= when.as_of) {
            continue;
        }
        let Some(expires) = &stock.expires else {
            continue;
        };
        let Some(state) = when.state(expires.last(), DueState::Expired) else {
            continue;
        };
        let what = match stock.contents() {
            BoxContents::Tubes => DueKind::Box,
            BoxContents::PreTubes => DueKind::PreTubes,
        };
        let id = stock.id.clone().unwrap_or_default();
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        let of_what = match what {
            DueKind::PreTubes => "pre-tubes of ",
            _ => "",
        };
        let left = stock.left.as_ref().map(|left| match &stock.number {
            Some(full) => format!("{} of {} left", left.value(), full.value()),
            None => format!("{} left", left.value()),
        });
        let first = format!("{of_what}{}", text(&stock.tube));
        let said: Vec<String> = [first, format!("lot {}", text(&stock.lot))]
            .into_iter()
            .chain(left)
            .chain(stock.place.clone())
            .collect();
        items.push(DueItem {
            state,
            what,
            id: item_id(what, &[&id]),
            about: id,
            day: Some(expires.last().to_string()),
            text: said.join(", "),
            remedy: if state == DueState::Expired {
                "throw it away or mark it, and write the day under `used_up`"
            } else {
                "use it up by then, or order another one"
            }
            .to_owned(),
            file: file_of(entry),
        });
    }
}
