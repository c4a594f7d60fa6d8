//! A survey's table as a file of a catalog: what it says, and the place of each cell, for the checker.
//!
//! The rows are read as for evaluating them ([`table`](crate::table)); here each reading keeps the bytes of its
//! cells, so that a rule about surveys finds the same in a table as in a survey that is written field by field, and points
//! at the cell.

use std::ops::Range;

use stainbook_catalog::written::SurveyEntry;
use stainbook_catalog::{Entry, EntryKind, SourceFile, WrittenEntry, rules};
use stainbook_document::finding::{Finding, Level, Words};
use stainbook_document::place::{FileId, Place};
use stainbook_document::{Cells, Document};

use crate::table::averages::Averages;
use crate::table::surroundings::Surroundings;
use crate::table::top::RowsAre;
use crate::table::{
    CellProblem, CsvReading, HeaderProblem, Persons, RefusedRow, Rows, TableSettings, TableTop,
    delimiter_of, name_of, passed_over,
};

mod layout;
#[cfg(feature = "spreadsheets")]
mod worksheet;

#[cfg(feature = "spreadsheets")]
pub use worksheet::{read_worksheet, worksheets_of_readings};

use layout::Layout;
pub(crate) use layout::split as cells_of_lines;

/// True if a file is a table by its name. Among the files of a folder only those whose names say so are surveys; see
/// [`is_survey`].
pub fn is_table(path: &str) -> bool {
    extension(path) == "csv"
}

/// True if a file is a spreadsheet by its name.
pub fn is_spreadsheet(path: &str) -> bool {
    matches!(extension(path).as_str(), "xlsx" | "xlsm" | "ods")
}

/// True if a file is a survey that is kept as a table or in a spreadsheet by its name, as in `round.survey.csv` or
/// `round.survey.xlsx`.
pub fn is_survey(path: &str) -> bool {
    let named = path
        .rsplit_once('.')
        .is_some_and(|(stem, _)| before_survey(stem).is_some());
    named && (is_table(path) || is_spreadsheet(path))
}

/// Text before the extension of a survey's name.
const SURVEY: &str = ".survey";

/// The text before that, which may be in capital letters as the extension may.
fn before_survey(stem: &str) -> Option<&str> {
    let (before, end) = stem.split_at_checked(stem.len().checked_sub(SURVEY.len())?)?;
    end.eq_ignore_ascii_case(SURVEY).then_some(before)
}

fn extension(path: &str) -> String {
    let name = path.rsplit(['/', '\\']).next().unwrap_or_default();
    let extension = name.rsplit_once('.').map_or("", |(_, extension)| extension);
    extension.to_ascii_lowercase()
}

/// The name of a survey that is kept as a table or in a spreadsheet, without what says its form: `round` of
/// `round.survey.csv`.
pub fn table_stem(path: &str) -> &str {
    let name = path.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    before_survey(stem).unwrap_or(stem)
}

/// Reads a survey's table. Rows that cannot be read are reported, cell by cell, and are not among the readings.
///
/// `settings` say what marks the table's decimals and how its dates are written, which is never guessed: `1,250` could be meant
/// either way.
///
/// # Example
///
/// ```
/// use stainbook_catalog::SourceFile;
/// use stainbook_document::place::FileId;
/// use stainbook_survey::table::DecimalMark;
/// use stainbook_survey::document::read_table;
///
/// let table = SourceFile::new("round.survey.csv", "id,tube,strokes,reading [ppm]\nr1,quay-co,3,5\nr2,quay-co,three,5\n");
/// let (entry, findings) = read_table(FileId(0), &table, DecimalMark::Point);
/// assert_eq!(entry.id(), "round");
/// let range = entry.document.locate(findings[0].place());
/// assert_eq!(&entry.document.text()[range], "three");
/// ```
pub fn read_table(
    file: FileId,
    source: &SourceFile<'_>,
    settings: impl Into<TableSettings>,
) -> (Entry, Vec<Finding>) {
    let stem = table_stem(&source.path).to_owned();
    let text = String::from_utf8_lossy(&source.bytes).into_owned();
    let mut survey = SurveyEntry {
        survey: Some(stem.clone()),
        ..SurveyEntry::default()
    };
    let mut cells = SurveyCells::default();
    let findings = if std::str::from_utf8(&source.bytes).is_err() {
        vec![not_utf_8(file)]
    } else {
        read_rows(file, &text, settings.into(), &mut survey, &mut cells)
    };
    let cells = cells.of_survey(0..text.len());
    let entry = Entry {
        file,
        path: source.path.clone(),
        kind: EntryKind::Survey,
        document: Document::of_table(file, &source.path, text, &cells),
        written: WrittenEntry::Survey(Box::new(survey)),
        stem,
        background: false,
        sound: is_sound(&findings),
        named_otherwise: Vec::new(),
    };
    (entry, findings)
}

