//! Surveys that were kept as a table: one row a reading, headers `name [unit]`.
//!
//! The columns are the fields of a survey file, flattened. A cell may carry its own unit and then counts as it stands. A
//! row that cannot be read is refused with its line and column, and the other rows are read.

use std::collections::{BTreeMap, VecDeque};
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
pub(crate) mod dates;
pub(crate) mod header;
pub(crate) mod look_ahead;
pub(crate) mod row;
mod settings;
pub(crate) mod surroundings;
mod template;
pub(crate) mod top;
pub(crate) mod totals;
mod zone;

pub use averages::PartOf;
pub use column::{COLUMNS, Column};
pub use dates::DateOrder;
pub use look_ahead::{delimiter_of, first_lines};
pub use settings::{DecimalMark, TableSettings};
pub use template::{TableTemplate, TemplateColumn, TemplateLabel, TemplateSheet};
pub use top::TableTop;
pub use zone::{NoZone, Zone};

use averages::Averages;
use header::{Heading, columns, names_all_that_is_needed};
use look_ahead::{FIRST_ROWS, header_among};
use row::{CellWays, RowDraft};
use surroundings::Surroundings;
use top::{RowsAre, TopCell, TopDraft};
use totals::{EXAMPLE, RowKind};

/// The table as a whole cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message} (line {line}, column {column}); {help}")]
#[non_exhaustive]
pub struct HeaderProblem {
    /// The line of the file or the row of the worksheet, counted from 1.
    pub line: u64,
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
    lines: Lines<R>,
    /// Rows that were read to find the header.
    ahead: VecDeque<Line>,
    columns: Vec<Heading>,
    names: Arc<[&'static str]>,
    /// Position of the tube, which every reading has.
    tube: Option<usize>,
    header_line: u64,
    around: Surroundings,
    ways: CellWays,
}

/// The lines of a table that hold something.
struct Lines<R> {
    reader: csv::Reader<LineEnds<RowBound<R>>>,
    /// Set when reading has failed, after which nothing can be said of what follows.
    failed: bool,
}

/// A line of a table, or what kept it from being read.
struct Line {
    number: u64,
    record: Result<csv::ByteRecord, csv::Error>,
}

impl<R: Read> Lines<R> {
    fn new(source: R, delimiter: u8) -> Self {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(LineEnds::new(RowBound::new(source)));
        Self {
            reader,
            failed: false,
        }
    }

