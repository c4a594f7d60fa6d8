//! Finding a substance by what people call it.
//!
//! A CAS number, a short name, a name or a synonym finds its substance, however capitals, hyphens, blanks, Greek
//! letters and `sulph` are written; so does `ortho-` for `o-` or `xylene, o-`. Nothing is guessed beyond that: a name
//! that several isomers share is answered with all of them, the name of a group with what the group may be expressed
//! as, and a slip with the names that come nearest.
//!
//! The catalog's own entries come first, then those of the catalogs it builds on, then the embedded reference.

mod folding;
mod isomers;
mod ranking;

use std::fmt;
use std::sync::OnceLock;

use crate::Book;
use crate::written::{GroupEntry, SubstanceEntry};
pub use folding::{folded, name_number};
pub use isomers::without_position;
use stainbook_document::did_you_mean::distance;

use folding::Folded;

/// No one substance goes by that name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct NoSuchSubstance {
    /// The name that was looked for.
    pub wanted: String,
    /// Names that come near, nearest first; where the name is ambiguous, all that it may stand for.
    pub near: Vec<String>,
    /// The short names of the substances that share the name, if it is ambiguous: one of them has to be chosen.
    pub could_be: Vec<String>,
    /// The short name of the group, if it is the name of a group. `could_be` then holds what a total of the group may
    /// be expressed as.
    pub group: Option<String>,
}

impl fmt::Display for NoSuchSubstance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wanted = &self.wanted;
        if self.group.is_some() {
            return write!(
                f,
                "`{wanted}` is a group, not one substance; its total may be expressed as {}",
                self.could_be.join(", ")
            );
        }
        if self.could_be.is_empty() {
            return write!(f, "no substance is called `{wanted}`");
        }
        write!(f, "`{wanted}` may be any of {}", self.could_be.join(", "))
    }
}

impl std::error::Error for NoSuchSubstance {}

/// The names of a book's own substances, folded and in order, each with the short name of its substance.
#[derive(Debug, Default)]
pub(crate) struct OwnNames {
    folded: OnceLock<Vec<(String, String)>>,
}

impl OwnNames {
    fn of<'a>(&'a self, book: &Book) -> &'a [(String, String)] {
        self.folded.get_or_init(|| {
            let mut names = Vec::new();
            // Own entries before those of the catalogs they build on: the sort below keeps their order.
            let own = book.entries().iter().filter(|entry| !entry.background);
            let background = book.entries().iter().filter(|entry| entry.background);
            for entry in own.chain(background) {
                let Some(substance) = entry.substance() else {
                    continue;
                };
                names.extend(
                    substance
                        .cas
                        .iter()
                        .cloned()
                        .chain(spoken(substance).map(|name| folded(name)))
                        .chain([folded(entry.id())])
                        .map(|name| (name, entry.id().to_owned())),
                );
            }
            names.sort_by(|a, b| a.0.cmp(&b.0));
            names
        })
    }
}

fn spoken(substance: &SubstanceEntry) -> impl Iterator<Item = &String> {
    [&substance.name, &substance.substance]
        .into_iter()
        .flatten()
        .chain(&substance.also_called)
}

pub(crate) fn substance<'b>(
    book: &'b Book,
    wanted: &str,
) -> Result<&'b SubstanceEntry, NoSuchSubstance> {
    let wanted = wanted.trim();
    known(book, wanted).ok_or_else(|| match cas_in_words(wanted) {
        Some(number) => unknown(book, &number),
        None => unknown(book, wanted),
    })
}

/// The substance of that name without a look at what else may be meant, which is what takes long.
pub(crate) fn known<'b>(book: &'b Book, wanted: &str) -> Option<&'b SubstanceEntry> {
    let wanted = wanted.trim();
    if let Some(found) = exactly(book, wanted) {
        return Some(found);
    }
    if let Some(number) = cas_in_words(wanted) {
        return exactly(book, &number);
    }
    if is_cas(wanted) {
        return None;
    }
    isomers::respelt(wanted)
        .into_iter()
        .find_map(|spelling| by_key(book, &spelling))
}

fn exactly<'b>(book: &'b Book, wanted: &str) -> Option<&'b SubstanceEntry> {
    // A CAS number is told apart by its hyphens: `630-08-0` and `63008-0` are not the same.
    let found = if is_cas(wanted) {
        by_key(book, wanted)
    } else {
        by_key(book, Folded::of(wanted).as_str())
    };
    found.or_else(|| book.substance(wanted))
}

