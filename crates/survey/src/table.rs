//! Surveys that were kept as a table: one row a reading, headers `name [unit]`.
//!
//! The columns are the fields of a survey file, flattened. A cell may carry its own unit and then counts as it stands. A
//! row that cannot be read is refused with its line and column, and the other rows are read.

use std::collections::BTreeMap;
use std::io::Read;
use std::sync::Arc;

use stainbook_catalog::Book;
use stainbook_catalog::written::{Conditions, LeakTest, Reading, SurveyEntry};
use stainbook_document::column_letters;

use crate::line_ends::LineEnds;
use crate::refused_at;
use crate::row_bound::RowBound;
use stainbook_evaluation::outcome::{Code, Refusal, Statement};
use stainbook_evaluation::{
    Evaluated, Evaluation, Evaluator, Options, ReadingResult, lies_on_marks_only,
};

pub(crate) mod as_typed;
pub(crate) mod averages;
pub(crate) mod column;
pub(crate) mod header;
pub(crate) mod row;

pub use averages::PartOf;
pub use column::{COLUMNS, Column};

use averages::Averages;
use header::{Heading, columns};
use row::RowDraft;

/// Decimal mark of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DecimalMark {
    /// `2.5`. A comma is refused, as `1,250` could be meant either way.
    #[default]
    Point,
    /// `2,5`, as a spreadsheet set to many European languages writes it. A point is understood as well.
    Comma,
}

/// The table as a whole cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message} (line 1, column {column}); {help}")]
#[non_exhaustive]
pub struct HeaderProblem {
    /// Number of the column, counted from 1.
    pub column: usize,
    /// The problem.
    pub message: String,
    /// The remedy.
    pub help: String,
}

/// A cell that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}: {message}", place(.worksheet.as_deref(), *.line, *.column, .name))]
#[non_exhaustive]
pub struct CellProblem {
    /// The worksheet, if the table is one of a spreadsheet.
    pub worksheet: Option<String>,
    /// The line of the file or the row of the worksheet, counted from 1; the header of a file is line 1.
    pub line: u64,
    /// The column, counted from 1.
    pub column: usize,
    /// The column's name.
    pub name: String,
    /// The problem.
    pub message: String,
    /// The remedy.
    pub help: String,
}

/// `line 4, column 7 (`strokes`)`, or in a spreadsheet ``worksheet `Round`, cell G4 (`strokes`)``.
pub(crate) fn place(worksheet: Option<&str>, line: u64, column: usize, name: &str) -> String {
    let place = match worksheet {
        Some(worksheet) => {
            format!(
                "worksheet `{worksheet}`, cell {}{line}",
                column_letters(column)
            )
        }
        None => format!("line {line}, column {column}"),
    };
    if name.is_empty() {
        place
    } else {
        format!("{place} (`{name}`)")
    }
}

/// A row that was read.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct CsvReading {
    /// The worksheet, if the table is one of a spreadsheet.
    pub worksheet: Option<String>,
    /// The line of the file, counted from 1.
    pub line: u64,
    /// The reading.
    pub reading: Reading,
    /// Initials of the reader.
    pub by: Option<String>,
    /// The average that it is a part of, as far as it says so.
    pub part_of: PartOf,
    /// The names of the table's columns, in their order.
    pub columns: Arc<[&'static str]>,
}

/// A row that was not.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct RefusedRow {
    /// The worksheet, if the table is one of a spreadsheet.
    pub worksheet: Option<String>,
    /// The line of the file or the row of the worksheet, counted from 1.
    pub line: u64,
    /// The reading's name, if that cell could be read.
    pub id: Option<String>,
    /// The average that it would be a part of.
    pub part_of: Box<PartOf>,
    /// Problems, cell by cell; there is at least one.
    pub problems: Vec<CellProblem>,
}

impl RefusedRow {
    /// The row as a result that is refused, so that it keeps its place among the others.
    pub fn result(&self) -> ReadingResult {
        let (id, refusal) = self.refusal();
        ReadingResult::refused(id, refusal)
    }

