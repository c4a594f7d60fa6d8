//! Boxes in stock: where a survey names a lot and no expiry, the box of that lot stands in for it, never against what the survey
//! says.

use std::rc::Rc;

use stainbook_catalog::written::{
    BoxContents, Day, Moment, PreTubeUsed, Reading, StockBoxEntry, TubeEntry,
};
use stainbook_catalog::{Book, ListedBox};

/// A box that stands in, with no more of it than the result depends on.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BoxInStock(Rc<StockBoxEntry>);

impl BoxInStock {
    /// Its short name.
    pub(crate) fn id(&self) -> &str {
        self.0.id.as_deref().unwrap_or_default()
    }

    /// Its expiry.
    pub(crate) fn expires(&self) -> Option<&Day> {
        self.0.expires.as_ref()
    }

    /// Name and lot, by which it is told from every other: two boxes of one name are an error, and happen.
    pub(crate) fn key(&self) -> String {
        format!(
            "{} {}",
            self.id(),
            self.0.lot.as_deref().unwrap_or_default()
        )
    }

    /// The facts of it that a result depends on.
    pub(crate) fn facts(&self) -> &StockBoxEntry {
        &self.0
    }
}

/// Boxes that stand in for what a reading does not say.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct StandIns {
    pub(crate) tube: Option<BoxInStock>,
    pub(crate) pre_tube: Option<BoxInStock>,
}

impl StandIns {
    /// The boxes in stock that a reading needs.
    pub(crate) fn of(book: &Book, sheet: &TubeEntry, reading: &Reading) -> Self {
        let find = |lot: Option<&String>, expires: Option<&Day>, contents| match (lot, expires) {
            (Some(lot), None) => found(book, sheet, reading, lot, contents),
            _ => None,
        };
        let pre_tube = reading.pre_tube.as_ref();
        let of_pre_tube = |used: &PreTubeUsed| {
            let own_expiry = sheet.pre_tube().and_then(|sheet| sheet.has_own_expiry);
            let lot = used.lot.as_ref().filter(|_| own_expiry == Some(true));
            find(lot, used.expires.as_ref(), BoxContents::PreTubes)
        };
        Self {
            tube: find(
                reading.lot.as_ref(),
                reading.expires.as_ref(),
                BoxContents::Tubes,
            ),
            pre_tube: pre_tube.and_then(of_pre_tube),
        }
    }

    /// Those that there are.
    pub(crate) fn all(&self) -> impl Iterator<Item = &BoxInStock> {
        self.tube.iter().chain(&self.pre_tube)
    }
}

/// The box of a lot that expires first, of those that may have been there on the day. If two of them expire on different days
/// one was copied wrong, and none stands in.
fn found(
    book: &Book,
    sheet: &TubeEntry,
    reading: &Reading,
    lot: &str,
    contents: BoxContents,
) -> Option<BoxInStock> {
    let day = reading.at.as_ref().map(Moment::date)?;
    let mut boxes: Vec<(&Day, &StockBoxEntry)> = book
        .boxes_of_lot(lot)
        .filter(|listed: &ListedBox<'_>| {
            listed.stock.contents() == contents
                && listed.is_of(sheet)
                && listed.may_be_there_on(day)
        })
        .filter_map(|listed| Some((listed.stock.expires.as_ref()?, listed.stock)))
        .collect();
    boxes.sort_by_key(|(expires, stock)| (expires.last(), stock.id.as_deref()));
    let (expires, first) = boxes.first()?;
    let (latest, _) = boxes.last()?;
    if expires.last() < latest.first() {
        return None;
    }
    // What may change of a box after the reading is no fact of the result.
    Some(BoxInStock(Rc::new(StockBoxEntry {
        id: Some(first.id.clone()?),
        tube: first.tube.clone(),
        holds: first.holds,
        lot: first.lot.clone(),
        expires: first.expires.clone(),
        ..StockBoxEntry::default()
    })))
}
