//! One file of a catalog, as far as it could be read.

use std::borrow::Cow;
use std::sync::OnceLock;

use serde::de::DeserializeOwned;

use crate::EntryKind;
use crate::READ_OPTIONS;
use crate::references::NamedOtherwise;
use crate::rules;
use crate::schema::{Draft, import_map, schema};
use crate::unit_spelling;
use crate::written::{
    BoxListEntry, CatalogEntry, GroupEntry, ImportMap, PlanEntry, PumpEntry, PumpKindEntry,
    SourceEntry, StockBoxEntry, SubstanceEntry, SurveyEntry, TubeEntry,
};
use stainbook_document::Document;
use stainbook_document::edit::EntryOrder;
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::{FileId, Place};
use stainbook_document::reported_nodes::ReportedNodes;
use stainbook_document::schema_check::DocumentSchema;
use stainbook_document::typed::read_typed;

/// A file to be read: its path below the catalog, with `/` between folders, and its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile<'a> {
    /// The path as it is shown in findings.
    pub path: String,
    /// The content.
    pub bytes: Cow<'a, [u8]>,
}

impl<'a> SourceFile<'a> {
    /// A file with its content.
    pub fn new(path: impl Into<String>, content: impl Into<Cow<'a, str>>) -> Self {
        let bytes = match content.into() {
            Cow::Borrowed(text) => Cow::Borrowed(text.as_bytes()),
            Cow::Owned(text) => Cow::Owned(text.into_bytes()),
        };
        Self {
            path: path.into(),
            bytes,
        }
    }

    /// A file with its bytes, which may be no text at all.
    pub fn from_bytes(path: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            path: path.into(),
            bytes: Cow::Owned(bytes),
        }
    }
}

/// The written form of one file. Entries differ in size by far, so that each has a place of its own.
#[derive(Clone, Debug, PartialEq)]
pub enum WrittenEntry {
    /// `catalog.yaml`.
    Catalog(Box<CatalogEntry>),
    /// `*.source.yaml`.
    Source(Box<SourceEntry>),
    /// `*.substance.yaml`.
    Substance(Box<SubstanceEntry>),
    /// `*.group.yaml`.
    Group(Box<GroupEntry>),
    /// `*.pump-kind.yaml`.
    PumpKind(Box<PumpKindEntry>),
    /// `*.pump.yaml`.
    Pump(Box<PumpEntry>),
    /// `*.tube.yaml`.
    Tube(Box<TubeEntry>),
    /// `*.box.yaml`.
    StockBox(Box<StockBoxEntry>),
    /// `*.boxes.yaml`, or a table.
    BoxList(Box<BoxListEntry>),
    /// `*.plan.yaml`.
    Plan(Box<PlanEntry>),
    /// `*.survey.yaml`.
    Survey(Box<SurveyEntry>),
}

impl WrittenEntry {
    /// The entry's own short name, as it is written in it.
    pub fn id(&self) -> Option<&str> {
        match self {
            Self::Catalog(entry) => entry.catalog.as_deref(),
            Self::Source(entry) => entry.source.as_deref(),
            Self::Substance(entry) => entry.substance.as_deref(),
            Self::Group(entry) => entry.group.as_deref(),
            Self::PumpKind(entry) => entry.pump_kind.as_deref(),
            Self::Pump(entry) => entry.pump.as_deref(),
            Self::Tube(entry) => entry.tube.as_deref(),
            Self::StockBox(entry) => entry.id.as_deref(),
            Self::BoxList(entry) => entry.boxes.as_deref(),
            Self::Plan(entry) => entry.plan.as_deref(),
            Self::Survey(entry) => entry.survey.as_deref(),
        }
    }
}

/// One file of a catalog, as far as it could be read.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Its number in the book.
    pub file: FileId,
    /// Its path as shown in findings.
    pub path: String,
    /// Its kind.
    pub kind: EntryKind,
    /// Its file name without the suffixes, which has to be its short name.
    pub stem: String,
    /// Text and tree.
    pub document: Document,
    /// Its contents, as far as they were understood.
    pub written: WrittenEntry,
    /// True if it belongs to a catalog that this one builds on: it is looked up, but not reported on.
    pub background: bool,
    /// True if reading it gave no error.
    pub sound: bool,
    /// The substances that it names otherwise than by their short names, which `written` has in these places.
    pub named_otherwise: Vec<NamedOtherwise>,
}