    /// The next line that holds something.
    fn next(&mut self) -> Option<Line> {
        let mut record = csv::ByteRecord::new();
        while !self.failed {
            let number = self.reader.position().line();
            self.reader.get_mut().inner().row_begins();
            match self.reader.read_byte_record(&mut record) {
                Ok(false) => return None,
                Ok(true) => {}
                Err(error) => {
                    self.failed = true;
                    return Some(Line {
                        number,
                        record: Err(error),
                    });
                }
            }
            // The reader skips empty lines before a row without saying so; what comes after it is sure.
            let inside: usize = record
                .iter()
                .map(|cell| cell.split(|b| *b == b'\n').count() - 1)
                .sum();
            let number = self
                .reader
                .position()
                .line()
                .saturating_sub(1 + u64::try_from(inside).unwrap_or(0));
            // A spreadsheet leaves empty rows behind.
            if record.iter().any(|cell| !cell.trim_ascii().is_empty()) {
                return Some(Line {
                    number,
                    record: Ok(record),
                });
            }
        }
        None
    }
}

impl<R: Read> Rows<R> {
    /// Reads the header and what stands above it. The cells are divided by whichever of comma, semicolon and tab `delimiter`
    /// names; see [`delimiter_of`].
    ///
    /// # Errors
    ///
    /// [`HeaderProblem`]: a column that is not known, or twice there, or a missing one without which nothing can be read; or
    /// something above the header that cannot be understood.
    pub fn new(
        source: R,
        delimiter: u8,
        settings: impl Into<TableSettings>,
    ) -> Result<Self, HeaderProblem> {
        let settings = settings.into();
        let mut lines = Lines::new(source, delimiter);
        let mut ahead = lines_ahead(&mut lines)?;
        let texts = |line: &Line| -> Vec<String> {
            let cells = line.record.iter().flat_map(csv::ByteRecord::iter);
            cells
                .map(|cell| String::from_utf8_lossy(cell).trim().to_owned())
                .collect()
        };
        let all: Vec<Vec<String>> = ahead.iter().map(texts).collect();
        let at = header_among(all.iter().map(|row| row.iter().map(String::as_str)));
        let below = ahead.split_off((at + 1).min(ahead.len()));
        let Some(header) = ahead.pop_back() else {
            return Err(HeaderProblem {
                line: 1,
                column: 1,
                message: "the table is empty".to_owned(),
                help: "the first line names the columns, as in `id,at,tube,strokes,reading [ppm]`"
                    .to_owned(),
            });
        };
        let mut top = TopDraft::new(settings);
        for line in &ahead {
            let cells = utf_8(line, "the cell")?;
            let filled = cells
                .into_iter()
                .enumerate()
                .map(|(index, cell)| (index + 1, cell.trim_start_matches('\u{feff}').trim()))
                .filter(|(_, cell)| !cell.is_empty())
                .map(|(column, cell)| TopCell {
                    column,
                    shown: cell.to_owned(),
                    day: None,
                    under: Box::new(move |_| Ok(cell.to_owned())),
                });
            top.row(line.number, &filled.collect::<Vec<_>>())?;
        }
        let top = top.finish();
        let columns =
            columns(utf_8(&header, "the column's name")?.into_iter()).map_err(|problem| {
                HeaderProblem {
                    line: header.number,
                    ..problem
                }
            })?;
        let mut ways = CellWays::from(settings);
        ways.dates.day = top.day;
        Ok(Self {
            lines,
            ahead: below,
            names: columns.iter().map(Heading::name).collect(),
            tube: columns.iter().position(|head| head.name() == "tube"),
            columns,
            header_line: header.number,
            around: Surroundings::new(top, RowsAre::Lines, None),
            ways,
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

    /// The line of the header, counted from 1.
    pub(crate) fn header_line(&self) -> u64 {
        self.header_line
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
            if let Some(row) = self.around.next_ready() {
                return Some(row);
            }
            let Some(line) = self.ahead.pop_front().or_else(|| self.lines.next()) else {
                self.around.end();
                return None;
            };
            let number = line.number;
            match line.record {
                Ok(record) => {
                    let row = self.row(number, &record);
                    let (kind, cells) = self.kind(&record);
                    self.around.add(kind, &cells, number, row);
                }
                Err(error) => {
                    let row = Err(RefusedRow {
                        worksheet: None,
                        line: number,
                        id: None,
                        part_of: Box::default(),
                        problems: vec![CellProblem {
                            worksheet: None,
                            line: number,
                            column: 1,
                            name: String::new(),
                            message: error.to_string(),
                            help: "save the table as CSV in UTF-8".to_owned(),
                        }],
                    });
                    self.around.add(RowKind::Reading, &[], number, row);
                }
            }
        }
    }

    /// The kind of a row, with its cells if it is no reading.
    fn kind<'r>(&self, record: &'r csv::ByteRecord) -> (RowKind, Vec<&'r str>) {
        let tube = self.tube.and_then(|tube| record.get(tube));
        let is_example = || {
            let mut cells = record.iter();
            cells.any(|cell| cell.trim_ascii() == EXAMPLE.as_bytes())
        };
        if tube.is_some_and(|tube| !tube.trim_ascii().is_empty()) && !is_example() {
            return (RowKind::Reading, Vec::new());
        }
        let cells = record.iter().enumerate().map(|(index, cell)| {
            let text = std::str::from_utf8(cell).unwrap_or("?");
            (self.columns.get(index), text.trim())
        });
        let cells: Vec<_> = cells.filter(|(_, text)| !text.is_empty()).collect();
        let texts = cells.iter().map(|(_, text)| *text).collect();
        (RowKind::of(&cells), texts)
    }

    fn row(&mut self, line: u64, record: &csv::ByteRecord) -> Result<CsvReading, RefusedRow> {
        let mut row = RowDraft::at(line);
        if record.len() > self.columns.len() {
            row.problem(
                self.columns.len() + 1,
                "",
                format!(
                    "the row has {} cells, the header {}",
                    record.len(),
                    self.columns.len()
                ),
                if self.ways.mark == DecimalMark::Point {
                    "put a cell that holds a comma in quotation marks"
                } else {
                    "divide the cells by semicolons"
                },
            );
        }
        for (index, (head, cell)) in self.columns.iter().zip(record.iter()).enumerate() {
            match std::str::from_utf8(cell).map(str::trim) {
                Ok("") => {}
                Ok(text) => row.cell_under(index + 1, head, text, &self.ways),
                Err(_) => row.problem(
                    index + 1,
                    head.name(),
                    "the cell is not UTF-8".to_owned(),
                    "save the table as CSV in UTF-8",
                ),
            }
        }
        self.around.understood_date(line, row.take_national_date());
        row.finish(&self.names)
    }
}

/// Bytes in which a header is looked for behind the first row.
const BYTES_AHEAD: usize = 1 << 20;

/// The lines up to the header, or those among which it has to be.
fn lines_ahead<R: Read>(lines: &mut Lines<R>) -> Result<VecDeque<Line>, HeaderProblem> {
    let mut ahead = VecDeque::new();
    let mut bytes = 0;
    while ahead.len() < FIRST_ROWS && bytes < BYTES_AHEAD {
        let Some(line) = lines.next() else { break };
        let Ok(record) = &line.record else {
            if let (true, Err(error)) = (ahead.is_empty(), &line.record) {
                return Err(HeaderProblem {
                    line: line.number,
                    column: 1,
                    message: error.to_string(),
                    help: "save the table as CSV in UTF-8".to_owned(),
                });
            }
            ahead.push_back(line);
            break;
        };
        bytes += record.as_slice().len();
        let cells = record.iter().map(std::str::from_utf8);
        let cells: Result<Vec<&str>, _> = cells.collect();
        let is_header = cells.is_ok_and(|cells| names_all_that_is_needed(&cells));
        ahead.push_back(line);
        if is_header {
            break;
        }
    }
    Ok(ahead)
}

/// The cells of a line of the head of a table.
fn utf_8<'l>(line: &'l Line, what: &str) -> Result<Vec<&'l str>, HeaderProblem> {
    let cells = line.record.iter().flat_map(csv::ByteRecord::iter);
    let each = cells.enumerate().map(|(index, cell)| {
        std::str::from_utf8(cell).map_err(|_| HeaderProblem {
            line: line.number,
            column: index + 1,
            message: format!("{what} is not UTF-8"),
            help: "save the table as UTF-8 (in a spreadsheet: CSV UTF-8)".to_owned(),
        })
    });
    each.collect()
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
    settings: impl Into<TableSettings>,
) -> Result<(SurveyEntry, Vec<RefusedRow>), HeaderProblem> {
    let mut rows = Rows::new(text.as_bytes(), delimiter_of(text), settings)?;
    let mut survey = rows.top().survey(None);
    let mut refused = Vec::new();
    let mut persons = Persons::default();
    let mut averages = Averages::default();
    for row in rows.by_ref() {
        match row {
            Ok(row) => {
                persons.add(row.by);
                averages.add(&row.part_of, &name_of(&row.reading, survey.readings.len()));
                survey.readings.push(row.reading);
            }
            Err(row) => refused.push(row),
        }
    }
    survey.together = averages.rows().0;
    survey.by = persons.named().or(survey.by);
    Ok((survey, refused))
}

