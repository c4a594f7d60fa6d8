//! The boxes in stock, those with a file of their own and those of lists alike, and where those of a lot are.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use jiff::civil::Date;

use crate::model::series_of;
use crate::written::{StockBoxEntry, TubeEntry};
use crate::{Entry, WrittenEntry};
use stainbook_document::place::Path;

/// A box in stock, with its place.
#[derive(Clone, Copy, Debug)]
pub struct ListedBox<'b> {
    /// The file.
    pub entry: &'b Entry,
    /// Position in the list; nothing for a box with a file of its own.
    pub row: Option<usize>,
    /// The box.
    pub stock: &'b StockBoxEntry,
}

impl<'b> ListedBox<'b> {
    /// The boxes of a file.
    pub fn of(entry: &'b Entry) -> impl Iterator<Item = Self> {
        let (single, list) = match &entry.written {
            WrittenEntry::StockBox(stock) => (Some(&**stock), [].as_slice()),
            WrittenEntry::BoxList(list) => (None, list.list.as_slice()),
            _ => (None, [].as_slice()),
        };
        let single = single.map(|stock| Self {
            entry,
            row: None,
            stock,
        });
        let list = list.iter().enumerate().map(move |(row, stock)| Self {
            entry,
            row: Some(row),
            stock,
        });
        single.into_iter().chain(list)
    }

    /// Path of the box in its file.
    pub fn path(&self) -> Path {
        match self.row {
            Some(row) => Path::root().key("list").index(row),
            None => Path::root(),
        }
    }

    /// True if the box is of this sheet's tubes, by the sheet's name or that of its series.
    pub fn is_of(&self, sheet: &TubeEntry) -> bool {
        self.stock
            .tube
            .as_deref()
            .is_some_and(|tube| sheet.tube.as_deref() == Some(tube) || series_of(sheet) == tube)
    }

    /// True if it may have been in the lab's hands on a day: it had come, and was not used up before. What is not said speaks
    /// for it, and a month for any of its days.
    pub fn may_be_there_on(&self, day: Date) -> bool {
        let come = &self.stock.received;
        let gone = &self.stock.used_up;
        come.as_ref().is_none_or(|come| come.first() <= day)
            && gone.as_ref().is_none_or(|gone| day <= gone.last())
    }
}

/// Positions of boxes: of the entry among the book's, and of the box in the entry.
type BoxPositions = BTreeMap<String, Vec<(usize, usize)>>;

/// Made when it is first asked for.
#[derive(Debug, Default)]
pub(crate) struct StockIndex {
    by_lot: OnceLock<BoxPositions>,
    by_id: OnceLock<BoxPositions>,
}

impl StockIndex {
    /// The boxes of a lot, in the order in which they were read.
    pub(crate) fn of_lot<'b>(
        &self,
        entries: &'b [Entry],
        lot: &str,
    ) -> impl Iterator<Item = ListedBox<'b>> + use<'b> {
        let by_lot = self
            .by_lot
            .get_or_init(|| positions(entries, |stock| stock.lot.as_deref()));
        found(entries, by_lot, lot)
    }

    /// The boxes of this short name, in the order in which they were read.
    pub(crate) fn called<'b>(
        &self,
        entries: &'b [Entry],
        id: &str,
    ) -> impl Iterator<Item = ListedBox<'b>> + use<'b> {
        let by_id = self
            .by_id
            .get_or_init(|| positions(entries, |stock| stock.id.as_deref()));
        found(entries, by_id, id)
    }
}

fn positions(entries: &[Entry], key: impl Fn(&StockBoxEntry) -> Option<&str>) -> BoxPositions {
    let mut positions = BoxPositions::new();
    for (position, entry) in entries.iter().enumerate() {
        for (nth, listed) in ListedBox::of(entry).enumerate() {
            if let Some(key) = key(listed.stock) {
                let of_key = positions.entry(key.trim().to_owned()).or_default();
                of_key.push((position, nth));
            }
        }
    }
    positions
}

fn found<'b>(
    entries: &'b [Entry],
    positions: &BoxPositions,
    key: &str,
) -> impl Iterator<Item = ListedBox<'b>> + use<'b> {
    let found = positions.get(key.trim()).cloned().unwrap_or_default();
    found.into_iter().filter_map(|(position, nth)| {
        let entry = entries.get(position)?;
        ListedBox::of(entry).nth(nth)
    })
}

#[cfg(test)]
mod tests {
    use crate::{Book, SourceFile};

    #[test]
    fn boxes_of_files_and_lists_are_found_by_lot_and_by_name() {
        let (book, findings) = Book::read([
            SourceFile::new(
                "b-1.box.yaml",
                "box: b-1\ntube: quay\nlot: 24-117\nexpires: 2027-01\n",
            ),
            SourceFile::new(
                "shelf.boxes.yaml",
                "boxes: shelf\nlist:\n  - {box: b-2, tube: quay, lot: 24-118, expires: 2027-02}\n  - {box: b-3, tube: quay, lot: \"24-117\", expires: 2027-01, received: 2026-03, used_up: 2026-05-02}\n",
            ),
        ]);
        assert!(findings.is_empty(), "{findings:?}");
        let ids = |boxes: &mut dyn Iterator<Item = crate::ListedBox<'_>>| {
            boxes
                .map(|found| format!("{}{}", found.stock.id.as_deref().unwrap(), found.path()))
                .collect::<Vec<_>>()
        };
        assert_eq!(ids(&mut book.boxes()), ["b-1", "b-2/list/0", "b-3/list/1"]);
        assert_eq!(
            ids(&mut book.boxes_of_lot("24-117 ")),
            ["b-1", "b-3/list/1"]
        );
        assert_eq!(ids(&mut book.boxes_called("b-2")), ["b-2/list/0"]);
        assert_eq!(ids(&mut book.boxes_of_lot("9")), [""; 0]);
        let third = book.boxes_called("b-3").next().unwrap();
        for (day, there) in [
            ("2026-02-28", false),
            ("2026-03-01", true),
            ("2026-05-02", true),
            ("2026-05-03", false),
        ] {
            assert_eq!(third.may_be_there_on(day.parse().unwrap()), there, "{day}");
        }
    }
}
