//! Detection of a slip: by schema, reader, rules or comparison.

use stainbook_catalog::READ_OPTIONS;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::{Book, Entry, EntryKind, SourceFile, read_entry};
use stainbook_check::compare::{Scope, compare};
use stainbook_check::{Options, check_entry};
use stainbook_document::Document;
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::FileId;
use stainbook_document::schema_check::DocumentSchema;
use stainbook_evaluation::worked::check_worked;

/// Part of the program that sees a slip; each includes the ones before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum SeenBy {
    Schema,
    Rules,
    Control,
    Nobody,
}

/// A sheet's catalog, kept from slip to slip.
pub(super) struct SheetBench {
    companions: Vec<Entry>,
    path: String,
    options: Options,
    schema: DocumentSchema,
}

/// Findings about a text.
pub(super) struct TextFindings {
    pub(super) by_reader: Vec<Finding>,
    pub(super) by_rules: Vec<Finding>,
}

impl SheetBench {
    pub(super) fn new(
        path: &str,
        companions: Vec<Entry>,
        options: Options,
    ) -> Result<Self, String> {
        let schema = DocumentSchema::new(schema(EntryKind::Tube, Draft::Draft2020))
            .map_err(|error| error.to_string())?;
        Ok(Self {
            companions,
            path: path.to_owned(),
            options,
            schema,
        })
    }

    /// Errors and warnings about a text: by reading, and only if there are none by rules and examples.
    pub(super) fn look(&mut self, text: &str) -> TextFindings {
        let (entry, by_reader) = read_entry(FileId(0), &SourceFile::new(self.path.clone(), text));
        let by_reader = reported(by_reader);
        let Some(entry) = entry.filter(|_| by_reader.is_empty()) else {
            return TextFindings {
                by_reader,
                by_rules: Vec::new(),
            };
        };
        let mut entries = std::mem::take(&mut self.companions);
        entries.push(entry);
        let book = Book::assemble(entries);
        let mut by_rules = book
            .entry(FileId(0))
            .map(|entry| reported(check_entry(&book, entry, &self.options)))
            .unwrap_or_default();
        if by_rules.is_empty() {
            by_rules = reported(check_worked(&book));
        }
        let mut entries = book.into_entries();
        entries.pop();
        self.companions = entries;
        TextFindings {
            by_reader,
            by_rules,
        }
    }

    /// By what a slip is seen, given the text without and with control figures.
    pub(super) fn judge(&mut self, bare: &str, full: &str) -> (SeenBy, Option<&'static str>) {
        if let Some(rule) = self.look(bare).first() {
            let by = if self.schema_alone(bare) {
                SeenBy::Schema
            } else {
                SeenBy::Rules
            };
            return (by, Some(rule));
        }
        self.judge_on_top(full)
    }

    /// By what a slip in a control figure or example is seen.
    pub(super) fn judge_on_top(&mut self, full: &str) -> (SeenBy, Option<&'static str>) {
        match self.look(full).first() {
            Some(rule) if self.schema_alone(full) => (SeenBy::Schema, Some(rule)),
            Some(rule) => (SeenBy::Control, Some(rule)),
            None => (SeenBy::Nobody, None),
        }
    }

    /// True if any validator would refuse the text that has nothing but the published JSON Schema.
    fn schema_alone(&self, text: &str) -> bool {
        let (document, _) = Document::read(FileId(0), &self.path, text.as_bytes(), &READ_OPTIONS);
        document.is_broken() || !self.schema.is_valid(&document)
    }
}

impl TextFindings {
    /// The name of the rule of the first finding.
    fn first(&self) -> Option<&'static str> {
        let first = self.by_reader.first().or(self.by_rules.first())?;
        Some(first.rule())
    }
}

/// True if the comparison of two people's sheets shows the slip, or cannot be made because one of them is no sheet.
pub(super) fn compared(path: &str, clean: &Document, text: &str) -> bool {
    let (document, _) = Document::read(FileId(1), path, text.as_bytes(), &READ_OPTIONS);
    document.is_broken() || !compare(EntryKind::Tube, clean, &document, Scope::Leaflet).is_empty()
}

fn reported(findings: Vec<Finding>) -> Vec<Finding> {
    findings
        .into_iter()
        .filter(|finding| Level::Warning <= finding.level())
        .collect()
}
