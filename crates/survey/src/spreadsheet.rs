//! Surveys that were kept in a spreadsheet, `.xlsx` or `.ods`: the same columns as in a [table](crate::table), one row
//! a reading, read by the same rows.
//!
//! A spreadsheet knows more of a cell than its text, and less than the person who typed it: what was a lot may have become
//! a date, what shows as 50 % is stored as 0.5, and no date has a zone. Where a cell can mean two things it is refused, with
//! its place and what to type instead.

use std::sync::Arc;

use calamine::{Data, SheetVisible, StyleRange};

use crate::table::header::{self, HeaderCell, Heading, columns};
use crate::table::look_ahead::{FIRST_ROWS, header_among, names_columns};
use crate::table::row::{CellWays, RowDraft};
use crate::table::surroundings::Surroundings;
use crate::table::top::{RowsAre, TopCell, TopDraft};
use crate::table::totals::RowKind;
use crate::table::{CsvReading, HeaderProblem, RefusedRow, TableSettings, TableTop, place};

pub use crate::table::{NoZone, Zone};

mod bounds;
mod cell;
mod filled_cells;

use filled_cells::{FilledCells, Sheets};

/// A spreadsheet that has been opened.
pub struct Workbook {
    sheets: Sheets,
}

/// A spreadsheet that cannot be read, or not as it stands.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}; {help}")]
#[non_exhaustive]
pub struct WorkbookProblem {
    /// The problem, with its place.
    pub message: String,
    /// The remedy.
    pub help: String,
}

impl WorkbookProblem {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
        }
    }
}

impl Workbook {
    /// Opens a spreadsheet from its bytes.
    ///
    /// # Errors
    ///
    /// [`WorkbookProblem`]: the bytes are not such a file, or it is locked with a password.
    pub fn open(bytes: Vec<u8>) -> Result<Self, WorkbookProblem> {
        Sheets::open(bytes).map(|sheets| Self { sheets })
    }

    /// The worksheets that are not hidden and hold something, in their order.
    pub fn worksheets(&mut self) -> Vec<String> {
        let visible = self
            .sheets
            .metadata()
            .into_iter()
            .filter(|sheet| sheet.visible == SheetVisible::Visible)
            .map(|sheet| sheet.name);
        let visible: Vec<String> = visible.collect();
        visible
            .into_iter()
            .filter(|name| self.sheets.holds_something(name))
            .collect()
    }

