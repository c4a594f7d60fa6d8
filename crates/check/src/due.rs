//! The list of what is due: boxes that expire, checks of pumps that are overdue or failed, sheets to be reviewed, exceptions that
//! end, plans that lack something.
//!
//! Nothing here knows the day: it is handed in.

use jiff::Span;
use jiff::civil::Date;
use serde::Serialize;
use stainbook_catalog::{Book, Entry};

mod boxes;
mod plans;
mod pumps;
mod reviews;

/// Question for the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DueWhen {
    /// The day by which dates are judged.
    pub as_of: Date,
    /// Days ahead of it that are looked at as well.
    pub within_days: u32,
}

impl DueWhen {
    /// On a day, with so many days ahead.
    pub fn new(as_of: Date, within_days: u32) -> Self {
        Self { as_of, within_days }
    }

    /// The last day that is looked at.
    fn until(self) -> Date {
        let ahead = Span::new().days(i64::from(self.within_days).min(LONGEST_LOOK));
        self.as_of.checked_add(ahead).unwrap_or(Date::MAX)
    }

    /// The state of what holds up to a day; nothing if that lies further ahead than is looked.
    fn state(self, last_day: Date, past: DueState) -> Option<DueState> {
        if last_day < self.as_of {
            Some(past)
        } else {
            (last_day <= self.until()).then_some(DueState::Coming)
        }
    }
}

/// Days of ten thousand years, beyond which no calendar goes.
const LONGEST_LOOK: i64 = 3_652_500;

/// Everything that is due on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct DueList {
    /// The day by which dates were judged.
    pub as_of: String,
    /// Days ahead of it that were looked at as well.
    pub within_days: u32,
    /// The items: what is past or failed before what is still to come, then by day.
    pub items: Vec<DueItem>,
}

impl DueList {
    /// True if something is past its day, failed or missing, and not only to come.
    pub fn is_anything_past(&self) -> bool {
        self.items.iter().any(|item| item.state != DueState::Coming)
    }
}

/// One thing that is due.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct DueItem {
    /// Its state on the day.
    pub state: DueState,
    /// Kind of thing.
    pub what: DueKind,
    /// Short name of the box, pump, sheet or other entry that it is about.
    pub about: String,
    /// The last day on which all is well, the day of the check that failed or of the plan; nothing where there is no day.
    pub day: Option<String>,
    /// In words.
    pub text: String,
    /// Remedy.
    pub remedy: String,
    /// File that says so.
    pub file: String,
    /// Name of the item that stays the same from day to day, so that a calendar knows it again.
    pub id: String,
}

/// State of something that is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum DueState {
    /// A check found that it is not well.
    Failed,
    /// Its date is over.
    Expired,
    /// It ought to have been done by now.
    Overdue,
    /// It is not there.
    Missing,
    /// It comes within the days that are looked ahead.
    Coming,
}

impl DueState {
    /// As one word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Failed => "failed",
            Self::Expired => "expired",
            Self::Overdue => "overdue",
            Self::Missing => "missing",
            Self::Coming => "coming",
        }
    }
}

/// Kind of thing that is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum DueKind {
    /// A box of tubes expires.
    Box,
    /// A box of pre-tubes expires.
    PreTubes,
    /// The volume of a pump's stroke is to be checked.
    VolumeCheck,
    /// A pump is to be tested for leaks.
    LeakTest,
    /// A sheet is to be compared with the newest leaflet.
    Review,
    /// An accepted finding is accepted no longer.
    Exception,
    /// A plan lacks something for its day.
    Plan,
}

impl DueKind {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Box => "box",
            Self::PreTubes => "pre-tubes",
            Self::VolumeCheck => "volume check",
            Self::LeakTest => "leak test",
            Self::Review => "review",
            Self::Exception => "exception",
            Self::Plan => "plan",
        }
    }
}

/// Everything that is due in a catalog's own entries.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_check::due::{DueState, DueWhen, due};
///
/// let stock = SourceFile::new("b-1.box.yaml", "box: b-1\ntube: quay-co\nlot: 24-117\nexpires: 2026-12\n");
/// let (book, _) = Book::read([stock]);
/// let on = |day: &str| due(&book, DueWhen::new(day.parse().unwrap(), 60)).items;
/// assert_eq!(on("2026-11-01")[0].state, DueState::Coming);
/// assert_eq!(on("2027-01-01")[0].state, DueState::Expired);
/// assert!(on("2026-10-31").is_empty());
/// ```
pub fn due(book: &Book, when: DueWhen) -> DueList {
    let mut items = Vec::new();
    for entry in book.own() {
        boxes::add(book, entry, when, &mut items);
        pumps::add(book, entry, when, &mut items);
        plans::add(book, entry, when, &mut items);
        reviews::add(book, entry, when, &mut items);
    }
    items.sort_by(|a: &DueItem, b| {
        let order = |item: &DueItem| {
            let coming = item.state == DueState::Coming;
            (coming, item.day.clone(), item.what, item.id.clone())
        };
        order(a).cmp(&order(b))
    });
    DueList {
        as_of: when.as_of.to_string(),
        within_days: when.within_days,
        items,
    }
}

/// A name for an item: the kind of thing, and the parts that tell it from others of that kind.
fn item_id(what: DueKind, parts: &[&str]) -> String {
    let kind = what.name().replace(' ', "-");
    let parts = parts.iter().map(|part| {
        let plain = |c: char| {
            if c.is_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        };
        part.chars().map(plain).collect::<String>()
    });
    std::iter::once(kind)
        .chain(parts)
        .collect::<Vec<_>>()
        .join(".")
}

fn file_of(entry: &Entry) -> String {
    entry.path.clone()
}
