//! Two states of a catalog: what changed in meaning, and what that does to results.

use crate::effects::{Revision, of_sheet, of_substance, of_survey};
use crate::pairing::paired;
use stainbook_catalog::{Book, Entry, EntryKind, WrittenEntry};
use stainbook_check::compare::{Scope, compare};
mod entries;

pub use entries::{Added, Changed, Changes, Named};

/// One state: a catalog, and which of its entries are looked at.
#[derive(Clone, Debug)]
pub struct State<'b> {
    /// The catalog, in which references are followed.
    pub book: &'b Book,
    /// The entries.
    pub entries: Vec<&'b Entry>,
}

impl<'b> State<'b> {
    /// All entries of a catalog's own.
    pub fn whole(book: &'b Book) -> Self {
        Self {
            book,
            entries: book.own().collect(),
        }
    }
}

/// Changes between two states. Entries are the same if they have kind and short name in common; one that is gone and one
/// that is new are the same under another name if they say the same.
///
/// If each state is one entry of the same kind, the two are taken for one entry in two states, whatever their names.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_revision::changes::{State, changes};
///
/// let book = |limit: &str| {
///     let text = format!("substance: quay-gas\nname: quay gas\nformula: NH3\nlimits:\n  - {{kind: short-term, at_most: {limit}, source: niosh-pocket-guide}}\n");
///     Book::read([SourceFile::new("quay-gas.substance.yaml", text)]).0
/// };
/// let (old, new) = (book("35 ppm"), book("25 ppm"));
/// let found = changes(&State::whole(&old), &State::whole(&new));
/// let moved = &found.changed[0].substance.as_ref().map(|effects| effects.limits.clone()).unwrap_or_default();
/// assert_eq!((moved[0].old_ppm, moved[0].new_ppm), (Some(35.0), Some(25.0)));
/// ```
pub fn changes<'b>(old: &State<'b>, new: &State<'b>) -> Changes<'b> {
    let mut found = Changes::default();
    let (old_entries, new_entries) = (old.entries.iter().copied(), new.entries.iter().copied());
    let one_each = matches!(
        (old.entries.as_slice(), new.entries.as_slice()),
        ([a], [b]) if a.kind == b.kind
    );
    let (by_name, come) = paired(old_entries, new_entries, |a, b| {
        one_each || a.kind == b.kind && a.id() == b.id()
    });
    let gone = by_name.iter().filter(|pair| pair.1.is_none());
    let (by_content, come) = paired(gone.map(|pair| pair.0), come, |a, b| {
        a.kind == b.kind && compare(a.kind, &a.document, &b.document, Scope::Leaflet).is_empty()
    });
    let pairs = by_name.iter().chain(&by_content);
    for (a, b) in pairs.filter_map(|(a, b)| Some((*a, (*b)?))) {
        let differences = compare(a.kind, &a.document, &b.document, Scope::Everything);
        if differences.is_empty() && a.id() == b.id() {
            continue;
        }
        let sheet = (a.kind == EntryKind::Tube).then(|| {
            let was = Revision {
                book: old.book,
                sheet: a.id(),
            };
            let is = Revision {
                book: new.book,
                sheet: b.id(),
            };
            of_sheet(was, is)
        });
        let substance = (a.kind == EntryKind::Substance && a.id() == b.id())
            .then(|| of_substance(old.book, new.book, b.id()));
        found.changed.push(Changed {
            old: named(a),
            new: named(b),
            old_document: &a.document,
            new_document: &b.document,
            differences,
            sheet,
            substance,
        });
    }
    let come = come.into_iter();
    found.added = come.map(|entry| added(entry, old, new)).collect();
    let gone = by_content.iter().filter(|pair| pair.1.is_none());
    found.removed = gone.map(|pair| named(pair.0)).collect();
    found.surveys = new
        .book
        .surveys()
        .flat_map(|(_, survey)| of_survey(old.book, new.book, survey))
        .collect();
    found
}

fn named(entry: &Entry) -> Named<'_> {
    Named {
        kind: entry.kind,
        id: entry.id(),
        file: &entry.path,
    }
}

/// A new entry; a sheet that takes the place of one that the old state has, with what that does.
fn added<'b>(entry: &'b Entry, old: &State<'b>, new: &State<'b>) -> Added<'b> {
    let replaces = match &entry.written {
        WrittenEntry::Tube(tube) => tube.replaces.as_deref(),
        _ => None,
    };
    let replaces = replaces
        .filter(|sheet| old.book.tube(sheet).is_some())
        .map(|sheet| {
            let was = Revision {
                book: old.book,
                sheet,
            };
            let is = Revision {
                book: new.book,
                sheet: entry.id(),
            };
            (sheet, of_sheet(was, is))
        });
    Added {
        entry: named(entry),
        replaces,
    }
}