    /// The rows of the worksheet of this name, or of the only one.
    ///
    /// # Errors
    ///
    /// [`WorkbookProblem`]: there is no such worksheet, there are several to choose from, or its header cannot be read.
    pub fn rows(
        &mut self,
        worksheet: Option<&str>,
        settings: impl Into<TableSettings>,
    ) -> Result<WorksheetRows, WorkbookProblem> {
        let mut names = self.worksheets();
        let mut beside = Vec::new();
        if worksheet.is_none() && 1 < names.len() {
            // Explanations and lists beside the readings.
            let of_readings = self.of_readings(&names)?;
            if !of_readings.is_empty() {
                beside = names;
                beside.retain(|name| !of_readings.contains(name));
                names = of_readings;
            }
        }
        let listed = || {
            names
                .iter()
                .map(|name| format!("`{name}`"))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let name = match (worksheet, names.as_slice()) {
            (Some(wanted), _) => match names.iter().find(|name| *name == wanted) {
                Some(name) => name.clone(),
                None => {
                    return Err(WorkbookProblem::new(
                        format!("there is no worksheet `{wanted}` with readings in it"),
                        format!("there are {}", listed()),
                    ));
                }
            },
            (None, [only]) => only.clone(),
            (None, []) => {
                return Err(WorkbookProblem::new(
                    "the spreadsheet is empty",
                    "the first row names the columns, as in `id`, `at`, `tube`, `strokes`, `reading [ppm]`",
                ));
            }
            (None, _) => {
                return Err(WorkbookProblem::new(
                    format!("there are several worksheets: {}", listed()),
                    "say which with --worksheet NAME",
                ));
            }
        };
        let worksheet = self.worksheet(&name)?;
        let mut rows = WorksheetRows::new(worksheet, settings.into()).map_err(|problem| {
            let at = place(Some(&name), problem.line, problem.column, "");
            WorkbookProblem::new(format!("{at}: {}", problem.message), problem.help)
        })?;
        rows.around.beside = beside;
        Ok(rows)
    }

    /// The filled rows of the worksheet of this name, or of the only one, as they are shown: each with its number, counted from
    /// 1, and a text for each column up to its last filled one.
    ///
    /// # Errors
    ///
    /// [`WorkbookProblem`]: there is no such worksheet, or there are several to choose from.
    pub fn texts(
        &mut self,
        worksheet: Option<&str>,
    ) -> Result<Vec<(u64, Vec<String>)>, WorkbookProblem> {
        let names = self.worksheets();
        let name = match (worksheet, names.as_slice()) {
            (Some(wanted), _) => wanted.to_owned(),
            (None, [only]) => only.clone(),
            (None, _) => {
                return Err(WorkbookProblem::new(
                    format!(
                        "there are several worksheets, or none: {}",
                        header::quoted_all(&names)
                    ),
                    "say which with --worksheet NAME",
                ));
            }
        };
        let (cells, _) = self.sheets.cells(&name)?;
        let row = |number: u32| {
            let mut row = Vec::new();
            for (column, data) in cells.of_row(number) {
                row.resize(position(column), String::new());
                if let Some(slot) = row.last_mut() {
                    *slot = cell::shown(data);
                }
            }
            (u64::from(number) + 1, row)
        };
        Ok(cells.rows().map(row).collect())
    }

    /// Those of these worksheets that have a header with columns of a survey.
    pub(crate) fn of_readings(&mut self, names: &[String]) -> Result<Vec<String>, WorkbookProblem> {
        let mut of_readings = Vec::new();
        for name in names {
            if self.worksheet(name)?.names_columns() {
                of_readings.push(name.clone());
            }
        }
        Ok(of_readings)
    }

    /// Contents of the worksheet of this name.
    pub(crate) fn worksheet(&mut self, name: &str) -> Result<RawWorksheet, WorkbookProblem> {
        let (cells, styles) = self.sheets.cells(name)?;
        RawWorksheet::new(name.to_owned(), cells, styles)
    }
}

/// Places that the rows of a worksheet have under the columns of its header.
const MOST_PLACES: u64 = 4 * bounds::MOST_CELLS;

/// Contents of a worksheet, before its columns are understood.
#[derive(Debug)]
pub(crate) struct RawWorksheet {
    name: String,
    cells: FilledCells,
    styles: Option<StyleRange>,
    /// Row of the header, counted from 0, with its cells that hold something.
    header_row: u32,
    header: Vec<(u32, String)>,
}

/// The rows of a worksheet, one after the other.
#[derive(Debug)]
#[non_exhaustive]
pub struct WorksheetRows {
    worksheet: RawWorksheet,
    /// Each with its position in the worksheet, counted from 0.
    columns: Vec<(u32, Heading)>,
    /// The names by position, counted from the first column of the worksheet; empty where it has none.
    names: Arc<[&'static str]>,
    /// The rows below the header that hold something and have not been read yet, counted from 0.
    rows: std::vec::IntoIter<u32>,
    ways: CellWays,
    around: Surroundings,
}

impl RawWorksheet {
    fn new(
        name: String,
        cells: FilledCells,
        styles: Option<StyleRange>,
    ) -> Result<Self, WorkbookProblem> {
        let text = |data: &Data| Some(data.to_string().trim().to_owned()).filter(|t| !t.is_empty());
        let filled = |row: u32| -> Vec<(u32, String)> {
            let cells = cells.of_row(row);
            cells
                .filter_map(|(column, data)| Some((column, text(data)?)))
                .collect()
        };
        let first: Vec<(u32, Vec<(u32, String)>)> = cells
            .rows()
            .map(|row| (row, filled(row)))
            .filter(|(_, cells)| !cells.is_empty())
            .take(FIRST_ROWS)
            .collect();
        let texts = first
            .iter()
            .map(|(_, cells)| cells.iter().map(|(_, text)| text.as_str()));
        let (header_row, header) = first
            .get(header_among(texts))
            .cloned()
            .or_else(|| Some((cells.rows().next()?, Vec::new())))
            .ok_or_else(|| WorkbookProblem::new("the worksheet is empty", ""))?;
        let worksheet = Self {
            name,
            cells,
            styles,
            header_row,
            header,
        };
        // Each row has a place under each column of the header.
        let places =
            (worksheet.width() as u64).saturating_mul(worksheet.cells.rows().count() as u64);
        if MOST_PLACES < places {
            return Err(bounds::too_large(format!(
                "a header of {} columns over {} rows",
                worksheet.width(),
                worksheet.cells.rows().count()
            )));
        }
        Ok(worksheet)
    }

    /// The header's row, counted from 1.
    pub(crate) fn header_row(&self) -> u64 {
        u64::from(self.header_row) + 1
    }

