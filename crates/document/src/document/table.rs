//! A table as a document: the places of its cells under the paths that a written file would have.
//!
//! A table says the same as a file that is written field by field, and a finding about it has to
//! point at its cell. Whoever has read the table says which cell stands for which field; what is found by path, is then
//! found in the text of the table.

use std::ops::Range;
use std::sync::OnceLock;

use super::tree::{Class, NodeKind, Style, Tree};
use super::{Document, FileId};

/// A field, a group of fields or a list, with the bytes of the table that it stands in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cells {
    /// One cell, or a part of one, with what it says.
    Text(String, Range<usize>),
    /// Fields by name.
    Fields(Vec<(&'static str, Cells)>, Range<usize>),
    /// Rows, or the parts of a cell that holds a list.
    List(Vec<Cells>, Range<usize>),
}

impl Cells {
    fn range(&self) -> &Range<usize> {
        match self {
            Self::Text(_, range) | Self::Fields(_, range) | Self::List(_, range) => range,
        }
    }
}

impl Document {
    /// A document whose text is that of a table, and whose tree is what the table was read as.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_document::{Cells, Document};
    /// use stainbook_document::place::{FileId, Path, Place};
    ///
    /// let text = "id,handles\nk07,3\n";
    /// let row = Cells::Fields(vec![("id", Cells::Text("k07".into(), 11..14)), ("handles", Cells::Text("3".into(), 15..16))], 11..16);
    /// let kettles = Cells::Fields(vec![("kettles", Cells::List(vec![row], 11..16))], 0..17);
    /// let document = Document::of_table(FileId(0), "kitchen.csv", text.into(), &kettles);
    /// let handles = Path::from_pointer("/kettles/0/handles");
    /// assert_eq!(document.locate(&Place::value(FileId(0), handles)), 15..16);
    /// ```
    pub fn of_table(file: FileId, name: &str, text: String, cells: &Cells) -> Self {
        let mut tree = Tree::default();
        push(&mut tree, cells);
        Self {
            name: name.to_owned(),
            file,
            text,
            tree: OnceLock::from(tree),
            wide: OnceLock::new(),
            plain_from: None,
            reported: Vec::new(),
            broken: false,
            lines: OnceLock::new(),
            worksheet: None,
            of_cells: true,
        }
    }
}

fn push(tree: &mut Tree, cells: &Cells) {
    let (start, end) = (offset(cells.range().start), offset(cells.range().end));
    match cells {
        Cells::Text(text, _) => {
            // Double quotes say that the text is one, whatever it looks like.
            tree.push_scalar(
                Style::Double,
                Class::Text,
                start..end,
                Some(text.as_str().into()),
            );
        }
        Cells::Fields(fields, _) => {
            let id = tree.push_container(NodeKind::Mapping, 0, start);
            for (name, value) in fields {
                // The header names the field, far away; what is said about its name is said of the cell.
                let at = offset(value.range().start);
                tree.push_scalar(
                    Style::Plain,
                    Class::Text,
                    at..offset(value.range().end),
                    Some((*name).into()),
                );
                push(tree, value);
            }
            tree.close(id, end, count(fields.len()));
        }
        Cells::List(items, _) => {
            let id = tree.push_container(NodeKind::Sequence, 0, start);
            for item in items {
                push(tree, item);
            }
            tree.close(id, end, count(items.len()));
        }
    }
}

fn offset(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

fn count(children: usize) -> u32 {
    u32::try_from(children).unwrap_or(u32::MAX)
}
