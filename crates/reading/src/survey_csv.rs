//! Surveys that were kept as a table: one row a reading, headers `name [unit]`.
//!
//! The columns are the fields of a survey file, flattened. A cell may carry its own unit and then counts as it stands. A
//! row that cannot be read is refused with its line and column, and the other rows are read.

use std::io::Read;

use stainbook_catalog::Book;
use stainbook_catalog::did_you_mean;
use stainbook_catalog::typed::{FromText, Problem};
use stainbook_catalog::written::{
    LeakTest, Observation, PreTubeUsed, Present, Reading, Stated, SurveyEntry,
};
use stainbook_core::{Decimal, Quantity};

use crate::evaluate::{Evaluator, Options};
use crate::result::{Evaluation, ReadingResult, Refusal};

/// What marks the decimals in a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DecimalMark {
    /// `2.5`. A comma is refused, as `1,250` could be meant either way.
    #[default]
    Point,
    /// `2,5`, as a spreadsheet set to many European languages writes it. A point is understood as well.
    Comma,
}

/// The columns that are understood, in the order in which a new table should have them.
pub const COLUMNS: [&str; 29] = [
    "id", "at", "place", "tube", "leaflet", "lot", "expires", "pre_tube_lot", "pre_tube_expires", "pump", "leak_test",
    "brought_to_ambient", "strokes", "scale", "substance", "reading", "short", "long", "uncertainty", "seen",
    "air_temperature", "tube_temperature", "humidity", "pressure", "altitude", "sea_level_pressure", "present",
    "present_level", "present_uncertainty",
];

/// Columns beyond [`COLUMNS`] that no result depends on.
pub const REMARK_COLUMNS: [&str; 2] = ["by", "remark"];

/// The columns whose cells are quantities, with the unit that a header usually names.
const WITH_UNIT: [(&str, &str); 12] = [
    ("reading", "ppm"),
    ("short", "ppm"),
    ("long", "ppm"),
    ("uncertainty", "ppm"),
    ("present_level", "ppm"),
    ("present_uncertainty", "ppm"),
    ("air_temperature", "°C"),
    ("tube_temperature", "°C"),
    ("humidity", "%RH"),
    ("pressure", "hPa"),
    ("altitude", "m"),
    ("sea_level_pressure", "hPa"),
];

/// The table as a whole cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message} (line 1, column {column}); {help}")]
pub struct HeaderProblem {
    /// Which column, counted from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// A cell that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}, column {column} (`{name}`): {message}")]
pub struct CellProblem {
    /// The line of the file, counted from 1; the header is line 1.
    pub line: u64,
    /// The column, counted from 1.
    pub column: usize,
    /// The column's name.
    pub name: String,
    /// What is wrong.
    pub message: String,
    /// What to do.
    pub help: String,
}

/// A row that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct CsvReading {
    /// The line of the file, counted from 1.
    pub line: u64,
    /// The reading.
    pub reading: Reading,
    /// Who read it.
    pub by: Option<String>,
}

/// A row that was not.
#[derive(Clone, Debug, PartialEq)]
pub struct RefusedRow {
    /// The line of the file, counted from 1.
    pub line: u64,
    /// The reading's name, if that cell could be read.
    pub id: Option<String>,
    /// What is wrong, cell by cell; there is at least one.
    pub problems: Vec<CellProblem>,
}

impl RefusedRow {
    /// The row as a result that is refused, so that it keeps its place among the others.
    pub fn result(&self) -> ReadingResult {
        let id = self.id.clone().unwrap_or_else(|| format!("line {}", self.line));
        let text = self.problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ");
        let instead = self.problems.iter().map(|problem| problem.help.as_str()).filter(|help| !help.is_empty()).collect::<Vec<_>>().join("; ");
        ReadingResult { refusal: Some(Refusal::new("row-unreadable", text, instead)), ..ReadingResult::empty(id) }
    }
}

/// The rows of a table, one after the other; nothing is kept of those that went by.
pub struct Rows<R> {
    reader: csv::Reader<R>,
    columns: Vec<Column>,
    mark: DecimalMark,
    record: csv::ByteRecord,
}

