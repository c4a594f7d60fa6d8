//! A lab's book: the entries of one catalog, with those of the catalogs it builds on, found by name.

use std::collections::BTreeMap;

use crate::EntryKind;
use crate::additions::{self, Addition};
use crate::embedded::{REFERENCE_NAME, Reference};
use crate::entry::{Entry, SourceFile, WrittenEntry, read_entry};
use crate::model::{Pump, PumpKind, Substance, Tube, Unusable};
use crate::references::{self, NamedOtherwise};
use crate::search::{self, NoSuchSubstance, OwnNames, Understood};
use crate::sheet_index::SheetIndex;
use crate::stock_index::{ListedBox, StockIndex};
use crate::written::{
    BoxListEntry, CatalogEntry, GroupEntry, PlanEntry, PumpEntry, PumpKindEntry, SourceEntry,
    StockBoxEntry, SubstanceEntry, SurveyEntry, TubeEntry,
};
use stainbook_document::finding::Finding;
use stainbook_document::place::{FileId, Path};

/// The entries of one catalog, with those of the catalogs it builds on.
#[derive(Debug, Default)]
pub struct Book {
    entries: Vec<Entry>,
    /// Positions in `entries`, own ones before background ones, each in the order in which they were read.
    by_id: BTreeMap<EntryKind, BTreeMap<String, Vec<usize>>>,
    /// The substances that add to the entry of a catalog below, put together with it, by position.
    additions: BTreeMap<usize, Addition>,
    own_names: OwnNames,
    sheets: SheetIndex,
    stock: StockIndex,
    reference: Option<&'static Reference>,
}