/// Whoever read, each named once.
#[derive(Debug, Default)]
pub(crate) struct Persons(Vec<String>);

impl Persons {
    pub(crate) fn add(&mut self, by: Option<String>) {
        self.0.extend(by.filter(|by| !self.0.contains(by)));
    }

    /// All of them, if there is anybody.
    pub(crate) fn named(self) -> Option<String> {
        (!self.0.is_empty()).then(|| self.0.join(", "))
    }
}

/// Evaluates a table: one result for each row, in its order, refused rows among them.
///
/// # Errors
///
/// [`HeaderProblem`]: the columns cannot be told.
pub fn evaluate_csv(
    book: &Book,
    text: &str,
    settings: impl Into<TableSettings>,
    options: &Options<'_>,
) -> Result<Evaluation, HeaderProblem> {
    let rows = Rows::new(text.as_bytes(), delimiter_of(text), settings)?;
    let survey = rows.top().survey(None);
    Ok(evaluate_rows(
        &mut Evaluator::new(book, *options),
        survey,
        rows,
    ))
}

/// Evaluates the rows of a table, and those together that it says are blanks, repeats, or parts of an average. A row that
/// cannot be read and is a part of an average leaves no average.
///
/// `survey` is what holds for all rows, as [`TableTop::survey`] gives it.
pub fn evaluate_rows(
    evaluator: &mut Evaluator<'_>,
    mut survey: SurveyEntry,
    rows: impl Iterator<Item = Result<CsvReading, RefusedRow>>,
) -> Evaluation {
    let mut evaluated: Vec<Evaluated<'_>> = Vec::new();
    let mut readings = Vec::new();
    let mut averages = Averages::default();
    let mut of_person: BTreeMap<Option<String>, Vec<usize>> = BTreeMap::new();
    let mut persons = Persons::default();
    for (index, row) in rows.enumerate() {
        let by = row.as_ref().ok().and_then(|row| row.by.clone());
        if !of_person.contains_key(&by) {
            persons.add(by.clone());
        }
        of_person.entry(by).or_default().push(index);
        let part_of = match &row {
            Ok(row) => row.part_of.clone(),
            Err(row) => row.part_of.as_ref().clone(),
        };
        readings.push(row.as_ref().ok().map(|row| row.reading.clone()));
        let one = evaluated_row(evaluator, &survey.conditions, index, row);
        averages.add(&part_of, one.id());
        evaluated.push(one);
    }
    survey.by = persons.named().or(survey.by);
    read_on_marks(
        evaluator,
        &survey.conditions,
        &of_person,
        &readings,
        &mut evaluated,
    );
    // The rest of what readings say together is for a survey file.
    let (rows, contradictions) = averages.rows();
    survey.together = rows;
    let mut evaluation = evaluator.put_together(&survey, &readings, evaluated);
    evaluation.together.extend(contradictions);
    evaluation.results.iter_mut().for_each(refused_at::in_cells);
    let averages = evaluation.together.iter_mut();
    averages.for_each(refused_at::average_in_cells);
    evaluation
}

