//! The catalogs that are part of the program: the reference data, and the demo.
//!
//! The texts of a catalog lie in one file of this crate, one behind the other, so that they are part of its package; the
//! compiler cuts them. The reference is a table in the program's read-only data, in the order of kinds and short names,
//! beside a table of all names in the order in which they are looked up. Nothing is done when it is opened; an entry is
//! read when it is first asked for, and kept.

use std::sync::OnceLock;

use crate::EntryKind;
use crate::entry::{Entry, SourceFile, WrittenEntry, read_trusted};
use crate::search::name_number;
use crate::written::SubstanceEntry;
use stainbook_document::place::FileId;

mod demo;
mod reference;

/// The name by which a catalog says that it builds on the embedded reference data.
pub const REFERENCE_NAME: &str = "stainbook-reference";

/// The end of the name of a survey that is a table.
pub const TABLE_SUFFIX: &str = ".survey.csv";

/// A file that is part of the program.
#[derive(Clone, Copy, Debug)]
pub struct EmbeddedFile {
    /// Its path below the catalog.
    pub path: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// Cuts the texts of a catalog, which stand one behind the other, by the lengths that stand beside the paths. The
/// compiler does it, and refuses lengths that do not add up to the whole.
#[allow(
    clippy::indexing_slicing,
    reason = "worked out by the compiler, for which a wrong index is an error"
)]
const fn cut<const COUNT: usize>(
    files: [(&'static str, usize); COUNT],
    mut rest: &'static str,
) -> [EmbeddedFile; COUNT] {
    let mut cut = [EmbeddedFile { path: "", text: "" }; COUNT];
    let mut index = 0;
    while index < COUNT {
        let (path, length) = files[index];
        let (text, behind) = rest.split_at(length);
        cut[index] = EmbeddedFile { path, text };
        rest = behind;
        index += 1;
    }
    assert!(rest.is_empty());
    cut
}

/// The files of the demo catalog.
pub fn demo_files() -> impl Iterator<Item = SourceFile<'static>> {
    demo::FILES
        .iter()
        .filter(|file| EntryKind::of_file(file.path).is_some())
        .map(|file| SourceFile::new(file.path, file.text))
}

/// The demo's surveys that are not YAML, by path and text.
pub fn demo_tables() -> impl Iterator<Item = &'static EmbeddedFile> {
    demo::FILES
        .iter()
        .filter(|file| file.path.ends_with(TABLE_SUFFIX))
}

/// The files of the reference catalog.
pub fn reference_files() -> impl Iterator<Item = SourceFile<'static>> {
    reference::FILES
        .iter()
        .map(|file| SourceFile::new(file.path, file.text))
}

/// The embedded reference catalog. A file is read when it is first asked for.
#[derive(Debug)]
pub struct Reference {
    ids: &'static [&'static str],
    names: &'static [(&'static str, SubstanceIndex)],
    isomers: &'static [(&'static str, &'static [SubstanceIndex])],
    shared: &'static [(&'static str, &'static [&'static str])],
    groups: &'static [(&'static str, &'static str)],
    formulas: &'static [(&'static str, &'static [SubstanceIndex])],
}

/// The entry read from each file, in the order of the table.
static READ: [OnceLock<Option<Entry>>; reference::FILES.len()] =
    [const { OnceLock::new() }; reference::FILES.len()];

/// The number of an entry in the table of substances.
pub(crate) type SubstanceIndex = u16;

