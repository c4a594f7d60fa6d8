//! The places of an entry where another entry is named, and what is understood there.
//!
//! The one list of these places: the rules about references go through it, and so does the book, which puts the short name of
//! a substance in the place of any other name of it when it is put together. Everything behind the book sees short names.

use std::borrow::Cow;
use std::fmt;

use stainbook_document::place::Path;

use crate::search::NamedBy;
use crate::written::Reading;
use crate::{Book, Entry, EntryKind, WrittenEntry};

mod walk;

pub use walk::for_each;
use walk::{for_each_mut, for_each_of, for_each_of_mut};

/// One reference; its path is made only when somebody has something to say about it.
#[derive(Clone, Copy)]
pub struct Reference<'r, Name = &'r str> {
    /// The kind of entry that is meant.
    pub kind: EntryKind,
    /// The name that is written.
    pub id: Name,
    /// True if a group may stand in the place of a substance.
    pub or_group: bool,
    /// Path of the reference.
    pub path: &'r dyn Fn() -> Path,
}

impl<'r> Reference<'r, &'r String> {
    /// The same with its name as text.
    fn by_text(self) -> Reference<'r> {
        Reference {
            kind: self.kind,
            id: self.id,
            or_group: self.or_group,
            path: self.path,
        }
    }
}

impl<Name: fmt::Debug> fmt::Debug for Reference<'_, Name> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Reference")
            .field("kind", &self.kind)
            .field("id", &self.id)
            .field("or_group", &self.or_group)
            .field("path", &(self.path)())
            .finish()
    }
}

/// A substance that an entry names otherwise than by its short name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedOtherwise {
    /// Path of the name.
    pub path: Path,
    /// The name as it is written.
    pub written: String,
    /// The short name of what is meant.
    pub id: String,
    /// Kind of name that is written; none for a group.
    pub by: Option<NamedBy>,
}

/// `630-08-0` is understood as `carbon-monoxide`, by its CAS number.
impl fmt::Display for NamedOtherwise {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { written, id, .. } = self;
        write!(f, "`{written}` is understood as `{id}`, ")?;
        match &self.by {
            Some(by) => write!(f, "by {by}"),
            None => f.write_str("by the name of the group"),
        }
    }
}

impl Entry {
    /// Puts short names in the place of other names of substances, as far as these mean one, and keeps what was written. What
    /// was understood with another book before is forgotten.
    pub fn understand_names(&mut self, book: &Book) {
        self.forget_understood();
        let named = named_otherwise(&self.written, book);
        self.put_understood(named);
    }

    pub(crate) fn forget_understood(&mut self) {
        let named = std::mem::take(&mut self.named_otherwise);
        replace(&mut self.written, named.iter(), |one| {
            (&one.id, &one.written)
        });
    }

    pub(crate) fn put_understood(&mut self, named: Vec<NamedOtherwise>) {
        replace(&mut self.written, named.iter(), |one| {
            (&one.written, &one.id)
        });
        self.named_otherwise = named;
    }
}

/// The substances of an entry that are named otherwise than by their short names, in the order of its places.
pub(crate) fn named_otherwise(entry: &WrittenEntry, book: &Book) -> Vec<NamedOtherwise> {
    let mut named = Vec::new();
    for_each(entry, &mut |reference| {
        named.extend(understood(&reference, book));
    });
    named
}

/// The same of a reading that is in no entry, such as a row of a table. Its paths begin with the reading.
pub fn named_in_reading(reading: &Reading, book: &Book) -> Vec<NamedOtherwise> {
    let mut named = Vec::new();
    for_each_of(reading, &mut |reference| {
        named.extend(understood(&reference.by_text(), book));
    });
    named
}

/// A reading with short names in the place of other names, and what these were.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_catalog::references::with_short_names;
/// use stainbook_catalog::written::Reading;
///
/// let (book, _) = Book::read([]);
/// let mut reading = Reading::default();
/// reading.substance = Some("630-08-0".to_owned());
/// let (understood, named) = with_short_names(&reading, &book);
/// assert_eq!(named[0].to_string(), "`630-08-0` is understood as `carbon-monoxide`, by its CAS number");
/// assert_eq!(understood.substance.as_deref(), Some("carbon-monoxide"));
/// ```
pub fn with_short_names<'r>(
    reading: &'r Reading,
    book: &Book,
) -> (Cow<'r, Reading>, Vec<NamedOtherwise>) {
    let named = named_in_reading(reading, book);
    if named.is_empty() {
        return (Cow::Borrowed(reading), named);
    }
    let mut reading = reading.clone();
    put(named.iter(), |one| (&one.written, &one.id), &mut |tell| {
        for_each_of_mut(&mut reading, tell);
    });
    (Cow::Owned(reading), named)
}

/// The meaning of another name of a substance than its short name; nothing where it is that, or means no one substance.
fn understood(reference: &Reference<'_>, book: &Book) -> Option<NamedOtherwise> {
    let written = reference.id;
    if reference.kind != EntryKind::Substance
        || book.knows(EntryKind::Substance, written)
        || reference.or_group && book.knows(EntryKind::Group, written)
    {
        return None;
    }
    let (id, by) = match book.understand_substance(written) {
        Ok(understood) => (understood.entry.substance.clone()?, Some(understood.by)),
        Err(none) => (none.group.filter(|_| reference.or_group)?, None),
    };
    Some(NamedOtherwise {
        path: (reference.path)(),
        written: written.to_owned(),
        id,
        by,
    })
}

/// Replaces the names at these places of an entry.
fn replace<'n>(
    entry: &mut WrittenEntry,
    named: impl Iterator<Item = &'n NamedOtherwise>,
    change: impl Fn(&'n NamedOtherwise) -> (&'n String, &'n String),
) {
    put(named, change, &mut |tell| for_each_mut(entry, tell));
}

/// Changes the name at a place.
type Change<'c> = dyn FnMut(Reference<'_, &mut String>) + 'c;

/// Goes through places and replaces the names at some of them, which are in the same order.
fn put<'n>(
    mut named: impl Iterator<Item = &'n NamedOtherwise>,
    change: impl Fn(&'n NamedOtherwise) -> (&'n String, &'n String),
    go_through: &mut dyn FnMut(&mut Change<'_>),
) {
    let mut next = named.next();
    if next.is_none() {
        return;
    }
    go_through(&mut |reference| {
        let Some(one) = next else { return };
        let (from, to) = change(one);
        if reference.id == from && (reference.path)() == one.path {
            reference.id.clone_from(to);
            next = named.next();
        }
    });
}
