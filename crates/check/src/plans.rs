//! Plans of rounds: the boxes and pumps that each row can count on, and what it lacks. The rules about plans, the list of what is
//! due, and whoever drafts a plan have this in common.

use jiff::civil::Date;
use stainbook_catalog::model::Pump;
use stainbook_catalog::written::tube::PreTubeForm;
use stainbook_catalog::written::{
    BoxContents, Conditions, Count, LimitChoice, PlanEntry, PlannedReading, TubeEntry,
};
use stainbook_catalog::{Book, ListedBox};
use stainbook_document::place::Path;

use crate::boxes::open_until;
use crate::pump_record::{leaked, out_of_tolerance, overdue_checks};
use crate::readings::{NamedSheet, Sheets, has_lot};

/// The rows of a plan with their places.
pub(crate) fn placed(plan: &PlanEntry) -> impl Iterator<Item = (Path, &PlannedReading)> {
    plan.places
        .iter()
        .enumerate()
        .map(|(row, planned)| (Path::root().key("places").index(row), planned))
}

/// The sheets that a row's tube may be used with, by its lot if it names one.
pub(crate) fn sheets_of<'b>(planned: &PlannedReading, book: &'b Book) -> Vec<NamedSheet<'b>> {
    let Some(tube) = planned.tube.as_deref() else {
        return Vec::new();
    };
    let mut sheets = Sheets::of(book).called(tube);
    if let Some(lot) = planned.lot.as_deref() {
        let of_lot = sheets
            .iter()
            .any(|(_, tube)| has_lot(tube, lot) == Some(true));
        sheets.retain(|(_, tube)| has_lot(tube, lot) == of_lot.then_some(true));
    }
    sheets
}

/// The boxes that a row can take tubes from on a day, and those of the tube that cannot serve then.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct PlannedBoxes<'b> {
    /// Those within their date, the one that expires first before the others.
    pub usable: Vec<ListedBox<'b>>,
    /// Those that will have expired.
    pub expired: Vec<ListedBox<'b>>,
}

/// The boxes of a tube, by the name of its sheet or series, that may be there on a day.
pub fn boxes_on<'b>(book: &'b Book, tube: &str, lot: Option<&str>, day: Date) -> PlannedBoxes<'b> {
    boxes_with(book, tube, lot, day, BoxContents::Tubes)
}

fn boxes_with<'b>(
    book: &'b Book,
    tube: &str,
    lot: Option<&str>,
    day: Date,
    contents: BoxContents,
) -> PlannedBoxes<'b> {
    let sheets = Sheets::of(book).called(tube);
    let wanted = |listed: &ListedBox<'_>| {
        let stock = listed.stock;
        let empty = stock.left.as_ref().is_some_and(|left| left.value() == 0);
        stock.contents() == contents
            && !empty
            && lot.is_none_or(|lot| stock.lot.as_deref().map(str::trim) == Some(lot.trim()))
            && sheets.iter().any(|(_, sheet)| {
                // A box of another revision's lots is no box of this sheet, though it is one of the series. Pre-tubes have lots of
                // their own.
                let of_sheet = contents == BoxContents::PreTubes
                    || stock
                        .lot
                        .as_deref()
                        .is_none_or(|lot| has_lot(sheet, lot) != Some(false));
                listed.is_of(sheet) && of_sheet
            })
            && listed.may_be_there_on(day)
    };
    let (expired, mut usable): (Vec<_>, Vec<_>) = book.boxes().filter(wanted).partition(|listed| {
        let expires = listed.stock.expires.as_ref();
        let open = open_until(listed.stock, book);
        expires.is_none_or(|expires| expires.last() < day)
            || open.is_some_and(|open| open.until < day)
    });
    usable.sort_by_key(|listed| {
        let expires = listed.stock.expires.as_ref();
        (
            expires.map(stainbook_catalog::written::Day::last),
            listed.stock.id.clone(),
        )
    });
    PlannedBoxes { usable, expired }
}

/// True if the catalog keeps a stock: without one, no plan can be held against it.
pub fn keeps_stock(book: &Book) -> bool {
    book.boxes().next().is_some()
}

/// Something that a row of a plan lacks for its day.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum PlanLack {
    /// No tube is chosen.
    TubeNotChosen,
    /// No box of the tube is in stock.
    NoBox,
    /// There are boxes, and each will have expired: the last day of the one that keeps longest.
    BoxesExpired(String, Date),
    /// Fewer tubes are left than are planned up to this row.
    TooFewTubes {
        /// Planned up to this row, of this tube.
        planned: u32,
        /// Left in all boxes within their date.
        left: u32,
    },
    /// The tube asks for separate pre-tubes, and no box of those is in stock and within its date.
    NoPreTubes,
    /// No pump is chosen.
    PumpNotChosen,
    /// The pump will have been withdrawn.
    PumpWithdrawn(String),
    /// The pump's own record says that it is off, or its check will be overdue.
    PumpNotReady(String, String),
}

impl PlanLack {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::TubeNotChosen => "no tube is chosen".to_owned(),
            Self::NoBox => "no box of the tube is in stock".to_owned(),
            Self::BoxesExpired(id, day) => {
                format!("every box of the tube will have expired, the last one, `{id}`, on {day}")
            }
            Self::TooFewTubes { planned, left } => {
                format!("{planned} tubes are planned up to here, and {left} are left")
            }
            Self::NoPreTubes => {
                "no box of the pre-tubes that the sheet asks for is in stock and within its date"
                    .to_owned()
            }
            Self::PumpNotChosen => "no pump is chosen".to_owned(),
            Self::PumpWithdrawn(pump) => format!("pump `{pump}` will have been withdrawn"),
            Self::PumpNotReady(pump, why) => format!("pump `{pump}`: {why}"),
        }
    }
}