impl Entry {
    /// The short name: the one written in the file, else the file's.
    pub fn id(&self) -> &str {
        self.written.id().unwrap_or(&self.stem)
    }

    /// The same under the name of its file, if it gives itself another: those that refer to it may mean either.
    #[must_use]
    pub fn called_as_its_file(&self) -> Option<Self> {
        if self.id() == self.stem {
            return None;
        }
        let mut renamed = self.clone();
        let id = match &mut renamed.written {
            WrittenEntry::Catalog(_) => return None,
            WrittenEntry::Source(entry) => &mut entry.source,
            WrittenEntry::Substance(entry) => &mut entry.substance,
            WrittenEntry::Group(entry) => &mut entry.group,
            WrittenEntry::PumpKind(entry) => &mut entry.pump_kind,
            WrittenEntry::Pump(entry) => &mut entry.pump,
            WrittenEntry::Tube(entry) => &mut entry.tube,
            WrittenEntry::Survey(entry) => &mut entry.survey,
            WrittenEntry::StockBox(entry) => &mut entry.id,
            WrittenEntry::BoxList(entry) => &mut entry.boxes,
            WrittenEntry::Plan(entry) => &mut entry.plan,
        };
        *id = Some(self.stem.clone());
        Some(renamed)
    }

    /// An entry that was never a file: what a record holds of the catalog it was made with.
    pub fn of_written(file: FileId, kind: EntryKind, written: WrittenEntry) -> Self {
        let (document, _) = Document::read(file, "", b"", &READ_OPTIONS);
        Self {
            file,
            path: String::new(),
            kind,
            stem: written.id().unwrap_or_default().to_owned(),
            document,
            written,
            background: false,
            sound: true,
            named_otherwise: Vec::new(),
        }
    }

    /// The substance as it is written here, if the entry is one.
    pub(crate) fn substance(&self) -> Option<&SubstanceEntry> {
        match &self.written {
            WrittenEntry::Substance(substance) => Some(substance),
            _ => None,
        }
    }
}

/// Reads one file through text, schema and written form. Nothing stops at a problem; the findings say what was not
/// understood. A file whose name tells no kind gives `None` and one finding.
pub fn read_entry(file: FileId, source: &SourceFile<'_>) -> (Option<Entry>, Vec<Finding>) {
    let Some((kind, stem)) = EntryKind::of_file(&source.path) else {
        let finding = Finding::new(&rules::UNKNOWN_FILE_KIND, Place::bytes(file, 0..0));
        let finding = match EntryKind::name_in_small_letters(&source.path) {
            Some(name) => finding
                .message("the name of the file would say what it holds but for its capital letters")
                .note("the file is not read, and what is in it is missing from the catalog")
                .help(format!("call it `{name}`, which every system finds")),
            None => finding
                .message("the name of the file does not say what it holds".to_owned())
                .help("end the name in `.tube.yaml`, `.substance.yaml`, `.group.yaml`, `.source.yaml`, `.pump-kind.yaml`, `.pump.yaml`, `.box.yaml`, `.boxes.yaml`, `.plan.yaml` or `.survey.yaml`"),
        };
        return (None, vec![finding]);
    };
    let (entry, findings) = read_as(kind, stem, file, source, schema_of(kind));
    (Some(entry), findings)
}

impl Entry {
    /// The mappings of its document whose fields stand in another order than the usual one.
    pub fn out_of_order(&self) -> Vec<EntryOrder> {
        schema_of(self.kind)
            .map(|schema| schema.out_of_order(&self.document))
            .unwrap_or_default()
    }
}

