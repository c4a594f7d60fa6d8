//! Surveys that were kept in a spreadsheet, `.xlsx` or `.ods`: the same columns as in a [table](crate::table), one row
//! a reading, read by the same rows.
//!
//! A spreadsheet knows more of a cell than its text, and less than the person who typed it: what was a lot may have become
//! a date, what shows as 50 % is stored as 0.5, and no date has a zone. Where a cell can mean two things it is refused, with
//! its place and what to type instead.

use std::str::FromStr;
use std::sync::Arc;

use calamine::{Data, SheetVisible, StyleRange};
use jiff::tz::Offset;

use crate::table::header::{self, Heading, columns, named};
use crate::table::row::RowDraft;
use crate::table::{CsvReading, DecimalMark, RefusedRow, place};

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

/// Offset from UTC of the clock that a spreadsheet's dates were read from, the same for all of them.
///
/// ```
/// use stainbook_survey::spreadsheet::Zone;
///
/// assert_eq!("+02:00".parse::<Zone>().unwrap().to_string(), "+02:00");
/// assert_eq!("Z".parse::<Zone>().unwrap().to_string(), "+00:00");
/// // A name would need the rules of every country, summer time included.
/// assert!("Europe/Oslo".parse::<Zone>().is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone(Offset);

/// A text that is no distance from UTC.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{text}` is not a distance from UTC: write it as in `+02:00`, `-05:30` or `Z`; readings from before and after the clocks were changed need a survey each"
)]
#[non_exhaustive]
pub struct NoZone {
    /// The text as it was given.
    pub text: String,
}

impl FromStr for Zone {
    type Err = NoZone;

    fn from_str(text: &str) -> Result<Self, NoZone> {
        let wrong = || NoZone {
            text: text.to_owned(),
        };
        if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
            return Ok(Self(Offset::UTC));
        }
        let (sign, rest) = match (text.strip_prefix('+'), text.strip_prefix(['-', '−'])) {
            (Some(rest), _) => (1, rest),
            (_, Some(rest)) => (-1, rest),
            _ => return Err(wrong()),
        };
        let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "0"));
        let (hours, minutes): (i32, i32) = (
            hours.parse().map_err(|_| wrong())?,
            minutes.parse().map_err(|_| wrong())?,
        );
        // The farthest that any clock is: UTC−12 to UTC+14.
        if !(0..=14).contains(&hours) || !(0..60).contains(&minutes) {
            return Err(wrong());
        }
        Offset::from_seconds(sign * (hours * 3600 + minutes * 60))
            .map(Self)
            .map_err(|_| wrong())
    }
}

impl std::fmt::Display for Zone {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let seconds = self.0.seconds();
        let sign = if seconds < 0 { '-' } else { '+' };
        let minutes = seconds.abs() / 60;
        write!(f, "{sign}{:02}:{:02}", minutes / 60, minutes % 60)
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
        mark: DecimalMark,
        zone: Option<Zone>,
    ) -> Result<WorksheetRows, WorkbookProblem> {
        let names = self.worksheets();
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
        WorksheetRows::new(worksheet, mark, zone).map_err(|problem| {
            let at = place(Some(&name), problem.row, problem.column, "");
            WorkbookProblem::new(format!("{at}: {}", problem.message), problem.help)
        })
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

/// A header that cannot be understood.
pub(crate) struct WorksheetHeaderProblem {
    /// The row and the column, both counted from 1.
    row: u64,
    pub(crate) column: usize,
    pub(crate) message: String,
    pub(crate) help: String,
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
    mark: DecimalMark,
    zone: Option<Zone>,
}

impl RawWorksheet {
    fn new(
        name: String,
        cells: FilledCells,
        styles: Option<StyleRange>,
    ) -> Result<Self, WorkbookProblem> {
        let text = |data: &Data| Some(data.to_string().trim().to_owned()).filter(|t| !t.is_empty());
        let header_row = cells
            .rows()
            .find(|row| cells.of_row(*row).any(|(_, data)| text(data).is_some()))
            .or_else(|| cells.rows().next())
            .ok_or_else(|| WorkbookProblem::new("the worksheet is empty", ""))?;
        let header: Vec<(u32, String)> = cells
            .of_row(header_row)
            .filter_map(|(column, data)| Some((column, text(data)?)))
            .collect();
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

    /// Number of the header's cells that name a column of a survey.
    pub(crate) fn known_columns(&self) -> usize {
        self.header
            .iter()
            .filter(|(_, text)| named(text).is_some())
            .count()
    }

    /// The columns, each with its position counted from 0.
    fn columns(&self) -> Result<Vec<(u32, Heading)>, WorksheetHeaderProblem> {
        let found =
            columns(self.header.iter().map(|(_, text)| text.as_str())).map_err(|problem| {
                let column = problem
                    .column
                    .checked_sub(1)
                    .and_then(|index| self.header.get(index))
                    .map_or(0, |(column, _)| *column);
                WorksheetHeaderProblem {
                    row: self.header_row(),
                    column: position(column),
                    message: problem.message,
                    help: problem.help,
                }
            })?;
        Ok(self
            .header
            .iter()
            .map(|(column, _)| *column)
            .zip(found)
            .collect())
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
        mark: DecimalMark,
        zone: Option<Zone>,
    ) -> Result<Self, WorksheetHeaderProblem> {
        let columns = worksheet.columns()?;
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
            mark,
            zone,
        })
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
                    .and_then(|known| cell::text(data, known, format, self.zone).ok())
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

    fn row(&self, number: u32) -> Option<Result<CsvReading, RefusedRow>> {
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
            match cell::text(data, head, format, self.zone) {
                Ok(text) => row.cell(shown, head, &text, self.mark),
                Err(problem) => {
                    row.problem(shown, head.column.name, problem.message, &problem.help);
                }
            }
        }
        // A spreadsheet leaves empty rows behind.
        (!empty).then(|| row.finish(&self.names))
    }
}

/// As people count: from 1.
fn position(column: u32) -> usize {
    usize::try_from(column).unwrap_or(0) + 1
}

impl Iterator for WorksheetRows {
    type Item = Result<CsvReading, RefusedRow>;

    fn next(&mut self) -> Option<Self::Item> {
        while let Some(number) = self.rows.next() {
            if let Some(row) = self.row(number) {
                return Some(row);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests;