macro_rules! look_up {
    ($($(#[$doc:meta])* $one:ident $all:ident $kind:ident -> $entry:ty;)*) => {
        $(
            $(#[$doc])*
            pub fn $one(&self, id: &str) -> Option<&$entry> {
                match self.find(EntryKind::$kind, id).map(|entry| &entry.written) {
                    Some(WrittenEntry::$kind(entry)) => {
                        let entry: &$entry = entry;
                        Some(entry)
                    }
                    _ => self.reference.and_then(|reference| match reference.find(EntryKind::$kind, id) {
                        Some(WrittenEntry::$kind(entry)) => {
                            let entry: &$entry = entry;
                            Some(entry)
                        }
                        _ => None,
                    }),
                }
            }

            /// The catalog's own entries of this kind, each with its file, in the order in which they were read.
            pub fn $all(&self) -> impl Iterator<Item = (&Entry, &$entry)> {
                self.own().filter_map(|entry| match &entry.written {
                    WrittenEntry::$kind(written) => {
                        let written: &$entry = written;
                        Some((entry, written))
                    }
                    _ => None,
                })
            }
        )*
    };
}

impl Book {
    /// Reads files one after the other and puts them into a book. See [`assemble`](Self::assemble) for what it builds on.
    pub fn read<'a>(files: impl IntoIterator<Item = SourceFile<'a>>) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let mut entries = Vec::new();
        for (index, source) in files.into_iter().enumerate() {
            let file = FileId(u32::try_from(index).unwrap_or(u32::MAX));
            let (entry, said) = read_entry(file, &source);
            entries.extend(entry);
            findings.extend(said);
        }
        (Self::assemble(entries), findings)
    }

    /// Puts entries that have been read into a book. It builds on the embedded reference catalog if its `catalog.yaml`
    /// says so, or that of a catalog that it builds on, or if there is none.
    pub fn assemble(entries: Vec<Entry>) -> Self {
        let mut book = Self {
            entries,
            ..Self::default()
        };
        let names_reference = |entry: &Entry| matches!(&entry.written, WrittenEntry::Catalog(catalog) if catalog.builds_on.iter().any(|name| name == REFERENCE_NAME));
        if book.catalog().is_none() || book.entries.iter().any(names_reference) {
            book.reference = Some(Reference::embedded());
        }
        let own = book
            .entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| !entry.background);
        let background = book
            .entries
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry.background);
        let mut by_id: BTreeMap<EntryKind, BTreeMap<String, Vec<usize>>> = BTreeMap::new();
        for (index, entry) in own.chain(background) {
            by_id
                .entry(entry.kind)
                .or_default()
                .entry(entry.id().to_owned())
                .or_default()
                .push(index);
        }
        book.by_id = by_id;
        book.additions = book.put_together();
        book.understand_names();
        book
    }

    /// Puts short names in the place of other names of substances, in all entries.
    fn understand_names(&mut self) {
        for entry in &mut self.entries {
            entry.forget_understood();
        }
        let entries = self.entries.iter().enumerate();
        let understood: Vec<(usize, Vec<NamedOtherwise>)> = entries
            .map(|(index, entry)| (index, references::named_otherwise(&entry.written, self)))
            .filter(|(_, named)| !named.is_empty())
            .collect();
        for (index, named) in understood {
            if let Some(entry) = self.entries.get_mut(index) {
                entry.put_understood(named);
            }
        }
    }

    /// The same with some of the files read otherwise: each of these entries stands in place of the one of its file.
    #[must_use]
    pub fn with_entries(&self, instead: &BTreeMap<FileId, Entry>) -> Self {
        let entries = self.entries.iter();
        let entries = entries.map(|entry| instead.get(&entry.file).unwrap_or(entry).clone());
        Self::assemble(entries.collect())
    }

    /// The entries again, for putting some of them into another book.
    pub fn into_entries(self) -> Vec<Entry> {
        self.entries
    }

    /// The embedded demo: an invented harbour plant.
    pub fn demo() -> (Self, Vec<Finding>) {
        Self::read(crate::embedded::demo_files())
    }

    /// Every entry, background ones included, in the order in which they were read.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The catalog's own entries.
    pub fn own(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| !entry.background)
    }

    /// The entry read from a file.
    pub fn entry(&self, file: FileId) -> Option<&Entry> {
        // Files whose name told no kind have a number and no entry, so the number need not be the position.
        self.entries.iter().find(|entry| entry.file == file)
    }

    /// The embedded reference catalog, if this one builds on it.
    pub fn reference(&self) -> Option<&'static Reference> {
        self.reference
    }

    /// The catalog's root file.
    pub fn catalog(&self) -> Option<(&Entry, &CatalogEntry)> {
        self.own().find_map(|entry| match &entry.written {
            WrittenEntry::Catalog(catalog) => {
                let catalog: &CatalogEntry = catalog;
                Some((entry, catalog))
            }
            _ => None,
        })
    }

    /// The entry of this kind and short name: the catalog's own before those of the catalogs it builds on. The embedded
    /// reference is not among these entries; the functions by kind look there too.
    pub fn find(&self, kind: EntryKind, id: &str) -> Option<&Entry> {
        self.all_named(kind, id).next()
    }

    /// All entries of this kind and short name.
    pub fn all_named(&self, kind: EntryKind, id: &str) -> impl Iterator<Item = &Entry> {
        self.positions(kind, id)
            .iter()
            .filter_map(|index| self.entries.get(*index))
    }

    /// True if there is an entry of this kind and short name, here or in the reference.
    pub fn knows(&self, kind: EntryKind, id: &str) -> bool {
        self.find(kind, id).is_some()
            || self
                .reference
                .is_some_and(|reference| reference.knows(kind, id))
    }

    /// The short names of all entries of a kind, the reference's included, in alphabetical order.
    pub fn ids(&self, kind: EntryKind) -> Vec<&str> {
        let mut ids: Vec<&str> = self
            .by_id
            .get(&kind)
            .into_iter()
            .flat_map(BTreeMap::keys)
            .map(String::as_str)
            .collect();
        if let Some(reference) = self.reference {
            for id in reference.ids(kind) {
                ids.push(id);
            }
        }
        ids.sort_unstable();
        ids.dedup();
        ids
    }

    /// The short names of the entries of a kind, without those of the reference.
    pub(crate) fn ids_of_own(&self, kind: EntryKind) -> impl Iterator<Item = &str> {
        let ids = self.by_id.get(&kind).into_iter().flat_map(BTreeMap::keys);
        ids.map(String::as_str)
    }

    look_up! {
        /// The group of this short name.
        group groups Group -> GroupEntry;
        /// The source of this short name.
        source sources Source -> SourceEntry;
        /// The kind of pump of this short name.
        pump_kind pump_kinds PumpKind -> PumpKindEntry;
        /// The pump of this short name.
        pump pumps Pump -> PumpEntry;
        /// The sheet of this short name.
        tube tubes Tube -> TubeEntry;
        /// The list of boxes of this short name.
        box_list box_lists BoxList -> BoxListEntry;
        /// The box with a file of its own of this short name.
        single_box single_boxes StockBox -> StockBoxEntry;
        /// The plan of this short name.
        plan plans Plan -> PlanEntry;
        /// The survey of this short name.
        survey surveys Survey -> SurveyEntry;
    }

    /// The substance of this short name: the catalog's own before those of the catalogs it builds on, put together with
    /// the one it adds to, if it says `adds_to`.
    pub fn substance(&self, id: &str) -> Option<&SubstanceEntry> {
        if let Some(position) = self.positions(EntryKind::Substance, id).first() {
            return match self.additions.get(position) {
                Some(addition) => Some(&addition.entry),
                None => self.entries.get(*position)?.substance(),
            };
        }
        match self.reference?.find(EntryKind::Substance, id)? {
            WrittenEntry::Substance(entry) => Some(entry),
            _ => None,
        }
    }

    /// The catalog's own entries of this kind as they are written, each with its file, in the order in which they were
    /// read.
    pub fn substances(&self) -> impl Iterator<Item = (&Entry, &SubstanceEntry)> {
        self.own()
            .filter_map(|entry| Some((entry, entry.substance()?)))
    }

    /// True if there are substances besides those of the reference.
    pub(crate) fn has_substances(&self) -> bool {
        self.by_id.contains_key(&EntryKind::Substance)
    }

    pub(crate) fn own_names(&self) -> &OwnNames {
        &self.own_names
    }

    /// The boxes in stock, each with its place: those with a file of their own and those of lists, of the catalogs below as
    /// well, in the order in which they were read.
    pub fn boxes(&self) -> impl Iterator<Item = ListedBox<'_>> {
        self.entries.iter().flat_map(ListedBox::of)
    }

    /// The boxes of a lot.
    pub fn boxes_of_lot(&self, lot: &str) -> impl Iterator<Item = ListedBox<'_>> {
        self.stock.of_lot(&self.entries, lot)
    }

    /// The boxes of this short name.
    pub fn boxes_called(&self, id: &str) -> impl Iterator<Item = ListedBox<'_>> {
        self.stock.called(&self.entries, id)
    }

    pub(crate) fn sheet_index(&self) -> &SheetIndex {
        &self.sheets
    }

    fn positions(&self, kind: EntryKind, id: &str) -> &[usize] {
        self.by_id
            .get(&kind)
            .and_then(|ids| ids.get(id))
            .map_or(&[], Vec::as_slice)
    }

    /// The substances that add to an entry below, put together with it. What is below one entry is the next of the
    /// same short name, and below the last the reference.
    fn put_together(&self) -> BTreeMap<usize, Addition> {
        let mut together = BTreeMap::new();
        for (id, positions) in self.by_id.get(&EntryKind::Substance).into_iter().flatten() {
            let mut below = match self
                .reference
                .and_then(|reference| reference.find(EntryKind::Substance, id))
            {
                Some(WrittenEntry::Substance(entry)) => Some(SubstanceEntry::clone(entry)),
                _ => None,
            };
            for position in positions.iter().rev() {
                let Some(own) = self.entries.get(*position).and_then(Entry::substance) else {
                    continue;
                };
                below = match (&own.adds_to, below) {
                    (Some(_), Some(under)) => {
                        let addition = additions::add(own, &under);
                        let entry = addition.entry.clone();
                        together.insert(*position, addition);
                        Some(entry)
                    }
                    _ => Some(own.clone()),
                };
            }
        }
        together
    }

    /// The name of the catalog that a substance's own entry is in, and what it adds, if it adds to one below.
    pub(crate) fn substance_origin(&self, id: &str) -> (String, Option<&Addition>) {
        let Some(position) = self.positions(EntryKind::Substance, id).first() else {
            return (REFERENCE_NAME.to_owned(), None);
        };
        let background = self
            .entries
            .get(*position)
            .is_some_and(|entry| entry.background);
        (self.catalog_name(background), self.additions.get(position))
    }

    /// The name of this catalog, or of the one it builds on besides the reference.
    fn catalog_name(&self, background: bool) -> String {
        let Some((_, catalog)) = self.catalog() else {
            return "this catalog".to_owned();
        };
        if background {
            let others = catalog
                .builds_on
                .iter()
                .filter(|name| *name != REFERENCE_NAME)
                .cloned();
            return others.collect::<Vec<_>>().join(" or ");
        }
        catalog
            .catalog
            .clone()
            .unwrap_or_else(|| "this catalog".to_owned())
    }

    /// The substance that a person means by a CAS number, a short name, a name or a synonym.
    ///
    /// # Errors
    ///
    /// If there is none, with the names that come nearest.
    pub fn find_substance(&self, wanted: &str) -> Result<&SubstanceEntry, NoSuchSubstance> {
        search::substance(self, wanted)
    }

    /// The same with the kind of name that was given, for showing what was understood.
    ///
    /// # Errors
    ///
    /// If there is none, with the names that come nearest.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::Book;
    /// use stainbook_catalog::search::NamedBy;
    ///
    /// let (book, _) = Book::read([]);
    /// let understood = book.understand_substance("ClH").unwrap();
    /// assert_eq!(understood.entry.substance.as_deref(), Some("hydrogen-chloride"));
    /// assert_eq!(understood.by, NamedBy::Formula);
    /// let several = book.understand_substance("C2H6O").unwrap_err();
    /// assert_eq!(several.could_be, ["dimethyl-ether", "ethanol"]);
    /// ```
    pub fn understand_substance(&self, wanted: &str) -> Result<Understood<'_>, NoSuchSubstance> {
        search::understood(self, wanted)
    }

    /// The same for a text that need not name a substance: a look at words in passing, a thousand times as fast where it
    /// finds nothing, since nothing is said about what else may be meant.
    ///
    /// # Example
    ///
    /// ```
    /// let (book, _) = stainbook_catalog::Book::demo();
    /// assert!(book.named_substance("Carbon-Monoxide").is_some());
    /// assert!(book.named_substance("smokehouse").is_none());
    /// ```
    pub fn named_substance(&self, name: &str) -> Option<&SubstanceEntry> {
        search::known(self, name)
    }

    /// A substance with its molar mass and limits.
    ///
    /// # Errors
    ///
    /// If there is none of this short name, or its entry cannot be computed with.
    pub fn substance_model(&self, id: &str) -> Result<Substance, Unusable> {
        let entry = self.substance(id).ok_or_else(|| {
            let near = self.find_substance(id).map_or_else(
                |none| none.near,
                |entry| entry.substance.iter().cloned().collect(),
            );
            let hint = match near.as_slice() {
                [] => String::new(),
                near => format!("; near it: {}", near.join(", ")),
            };
            Unusable::new(Path::root(), format!("no substance `{id}`{hint}"))
        })?;
        Substance::from_written(entry, self)
    }

    /// A sheet that can be computed with.
    ///
    /// # Errors
    ///
    /// If there is none of this short name, or it says too little; the rules say more about such a sheet.
    pub fn tube_model(&self, id: &str) -> Result<Tube, Unusable> {
        let entry = self
            .tube(id)
            .ok_or_else(|| Unusable::new(Path::root(), format!("no sheet `{id}`")))?;
        Tube::from_written(entry, self)
    }

    /// A pump with its kind.
    ///
    /// # Errors
    ///
    /// If there is none of this short name, or its kind is not known.
    pub fn pump_model(&self, id: &str) -> Result<Pump, Unusable> {
        let entry = self
            .pump(id)
            .ok_or_else(|| Unusable::new(Path::root(), format!("no pump `{id}`")))?;
        Pump::from_written(entry, self)
    }

    /// A kind of pump.
    ///
    /// # Errors
    ///
    /// If there is none of this short name, or it says too little.
    pub fn pump_kind_model(&self, id: &str) -> Result<PumpKind, Unusable> {
        let entry = self
            .pump_kind(id)
            .ok_or_else(|| Unusable::new(Path::root(), format!("no pump kind `{id}`")))?;
        PumpKind::from_written(entry)
    }
}
