//! Surroundings of a table's readings: title and conditions above the header, totals, and dates written in a country's way. Each
//! is said once, whether the rows come from a text or from a worksheet.

use std::collections::VecDeque;

use super::dates::NationalDate;
use super::header::quoted;
use super::top::{RowsAre, TableTop};
use super::totals::{PassedOverRows, RowKind};
use super::{CsvReading, RefusedRow};

/// A row that was read, or refused.
pub(crate) type ReadRow = Result<CsvReading, RefusedRow>;

/// Rows of nothing but numbers that wait for what comes below; a table has two or three.
const MOST_HELD: usize = 30;

/// The surroundings of a table's readings, as far as it has been read.
#[derive(Debug)]
pub(crate) struct Surroundings {
    pub(crate) top: TableTop,
    rows: RowsAre,
    /// The worksheet, with which everything said begins.
    worksheet: Option<String>,
    /// Further worksheets, which hold no readings.
    pub(crate) beside: Vec<String>,
    totals: PassedOverRows,
    /// The row that is a template's example.
    example: Option<u64>,
    /// The first date that was understood in another way than a survey file's, and how many there are.
    national: Option<FirstDate>,
    /// Rows that are totals if nothing comes below them.
    held: Vec<HeldRow>,
    ready: VecDeque<ReadRow>,
}

#[derive(Debug)]
struct FirstDate {
    line: u64,
    date: NationalDate,
    /// All of them.
    count: usize,
}

#[derive(Debug)]
struct HeldRow {
    line: u64,
    cells: Vec<String>,
    row: ReadRow,
}

impl Surroundings {
    pub(crate) fn new(top: TableTop, rows: RowsAre, worksheet: Option<&str>) -> Self {
        Self {
            top,
            rows,
            worksheet: worksheet.map(str::to_owned),
            beside: Vec::new(),
            totals: PassedOverRows::default(),
            example: None,
            national: None,
            held: Vec::new(),
            ready: VecDeque::new(),
        }
    }

    /// The next row that is sure to be a reading.
    pub(crate) fn next_ready(&mut self) -> Option<ReadRow> {
        self.ready.pop_front()
    }

    /// Notes that a row holds a date in a country's way.
    pub(crate) fn understood_date(&mut self, line: u64, date: Option<NationalDate>) {
        match (&mut self.national, date) {
            (Some(first), Some(_)) => first.count += 1,
            (first @ None, Some(date)) => {
                *first = Some(FirstDate {
                    line,
                    date,
                    count: 1,
                });
            }
            (_, None) => {}
        }
    }

    /// The row of the first of them, counted from 1.
    pub(crate) fn first_date(&self) -> Option<u64> {
        self.national.as_ref().map(|first| first.line)
    }

    /// Takes a row with its kind, and the texts of its cells where that is not a reading.
    pub(crate) fn add(&mut self, kind: RowKind, cells: &[&str], line: u64, row: ReadRow) {
        let owned = || cells.iter().map(|cell| (*cell).to_owned()).collect();
        match kind {
            RowKind::Total => self.totals.add(line, cells),
            RowKind::Example => self.example = self.example.or(Some(line)),
            RowKind::Numbers if self.held.len() < MOST_HELD => self.held.push(HeldRow {
                line,
                cells: owned(),
                row,
            }),
            RowKind::Numbers | RowKind::Reading => {
                let held = std::mem::take(&mut self.held).into_iter();
                self.ready.extend(held.map(|held| held.row));
                self.ready.push_back(self.completed(row));
            }
        }
    }

    /// Nothing comes below.
    pub(crate) fn end(&mut self) {
        for held in std::mem::take(&mut self.held) {
            let cells: Vec<&str> = held.cells.iter().map(String::as_str).collect();
            self.totals.add(held.line, &cells);
        }
    }

    /// A row with what stands above the header for all of them.
    fn completed(&self, row: ReadRow) -> ReadRow {
        row.map(|mut row| {
            row.by = row.by.or_else(|| self.top.by.clone());
            row.reading.place = row.reading.place.or_else(|| self.top.place.clone());
            row
        })
    }

    /// Words about what was understood above the header and what was passed over there, once each.
    pub(crate) fn said_of_top(&self) -> Vec<String> {
        let beside: Vec<&str> = self.beside.iter().map(String::as_str).collect();
        let names = quoted(&beside);
        let beside = match beside.as_slice() {
            [] => None,
            [_] => Some(format!("read alone, as {names} has no columns of readings")),
            _ => Some(format!(
                "read alone, as {names} have no columns of readings"
            )),
        };
        let said = [
            beside,
            self.top.understood_words(self.rows),
            self.top.passed_over_words(self.rows),
        ];
        self.all(said)
    }

    /// Words about what was understood and passed over in the rows that have been read, once each.
    pub(crate) fn said_of_rows(&self) -> Vec<String> {
        self.all([
            self.dates_words(),
            self.example_words(),
            self.totals_words(),
        ])
    }

    pub(crate) fn dates_words(&self) -> Option<String> {
        let first = self.national.as_ref()?;
        let NationalDate { typed, read } = &first.date;
        Some(match first.count {
            1 => format!("the date `{typed}` was read as {read}"),
            count => format!(
                "{count} rows have dates in another way than 2026-03-02T07:40+00:00; the first, `{typed}`, was read as {read}"
            ),
        })
    }

    pub(crate) fn example_words(&self) -> Option<String> {
        let (row, number) = (self.rows.word(), self.example?);
        Some(format!(
            "{row} {number} is the template's example and no reading: it is passed over"
        ))
    }

    /// The row of the template's example, counted from 1.
    pub(crate) fn example(&self) -> Option<u64> {
        self.example
    }

    pub(crate) fn totals_words(&self) -> Option<String> {
        self.totals.words(self.rows.word())
    }

    pub(crate) fn first_total(&self) -> Option<u64> {
        self.totals.first()
    }

    fn all<const N: usize>(&self, said: [Option<String>; N]) -> Vec<String> {
        let before = match &self.worksheet {
            Some(name) => format!("worksheet `{name}`: "),
            None => String::new(),
        };
        said.into_iter()
            .flatten()
            .map(|words| format!("{before}{words}"))
            .collect()
    }

    /// Kind of the rows: lines or those of a worksheet.
    pub(crate) fn rows_are(&self) -> RowsAre {
        self.rows
    }
}