/// Reads a map for a laboratory's table. It is read whole or not at all: a column that is understood in part would send its cells
/// somewhere else.
pub fn read_import_map(
    file: FileId,
    source: &SourceFile<'_>,
) -> (ImportMap, Document, Vec<Finding>) {
    static COMPILED: OnceLock<Option<DocumentSchema>> = OnceLock::new();
    let (document, mut findings) = Document::read(file, &source.path, &source.bytes, &READ_OPTIONS);
    let mut reported = ReportedNodes::by_reading(&document);
    let compiled = COMPILED.get_or_init(|| DocumentSchema::new(import_map(Draft::Draft2020)).ok());
    if let Some(schema) = compiled {
        schema.validate(&document, &mut reported, &mut findings);
    }
    let map = typed(&document, &mut reported, &mut findings);
    (map, document, findings)
}

/// Reads a file without asking its schema: one that is known to fit it, such as those that are part of the program, or one that
/// a command needs a few fields of at once, and that `check` finds fault with where it does not fit.
pub fn read_trusted(file: FileId, source: &SourceFile<'_>) -> Option<Entry> {
    let (kind, stem) = EntryKind::of_file(&source.path)?;
    Some(read_as(kind, stem, file, source, None).0)
}

fn read_as(
    kind: EntryKind,
    stem: &str,
    file: FileId,
    source: &SourceFile<'_>,
    schema: Option<&DocumentSchema>,
) -> (Entry, Vec<Finding>) {
    let (mut document, mut findings) =
        Document::read(file, &source.path, &source.bytes, &READ_OPTIONS);
    let mut reported = ReportedNodes::by_reading(&document);
    if let Some(schema) = schema {
        schema.validate(&document, &mut reported, &mut findings);
    }
    let written = match kind {
        EntryKind::Catalog => WrittenEntry::Catalog(typed(&document, &mut reported, &mut findings)),
        EntryKind::Source => WrittenEntry::Source(typed(&document, &mut reported, &mut findings)),
        EntryKind::Substance => {
            WrittenEntry::Substance(typed(&document, &mut reported, &mut findings))
        }
        EntryKind::Group => WrittenEntry::Group(typed(&document, &mut reported, &mut findings)),
        EntryKind::PumpKind => {
            WrittenEntry::PumpKind(typed(&document, &mut reported, &mut findings))
        }
        EntryKind::Pump => WrittenEntry::Pump(typed(&document, &mut reported, &mut findings)),
        EntryKind::Tube => WrittenEntry::Tube(typed(&document, &mut reported, &mut findings)),
        EntryKind::StockBox => {
            WrittenEntry::StockBox(typed(&document, &mut reported, &mut findings))
        }
        EntryKind::BoxList => WrittenEntry::BoxList(typed(&document, &mut reported, &mut findings)),
        EntryKind::Plan => WrittenEntry::Plan(typed(&document, &mut reported, &mut findings)),
        EntryKind::Survey => WrittenEntry::Survey(typed(&document, &mut reported, &mut findings)),
    };
    let sound = findings
        .iter()
        .all(|finding| finding.level() < Level::Error);
    unit_spelling::look(&document, &reported, &mut findings);
    if findings.is_empty() {
        document.release_tree();
    }
    let entry = Entry {
        file,
        path: source.path.clone(),
        kind,
        stem: stem.to_owned(),
        document,
        written,
        background: false,
        sound,
        named_otherwise: Vec::new(),
    };
    (entry, findings)
}

/// The written form, or an empty one if nothing of it could be read.
fn typed<T: DeserializeOwned + Default>(
    document: &Document,
    reported: &mut ReportedNodes,
    findings: &mut Vec<Finding>,
) -> T {
    read_typed(document, rules::CATALOG_RULES, reported, findings).unwrap_or_default()
}

/// The compiled schema of a kind, made at first use.
fn schema_of(kind: EntryKind) -> Option<&'static DocumentSchema> {
    static COMPILED: [OnceLock<Option<DocumentSchema>>; EntryKind::ALL.len()] =
        [const { OnceLock::new() }; EntryKind::ALL.len()];
    let index = EntryKind::ALL.iter().position(|other| *other == kind)?;
    // The schemas are ours and compile in a test, so that there is always one here.
    COMPILED
        .get(index)?
        .get_or_init(|| DocumentSchema::new(schema(kind, Draft::Draft2020)).ok())
        .as_ref()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_schema_compiles() {
        for kind in EntryKind::ALL {
            assert!(schema_of(kind).is_some(), "{}", kind.name());
        }
    }
}