    /// The header's cells that hold something, with their columns counted from 1.
    pub(crate) fn header(&self) -> impl Iterator<Item = (usize, &str)> {
        self.header
            .iter()
            .map(|(column, text)| (position(*column), text.as_str()))
    }

    /// Number of columns up to the last of the header, those before the first that holds something included.
    pub(crate) fn width(&self) -> usize {
        self.header
            .last()
            .map_or(0, |(column, _)| position(*column))
    }

    /// True if the header names columns of a survey.
    fn names_columns(&self) -> bool {
        names_columns(self.header.iter().map(|(_, text)| text.as_str()))
    }

    /// The columns, each with its position counted from 0.
    fn columns(&self) -> Result<Vec<(u32, Heading)>, HeaderProblem> {
        let found =
            columns(self.header.iter().map(|(_, text)| text.as_str())).map_err(|problem| {
                let column = problem
                    .column
                    .checked_sub(1)
                    .and_then(|index| self.header.get(index))
                    .map_or(0, |(column, _)| *column);
                HeaderProblem {
                    line: self.header_row(),
                    column: position(column),
                    ..problem
                }
            })?;
        Ok(self
            .header
            .iter()
            .map(|(column, _)| *column)
            .zip(found)
            .collect())
    }

    /// Rows above the header that hold something, counted from 0.
    fn rows_above(&self) -> impl Iterator<Item = u32> {
        let header = self.header_row;
        self.cells.rows().take_while(move |row| *row < header)
    }

    /// Title, persons and air from above the header.
    fn top(&self, settings: TableSettings) -> Result<TableTop, HeaderProblem> {
        let mut top = TopDraft::new(settings);
        for row in self.rows_above() {
            let cells = self.cells.of_row(row).filter_map(|(column, data)| {
                let shown = cell::shown(data);
                (!shown.is_empty()).then(|| TopCell {
                    column: position(column),
                    shown,
                    day: cell::day(data),
                    under: Box::new(move |head: &HeaderCell| {
                        cell::text(data, head, self.format(row, column), settings.zone)
                            .map_err(|unclear| (unclear.message, unclear.help))
                    }),
                })
            });
            top.row(u64::from(row) + 1, &cells.collect::<Vec<_>>())?;
        }
        Ok(top.finish())
    }

    /// The cells above the header as they are shown, row by row; rows and columns count from 1.
    pub(crate) fn shown_above(&self) -> Vec<(u64, Vec<(usize, String)>)> {
        let shown = |row: u32| {
            let cells = self.cells.of_row(row);
            cells
                .map(|(column, data)| (position(column), cell::shown(data)))
                .filter(|(_, text)| !text.is_empty())
                .collect()
        };
        self.rows_above()
            .map(|row| (u64::from(row) + 1, shown(row)))
            .collect()
    }

    fn format(&self, row: u32, column: u32) -> Option<&str> {
        let style = self.styles.as_ref()?.get((row, column))?;
        Some(style.number_format.as_ref()?.format_code.as_str())
    }
}

impl WorksheetRows {
    /// The rows of a worksheet whose header is understood.
    pub(crate) fn new(
        worksheet: RawWorksheet,
        settings: TableSettings,
    ) -> Result<Self, HeaderProblem> {
        let top = worksheet.top(settings)?;
        let columns = worksheet.columns()?;
        let mut ways = CellWays::from(settings);
        ways.dates.day = top.day;
        let around = Surroundings::new(top, RowsAre::Rows, Some(&worksheet.name));
        let last = worksheet.header.last().map_or(0, |(column, _)| *column);
        let names = (0..=last)
            .map(|at| {
                let here = columns.iter().find(|(column, _)| *column == at);
                here.map_or("", |(_, head)| head.name())
            })
            .collect();
        Ok(Self {
            columns,
            names,
            rows: worksheet
                .cells
                .rows()
                .filter(|row| worksheet.header_row < *row)
                .collect::<Vec<_>>()
                .into_iter(),
            worksheet,
            ways,
            around,
        })
    }

    /// Title, persons and air from above the header, for all rows.
    pub fn top(&self) -> &TableTop {
        &self.around.top
    }

    /// Words about what was understood of that, and what of it is passed over: once each.
    pub fn said_of_top(&self) -> Vec<String> {
        self.around.said_of_top()
    }

    /// Words about what was understood in the rows that have been read, and what of them is passed over: once each.
    pub fn said_of_rows(&self) -> Vec<String> {
        self.around.said_of_rows()
    }

