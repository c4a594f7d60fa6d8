//! The boxes in stock and the sheets that they belong to: what the rules about them have in common.

use stainbook_catalog::written::{BoxContents, Day, StockBoxEntry};
use stainbook_catalog::{Book, EntryKind};

use crate::readings::{NamedSheet, Sheets, has_lot};

/// The kinds of file that hold boxes.
pub(crate) const KINDS: [EntryKind; 2] = [EntryKind::StockBox, EntryKind::BoxList];

/// The sheets that a box names.
pub(crate) fn sheets_named<'a>(stock: &StockBoxEntry, book: &'a Book) -> Vec<NamedSheet<'a>> {
    let tube = stock.tube.as_deref();
    tube.map_or_else(Vec::new, |tube| Sheets::of(book).called(tube))
}

/// Those of them whose leaflet belongs to its lot; where none says so, those that say nothing of lots. A pre-tube has lots of
/// its own, of which no leaflet of the tube speaks.
pub(crate) fn sheets_of_lot<'a>(stock: &StockBoxEntry, book: &'a Book) -> Vec<NamedSheet<'a>> {
    let mut named = sheets_named(stock, book);
    let (BoxContents::Tubes, Some(lot)) = (stock.contents(), stock.lot.as_deref()) else {
        return named;
    };
    let of_lot = named
        .iter()
        .any(|(_, tube)| has_lot(tube, lot) == Some(true));
    let wanted = of_lot.then_some(true);
    named.retain(|(_, tube)| has_lot(tube, lot) == wanted);
    named
}

/// True if two dates can be of one day: a month is any of its days.
pub(crate) fn can_be_same(a: &Day, b: &Day) -> bool {
    a.first() <= b.last() && b.first() <= a.last()
}
