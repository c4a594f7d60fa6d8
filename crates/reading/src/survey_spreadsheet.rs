//! Surveys that were kept in a spreadsheet, `.xlsx` or `.ods`: the same columns as in a [table](crate::survey_csv), one row
//! a reading, read by the same rows.
//!
//! A spreadsheet knows more of a cell than its text, and less than the person who typed it: what was a lot may have become
//! a date, what shows as 50 % is stored as 0.5, and no date has a zone. Where a cell can mean two things it is refused, with
//! its place and what to type instead.

use std::io::Cursor;
use std::str::FromStr;
use std::sync::Arc;

use calamine::{Data, Range, Reader, SheetVisible, Sheets, StyleRange};
use jiff::tz::Offset;

use crate::survey_csv::header::{Column, columns};
use crate::survey_csv::row::Row;
use crate::survey_csv::{CsvReading, DecimalMark, RefusedRow, place};

mod cell;

/// A spreadsheet that has been opened.
pub struct Workbook {
    sheets: Sheets<Cursor<Vec<u8>>>,
}

/// A spreadsheet that cannot be read, or not as it stands.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}; {help}")]
pub struct WorkbookProblem {
    /// What is wrong, with its place.
    pub message: String,
    /// What to do.
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

/// How far the clock that a spreadsheet's dates were read from is ahead of UTC, the same for all of them.
///
/// ```
/// use stainbook_reading::survey_spreadsheet::Zone;
///
/// assert_eq!("+02:00".parse::<Zone>().unwrap().to_string(), "+02:00");
/// assert_eq!("Z".parse::<Zone>().unwrap().to_string(), "+00:00");
/// // A name would need the rules of every country, summer time included.
/// assert!("Europe/Oslo".parse::<Zone>().is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone(Offset);

impl FromStr for Zone {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "`{text}` is not a distance from UTC: write it as in `+02:00`, `-05:30` or `Z`; readings from before and after the clocks were changed need a survey each"
            )
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
        calamine::open_workbook_auto_from_rs(Cursor::new(bytes))
            .map(|sheets| Self { sheets })
            .map_err(|error| {
                WorkbookProblem::new(
                    format!("the spreadsheet cannot be opened: {error}"),
                    "save it as .xlsx or .ods without a password, or as CSV in UTF-8",
                )
            })
    }

    /// The worksheets that are not hidden and hold something, in their order.
    pub fn worksheets(&mut self) -> Vec<String> {
        let visible: Vec<String> = self
            .sheets
            .sheets_metadata()
            .iter()
            .filter(|sheet| sheet.visible == SheetVisible::Visible)
            .map(|sheet| sheet.name.clone())
            .collect();
        visible
            .into_iter()
            .filter(|name| {
                self.sheets
                    .worksheet_range(name)
                    .is_ok_and(|range| !range.is_empty())
            })
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
        let unreadable = |error: calamine::Error| {
            WorkbookProblem::new(
                format!("worksheet `{name}` cannot be read: {error}"),
                "save the spreadsheet again, or as CSV in UTF-8",
            )
        };
        let range = self.sheets.worksheet_range(&name).map_err(unreadable)?;
        let styles = match &mut self.sheets {
            Sheets::Xlsx(sheets) => sheets.worksheet_style(&name).ok(),
            _ => None,
        };
        WorksheetRows::new(name, range, styles, mark, zone)
    }
}

/// The rows of a worksheet, one after the other.
#[derive(Debug)]
pub struct WorksheetRows {
    worksheet: String,
    range: Range<Data>,
    styles: Option<StyleRange>,
    /// Each with its position in the worksheet, counted from 0.
    columns: Vec<(u32, Column)>,
    /// The names by position, counted from the first column of the worksheet; empty where it has none.
    names: Arc<[&'static str]>,
    next: u32,
    end: u32,
    mark: DecimalMark,
    zone: Option<Zone>,
}

impl WorksheetRows {
    fn new(
        worksheet: String,
        range: Range<Data>,
        styles: Option<StyleRange>,
        mark: DecimalMark,
        zone: Option<Zone>,
    ) -> Result<Self, WorkbookProblem> {
        let ((first_row, first), (end, last)) = range
            .start()
            .zip(range.end())
            .ok_or_else(|| WorkbookProblem::new("the worksheet is empty", ""))?;
        let text = |row: u32, column: u32| {
            range
                .get_value((row, column))
                .map(|data| data.to_string().trim().to_owned())
                .filter(|text| !text.is_empty())
        };
        let header_row = (first_row..=end)
            .find(|row| (first..=last).any(|column| text(*row, column).is_some()))
            .unwrap_or(first_row);
        let header: Vec<(u32, String)> = (first..=last)
            .filter_map(|column| Some((column, text(header_row, column)?)))
            .collect();
        let found = columns(header.iter().map(|(_, text)| text.as_str())).map_err(|problem| {
            let column = problem
                .column
                .checked_sub(1)
                .and_then(|index| header.get(index))
                .map_or(first, |(column, _)| *column);
            let at = place(
                Some(&worksheet),
                u64::from(header_row) + 1,
                position(column),
                "",
            );
            WorkbookProblem::new(format!("{at}: {}", problem.message), problem.help)
        })?;
        let columns: Vec<(u32, Column)> = header
            .iter()
            .map(|(column, _)| *column)
            .zip(found)
            .collect();
        let names = (0..=last)
            .map(|at| {
                let here = columns.iter().find(|(column, _)| *column == at);
                here.map_or("", |(_, column)| column.name)
            })
            .collect();
        Ok(Self {
            worksheet,
            columns,
            names,
            next: header_row + 1,
            end,
            range,
            styles,
            mark,
            zone,
        })
    }

    /// How many rows lie between the header and the end of the worksheet.
    pub fn rows_left(&self) -> u64 {
        u64::from((self.end + 1).saturating_sub(self.next))
    }

    /// The worksheet's name.
    pub fn worksheet(&self) -> &str {
        &self.worksheet
    }

    fn row(&self, number: u32) -> Option<Result<CsvReading, RefusedRow>> {
        let mut row = Row::of_worksheet(&self.worksheet, u64::from(number) + 1);
        let mut empty = true;
        let first = self.range.start().map_or(0, |(_, column)| column);
        let last = self.range.end().map_or(0, |(_, column)| column);
        for position_in_sheet in first..=last {
            let data = match self.range.get_value((number, position_in_sheet)) {
                None | Some(Data::Empty) => continue,
                Some(Data::String(text)) if text.trim().is_empty() => continue,
                Some(data) => data,
            };
            empty = false;
            let shown = position(position_in_sheet);
            let Some((_, column)) = self
                .columns
                .iter()
                .find(|(column, _)| *column == position_in_sheet)
            else {
                row.problem(
                    shown,
                    "",
                    "the cell stands under no header".to_owned(),
                    "give its column one (`remark` for notes), or clear it",
                );
                continue;
            };
            let format = self
                .styles
                .as_ref()
                .and_then(|styles| styles.get((number, position_in_sheet)))
                .and_then(|style| style.number_format.as_ref())
                .map(|format| format.format_code.as_str());
            match cell::text(data, column, format, self.zone) {
                Ok(text) => row.cell(shown, column, &text, self.mark),
                Err(problem) => row.problem(shown, column.name, problem.message, &problem.help),
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
        while self.next <= self.end {
            let number = self.next;
            self.next += 1;
            if let Some(row) = self.row(number) {
                return Some(row);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests;