    pub(crate) fn around(&self) -> &Surroundings {
        &self.around
    }

    /// Texts of the cells of a row, with the row and the columns counted from 1; nothing of an empty one.
    pub(crate) fn texts(&self, row: u64) -> Vec<(usize, String)> {
        let Some(row) = row.checked_sub(1).and_then(|row| u32::try_from(row).ok()) else {
            return Vec::new();
        };
        let cells = self.worksheet.cells.of_row(row);
        cells
            .filter_map(|(column, data)| {
                let heading = self.columns.iter().find(|(at, _)| *at == column);
                let format = self.worksheet.format(row, column);
                let text = heading
                    .and_then(|(_, heading)| heading.known())
                    .and_then(|known| cell::text(data, known, format, self.ways.dates.zone).ok())
                    .unwrap_or_else(|| cell::shown(data));
                (!text.is_empty()).then(|| (position(column), text))
            })
            .collect()
    }

    /// The rows that hold something and have not been read yet, counted from 1.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = u64> + use<> {
        self.rows.clone().map(|row| u64::from(row) + 1)
    }

    /// Number of rows that hold something and have not been read yet.
    pub fn rows_left(&self) -> u64 {
        self.rows.len() as u64
    }

    /// The columns that are none of a survey's and are passed over, as they are called.
    pub fn foreign_columns(&self) -> Vec<&str> {
        header::foreign(self.columns.iter().map(|(_, heading)| heading))
    }

    /// The first of them, counted from 1.
    pub(crate) fn first_foreign(&self) -> Option<usize> {
        let mut columns = self.columns.iter();
        let (column, _) = columns.find(|(_, heading)| header::own_name(heading).is_some())?;
        Some(position(*column))
    }

    /// The worksheet's name.
    pub fn worksheet(&self) -> &str {
        &self.worksheet.name
    }

    /// The kind of a row, with the texts of its cells if it is no reading.
    fn kind(&self, number: u32) -> (RowKind, Vec<String>) {
        let cells = self.worksheet.cells.of_row(number).map(|(at, data)| {
            let heading = self.columns.iter().find(|(column, _)| *column == at);
            (heading.map(|(_, heading)| heading), cell::shown(data))
        });
        let cells: Vec<_> = cells.filter(|(_, text)| !text.is_empty()).collect();
        let kinds: Vec<_> = cells
            .iter()
            .map(|(head, text)| (*head, text.as_str()))
            .collect();
        let kind = RowKind::of(&kinds);
        (kind, cells.into_iter().map(|(_, text)| text).collect())
    }

    fn row(&mut self, number: u32) -> Option<Result<CsvReading, RefusedRow>> {
        let worksheet = &self.worksheet;
        let mut row = RowDraft::of_worksheet(&worksheet.name, u64::from(number) + 1);
        let mut empty = true;
        for (position_in_sheet, data) in worksheet.cells.of_row(number) {
            if matches!(data, Data::String(text) if text.trim().is_empty()) {
                continue;
            }
            let shown = position(position_in_sheet);
            let heading = self
                .columns
                .iter()
                .find(|(column, _)| *column == position_in_sheet)
                .map(|(_, heading)| heading);
            let head = match heading {
                Some(Heading::Known(head)) => head,
                Some(Heading::Foreign(_)) => continue,
                Some(Heading::Nameless) | None => {
                    empty = false;
                    row.under_no_header(shown);
                    continue;
                }
            };
            empty = false;
            let format = worksheet.format(number, position_in_sheet);
            match cell::text(data, head, format, self.ways.dates.zone) {
                Ok(text) => row.cell(shown, head, &text, &self.ways),
                Err(problem) => {
                    row.problem(shown, head.column.name, problem.message, &problem.help);
                }
            }
        }
        // A spreadsheet leaves empty rows behind.
        if empty {
            return None;
        }
        self.around
            .understood_date(u64::from(number) + 1, row.take_national_date());
        Some(row.finish(&self.names))
    }
}

/// As people count: from 1.
fn position(column: u32) -> usize {
    usize::try_from(column).unwrap_or(0) + 1
}

impl Iterator for WorksheetRows {
    type Item = Result<CsvReading, RefusedRow>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            if let Some(row) = self.around.next_ready() {
                return Some(row);
            }
            let Some(number) = self.rows.next() else {
                self.around.end();
                return None;
            };
            if let Some(row) = self.row(number) {
                let (kind, cells) = self.kind(number);
                let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
                self.around.add(kind, &cells, u64::from(number) + 1, row);
            }
        }
    }
}

#[cfg(test)]
mod tests;
