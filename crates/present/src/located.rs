//! From the place of a finding to file, line, column and bytes.

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;
use std::sync::{Mutex, MutexGuard, PoisonError};

use stainbook_catalog::Book;
use stainbook_catalog::known_by::KnownRows;
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
    /// What the rows of that document are known by.
    known: Mutex<(FileId, KnownRows)>,
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
                pointer,
                text: "",
                cell: None,
            };
        };
        self.look_at(place.file, document, |whole| {
            located(path, whole, document, place)
        })
    }

    /// The way to a place as a JSON Pointer with rows of lists by what they are known by, which does not change when rows are
    /// put in above; of a spreadsheet with its worksheet.
    pub fn known_by(&self, place: &Place) -> String {
        let source = self.by_file.get(&place.file);
        let Some(document) = source.and_then(|source| source.document) else {
            return place
                .path()
                .map(stainbook_document::place::Path::pointer)
                .unwrap_or_default();
        };
        let known = self.look_at(place.file, document, |whole| {
            let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
            if known.0 != place.file {
                *known = (place.file, KnownRows::default());
            }
            known.1.known_by(whole, &whole.path_at(place))
        });
        match document.worksheet() {
            // Two worksheets of one file can have a reading of one name.
            Some(worksheet) => format!("/{}{known}", worksheet.name()),
            None => known,
        }
    }

    /// Looks at a document with its tree, which is made again where it was let go.
    fn look_at<T>(
        &self,
        file: FileId,
        document: &Document,
        look: impl FnOnce(&Document) -> T,
    ) -> T {
        if document.has_tree() {
            return look(document);
        }
        // Taken out while it is looked at, so that threads do not wait for each other.
        let known = self.last().take().filter(|(known, _)| *known == file);
        let again = known.unwrap_or_else(|| (file, document.with_tree()));
        let seen = look(&again.1);
        *self.last() = Some(again);
        seen
    }

    fn last(&self) -> MutexGuard<'_, Option<(FileId, Document)>> {
        self.last.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A place of a document, in which it is looked up with its tree.
fn located<'a>(
    path: &'a str,
    whole: &Document,
    document: &'a Document,
    place: &Place,
) -> Located<'a> {
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
    Located {
        path,
        start,
        end,
        pointer: way.pointer(),
        bytes,
        text: document.text(),
        cell,
    }
}