fn by_key<'b>(book: &'b Book, key: &str) -> Option<&'b SubstanceEntry> {
    if book.has_substances() {
        let own = book.own_names().of(book);
        let first = own.partition_point(|(name, _)| name.as_str() < key);
        if let Some((_, id)) = own.get(first).filter(|(name, _)| name == key) {
            return book.substance(id);
        }
    }
    let reference = book.reference()?;
    let place = reference.place_of(key)?;
    if book.has_substances() {
        // An own entry of the same short name counts, whatever the reference calls its substance.
        return book.substance(reference.id_at(place)?);
    }
    reference.substance_at(place)
}

fn unknown(book: &Book, wanted: &str) -> NoSuchSubstance {
    let answer = NoSuchSubstance {
        wanted: wanted.to_owned(),
        ..NoSuchSubstance::default()
    };
    if is_cas(wanted) {
        return NoSuchSubstance {
            near: ranking::cas_numbers(book, wanted),
            ..answer
        };
    }
    let bare = without_position(wanted);
    let alike = isomers_of(book, &bare);
    if alike.len() > 1 && !isomers::has_position(wanted) {
        let near = alike
            .iter()
            .filter_map(|id| book.substance(id))
            .filter_map(|entry| entry.name.clone())
            .collect();
        return NoSuchSubstance {
            near,
            could_be: alike,
            ..answer
        };
    }
    if let Some(group) = group(book, &folded(wanted)) {
        return NoSuchSubstance {
            near: group.expressed_as.clone(),
            could_be: group.expressed_as.clone(),
            group: group.group.clone(),
            ..answer
        };
    }
    let alike = alike.iter().filter_map(|id| book.substance(id));
    let mut near: Vec<String> = alike.filter_map(|entry| entry.name.clone()).collect();
    near.truncate(MOST_SUGGESTIONS);
    for name in ranking::names(book, wanted) {
        let same = near.iter().any(|known| {
            let id = |name: &str| exactly(book, name).and_then(|entry| entry.substance.as_deref());
            known == &name || id(known) == id(&name)
        });
        if near.len() < MOST_SUGGESTIONS && !same {
            near.push(name);
        }
    }
    NoSuchSubstance { near, ..answer }
}

/// More suggestions than this are no help.
const MOST_SUGGESTIONS: usize = 3;

/// The short names of all substances that have this name once what tells isomers apart is taken off.
fn isomers_of(book: &Book, bare: &str) -> Vec<String> {
    if bare.is_empty() {
        return Vec::new();
    }
    let mut ids: Vec<String> = book
        .entries()
        .iter()
        .filter(|entry| {
            entry.substance().is_some_and(|substance| {
                spoken(substance).any(|name| without_position(name) == bare)
            })
        })
        .map(|entry| entry.id().to_owned())
        .collect();
    if let Some(reference) = book.reference() {
        for place in reference.isomers(bare) {
            ids.extend(reference.id_at(*place).map(str::to_owned));
        }
        let exact = reference.by_name(bare);
        ids.extend(exact.map(str::to_owned));
    }
    ids.sort_unstable();
    ids.dedup();
    ids
}

/// The group of this folded name.
fn group<'b>(book: &'b Book, key: &str) -> Option<&'b GroupEntry> {
    book.ids(crate::EntryKind::Group)
        .into_iter()
        .filter_map(|id| book.group(id))
        .find(|group| {
            [&group.group, &group.name]
                .into_iter()
                .flatten()
                .chain(&group.also_called)
                .any(|name| folded(name) == key)
        })
}

fn is_cas(text: &str) -> bool {
    text.contains('-') && text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
}

/// The number of `CAS 630-08-0`, or of `630–08–0` as a word processor writes it.
fn cas_in_words(text: &str) -> Option<String> {
    let bare = match text.get(..3) {
        Some(first) if first.eq_ignore_ascii_case("cas") => text
            .get(3..)?
            .trim_start_matches([' ', ':', '#', '-'])
            .trim_start_matches("RN")
            .trim_start_matches("No.")
            .trim(),
        _ => text,
    };
    // Most names are no number, and that shows at once.
    if !bare.starts_with(|first: char| first.is_ascii_digit()) {
        return None;
    }
    let number = bare.replace(['–', '‐', '‑', '−'], "-");
    (number != text && is_cas(&number)).then_some(number)
}

/// Up to three of the names, nearest first, that are at most a third of their length away.
pub fn nearest(key: &str, names: &[String]) -> Vec<String> {
    let mut ranked: Vec<(usize, &String)> = names
        .iter()
        .map(|name| (distance(key, &folded(name)), name))
        .filter(|(distance, name)| *distance * 3 <= folded(name).chars().count().max(3))
        .collect();
    ranked.sort();
    ranked.dedup_by(|a, b| a.1 == b.1);
    ranked
        .into_iter()
        .take(MOST_SUGGESTIONS)
        .map(|(_, name)| name.clone())
        .collect()
}
