//! From the place of a finding to file, line, column and bytes.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;

use stainbook_catalog::Book;
use stainbook_catalog::document::{Document, LineColumn};
use stainbook_catalog::place::{FileId, Place};

/// The files that findings speak of, by number.
#[derive(Debug, Default)]
pub struct Sources<'a> {
    by_file: BTreeMap<FileId, Source<'a>>,
    /// The document that was looked at last, if its tree had to be made again: findings about one file come together.
    last: RefCell<Option<(FileId, Document)>>,
}

#[derive(Debug)]
struct Source<'a> {
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
    /// Where it starts.
    pub start: LineColumn,
    /// Where it ends; the character here is no longer part of it.
    pub end: LineColumn,
    /// The route to it as a JSON Pointer: to the field that holds the bytes where bytes alone name the place.
    pub pointer: String,
    /// The same with rows of lists by what they are known by, which does not change when rows are put in above.
    pub known_by: String,
    /// The text of the file.
    pub text: &'a str,
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
            Source {
                path,
                document: Some(document),
            },
        );
    }

    /// Adds a file that could not be read as an entry: findings name it without showing a line of it.
    pub fn add_unread(&mut self, file: FileId, path: &'a str) {
        self.by_file.entry(file).or_insert(Source {
            path,
            document: None,
        });
    }

    /// Where a place is. A file that is not among the sources is shown without a name, at its start.
    pub fn locate(&self, place: &Place) -> Located<'a> {
        let start = LineColumn { line: 1, column: 1 };
        let source = self.by_file.get(&place.file);
        let path = source.map_or("", |source| source.path);
        let Some(document) = source.and_then(|source| source.document) else {
            let pointer = place
                .path()
                .map(stainbook_catalog::place::Path::pointer)
                .unwrap_or_default();
            return Located {
                path,
                bytes: 0..0,
                start,
                end: start,
                known_by: pointer.clone(),
                pointer,
                text: "",
            };
        };
        let mut last = self.last.borrow_mut();
        let whole = if document.has_tree() {
            document
        } else {
            let known = last.take().filter(|(file, _)| *file == place.file);
            &last
                .insert(known.unwrap_or_else(|| (place.file, document.with_tree())))
                .1
        };
        let bytes = whole.locate(place);
        let way = whole.path_at(place);
        Located {
            path,
            start: whole.line_column(bytes.start),
            end: whole.line_column(bytes.end),
            pointer: way.pointer(),
            known_by: whole.known_by(&way),
            bytes,
            text: document.text(),
        }
    }
}