/// Cells of a survey by its fields.
#[derive(Default)]
struct SurveyCells {
    /// Those above the header.
    head: Vec<(&'static str, Cells)>,
    readings: Vec<Cells>,
}

impl SurveyCells {
    fn of_survey(self, whole: Bytes) -> Cells {
        let readings = Cells::List(self.readings, whole.clone());
        let mut fields = self.head;
        fields.push(("readings", readings));
        Cells::Fields(fields, whole)
    }

    /// Notes where each field stands that is said above the header.
    fn add_head(&mut self, top: &TableTop, layout: &Layout<'_>) {
        for fact in &top.understood {
            let Some(range) = layout.cell_above(fact.line, fact.column) else {
                continue;
            };
            let cell = Cells::Text(fact.text.clone(), range.clone());
            match fact.field {
                [field] => self.head.push((*field, cell)),
                [group, field] => {
                    let there = self.head.iter_mut().find(|(name, _)| name == group);
                    if let Some((_, Cells::Fields(inner, _))) = there {
                        inner.push((*field, cell));
                    } else {
                        let group_cells = Cells::Fields(vec![(*field, cell)], range);
                        self.head.push((*group, group_cells));
                    }
                }
                _ => {}
            }
        }
    }
}

fn read_rows(
    file: FileId,
    text: &str,
    settings: TableSettings,
    survey: &mut SurveyEntry,
    cells: &mut SurveyCells,
) -> Vec<Finding> {
    let delimiter = delimiter_of(text);
    let mut rows = match Rows::new(text.as_bytes(), delimiter, settings) {
        Ok(rows) => rows,
        Err(problem) => {
            // Whatever stands in that line is looked up as if it were the header.
            let layout = Layout::of(text, delimiter, problem.line);
            let place = Place::bytes(file, layout.header_cell(problem.column));
            return vec![unreadable_header(place, problem)];
        }
    };
    let layout = Layout::of(text, delimiter, rows.header_line());
    let own = rows.first_foreign().and_then(|column| {
        let place = Place::bytes(file, layout.header_cell(column));
        columns_passed_over(place, &rows.foreign_columns())
    });
    take_head(rows.top(), &layout, survey, cells);
    let mut findings = take_rows(file, &mut rows, &layout, survey, cells);
    findings.extend(own);
    findings.extend(surroundings(file, rows.around(), &layout));
    findings
}

/// Puts what stands above the header into the survey.
fn take_head(
    top: &TableTop,
    layout: &Layout<'_>,
    survey: &mut SurveyEntry,
    cells: &mut SurveyCells,
) {
    *survey = top.survey(survey.survey.as_deref());
    cells.add_head(top, layout);
}

/// Findings about what stands around the readings: understood or passed over, once each.
fn surroundings(
    file: FileId,
    around: &Surroundings,
    layout: &Layout<'_>,
) -> impl Iterator<Item = Finding> + use<> {
    let rows: RowsAre = around.rows_are();
    let top = &around.top;
    let above = |line, column| Place::bytes(file, layout.cell_of_head(line, column));
    let in_row = |line| {
        let row = layout.line(line);
        Place::bytes(file, row.map_or(0..0, |row| row.cell(1)))
    };
    let read_as = |place: Place, message: String| {
        Finding::new(&rules::TABLE_READ_AS, place)
            .message(message)
            .note("results rest on it as if it stood in every row")
            .help("look at it once; where it is not what was meant, write it as a survey's table has it")
    };
    let passed_over = |place: Place, message: String| {
        Finding::new(&rules::TABLE_ROWS_PASSED_OVER, place)
            .message(message)
            .note("what stands there has no part in any result")
            .help("where a reading is meant, name its tube; where a condition is meant, call it by the name of its column")
    };
    let understood = top.understood.first().zip(top.understood_words(rows));
    let foreign = top.passed_over.first().zip(top.passed_over_words(rows));
    let example = around.example().zip(around.example_words());
    let totals = around.first_total().zip(around.totals_words());
    let found = [
        understood.map(|(first, words)| read_as(above(first.line, first.column), words)),
        around
            .first_date()
            .zip(around.dates_words())
            .map(|(line, words)| read_as(in_row(line), words)),
        foreign.map(|(first, words)| passed_over(above(first.line, first.column), words)),
        example.map(|(line, words)| passed_over(in_row(line), words)),
        totals.map(|(line, words)| passed_over(in_row(line), words)),
    ];
    found.into_iter().flatten()
}

/// The columns of the person's own, once for the table.
fn columns_passed_over(place: Place, columns: &[&str]) -> Option<Finding> {
    let message = passed_over(columns)?;
    Some(
        Finding::new(&rules::TABLE_COLUMNS_PASSED_OVER, place)
            .message(message)
            .note("what stands there has no part in any result")
            .help("where a column of a survey is meant, give it that column's name"),
    )
}

/// True if all rows could be read.
fn is_sound(findings: &[Finding]) -> bool {
    findings
        .iter()
        .all(|finding| finding.level() < Level::Error)
}

/// Puts the rows into the survey and notes the cells of each; what is said is of the rows that cannot be read.
fn take_rows(
    file: FileId,
    rows: impl Iterator<Item = Result<CsvReading, RefusedRow>>,
    layout: &Layout<'_>,
    survey: &mut SurveyEntry,
    cells: &mut SurveyCells,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut averages = Averages::default();
    let mut persons = Persons::default();
    for row in rows {
        match row {
            Ok(row) => {
                averages.add(&row.part_of, &name_of(&row.reading, survey.readings.len()));
                let line = layout.line(row.line);
                let of_row = line.map_or_else(nothing, |line| line.cells(&row.reading));
                cells.readings.push(of_row);
                persons.add(row.by);
                survey.readings.push(row.reading);
            }
            Err(refused) => findings.extend(unreadable_cells(file, layout, refused)),
        }
    }
    survey.together = averages.rows().0;
    survey.by = persons.named().or(survey.by.take());
    findings
}

fn unreadable_header(place: Place, problem: HeaderProblem) -> Finding {
    Finding::new(&rules::TABLE_HEADER_UNREADABLE, place)
        .message(problem.message)
        .note("without its columns, and what stands above them, no row of the table can be read")
        .help(problem.help)
}

fn unreadable_cells(file: FileId, layout: &Layout<'_>, refused: RefusedRow) -> Vec<Finding> {
    let finding = |problem: CellProblem| {
        let range = layout
            .line(problem.line)
            .map_or(0..0, |line| line.cell(problem.column));
        let help = if problem.help.is_empty() {
            "look the value up in the notes of that day, and correct the cell".into()
        } else {
            Words::from(problem.help)
        };
        Finding::new(&rules::TABLE_CELL_UNREADABLE, Place::bytes(file, range))
            .message(problem.message)
            .note("a row with a cell that cannot be understood has no result")
            .help(help)
    };
    refused.problems.into_iter().map(finding).collect()
}

fn nothing() -> Cells {
    Cells::Fields(Vec::new(), 0..0)
}

pub(crate) fn not_utf_8(file: FileId) -> Finding {
    Finding::new(&rules::NOT_UTF_8, Place::bytes(file, 0..0))
        .message("the table is not saved as UTF-8")
        .note("units such as °C and m³ would be read as something else")
        .help("save the table as UTF-8 (in a spreadsheet: CSV UTF-8)")
}

/// A part of a text.
type Bytes = Range<usize>;