/// Tubes that a row of a plan lacks for the plan's day, if the catalog keeps a stock.
pub(crate) fn lacks_tubes(
    plan: &PlanEntry,
    row: usize,
    book: &Book,
    day: Date,
) -> Option<PlanLack> {
    let planned = plan.places.get(row)?;
    let tube = planned.tube.as_deref()?;
    if !keeps_stock(book) || Sheets::of(book).called(tube).is_empty() {
        return None;
    }
    let boxes = boxes_on(book, tube, planned.lot.as_deref(), day);
    if boxes.usable.is_empty() {
        let latest = boxes
            .expired
            .iter()
            .filter_map(|listed| Some((listed.stock.expires.as_ref()?.last(), listed)))
            .max_by_key(|(day, _)| *day);
        return Some(match latest {
            Some((day, listed)) => {
                PlanLack::BoxesExpired(listed.stock.id.clone().unwrap_or_default(), day)
            }
            None => PlanLack::NoBox,
        });
    }
    if lacks_pre_tubes(book, tube, day) {
        return Some(PlanLack::NoPreTubes);
    }
    let of_box = |listed: &ListedBox<'_>| {
        let stock = listed.stock;
        stock
            .left
            .as_ref()
            .or(stock.number.as_ref())
            .map(Count::value)
    };
    // Where nobody has counted a box, nobody knows.
    let left: u32 = boxes.usable.iter().map(of_box).sum::<Option<u32>>()?;
    let same = |other: &&PlannedReading| other.tube == planned.tube && other.lot == planned.lot;
    let up_to = plan.places.iter().take(row + 1).filter(same);
    let needed: u32 = up_to
        .map(|row| row.tubes.as_ref().map_or(1, Count::value))
        .fold(0, u32::saturating_add);
    (left < needed).then_some(PlanLack::TooFewTubes {
        planned: needed,
        left,
    })
}

/// True if every sheet of a tube asks for separate pre-tubes and none are there, in a catalog that keeps a stock of such.
fn lacks_pre_tubes(book: &Book, tube: &str, day: Date) -> bool {
    let keeps_some = book
        .boxes()
        .any(|listed| listed.stock.contents() == BoxContents::PreTubes);
    let asks = |sheet: &TubeEntry| {
        let pre_tube = sheet.pre_tube();
        pre_tube.is_some_and(|pre_tube| pre_tube.form == Some(PreTubeForm::SeparateTube))
    };
    let sheets = Sheets::of(book).called(tube);
    keeps_some
        && sheets.iter().all(|(_, sheet)| asks(sheet))
        && boxes_with(book, tube, None, day, BoxContents::PreTubes)
            .usable
            .is_empty()
}

/// Reason why a pump is not to be used on the day of a plan, by its own record. A check that is only overdue is known today by its
/// interval; one that fails is not.
pub(crate) fn pump_lacks(pump: &Pump, day: Date) -> Option<PlanLack> {
    let id = || pump.id.clone();
    if pump.withdrawn.is_some_and(|since| since <= day) {
        return Some(PlanLack::PumpWithdrawn(id()));
    }
    let not_ready = |why: &str| Some(PlanLack::PumpNotReady(id(), why.to_owned()));
    if out_of_tolerance(pump, day).is_some() {
        return not_ready("its last volume check found it off");
    }
    if leaked(pump, day).is_some() {
        return not_ready("it leaked in its last leak test");
    }
    if pump.last_repair(day).is_some() && pump.last_volume_check(day).is_none() {
        return not_ready("no volume check since its repair");
    }
    if !overdue_checks(pump, day).is_empty() {
        return not_ready("a check will be overdue");
    }
    None
}

/// True if a pump can be counted on for a day, by its own record.
pub fn is_pump_ready(pump: &Pump, day: Date) -> bool {
    pump_lacks(pump, day).is_none()
}

/// Everything that a row lacks for the plan's day.
pub fn lacks(plan: &PlanEntry, row: usize, book: &Book, day: Date) -> Vec<PlanLack> {
    let Some(planned) = plan.places.get(row) else {
        return Vec::new();
    };
    let tube = match &planned.tube {
        None => Some(PlanLack::TubeNotChosen),
        Some(_) => lacks_tubes(plan, row, book, day),
    };
    let pump = match planned.pump.as_deref() {
        None => Some(PlanLack::PumpNotChosen),
        Some(id) => book
            .pump_model(id)
            .ok()
            .and_then(|pump| pump_lacks(&pump, day)),
    };
    tube.into_iter().chain(pump).collect()
}

/// The day of a plan, where it is one day; of a month nobody knows which is meant, and its last counts, by which most will have
/// expired.
pub fn day_of(plan: &PlanEntry) -> Option<Date> {
    plan.day.as_ref().map(stainbook_catalog::written::Day::last)
}

/// The conditions of a row: its own, else those of the plan. A row that states its own altitude or sea-level pressure is at
/// another place, where the plan's station pressure does not hold.
pub fn conditions_of(plan: &PlanEntry, planned: &PlannedReading) -> Conditions {
    planned.conditions.or_general(&plan.conditions)
}

/// A limit in as many words as tell it apart: `US NIOSH ceiling`.
pub fn limit_words(choice: &LimitChoice) -> String {
    let kind = choice.kind.map(|kind| kind.name().to_owned());
    let whose = choice.authority.clone().or_else(|| choice.source.clone());
    whose.into_iter().chain(kind).collect::<Vec<_>>().join(" ")
}
