//! The clean sheets, each with the entries that it refers to.

use std::borrow::Cow;

use stainbook_catalog::{Book, Entry, EntryKind, SourceFile, WrittenEntry, embedded, read_entry};
use stainbook_document::place::FileId;
use stainbook_tests::honest;

use super::given;

/// The seed of the generated sheets in which slips are made.
const SEED: u64 = 4_711;
/// The seed of the further sheets, about which nothing may be said.
const FURTHER_SEED: u64 = 90_210;

/// A sheet without a slip.
pub(super) struct CleanSheet {
    /// Its path in its catalog.
    pub(super) path: String,
    /// Its text without control figures and examples.
    pub(super) bare: String,
    /// Its text with formulas, control figures and examples.
    pub(super) full: String,
}

/// Sheets of one catalog, with all its other files.
pub(super) struct Shelf {
    pub(super) name: &'static str,
    pub(super) sheets: Vec<CleanSheet>,
    others: Vec<SourceFile<'static>>,
}

impl Shelf {
    /// The embedded demo.
    pub(super) fn demo() -> Self {
        let files = embedded::demo_files().filter(|file| {
            // Slips are made in sheets and seen in them: what is held against them from outside is left out.
            EntryKind::of_file(&file.path).is_none_or(|(kind, _)| {
                !matches!(
                    kind,
                    EntryKind::Survey | EntryKind::StockBox | EntryKind::BoxList | EntryKind::Plan
                )
            })
        });
        Self::new("demo", files.collect())
    }

    /// Made-up sheets.
    pub(super) fn honest(sheets: usize) -> Self {
        Self::generated(SEED, sheets)
    }

    /// Further made-up sheets.
    pub(super) fn further(sheets: usize) -> Self {
        Self::generated(FURTHER_SEED, sheets)
    }

    fn generated(seed: u64, sheets: usize) -> Self {
        let files = honest::catalog(seed, sheets)
            .into_iter()
            .map(|file| SourceFile::new(file.path, file.text));
        Self::new("generated", files.collect())
    }

    fn new(name: &'static str, files: Vec<SourceFile<'static>>) -> Self {
        let (tubes, others): (Vec<_>, Vec<_>) = files
            .into_iter()
            .partition(|file| file.path.ends_with(".tube.yaml"));
        let (book, _) = Book::read(tubes.iter().chain(&others).cloned());
        let sheets = tubes
            .iter()
            .filter_map(|file| {
                let bare = given::bare(std::str::from_utf8(&file.bytes).ok()?);
                let (entry, _) = read_entry(
                    FileId(0),
                    &SourceFile::new(file.path.clone(), bare.as_str()),
                );
                let entry = entry?;
                let WrittenEntry::Tube(tube) = &entry.written else {
                    return None;
                };
                let full = given::full(&entry.document, tube, entry.id(), &book);
                Some(CleanSheet {
                    path: file.path.clone(),
                    bare,
                    full,
                })
            })
            .collect();
        // The other sheets of the demo are there to be referred to; generated ones refer to none.
        let mut others = others;
        if name == "demo" {
            others.extend(tubes);
        }
        Self {
            name,
            sheets,
            others,
        }
    }

    /// The other entries, read anew; those that are not the catalog's root stand in the background.
    pub(super) fn companions(&self, path: &str) -> Vec<Entry> {
        let others = self
            .others
            .iter()
            .filter(|file| file.path != path)
            .enumerate();
        others
            .filter_map(|(index, file)| {
                let id = FileId(u32::try_from(index + 1).ok()?);
                let source = SourceFile {
                    path: file.path.clone(),
                    bytes: Cow::Borrowed(&file.bytes),
                };
                let mut entry = read_entry(id, &source).0?;
                entry.background = entry.kind != EntryKind::Catalog;
                Some(entry)
            })
            .collect()
    }
}