#[derive(Clone, Debug)]
struct Column {
    name: &'static str,
    unit: Option<String>,
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
            .trim(csv::Trim::All)
            .from_reader(source);
        let mut record = csv::ByteRecord::new();
        let problem = |column, message: String, help: &str| HeaderProblem { column, message, help: help.to_owned() };
        let there = reader.read_byte_record(&mut record).map_err(|error| problem(1, error.to_string(), "save the table as CSV in UTF-8"))?;
        if !there {
            return Err(problem(1, "the table is empty".to_owned(), "the first line names the columns, as in `id,at,tube,strokes,reading [ppm]`"));
        }
        let mut columns: Vec<Column> = Vec::new();
        for (index, cell) in record.iter().enumerate() {
            let text = std::str::from_utf8(cell)
                .map_err(|_| problem(index + 1, "the column's name is not UTF-8".to_owned(), "save the table as CSV in UTF-8"))?;
            let column = column(text.trim_start_matches('\u{feff}'), index + 1)?;
            if columns.iter().any(|other| other.name == column.name) {
                return Err(problem(index + 1, format!("the column `{}` is there twice", column.name), "keep one of them"));
            }
            columns.push(column);
        }
        for needed in ["id", "tube", "strokes"] {
            if !columns.iter().any(|column| column.name == needed) {
                return Err(problem(columns.len(), format!("there is no column `{needed}`"), "add it: without it no reading can be evaluated"));
            }
        }
        if !columns.iter().any(|column| matches!(column.name, "reading" | "short" | "seen")) {
            return Err(problem(columns.len(), "there is no column for what was read".to_owned(), "add `reading [ppm]`, or `short [ppm]` and `long [ppm]`, or `seen`"));
        }
        Ok(Self { reader, columns, mark, record })
    }

    fn read(&mut self) -> Option<Result<CsvReading, RefusedRow>> {
        loop {
            let line = self.reader.position().line();
            match self.reader.read_byte_record(&mut self.record) {
                Ok(false) => return None,
                Ok(true) => {}
                Err(error) => {
                    return Some(Err(RefusedRow {
                        line,
                        id: None,
                        problems: vec![CellProblem { line, column: 1, name: String::new(), message: error.to_string(), help: "save the table as CSV in UTF-8".to_owned() }],
                    }));
                }
            }
            let line = self.record.position().map_or(line, csv::Position::line);
            // A spreadsheet leaves empty rows behind.
            if self.record.iter().any(|cell| !cell.is_empty()) {
                return Some(self.row(line));
            }
        }
    }

    fn row(&self, line: u64) -> Result<CsvReading, RefusedRow> {
        let mut row = Row { line, ..Row::default() };
        if self.record.len() > self.columns.len() {
            row.problem(
                self.columns.len() + 1,
                "",
                format!("the row has {} cells, the header {}", self.record.len(), self.columns.len()),
                if self.mark == DecimalMark::Point { "put a cell that holds a comma in quotation marks" } else { "divide the cells by semicolons" },
            );
        }
        for (index, (column, cell)) in self.columns.iter().zip(self.record.iter()).enumerate() {
            match std::str::from_utf8(cell) {
                Ok("") => {}
                Ok(text) => row.cell(index + 1, column, text, self.mark),
                Err(_) => row.problem(index + 1, column.name, "the cell is not UTF-8".to_owned(), "save the table as CSV in UTF-8"),
            }
        }
        row.finish()
    }
}

impl<R: Read> Iterator for Rows<R> {
    type Item = Result<CsvReading, RefusedRow>;

    fn next(&mut self) -> Option<Self::Item> {
        self.read()
    }
}

