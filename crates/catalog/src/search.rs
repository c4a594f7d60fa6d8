//! Finding a substance by what people call it.
//!
//! A CAS number, a short name, a name or a synonym finds its substance, however capitals, hyphens, blanks, Greek
//! letters and `sulph` are written; so does `ortho-` for `o-` or `xylene, o-`. A formula finds it with the capitals of its
//! elements, in Hill's order or any other. Nothing is guessed beyond that: what means several substances, a name that isomers
//! share, a formula of several, a word for two things in two languages, is answered with all of them, the name of a group
//! with what the group may be expressed as, and a slip with the names that come nearest.
//!
//! This is the only place that makes a substance of a text. The catalog's own entries, those of the catalogs it builds on, and
//! the embedded reference are looked through together.

mod folding;
mod formulas;
mod isomers;
mod named_by;
mod own_names;
mod ranking;

use std::fmt;

use crate::book::Book;
use crate::embedded::SubstanceIndex;
use crate::written::{GroupEntry, SubstanceEntry};
pub use folding::{folded, name_number};
pub use formulas::plain as plain_formula;
pub use isomers::without_position;
pub(crate) use named_by::understood;
pub use named_by::{NamedBy, Understood, language};
pub(crate) use own_names::OwnNames;
use stainbook_core::CasNumber;
use stainbook_document::did_you_mean::distance;

use folding::Folded;
use own_names::{Means, Named};

/// No one substance goes by that name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct NoSuchSubstance {
    /// The name that was looked for.
    pub wanted: String,
    /// Names that come near, nearest first; where the name is ambiguous, all that it may stand for.
    pub near: Vec<String>,
    /// The short names of the substances that share the name, if it is ambiguous: one of them has to be chosen. A group that has
    /// the name as well is among them.
    pub could_be: Vec<String>,
    /// The short name of the group, if it is the name of a group and of nothing else. `could_be` then holds what a total of
    /// the group may be expressed as.
    pub group: Option<String>,
    told: Box<Told>,
}

/// Further words about a name that is not understood.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Told {
    described: Vec<String>,
    because: Option<String>,
}

impl NoSuchSubstance {
    /// Each of `could_be` with a few words that tell it from the others: its formula, or that it is a group.
    pub fn described(&self) -> &[String] {
        &self.told.described
    }

    /// Reason why the text is not what it comes near to: a formula with other capitals, a CAS number with a slip.
    pub fn because(&self) -> Option<&str> {
        self.told.because.as_deref()
    }
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
            write!(f, "no substance is called `{wanted}`")?;
            return match self.because() {
                Some(because) => write!(f, ": {because}"),
                None => Ok(()),
            };
        }
        write!(
            f,
            "`{wanted}` may be any of {}",
            self.described().join(", ")
        )
    }
}

impl std::error::Error for NoSuchSubstance {}

fn spoken(substance: &SubstanceEntry) -> impl Iterator<Item = &String> {
    [&substance.name, &substance.substance]
        .into_iter()
        .flatten()
        .chain(&substance.also_called)
        .chain(substance.names.iter().filter_map(|row| row.name.as_ref()))
}

fn spoken_of_group(group: &GroupEntry) -> impl Iterator<Item = &String> {
    [&group.group, &group.name]
        .into_iter()
        .flatten()
        .chain(&group.also_called)
        .chain(group.names.iter().filter_map(|row| row.name.as_ref()))
}

pub(crate) fn substance<'b>(
    book: &'b Book,
    wanted: &str,
) -> Result<&'b SubstanceEntry, NoSuchSubstance> {
    let wanted = wanted.trim();
    match find(book, wanted) {
        SearchOutcome::One(entry) => Ok(entry),
        SearchOutcome::Several(several) => Err(ambiguous(book, wanted, &several)),
        SearchOutcome::OtherCapitals(entry) => Err(other_capitals(wanted, entry)),
        SearchOutcome::Nothing => Err(match cas_in_words(wanted) {
            Some(number) => unknown(book, &number),
            None => unknown(book, wanted),
        }),
    }
}

/// The substance of that name without a look at what else may be meant, which is what takes long.
pub(crate) fn known<'b>(book: &'b Book, wanted: &str) -> Option<&'b SubstanceEntry> {
    match find(book, wanted.trim()) {
        SearchOutcome::One(entry) => Some(entry),
        _ => None,
    }
}

