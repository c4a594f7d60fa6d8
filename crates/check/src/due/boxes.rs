//! Boxes in stock that expire.

use stainbook_catalog::written::{BoxContents, Day};
use stainbook_catalog::{Book, Entry, ListedBox};

use super::{DueItem, DueKind, DueState, DueWhen, file_of, item_id};
use crate::boxes::open_until;

/// A box that is used up, or in which nothing is left, is nobody's concern.
pub(super) fn add(book: &Book, entry: &Entry, when: DueWhen, items: &mut Vec<DueItem>) {
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
        // An opened box may have less time than is printed on it.
        let open = open_until(stock, book).filter(|open| open.until < expires.last());
        let last_day = open.as_ref().map_or(expires.last(), |open| open.until);
        let Some(state) = when.state(last_day, DueState::Expired) else {
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
            .chain(open.map(|open| {
                let opened = stock.opened.as_ref().map_or("", Day::text);
                format!("opened {opened}, keeps {} then", open.keeps)
            }))
            .collect();
        items.push(DueItem {
            state,
            what,
            id: item_id(what, &[&id]),
            about: id,
            day: Some(last_day.to_string()),
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

#[cfg(test)]
mod tests {
    use stainbook_catalog::{Book, SourceFile};

    use crate::due::{DueState, DueWhen, due};

    #[test]
    fn an_opened_tin_ends_before_the_date_on_it() {
        let tube = |id: &str, keeps: &str| {
            SourceFile::new(
                format!("{id}.tube.yaml"),
                format!("tube: {id}\nbefore_use: {{storage: {{{keeps}}}}}\n"),
            )
        };
        let stock = SourceFile::new(
            "s.boxes.yaml",
            "boxes: s\nlist:\n  - {box: a, tube: tin-r1, lot: 24-1, expires: 2027-01, opened: 2026-02-16}\n  - {box: b, tube: can-r1, lot: 24-1, expires: 2027-01, opened: 2026-02-16}\n  - {box: c, tube: tin-r1, lot: 24-2, expires: 2027-01}\n",
        );
        let (book, _) = Book::read([
            tube("tin-r1", "opened_keeps: 30 days"),
            tube("can-r1", "dark: true"),
            stock,
        ]);
        for (day, expected) in [
            ("2026-03-17", None),
            ("2026-03-18", Some(DueState::Coming)),
            ("2026-03-19", Some(DueState::Expired)),
        ] {
            let items = due(&book, DueWhen::new(day.parse().unwrap(), 0)).items;
            let found: Vec<_> = items
                .iter()
                .map(|item| (item.about.as_str(), item.state))
                .collect();
            let expected: Vec<_> = expected.map(|state| ("a", state)).into_iter().collect();
            assert_eq!(found, expected, "{day}");
            for item in &items {
                assert_eq!(
                    item.text,
                    "tin-r1, lot 24-1, opened 2026-02-16, keeps 30 days then"
                );
            }
        }
    }
}