    /// Its name, or what stands in for one, and why it is refused.
    fn refusal(&self) -> (String, Refusal) {
        let id = self.id.clone().unwrap_or_else(|| match self.worksheet {
            Some(_) => format!("row {}", self.line),
            None => format!("line {}", self.line),
        });
        let text = self
            .problems
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("; ");
        let instead = self
            .problems
            .iter()
            .map(|problem| problem.help.as_str())
            .filter(|help| !help.is_empty())
            .collect::<Vec<_>>()
            .join("; ");
        let instead = if instead.is_empty() {
            "correct the cell; the other rows are not affected".to_owned()
        } else {
            instead
        };
        (id, Refusal::new(Code::RowUnreadable, text, instead))
    }
}

/// The rows of a table, one after the other; nothing is kept of those that went by.
pub struct Rows<R> {
    reader: csv::Reader<LineEnds<RowBound<R>>>,
    /// Set when reading has failed, after which nothing can be said of what follows.
    failed: bool,
    columns: Vec<Heading>,
    names: Arc<[&'static str]>,
    mark: DecimalMark,
    record: csv::ByteRecord,
}

impl<R: Read> Rows<R> {
    /// Reads the header. The cells are divided by whichever of comma, semicolon and tab `delimiter` names; see
    /// [`delimiter_of`].
    ///
    /// # Errors
    ///
    /// [`HeaderProblem`]: a column that is not known, or twice there, or a missing one without which nothing can be read.
    pub fn new(source: R, delimiter: u8, mark: DecimalMark) -> Result<Self, HeaderProblem> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(LineEnds::new(RowBound::new(source)));
        let mut record = csv::ByteRecord::new();
        let problem = |column, message: String, help: &str| HeaderProblem {
            column,
            message,
            help: help.to_owned(),
        };
        let there = reader
            .read_byte_record(&mut record)
            .map_err(|error| problem(1, error.to_string(), "save the table as CSV in UTF-8"))?;
        if !there {
            return Err(problem(
                1,
                "the table is empty".to_owned(),
                "the first line names the columns, as in `id,at,tube,strokes,reading [ppm]`",
            ));
        }
        let mut header = Vec::with_capacity(record.len());
        for (index, cell) in record.iter().enumerate() {
            header.push(std::str::from_utf8(cell).map_err(|_| {
                problem(
                    index + 1,
                    "the column's name is not UTF-8".to_owned(),
                    "save the table as UTF-8 (in a spreadsheet: CSV UTF-8)",
                )
            })?);
        }
        let columns = columns(header.into_iter())?;
        Ok(Self {
            reader,
            failed: false,
            names: columns.iter().map(Heading::name).collect(),
            columns,
            mark,
            record,
        })
    }

    /// The columns that are none of a survey's and are passed over, as they are called.
    pub fn foreign_columns(&self) -> Vec<&str> {
        header::foreign(&self.columns)
    }

    /// The first of them, counted from 1.
    pub(crate) fn first_foreign(&self) -> Option<usize> {
        let mut columns = self.columns.iter();
        Some(columns.position(|heading| header::own_name(heading).is_some())? + 1)
    }

    fn read(&mut self) -> Option<Result<CsvReading, RefusedRow>> {
        loop {
            if self.failed {
                return None;
            }
            let line = self.reader.position().line();
            self.reader.get_mut().inner().row_begins();
            match self.reader.read_byte_record(&mut self.record) {
                Ok(false) => return None,
                Ok(true) => {}
                Err(error) => {
                    self.failed = true;
                    return Some(Err(RefusedRow {
                        worksheet: None,
                        line,
                        id: None,
                        part_of: Box::default(),
                        problems: vec![CellProblem {
                            worksheet: None,
                            line,
                            column: 1,
                            name: String::new(),
                            message: error.to_string(),
                            help: "save the table as CSV in UTF-8".to_owned(),
                        }],
                    }));
                }
            }
            // The reader skips empty lines before a row without saying so; what comes after it is sure.
            let inside: usize = self
                .record
                .iter()
                .map(|cell| cell.split(|b| *b == b'\n').count() - 1)
                .sum();
            let line = self
                .reader
                .position()
                .line()
                .saturating_sub(1 + u64::try_from(inside).unwrap_or(0));
            // A spreadsheet leaves empty rows behind.
            if self.record.iter().any(|cell| !cell.trim_ascii().is_empty()) {
                return Some(self.row(line));
            }
        }
    }

