//! A worksheet of a spreadsheet as a document: a line of text for each row, and the cell that each byte of it stands for.
//!
//! A spreadsheet has no lines and no bytes that a person could count. What is shown of it is a text made for the purpose;
//! what is said of a place in it is the cell.

use std::fmt;
use std::ops::Range;

use super::{Cells, Document, FileId};

/// Correspondence of the parts of a document's text to the cells of a worksheet.
///
/// # Example
///
/// ```
/// use stainbook_document::{Cell, Worksheet};
///
/// // `r07 | 3` as the second row.
/// let worksheet = Worksheet::new("Round", [(1, Cell { row: 2, column: 1 }), (7, Cell { row: 2, column: 2 })]);
/// assert_eq!(worksheet.cells_at(&(7..8)).to_string(), "B2");
/// assert_eq!(worksheet.cells_at(&(1..8)).to_string(), "A2:B2");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worksheet {
    name: String,
    /// Each cell with the byte that it begins at, in the order of the text.
    cells: Vec<(usize, Cell)>,
}

/// A cell, by its row and column, both counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cell {
    /// The row.
    pub row: usize,
    /// The column; A is 1.
    pub column: usize,
}

/// Cells from one to another in the order of reading; often one alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CellRange {
    /// The first.
    pub first: Cell,
    /// The last, which is part of it.
    pub last: Cell,
}

impl Worksheet {
    /// The cells of a worksheet, each with the byte of the text that it begins at, in the order of the text.
    pub fn new(name: impl Into<String>, cells: impl IntoIterator<Item = (usize, Cell)>) -> Self {
        Self {
            name: name.into(),
            cells: cells.into_iter().collect(),
        }
    }

    /// Name of the worksheet.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The cells that bytes of the text stand for; before the first cell, the first.
    pub fn cells_at(&self, bytes: &Range<usize>) -> CellRange {
        let first = self.cell_at(bytes.start);
        let last = bytes.end.saturating_sub(1).max(bytes.start);
        CellRange {
            first,
            last: self.cell_at(last),
        }
    }

    fn cell_at(&self, byte: usize) -> Cell {
        let after = self.cells.partition_point(|(start, _)| *start <= byte);
        self.cells
            .get(after.saturating_sub(1))
            .map_or(Cell { row: 1, column: 1 }, |(_, cell)| *cell)
    }
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", column_letters(self.column), self.row)
    }
}

impl fmt::Display for CellRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.first)?;
        if self.first == self.last {
            return Ok(());
        }
        write!(f, ":{}", self.last)
    }
}

/// The letters of a spreadsheet's column, counted from 1: A to Z, AA to AZ, and so on.
///
/// ```
/// use stainbook_document::column_letters;
///
/// assert_eq!([1, 26, 27, 703].map(column_letters), ["A", "Z", "AA", "AAA"]);
/// ```
pub fn column_letters(column: usize) -> String {
    let mut rest = column;
    let mut letters = Vec::new();
    while 0 < rest {
        rest -= 1;
        letters.push(char::from(b'A' + u8::try_from(rest % 26).unwrap_or(0)));
        rest /= 26;
    }
    letters.iter().rev().collect()
}

impl Document {
    /// A document whose text was made of a worksheet, a line for each row, and whose tree is what the rows were read as.
    pub fn of_worksheet(
        file: FileId,
        name: &str,
        text: String,
        cells: &Cells,
        worksheet: Worksheet,
    ) -> Self {
        Self {
            worksheet: Some(Box::new(worksheet)),
            ..Self::of_table(file, name, text, cells)
        }
    }

    /// The worksheet that the text was made of, if it was. Nothing can be mended by changing such a text.
    pub fn worksheet(&self) -> Option<&Worksheet> {
        self.worksheet.as_deref()
    }
}