/// Outcome of a look through all names, CAS numbers and formulas.
enum SearchOutcome<'b> {
    One(&'b SubstanceEntry),
    /// Several go by it, in the order in which they are to be named.
    Several(Vec<Means>),
    /// The text has the letters of the formula of this one, but not its capitals, and may be another formula.
    OtherCapitals(&'b SubstanceEntry),
    Nothing,
}

fn find<'b>(book: &'b Book, wanted: &str) -> SearchOutcome<'b> {
    let number = cas_in_words(wanted);
    let wanted = number.as_deref().unwrap_or(wanted);
    // A CAS number is told apart by its hyphens: `630-08-0` and `63008-0` are not the same.
    if is_cas(wanted) {
        return by_key(book, wanted, wanted);
    }
    let found = match by_key(book, Folded::of(wanted).as_str(), wanted) {
        SearchOutcome::Nothing => book
            .substance(wanted)
            .map_or(SearchOutcome::Nothing, |entry| named(entry, wanted)),
        found => found,
    };
    match found {
        SearchOutcome::Nothing => {}
        SearchOutcome::One(entry) => return alone(book, entry, wanted),
        found => return found,
    }
    for spelling in isomers::respelt(wanted) {
        let found = by_key(book, &spelling, wanted);
        if !matches!(found, SearchOutcome::Nothing) {
            return found;
        }
    }
    by_formula(book, wanted)
}

/// The substance of a folded name or a CAS number, or all that share it. An exact short name wins over everything.
fn by_key<'b>(book: &'b Book, key: &str, wanted: &str) -> SearchOutcome<'b> {
    let own = book.own_names().of(book).named(key);
    let reference = book.reference();
    if own.is_empty() {
        let Some(reference) = reference else {
            return SearchOutcome::Nothing;
        };
        if let Some(place) = reference.place_of(key) {
            return match in_reference(book, place) {
                Some(entry) => named(entry, wanted),
                None => SearchOutcome::Nothing,
            };
        }
        let shared = reference.shared(key);
        if shared.is_empty() {
            return SearchOutcome::Nothing;
        }
        return several(
            book,
            shared.iter().map(|id| Means::of(book, id)).collect(),
            wanted,
        );
    }
    let mut means: Vec<Means> = own.iter().map(Named::means).collect();
    if let Some(reference) = reference {
        let place = reference.place_of(key);
        means.extend(
            place
                .and_then(|place| reference.id_at(place))
                .map(Means::substance),
        );
        means.extend(reference.shared(key).iter().map(|id| Means::of(book, id)));
        means.extend(reference.group_called(key).map(Means::group));
    }
    several(book, means, wanted)
}

fn in_reference(book: &Book, place: SubstanceIndex) -> Option<&SubstanceEntry> {
    let reference = book.reference()?;
    if book.has_substances() {
        // An own entry of the same short name counts, whatever the reference calls its substance.
        return book.substance(reference.id_at(place)?);
    }
    reference.substance_at(place)
}

/// One of several: the one whose short name is written, or the only one there is. Entries with one CAS number are one
/// substance that was entered twice, of which the lab's own counts.
fn several<'b>(book: &'b Book, mut means: Vec<Means>, wanted: &str) -> SearchOutcome<'b> {
    let mut seen: Vec<Means> = Vec::new();
    means.retain(|one| {
        let new = !seen.contains(one);
        seen.push(one.clone());
        new
    });
    // A group that has the name alone is no substance.
    if means.iter().all(|one| one.is_group) {
        return SearchOutcome::Nothing;
    }
    if let Some(entry) = means
        .iter()
        .any(|one| !one.is_group && one.id == wanted)
        .then(|| book.substance(wanted))
        .flatten()
    {
        return SearchOutcome::One(entry);
    }
    let cas = |one: &Means| {
        let entry = book.substance(&one.id).filter(|_| !one.is_group)?;
        entry.cas.clone()
    };
    let first = means.first().and_then(cas);
    let alike = first.is_some() && means.iter().all(|one| cas(one) == first);
    match means.first() {
        Some(only) if means.len() == 1 || alike => match book.substance(&only.id) {
            Some(entry) => named(entry, wanted),
            None => SearchOutcome::Nothing,
        },
        _ => SearchOutcome::Several(means),
    }
}