    fn row(&self, line: u64) -> Result<CsvReading, RefusedRow> {
        let mut row = RowDraft::at(line);
        if self.record.len() > self.columns.len() {
            row.problem(
                self.columns.len() + 1,
                "",
                format!(
                    "the row has {} cells, the header {}",
                    self.record.len(),
                    self.columns.len()
                ),
                if self.mark == DecimalMark::Point {
                    "put a cell that holds a comma in quotation marks"
                } else {
                    "divide the cells by semicolons"
                },
            );
        }
        for (index, (head, cell)) in self.columns.iter().zip(self.record.iter()).enumerate() {
            match std::str::from_utf8(cell).map(str::trim) {
                Ok("") => {}
                Ok(text) => row.cell_under(index + 1, head, text, self.mark),
                Err(_) => row.problem(
                    index + 1,
                    head.name(),
                    "the cell is not UTF-8".to_owned(),
                    "save the table as CSV in UTF-8",
                ),
            }
        }
        row.finish(&self.names)
    }
}

impl<R: Read> Iterator for Rows<R> {
    type Item = Result<CsvReading, RefusedRow>;

    fn next(&mut self) -> Option<Self::Item> {
        self.read()
    }
}

/// The words about columns that were passed over, where there are any.
///
/// # Example
///
/// ```
/// use stainbook_survey::table::passed_over;
///
/// assert_eq!(passed_over(&["shift"]).unwrap(), "the column `shift` is none of a survey's and is passed over");
/// assert_eq!(passed_over(&[]), None);
/// ```
pub fn passed_over(columns: &[&str]) -> Option<String> {
    let names = header::quoted(columns);
    match columns {
        [] => None,
        [_] => Some(format!(
            "the column {names} is none of a survey's and is passed over"
        )),
        _ => Some(format!(
            "the columns {names} are none of a survey's and are passed over"
        )),
    }
}

/// Delimiter of a table: whichever of tab, semicolon and comma stands most often in its first line.
pub fn delimiter_of(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    let count = |delimiter: u8| first.bytes().filter(|b| *b == delimiter).count();
    [b',', b';', b'\t']
        .into_iter()
        .max_by_key(|delimiter| (count(*delimiter), *delimiter == b','))
        .unwrap_or(b',')
}

/// A table as a survey, with the rows that could not be read.
///
/// # Errors
///
/// [`HeaderProblem`]: the columns cannot be told.
///
/// # Example
///
/// ```
/// use stainbook_survey::table::{DecimalMark, read};
///
/// let table = "id,tube,strokes,reading [ppm]\nr1,quay-chlorine,3,5\nr2,quay-chlorine,three,5\n";
/// let (survey, refused) = read(table, DecimalMark::Point).unwrap();
/// assert_eq!(survey.readings.len(), 1);
/// assert_eq!(refused[0].problems[0].line, 3);
/// ```
pub fn read(
    text: &str,
    mark: DecimalMark,
) -> Result<(SurveyEntry, Vec<RefusedRow>), HeaderProblem> {
    let mut survey = SurveyEntry::default();
    let mut refused = Vec::new();
    let mut by: Vec<String> = Vec::new();
    let mut averages = Averages::default();
    for row in Rows::new(text.as_bytes(), delimiter_of(text), mark)? {
        match row {
            Ok(row) => {
                by.extend(row.by);
                averages.add(&row.part_of, &name_of(&row.reading, survey.readings.len()));
                survey.readings.push(row.reading);
            }
            Err(row) => refused.push(row),
        }
    }
    survey.together = averages.rows().0;
    by.dedup();
    survey.by = (!by.is_empty()).then(|| by.join(", "));
    Ok((survey, refused))
}

/// Evaluates a table: one result for each row, in its order, refused rows among them.
///
/// # Errors
///
/// [`HeaderProblem`]: the columns cannot be told.
pub fn evaluate_csv(
    book: &Book,
    text: &str,
    mark: DecimalMark,
    options: &Options<'_>,
) -> Result<Evaluation, HeaderProblem> {
    let rows = Rows::new(text.as_bytes(), delimiter_of(text), mark)?;
    Ok(evaluate_rows(&mut Evaluator::new(book, *options), rows))
}