/// Takes the readings of a person who read nothing but marks, and does not say how finely, as read to the nearest mark.
fn read_on_marks<'b>(
    evaluator: &mut Evaluator<'b>,
    conditions: &Conditions,
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
                let stated = (conditions, by.as_deref());
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

/// Evaluates one row of a table whose rows are not put together; `index` counts from 0, `conditions` are those
/// that hold for all rows. A reading that would be put together
/// with others says so.
pub fn evaluate_row_alone(
    evaluator: &mut Evaluator<'_>,
    conditions: &Conditions,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> ReadingResult {
    let belongs = row.as_ref().is_ok_and(|row| {
        row.reading.blank == Some(true)
            || row.reading.leak_test == Some(LeakTest::Leaked)
            || row.reading.repeat_of.is_some()
            || row.part_of.average.is_some()
    });
    let evaluated = evaluated_row(evaluator, conditions, index, row);
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
    conditions: &Conditions,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> ReadingResult {
    let mut result = evaluated_row(evaluator, conditions, index, row).result();
    refused_at::in_cells(&mut result);
    result
}

fn evaluated_row<'b>(
    evaluator: &mut Evaluator<'b>,
    conditions: &Conditions,
    index: usize,
    row: Result<CsvReading, RefusedRow>,
) -> Evaluated<'b> {
    match row {
        Ok(row) => {
            let stated = (conditions, row.by.as_deref());
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