/// A substance that was found by a folded name. Formulas are told apart by their capitals, names are not: `Co` is cobalt and
/// not `CO`, and whether `co` is the one or the other cannot be told.
fn named<'b>(entry: &'b SubstanceEntry, wanted: &str) -> SearchOutcome<'b> {
    if formulas::is_one_in_other_capitals(entry, wanted) {
        return SearchOutcome::OtherCapitals(entry);
    }
    SearchOutcome::One(entry)
}

/// A substance that was found by a name, unless the name is the formula of others. Names of the reference were looked at when
/// its tables were made.
fn alone<'b>(book: &'b Book, entry: &'b SubstanceEntry, wanted: &str) -> SearchOutcome<'b> {
    let Some(formula) = formulas::plain(wanted).filter(|_| book.has_substances()) else {
        return SearchOutcome::One(entry);
    };
    let mut sharing = formulas::of(book, &formula);
    sharing.extend(entry.substance.as_deref().map(Means::substance));
    several(book, sharing, wanted)
}

fn by_formula<'b>(book: &'b Book, wanted: &str) -> SearchOutcome<'b> {
    let Some(formula) = formulas::parsed(wanted) else {
        return SearchOutcome::Nothing;
    };
    match formulas::of(book, &formula) {
        none if none.is_empty() => SearchOutcome::Nothing,
        means => several(book, means, wanted),
    }
}

fn ambiguous(book: &Book, wanted: &str, several: &[Means]) -> NoSuchSubstance {
    let described = several.iter().map(|one| one.described(book)).collect();
    let near = several.iter().map(|one| one.name(book)).collect();
    NoSuchSubstance {
        wanted: wanted.to_owned(),
        near,
        could_be: several.iter().map(|one| one.id.clone()).collect(),
        told: Box::new(Told {
            described,
            because: None,
        }),
        ..NoSuchSubstance::default()
    }
}

/// Words for a text with the letters of a formula in other capitals.
fn other_capitals(wanted: &str, entry: &SubstanceEntry) -> NoSuchSubstance {
    let written = formulas::in_other_capitals(entry, wanted).unwrap_or_default();
    let name = entry.name.clone().unwrap_or_default();
    let given = formulas::parsed(wanted).map(|formula| {
        let mut atoms = formula.atoms();
        match (atoms.next(), atoms.next()) {
            (Some((element, 1)), None) => format!("`{wanted}` is {}", element.name),
            _ => format!("`{wanted}` is another formula"),
        }
    });
    let because = match given {
        Some(given) => format!("{given}, and {name} is `{written}`"),
        None => format!("formulas are written with their capitals, and {name} is `{written}`"),
    };
    NoSuchSubstance {
        wanted: wanted.to_owned(),
        near: vec![written],
        told: Box::new(because_of(Some(because))),
        ..NoSuchSubstance::default()
    }
}

fn because_of(because: Option<String>) -> Told {
    Told {
        because,
        ..Told::default()
    }
}

fn unknown(book: &Book, wanted: &str) -> NoSuchSubstance {
    let answer = NoSuchSubstance {
        wanted: wanted.to_owned(),
        ..NoSuchSubstance::default()
    };
    if is_cas(wanted) {
        let slip = CasNumber::parse(wanted).err();
        return NoSuchSubstance {
            near: ranking::cas_numbers(book, wanted),
            told: Box::new(because_of(slip.map(|slip| slip.to_string()))),
            ..answer
        };
    }
    let bare = without_position(wanted);
    let alike = isomers_of(book, &bare);
    if alike.len() > 1 && !isomers::has_position(wanted) {
        let means: Vec<Means> = alike.iter().map(Means::substance).collect();
        return ambiguous(book, wanted, &means);
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
        let same = near.iter().any(|named| {
            let id = |name: &str| known(book, name).and_then(|entry| entry.substance.as_deref());
            named == &name || id(named) == id(&name)
        });
        if near.len() < MOST_SUGGESTIONS && !same {
            near.push(name);
        }
    }
    let because =
        formulas::parsed(wanted).map(|_| "the catalog has no substance of this formula".to_owned());
    NoSuchSubstance {
        near,
        told: Box::new(because_of(because)),
        ..answer
    }
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
        .find(|group| spoken_of_group(group).any(|name| folded(name) == key))
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
