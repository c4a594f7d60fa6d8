//! From the place of a finding to file, line, column and bytes.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::sync::{Mutex, MutexGuard, PoisonError};

use stainbook_catalog::Book;
use stainbook_catalog::known_by::known_by;
use stainbook_document::finding::{Edit, Finding};
use stainbook_document::place::{FileId, Place};
use stainbook_document::{CellRange, Document, LineColumn};

use crate::lines::printable;

/// The files that findings speak of, by number.
#[derive(Debug, Default)]
pub struct Sources<'a> {
    by_file: BTreeMap<FileId, NamedSource<'a>>,
    /// The document that was looked at last, if its tree had to be made again: findings about one file come together.
    last: Mutex<Option<(FileId, Document)>>,
}

#[derive(Debug)]
struct NamedSource<'a> {
    path: &'a str,
    document: Option<&'a Document>,
}

/// A place as it is shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Located<'a> {
    /// The file's path as it was given.
    pub path: &'a str,
    /// The bytes of the text, empty for a place without any.
    pub bytes: Range<usize>,
    /// Start.
    pub start: LineColumn,
    /// End; the character here is no longer part of it.
    pub end: LineColumn,
    /// The route to it as a JSON Pointer: to the field that holds the bytes where bytes alone name the place.
    pub pointer: String,
    /// The same with rows of lists by what they are known by, which does not change when rows are put in above.
    pub known_by: String,
    /// The text of the file, or what stands for it.
    pub text: &'a str,
    /// The cell, if the file is a spreadsheet. Lines are rows then, columns those of the worksheet, and the bytes are those of
    /// a text that is shown and nowhere saved.
    pub cell: Option<InWorksheet<'a>>,
}

/// A place in a spreadsheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InWorksheet<'a> {
    /// The name of the worksheet.
    pub worksheet: &'a str,
    /// The cell, or the first and the last of several.
    pub cells: CellRange,
}

impl fmt::Display for InWorksheet<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = if self.cells.first == self.cells.last {
            "cell"
        } else {
            "cells"
        };
        let worksheet = printable(self.worksheet);
        write!(f, "worksheet `{worksheet}`, {word} {}", self.cells)
    }
}

impl Located<'_> {
    /// The file and the place in it on one line: `a.tube.yaml:3:8`, or ``round.xlsx, worksheet `Round`, cell D7``.
    pub fn in_a_line(&self) -> String {
        let path = printable(self.path);
        match &self.cell {
            Some(cell) => format!("{path}, {cell}"),
            None => format!("{path}:{}:{}", self.start.line, self.start.column),
        }
    }

    /// The place in its file in short: `3:8`, or `Round!D7` as spreadsheets themselves write it.
    pub fn in_the_file(&self) -> String {
        match &self.cell {
            Some(cell) => format!("{}!{}", printable(cell.worksheet), cell.cells),
            None => format!("{}:{}", self.start.line, self.start.column),
        }
    }
}

impl<'a> Sources<'a> {
    /// The files of a book.
    pub fn of_book(book: &'a Book) -> Self {
        let mut sources = Self::default();
        for entry in book.entries() {
            sources.add(entry.file, &entry.path, &entry.document);
        }
        sources
    }

    /// Adds a file that was read.
    pub fn add(&mut self, file: FileId, path: &'a str, document: &'a Document) {
        self.by_file.insert(
            file,
            NamedSource {
                path,
                document: Some(document),
            },
        );
    }

    /// Adds a file that could not be read as an entry: findings name it without showing a line of it.
    pub fn add_unread(&mut self, file: FileId, path: &'a str) {
        self.by_file.entry(file).or_insert(NamedSource {
            path,
            document: None,
        });
    }

    /// The changes that a finding proposes; none for a spreadsheet, whose text is nowhere saved.
    pub fn edits<'f>(&self, finding: &'f Finding) -> &'f [Edit] {
        let file = self.by_file.get(&finding.place().file);
        let document = file.and_then(|source| source.document);
        if document.is_some_and(|document| document.worksheet().is_some()) {
            return &[];
        }
        finding.edits()
    }

    /// Line and column of a place. A file that is not among the sources is shown without a name, at its start.
    pub fn locate(&self, place: &Place) -> Located<'a> {
        let start = LineColumn { line: 1, column: 1 };
        let source = self.by_file.get(&place.file);
        let path = source.map_or("", |source| source.path);
        let Some(document) = source.and_then(|source| source.document) else {
            let pointer = place
                .path()
                .map(stainbook_document::place::Path::pointer)
                .unwrap_or_default();
            return Located {
                path,
                bytes: 0..0,
                start,
                end: start,
                known_by: pointer.clone(),
                pointer,
                text: "",
                cell: None,
            };
        };
        // Taken out while it is looked at, so that threads do not wait for each other.
        let mut again = None;
        let whole = if document.has_tree() {
            document
        } else {
            let known = self.last().take().filter(|(file, _)| *file == place.file);
            &again
                .insert(known.unwrap_or_else(|| (place.file, document.with_tree())))
                .1
        };
        let bytes = whole.locate(place);
        let way = whole.path_at(place);
        let cell = document.worksheet().map(|worksheet| InWorksheet {
            worksheet: worksheet.name(),
            cells: worksheet.cells_at(&bytes),
        });
        let (start, end) = match &cell {
            None => (whole.line_column(bytes.start), whole.line_column(bytes.end)),
            Some(InWorksheet { cells, .. }) => {
                let at = |line, column| LineColumn { line, column };
                (
                    at(cells.first.row, cells.first.column),
                    at(cells.last.row, cells.last.column + 1),
                )
            }
        };
        let known_by = known_by(whole, &way);
        if again.is_some() {
            *self.last() = again;
        }
        Located {
            path,
            start,
            end,
            pointer: way.pointer(),
            known_by: match &cell {
                // Two worksheets of one file can have a reading of one name.
                Some(cell) => format!("/{}{known_by}", cell.worksheet),
                None => known_by,
            },
            bytes,
            text: document.text(),
            cell,
        }
    }

    fn last(&self) -> MutexGuard<'_, Option<(FileId, Document)>> {
        self.last.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