/// Evaluates the rows of a table, and those together that it says are blanks, repeats, or parts of an average. A row that
/// cannot be read and is a part of an average leaves no average.
pub fn evaluate_rows(
    evaluator: &mut Evaluator<'_>,
    rows: impl Iterator<Item = Result<CsvReading, RefusedRow>>,
) -> Evaluation {
    let mut evaluated: Vec<Evaluated<'_>> = Vec::new();
    let mut readings = Vec::new();
    let mut averages = Averages::default();
    let mut of_person: BTreeMap<Option<String>, Vec<usize>> = BTreeMap::new();
    for (index, row) in rows.enumerate() {
        let by = row.as_ref().ok().and_then(|row| row.by.clone());
        of_person.entry(by).or_default().push(index);
        let part_of = match &row {
            Ok(row) => row.part_of.clone(),
            Err(row) => row.part_of.as_ref().clone(),
        };
        readings.push(row.as_ref().ok().map(|row| row.reading.clone()));
        let one = evaluated_row(evaluator, index, row);
        averages.add(&part_of, one.id());
        evaluated.push(one);
    }
    read_on_marks(evaluator, &of_person, &readings, &mut evaluated);
    // The rest of what readings say together is for a survey file.
    let (rows, contradictions) = averages.rows();
    let mut evaluation = evaluator.put_together(&readings, rows, evaluated);
    evaluation.together.extend(contradictions);
    evaluation.results.iter_mut().for_each(refused_at::in_cells);
    evaluation
}

/// Takes the readings of a person who read nothing but marks, and does not say how finely, as read to the nearest mark.
fn read_on_marks<'b>(
    evaluator: &mut Evaluator<'b>,
    of_person: &BTreeMap<Option<String>, Vec<usize>>,
    readings: &[Option<Reading>],
    evaluated: &mut [Evaluated<'b>],
) {
    for (by, theirs) in of_person {
        if !lies_on_marks_only(theirs.iter().filter_map(|index| evaluated.get(*index))) {
            continue;
        }
        for index in theirs {
            let reading = readings.get(*index).and_then(Option::as_ref);
            if let (Some(slot), Some(reading)) = (evaluated.get_mut(*index), reading)
                && slot.lies_on_mark().is_some()
            {
                let stated = (&Conditions::default(), by.as_deref());
                *slot = evaluator.on_marks_only(slot, reading, stated);
            }
        }
    }
}

/// A reading's name in a survey, or what stands in for one.
pub(crate) fn name_of(reading: &Reading, index: usize) -> String {
    let by_number = || format!("#{}", index + 1);
    reading.id.clone().unwrap_or_else(by_number)
}

/// Evaluates one row of a table whose rows are not put together; `index` counts from 0. A reading that would be put together
/// with others says so.
pub fn evaluate_row_alone(
    evaluator: &mut Evaluator<'_>,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> ReadingResult {
    let belongs = row.as_ref().is_ok_and(|row| {
        row.reading.blank == Some(true)
            || row.reading.leak_test == Some(LeakTest::Leaked)
            || row.reading.repeat_of.is_some()
            || row.part_of.average.is_some()
    });
    let evaluated = evaluated_row(evaluator, index, row);
    let belongs = belongs || evaluated.lies_on_mark() == Some(true);
    let mut result = evaluated.result();
    refused_at::in_cells(&mut result);
    if belongs {
        result.statements.push(Statement::new(
            Code::NotJudgedTogether,
            "Results were written row by row: this reading, which is a blank, a repeat, a part of an average, one with a leaking pump, or on a mark without a word of how finely was read, was not put together with the others. `--format json` does that.",
        ));
    }
    result
}

/// Evaluates one row; `index` counts from 0.
pub fn evaluate_row(
    evaluator: &mut Evaluator<'_>,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> ReadingResult {
    let mut result = evaluated_row(evaluator, index, row).result();
    refused_at::in_cells(&mut result);
    result
}

fn evaluated_row<'b>(
    evaluator: &mut Evaluator<'b>,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> Evaluated<'b> {
    match row {
        Ok(row) => {
            let stated = (&Conditions::default(), row.by.as_deref());
            let mut evaluated = evaluator.evaluated(index, &row.reading, stated);
            evaluated.place_refusal(|refusal| {
                refused_at::in_table(refusal, &row.columns, row.worksheet.as_deref(), row.line)
            });
            evaluated
        }
        Err(refused) => {
            let (id, refusal) = refused.refusal();
            evaluator.refused(id, refusal)
        }
    }
}
