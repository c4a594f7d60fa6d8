//! The cells of a worksheet that hold something, as they are read.
//!
//! What lies between them takes no memory: somebody fills the last cell of a worksheet by mistake, and between it and the
//! readings there are seventeen billion.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, DataRef, Error, Ods, OdsError, Reader, Sheet, StyleRange, Xlsx, XlsxError};

use super::WorkbookProblem;
use super::bounds::{
    Form, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, MOST_UNPACKED, form_within_bounds, too_large,
};

type Bytes = Cursor<Vec<u8>>;

/// The worksheets of a spreadsheet of either form.
pub(super) enum Sheets {
    Xlsx(Box<Xlsx<Bytes>>),
    Ods(Box<Ods<Bytes>>),
}

impl Sheets {
    pub(super) fn open(bytes: Vec<u8>) -> Result<Self, WorkbookProblem> {
        let opened = match form_within_bounds(&bytes)? {
            Form::Xlsx => Xlsx::new(Cursor::new(bytes))
                .map(|sheets| Self::Xlsx(Box::new(sheets)))
                .map_err(Error::from),
            Form::Ods => Ods::new(Cursor::new(bytes))
                .map(|sheets| Self::Ods(Box::new(sheets)))
                .map_err(Error::from),
        };
        opened.map_err(|error| {
            WorkbookProblem::new(
                format!("the spreadsheet cannot be opened: {error}"),
                "save it as .xlsx or .ods without a password, or as CSV in UTF-8",
            )
        })
    }

    pub(super) fn metadata(&self) -> Vec<Sheet> {
        match self {
            Self::Xlsx(sheets) => sheets.sheets_metadata().to_vec(),
            Self::Ods(sheets) => sheets.sheets_metadata().to_vec(),
        }
    }

    /// True if a worksheet can be read and a cell of it is filled.
    pub(super) fn holds_something(&mut self, name: &str) -> bool {
        match self {
            Self::Xlsx(sheets) => {
                let Ok(mut cells) = sheets.worksheet_cells_reader(name) else {
                    return false;
                };
                while let Ok(Some(cell)) = cells.next_cell() {
                    if !matches!(cell.get_value(), DataRef::Empty) {
                        return true;
                    }
                }
                false
            }
            Self::Ods(sheets) => sheets
                .worksheet_range(name)
                .is_ok_and(|range| !range.is_empty()),
        }
    }

    /// The filled cells of a worksheet with their formats, as far as those are kept.
    pub(super) fn cells(
        &mut self,
        name: &str,
    ) -> Result<(FilledCells, Option<StyleRange>), WorkbookProblem> {
        match self {
            Self::Xlsx(sheets) => {
                let cells = of_xlsx(sheets, name)?;
                let styles = sheets.worksheet_style(name).ok();
                Ok((cells, styles))
            }
            Self::Ods(sheets) => Ok((of_ods(sheets, name)?, None)),
        }
    }
}

/// The filled cells of a worksheet; rows and columns count from 0.
#[derive(Debug, Default)]
pub(super) struct FilledCells {
    cells: BTreeMap<(u32, u32), Data>,
    /// Each row that has one, in order.
    rows: Vec<u32>,
    /// Bytes of their texts.
    bytes: u64,
}

impl FilledCells {
    fn add(&mut self, (row, column): (u32, u32), data: Data) -> Result<(), WorkbookProblem> {
        if MOST_ROWS <= row || MOST_COLUMNS <= column {
            let (row, column) = (u64::from(row) + 1, u64::from(column) + 1);
            return Err(WorkbookProblem::new(
                format!(
                    "the spreadsheet has a cell in row {row} and column {column}, which no worksheet has"
                ),
                "save the spreadsheet again, or as CSV in UTF-8",
            ));
        }
        if let Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) = &data {
            self.bytes = self.bytes.saturating_add(text.len() as u64);
            if MOST_UNPACKED < self.bytes {
                return Err(too_large(format!(
                    "more than {} MiB of text in its cells",
                    MOST_UNPACKED >> 20
                )));
            }
        }
        self.cells.insert((row, column), data);
        if MOST_CELLS < self.cells.len() as u64 {
            return Err(too_large(format!("more than {MOST_CELLS} filled cells")));
        }
        Ok(())
    }

    fn finish(mut self) -> Self {
        self.rows = self.cells.keys().map(|(row, _)| *row).collect();
        self.rows.dedup();
        self
    }

    /// The rows that have a filled cell, in order.
    pub(super) fn rows(&self) -> impl Iterator<Item = u32> {
        self.rows.iter().copied()
    }

    /// The filled cells of a row with their columns, in order.
    pub(super) fn of_row(&self, row: u32) -> impl Iterator<Item = (u32, &Data)> {
        self.cells
            .range((row, 0)..=(row, u32::MAX))
            .map(|((_, column), data)| (*column, data))
    }
}

fn of_xlsx(sheets: &mut Xlsx<Bytes>, name: &str) -> Result<FilledCells, WorkbookProblem> {
    let unreadable = |error: XlsxError| cannot_be_read(name, &error);
    let mut cells = FilledCells::default();
    let mut reader = sheets.worksheet_cells_reader(name).map_err(unreadable)?;
    while let Some(cell) = reader.next_cell().map_err(unreadable)? {
        match Data::from(cell.get_value().clone()) {
            Data::Empty => {}
            data => cells.add(cell.get_position(), data)?,
        }
    }
    Ok(cells.finish())
}

fn of_ods(sheets: &mut Ods<Bytes>, name: &str) -> Result<FilledCells, WorkbookProblem> {
    let unreadable = |error: OdsError| cannot_be_read(name, &error);
    let range = sheets.worksheet_range(name).map_err(unreadable)?;
    let (first_row, first_column) = range.start().unwrap_or_default();
    let mut cells = FilledCells::default();
    for (row, column, data) in range.used_cells() {
        let place =
            |at: usize, first: u32| u32::try_from(at).unwrap_or(u32::MAX).saturating_add(first);
        let at = (place(row, first_row), place(column, first_column));
        cells.add(at, data.clone())?;
    }
    Ok(cells.finish())
}

fn cannot_be_read(name: &str, error: &dyn std::fmt::Display) -> WorkbookProblem {
    WorkbookProblem::new(
        format!("worksheet `{name}` cannot be read: {error}"),
        "save the spreadsheet again, or as CSV in UTF-8",
    )
}