impl Reference {
    /// The one that is part of the program.
    pub fn embedded() -> &'static Self {
        static REFERENCE: Reference = Reference {
            ids: &reference::IDS,
            names: reference::NAMES,
            isomers: reference::ISOMERS,
            shared: reference::SHARED,
            groups: reference::GROUP_NAMES,
            formulas: reference::FORMULAS,
        };
        &REFERENCE
    }

    /// The entry of this kind and short name.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::{EntryKind, WrittenEntry, embedded::Reference};
    ///
    /// let found = Reference::embedded().find(EntryKind::Substance, "ammonia");
    /// assert!(matches!(found, Some(WrittenEntry::Substance(ammonia)) if ammonia.formula.as_deref() == Some("NH3")));
    /// ```
    pub fn find(&self, kind: EntryKind, id: &str) -> Option<&WrittenEntry> {
        Self::written(self.position(kind, id)?)
    }

    /// True if there is an entry of this kind and short name.
    pub fn knows(&self, kind: EntryKind, id: &str) -> bool {
        self.position(kind, id).is_some()
    }

    /// The short names of all entries of a kind, in alphabetical order.
    pub fn ids(&self, kind: EntryKind) -> impl Iterator<Item = &'static str> {
        let ids = self.ids.get(self.range(kind)).unwrap_or_default();
        ids.iter().copied()
    }

    /// The short name of the substance with this CAS number or this name, folded as [`crate::search::folded`] does.
    pub fn by_name(&self, name: &str) -> Option<&'static str> {
        self.id_at(self.place_of(name)?)
    }

    /// The place of the substance with this CAS number or folded name.
    ///
    /// The slots are a quarter full at most, and a name stands at the first free one from its number on: as a rule one
    /// comparison finds it, where a binary search takes eleven and as long as all the rest of a look-up.
    pub(crate) fn place_of(&self, name: &str) -> Option<SubstanceIndex> {
        let slots = &reference::SLOTS;
        let first = usize::try_from(name_number(name) & (slots.len() as u64 - 1)).ok()?;
        let (before, from) = slots.split_at_checked(first)?;
        for slot in from.iter().chain(before) {
            // Slots are numbered from one; zero is a free one.
            let position = usize::from(*slot).checked_sub(1)?;
            let (known, place) = self.names.get(position)?;
            if *known == name {
                return Some(*place);
            }
        }
        None
    }

    /// CAS numbers and folded names of all substances, in order, each with the place of its substance.
    pub(crate) fn names(&self) -> &'static [(&'static str, SubstanceIndex)] {
        self.names
    }

    /// The places of the substances that have this name once what tells isomers apart is taken off.
    pub(crate) fn isomers(&self, bare: &str) -> &'static [SubstanceIndex] {
        row(self.isomers, bare)
    }

    /// The short names of the substances and groups that share a folded name, none of which it means by itself.
    pub(crate) fn shared(&self, name: &str) -> &'static [&'static str] {
        row(self.shared, name)
    }

    /// The short name of the group of this folded name.
    pub(crate) fn group_called(&self, name: &str) -> Option<&'static str> {
        let found = self.groups.binary_search_by(|(key, _)| (*key).cmp(name));
        found.ok().and_then(|place| Some(self.groups.get(place)?.1))
    }

    /// The places of the substances of a formula in Hill's order.
    pub(crate) fn of_formula(&self, hill: &str) -> &'static [SubstanceIndex] {
        row(self.formulas, hill)
    }

    /// The short name of the substance at a place.
    pub(crate) fn id_at(&self, place: SubstanceIndex) -> Option<&'static str> {
        let position = self.range(EntryKind::Substance).start + usize::from(place);
        self.ids.get(position).copied()
    }

    /// The substance at a place.
    pub(crate) fn substance_at(&self, place: SubstanceIndex) -> Option<&'static SubstanceEntry> {
        match Self::written(self.range(EntryKind::Substance).start + usize::from(place))? {
            WrittenEntry::Substance(substance) => Some(substance),
            _ => None,
        }
    }

    /// The revision of the reference catalog.
    pub fn revision(&self) -> Option<&str> {
        match self.find(EntryKind::Catalog, "catalog")? {
            WrittenEntry::Catalog(catalog) => {
                catalog.revision.as_ref().map(crate::written::Day::text)
            }
            _ => None,
        }
    }

    /// Range of the entries of a kind in the table.
    fn range(&self, kind: EntryKind) -> std::ops::Range<usize> {
        let bound = |index: usize| {
            reference::BOUNDS
                .get(index)
                .copied()
                .unwrap_or(self.ids.len())
        };
        let kind = kind as usize;
        bound(kind)..bound(kind + 1)
    }

    fn position(&self, kind: EntryKind, id: &str) -> Option<usize> {
        let range = self.range(kind);
        let start = range.start;
        let found = self
            .ids
            .get(range)?
            .binary_search_by(|known| (*known).cmp(id))
            .ok()?;
        Some(start + found)
    }

    fn written(position: usize) -> Option<&'static WrittenEntry> {
        let file = reference::FILES.get(position)?;
        let entry = READ.get(position)?.get_or_init(|| {
            // Tests put every embedded file through the schema, so that only its values are read here.
            read_trusted(FileId(u32::MAX), &SourceFile::new(file.path, file.text))
        });
        entry.as_ref().map(|entry| &entry.written)
    }
}

/// The values beside a key in a table that is in the order of its keys.
fn row<T>(table: &'static [(&'static str, &'static [T])], key: &str) -> &'static [T] {
    table
        .binary_search_by(|(known, _)| (*known).cmp(key))
        .ok()
        .and_then(|position| table.get(position))
        .map_or(&[], |(_, values)| values)
}