/// What divides the cells of a table: whichever of tab, semicolon and comma stands most often in its first line.
pub fn delimiter_of(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    let count = |delimiter: u8| first.bytes().filter(|b| *b == delimiter).count();
    [b',', b';', b'\t'].into_iter().max_by_key(|delimiter| (count(*delimiter), *delimiter == b',')).unwrap_or(b',')
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
/// use stainbook_reading::survey_csv::{DecimalMark, read};
///
/// let table = "id,tube,strokes,reading [ppm]\nr1,quay-chlorine,3,5\nr2,quay-chlorine,three,5\n";
/// let (survey, refused) = read(table, DecimalMark::Point).unwrap();
/// assert_eq!(survey.readings.len(), 1);
/// assert_eq!(refused[0].problems[0].line, 3);
/// ```
pub fn read(text: &str, mark: DecimalMark) -> Result<(SurveyEntry, Vec<RefusedRow>), HeaderProblem> {
    let mut survey = SurveyEntry::default();
    let mut refused = Vec::new();
    let mut by: Vec<String> = Vec::new();
    for row in Rows::new(text.as_bytes(), delimiter_of(text), mark)? {
        match row {
            Ok(row) => {
                by.extend(row.by);
                survey.readings.push(row.reading);
            }
            Err(row) => refused.push(row),
        }
    }
    by.dedup();
    survey.by = (!by.is_empty()).then(|| by.join(", "));
    Ok((survey, refused))
}

/// Evaluates a table: one result for each row, in its order, refused rows among them.
///
/// # Errors
///
/// [`HeaderProblem`]: the columns cannot be told.
pub fn evaluate_csv(book: &Book, text: &str, mark: DecimalMark, options: &Options<'_>) -> Result<Evaluation, HeaderProblem> {
    let rows = Rows::new(text.as_bytes(), delimiter_of(text), mark)?;
    let mut evaluator = Evaluator::new(book, *options);
    let shared = stainbook_catalog::written::Conditions::default();
    let results = rows
        .enumerate()
        .map(|(index, row)| match row {
            Ok(row) => evaluator.reading(index, &row.reading, &shared, row.by.as_deref()),
            Err(refused) => ReadingResult { catalog_revision: evaluator.catalog_revision(), ..refused.result() },
        })
        .collect();
    Ok(evaluator.frame(results))
}

/// A header `name [unit]`.
fn column(text: &str, number: usize) -> Result<Column, HeaderProblem> {
    let problem = |message: String, help: String| HeaderProblem { column: number, message, help };
    let (name, unit) = match text.split_once('[') {
        Some((name, rest)) => {
            let unit = rest.trim_end().strip_suffix(']').ok_or_else(|| {
                problem(format!("`{text}` has no closing bracket"), "write the unit in brackets, as in `reading [ppm]`".to_owned())
            })?;
            (name, Some(unit.trim().to_owned()))
        }
        None => (text, None),
    };
    let folded = name.trim().to_lowercase().replace([' ', '-'], "_");
    let known = || COLUMNS.into_iter().chain(REMARK_COLUMNS);
    let Some(name) = known().find(|known| *known == folded) else {
        let near = known().map(|known| (did_you_mean::distance(&folded, known), known)).min().filter(|(distance, known)| *distance * 3 <= known.len().max(3));
        return Err(problem(
            format!("no column is called `{}`", text.trim()),
            match near {
                Some((_, near)) => format!("did you mean `{near}`?"),
                None => format!("the columns are {}", known().collect::<Vec<_>>().join(", ")),
            },
        ));
    };
    if let Some(unit) = &unit {
        let usual = WITH_UNIT.iter().find(|(with, _)| *with == name);
        let Some((_, usual)) = usual else {
            return Err(problem(format!("the column `{name}` has no unit"), format!("write `{name}`")));
        };
        if let Err(message) = try_unit(name, unit) {
            return Err(problem(message, format!("write for example `{name} [{usual}]`")));
        }
    }
    Ok(Column { name, unit })
}

/// Whether a unit fits a column.
fn try_unit(name: &str, unit: &str) -> Result<(), String> {
    use stainbook_core as core;
    let fits = |dimension| core::unit_of(dimension, unit).map(|_| ()).map_err(|error| error.to_string());
    match name {
        "air_temperature" | "tube_temperature" => fits(core::Temperature::DIMENSION),
        "humidity" => fits(core::Humidity::DIMENSION),
        "pressure" | "sea_level_pressure" => fits(core::Pressure::DIMENSION),
        "altitude" => fits(core::Altitude::DIMENSION),
        _ => fits(core::Concentration::DIMENSION),
    }
}

#[derive(Default)]
struct Row {
    line: u64,
    reading: Reading,
    by: Option<String>,
    present: Vec<String>,
    levels: Vec<String>,
    uncertainties: Vec<String>,
    level_columns: [(usize, Option<String>); 2],
    problems: Vec<CellProblem>,
}

impl Row {
    fn problem(&mut self, column: usize, name: &str, message: String, help: &str) {
        self.problems.push(CellProblem { line: self.line, column, name: name.to_owned(), message, help: help.to_owned() });
    }

    fn cell(&mut self, number: usize, column: &Column, text: &str, mark: DecimalMark) {
        let unit = column.unit.as_deref();
        let owned = || Some(text.to_owned());
        let mut problems = Vec::new();
        // Each quantity is read with the header's unit, or its own.
        macro_rules! quantity {
            ($slot:expr) => {
                match stated(text, unit, column.name, mark) {
                    Ok(value) => $slot = Some(value),
                    Err(problem) => problems.push(problem),
                }
            };
        }
        macro_rules! field {
            ($slot:expr) => {
                match FromText::read(text) {
                    Ok(value) => $slot = Some(value),
                    Err(problem) => problems.push(message_and_help(&problem)),
                }
            };
        }
        let reading = &mut self.reading;
        match column.name {
            "id" => reading.id = owned(),
            "at" => field!(reading.at),
            "place" => reading.place = owned(),
            "tube" => reading.tube = owned(),
            "leaflet" => reading.leaflet = owned(),
            "lot" => reading.lot = owned(),
            "expires" => field!(reading.expires),
            "pre_tube_lot" => reading.pre_tube.get_or_insert_with(PreTubeUsed::default).lot = owned(),
            "pre_tube_expires" => field!(reading.pre_tube.get_or_insert_with(PreTubeUsed::default).expires),
            "pump" => reading.pump = owned(),
            "leak_test" => match one_of(text, &[("held", LeakTest::Held), ("leaked", LeakTest::Leaked), ("not done", LeakTest::NotDone)]) {
                Ok(value) => reading.leak_test = Some(value),
                Err(problem) => problems.push(problem),
            },
            "brought_to_ambient" => match one_of(text, &[("true", true), ("yes", true), ("false", false), ("no", false)]) {
                Ok(value) => reading.brought_to_ambient = Some(value),
                Err(problem) => problems.push(problem),
            },
            "strokes" => match FromText::read(&with_point(text, mark)) {
                Ok(value) => reading.strokes = Some(value),
                Err(problem) => problems.push(message_and_help(&problem)),
            },
            "scale" => reading.scale = owned(),
            "substance" => reading.substance = owned(),
            "reading" => quantity!(reading.reading.get_or_insert_default().at),
            "short" => quantity!(reading.reading.get_or_insert_default().short),
            "long" => quantity!(reading.reading.get_or_insert_default().long),
            "uncertainty" => quantity!(reading.reading.get_or_insert_default().uncertainty),
            "seen" => {
                let known = [
                    ("no stain", Observation::NoStain),
                    ("below first mark", Observation::BelowFirstMark),
                    ("beyond last mark", Observation::BeyondLastMark),
                ];
                match one_of(text, &known) {
                    Ok(value) => reading.reading.get_or_insert_default().seen = Some(value),
                    Err(problem) => problems.push(problem),
                }
            }
            "air_temperature" => quantity!(reading.conditions.air_temperature),
            "tube_temperature" => quantity!(reading.conditions.tube_temperature),
            "humidity" => quantity!(reading.conditions.humidity),
            "pressure" => quantity!(reading.conditions.pressure),
            "altitude" => quantity!(reading.conditions.altitude),
            "sea_level_pressure" => quantity!(reading.conditions.sea_level_pressure),
            "present" => self.present = list(text),
            "present_level" => {
                self.levels = list(text);
                self.level_columns[0] = (number, column.unit.clone());
            }
            "present_uncertainty" => {
                self.uncertainties = list(text);
                self.level_columns[1] = (number, column.unit.clone());
            }
            "by" => self.by = owned(),
            "remark" => reading.remark = owned(),
            _ => {}
        }
        for (message, help) in problems {
            self.problem(number, column.name, message, &help);
        }
        if matches!(column.name, "present_level" | "present_uncertainty") && mark == DecimalMark::Comma {
            let converted = |cells: &mut Vec<String>| cells.iter_mut().for_each(|cell| *cell = with_point(cell, mark));
            converted(if column.name == "present_level" { &mut self.levels } else { &mut self.uncertainties });
        }
    }

    fn finish(mut self) -> Result<CsvReading, RefusedRow> {
        let names = std::mem::take(&mut self.present);
        let (levels, uncertainties) = (std::mem::take(&mut self.levels), std::mem::take(&mut self.uncertainties));
        let [level_column, uncertainty_column] = self.level_columns.clone();
        for (cells, (number, _), name) in
            [(&levels, &level_column, "present_level"), (&uncertainties, &uncertainty_column, "present_uncertainty")]
        {
            if cells.len() > names.len() {
                self.problem(*number, name, format!("{} levels for {} gases", cells.len(), names.len()), "give the gases in `present`, divided by semicolons, and their levels in the same order");
            }
        }
        for (index, gas) in names.into_iter().enumerate() {
            let mut present = Present { substance: Some(gas), ..Present::default() };
            let one = |cells: &[String], unit: &Option<String>, name| {
                let text = cells.get(index).filter(|text| !text.is_empty())?;
                Some(stated(text, unit.as_deref(), name, DecimalMark::Point))
            };
            match one(&levels, &level_column.1, "present_level").transpose() {
                Ok(level) => present.level = level,
                Err((message, help)) => self.problem(level_column.0, "present_level", message, &help),
            }
            match one(&uncertainties, &uncertainty_column.1, "present_uncertainty").transpose() {
                Ok(uncertainty) => present.uncertainty = uncertainty,
                Err((message, help)) => self.problem(uncertainty_column.0, "present_uncertainty", message, &help),
            }
            self.reading.present.push(present);
        }
        if self.problems.is_empty() {
            return Ok(CsvReading { line: self.line, reading: self.reading, by: self.by });
        }
        Err(RefusedRow { line: self.line, id: self.reading.id, problems: self.problems })
    }
}

/// A cell with the header's unit, or with its own.
fn stated<Q: Quantity>(text: &str, unit: Option<&str>, name: &str, mark: DecimalMark) -> Result<Stated<Q>, (String, String)> {
    let text = with_point(text, mark);
    let bare = Decimal::parse(&text).is_ok();
    let whole = match unit {
        Some(unit) if bare => format!("{text} {unit}"),
        None if bare => {
            let usual = WITH_UNIT.iter().find(|(with, _)| *with == name).map_or("ppm", |(_, unit)| unit);
            return Err((format!("`{text}` has no unit"), format!("write the unit in the column's header, `{name} [{usual}]`, or in the cell, `{text} {usual}`")));
        }
        _ => text,
    };
    Stated::read(&whole).map_err(|problem| message_and_help(&problem))
}

/// What is wrong and what to do, which a problem prints with a semicolon between them.
fn message_and_help(problem: &Problem) -> (String, String) {
    let text = problem.to_string();
    let (message, help) = text.split_once("; ").unwrap_or((&text, ""));
    (message.to_owned(), help.to_owned())
}

/// `2,5` as `2.5`, if the table's numbers have a comma.
fn with_point(text: &str, mark: DecimalMark) -> String {
    let number = text.split_whitespace().next().unwrap_or_default();
    if mark == DecimalMark::Comma && number.matches(',').count() == 1 && !number.contains('.') {
        return text.replacen(',', ".", 1);
    }
    text.to_owned()
}

/// Cells of a list are divided by semicolons.
fn list(text: &str) -> Vec<String> {
    text.split(';').map(|part| part.trim().to_owned()).collect()
}

fn one_of<T: Copy>(text: &str, known: &[(&str, T)]) -> Result<T, (String, String)> {
    let folded = text.to_lowercase();
    if let Some((_, value)) = known.iter().find(|(word, _)| *word == folded) {
        return Ok(*value);
    }
    let words = known.iter().map(|(word, _)| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    Err((format!("`{text}` is not understood"), format!("write one of {words}")))
}
