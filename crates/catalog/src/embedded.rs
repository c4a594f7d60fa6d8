//! The catalogs that are part of the program: the reference data, and the demo.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::EntryKind;
use crate::entry::{Entry, SourceFile, WrittenEntry, read_entry};
use crate::place::FileId;

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

/// The files of the demo catalog.
pub fn demo_files() -> impl Iterator<Item = SourceFile<'static>> {
    yaml(demo::FILES)
}

/// The demo's surveys that are not YAML, by path and text.
pub fn demo_tables() -> impl Iterator<Item = &'static EmbeddedFile> {
    demo::FILES
        .iter()
        .filter(|file| file.path.ends_with(TABLE_SUFFIX))
}

/// The files of the reference catalog.
pub fn reference_files() -> impl Iterator<Item = SourceFile<'static>> {
    yaml(reference::FILES)
}

fn yaml(files: &'static [EmbeddedFile]) -> impl Iterator<Item = SourceFile<'static>> {
    files
        .iter()
        .filter(|file| EntryKind::of_file(file.path).is_some())
        .map(|file| SourceFile::new(file.path, file.text))
}

/// The embedded reference catalog. A file is read when it is first asked for.
#[derive(Debug)]
pub struct Reference {
    files: BTreeMap<EntryKind, BTreeMap<&'static str, Lazy>>,
}

#[derive(Debug)]
struct Lazy {
    file: &'static EmbeddedFile,
    read: OnceLock<Option<Entry>>,
}

impl Reference {
    /// The one that is part of the program.
    pub fn embedded() -> &'static Self {
        static REFERENCE: OnceLock<Reference> = OnceLock::new();
        REFERENCE.get_or_init(|| {
            let mut files: BTreeMap<_, BTreeMap<_, _>> = BTreeMap::new();
            for file in reference::FILES {
                if let Some((kind, stem)) = EntryKind::of_file(file.path) {
                    files.entry(kind).or_default().insert(
                        stem,
                        Lazy {
                            file,
                            read: OnceLock::new(),
                        },
                    );
                }
            }
            Self { files }
        })
    }

    /// The entry of this kind and short name.
    pub fn find(&self, kind: EntryKind, id: &str) -> Option<&WrittenEntry> {
        let lazy = self.files.get(&kind)?.get(id)?;
        let entry = lazy.read.get_or_init(|| {
            // The embedded files pass every check in the tests, so nothing can be found here.
            read_entry(
                FileId(u32::MAX),
                &SourceFile::new(lazy.file.path, lazy.file.text),
            )
            .0
        });
        entry.as_ref().map(|entry| &entry.written)
    }

    /// Whether there is an entry of this kind and short name.
    pub fn knows(&self, kind: EntryKind, id: &str) -> bool {
        self.files
            .get(&kind)
            .is_some_and(|files| files.contains_key(id))
    }

    /// The short names of all entries of a kind, in alphabetical order.
    pub fn ids(&self, kind: EntryKind) -> impl Iterator<Item = &'static str> {
        self.files
            .get(&kind)
            .into_iter()
            .flat_map(|files| files.keys().copied())
    }

    /// The short name of the substance with this CAS number or this name, folded as [`crate::search::folded`] does.
    pub fn by_name(&self, name: &str) -> Option<&'static str> {
        let position = reference::NAMES
            .binary_search_by(|(key, _)| (*key).cmp(name))
            .ok()?;
        reference::NAMES.get(position).map(|(_, id)| *id)
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
}
