//! The boxes in stock and the sheets that they belong to: what the rules about them have in common.

use jiff::civil::Date;
use stainbook_catalog::written::{BoxContents, Day, StockBoxEntry};
use stainbook_catalog::{Book, EntryKind};

use crate::pump_record::days_after;
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

/// Time that the leaflet gives an opened box.
pub(crate) struct OpenUntil<'a> {
    /// The last day on which it surely keeps: of a month of opening the first day counts, as for a result.
    pub(crate) until: Date,
    /// The last day on which it may keep: of a month of opening the last day counts.
    pub(crate) at_latest: Date,
    /// The time, as the leaflet states it.
    pub(crate) keeps: &'a str,
    /// The sheet that says so.
    pub(crate) sheet: &'a str,
}

/// The time that an opened box has, by the leaflet that gives it the most; nothing if one that may be the box's says nothing.
pub(crate) fn open_until<'a>(stock: &StockBoxEntry, book: &'a Book) -> Option<OpenUntil<'a>> {
    let opened = stock.opened.as_ref()?;
    let of_sheet = |(sheet, tube): &NamedSheet<'a>| {
        let keeps = tube.storage()?.opened_keeps.as_ref()?;
        Some(OpenUntil {
            until: days_after(opened.first(), keeps.value())?,
            at_latest: days_after(opened.last(), keeps.value())?,
            keeps: keeps.text(),
            sheet,
        })
    };
    let sheets = sheets_of_lot(stock, book);
    let times: Option<Vec<OpenUntil<'a>>> = sheets.iter().map(of_sheet).collect();
    times?.into_iter().max_by_key(|open| open.until)
}

/// True if two dates can be of one day: a month is any of its days.
pub(crate) fn can_be_same(a: &Day, b: &Day) -> bool {
    a.first() <= b.last() && b.first() <= a.last()
}
