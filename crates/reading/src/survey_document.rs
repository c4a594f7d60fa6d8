//! A survey's table as a file of a catalog: what it says, and the place of each cell, for the checker.
//!
//! The rows are read as for evaluating them ([`survey_csv`](crate::survey_csv)); here each reading keeps the bytes of its
//! cells, so that a rule about surveys finds the same in a table as in a survey that is written field by field, and points
//! at the cell.

use std::ops::Range;

use stainbook_catalog::document::{Cells, Document};
use stainbook_catalog::embedded::TABLE_SUFFIX;
use stainbook_catalog::finding::{Finding, Words};
use stainbook_catalog::place::{FileId, Place};
use stainbook_catalog::written::SurveyEntry;
use stainbook_catalog::{Entry, EntryKind, SourceFile, WrittenEntry, rules};

use crate::survey_csv::{DecimalMark, Rows, delimiter_of};

mod layout;

use layout::Layout;

/// Whether a file is a survey's table by its name.
pub fn is_table(path: &str) -> bool {
    path.ends_with(TABLE_SUFFIX)
}

/// Reads a survey's table. Rows that cannot be read are reported, cell by cell, and are not among the readings.
///
/// A table that is divided by semicolons may have decimal commas, as spreadsheets write it in many countries.
///
/// # Example
///
/// ```
/// use stainbook_catalog::SourceFile;
/// use stainbook_catalog::place::FileId;
/// use stainbook_reading::survey_document::read_table;
///
/// let table = SourceFile::new("round.survey.csv", "id,tube,strokes,reading [ppm]\nr1,quay-co,3,5\nr2,quay-co,three,5\n");
/// let (entry, findings) = read_table(FileId(0), &table);
/// assert_eq!(entry.id(), "round");
/// let range = entry.document.locate(findings[0].place());
/// assert_eq!(&entry.document.text()[range], "three");
/// ```
pub fn read_table(file: FileId, source: &SourceFile<'_>) -> (Entry, Vec<Finding>) {
    let name = source.path.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = name.strip_suffix(TABLE_SUFFIX).unwrap_or(name).to_owned();
    let text = String::from_utf8_lossy(&source.bytes).into_owned();
    let mut survey = SurveyEntry {
        survey: Some(stem.clone()),
        ..SurveyEntry::default()
    };
    let mut rows = Vec::new();
    let findings = if std::str::from_utf8(&source.bytes).is_err() {
        vec![not_utf_8(file)]
    } else {
        read_rows(file, &text, &mut survey, &mut rows)
    };
    let whole = 0..text.len();
    let readings = Cells::List(rows, whole.clone());
    let cells = Cells::Fields(vec![("readings", readings)], whole);
    let entry = Entry {
        file,
        path: source.path.clone(),
        kind: EntryKind::Survey,
        document: Document::of_table(file, &source.path, text, &cells),
        written: WrittenEntry::Survey(Box::new(survey)),
        stem,
        background: false,
        sound: findings.is_empty(),
    };
    (entry, findings)
}

fn read_rows(
    file: FileId,
    text: &str,
    survey: &mut SurveyEntry,
    cells: &mut Vec<Cells>,
) -> Vec<Finding> {
    let delimiter = delimiter_of(text);
    let mark = if delimiter == b';' {
        DecimalMark::Comma
    } else {
        DecimalMark::Point
    };
    let layout = Layout::of(text, delimiter);
    let rows = match Rows::new(text.as_bytes(), delimiter, mark) {
        Ok(rows) => rows,
        Err(problem) => {
            let place = Place::bytes(file, layout.header_cell(problem.column));
            let finding = Finding::new(&rules::TABLE_HEADER_UNREADABLE, place)
                .message(problem.message)
                .note("without its columns no row of the table can be read")
                .help(problem.help);
            return vec![finding];
        }
    };
    let mut findings = Vec::new();
    for row in rows {
        match row {
            Ok(row) => {
                let line = layout.line(row.line);
                cells.push(line.map_or_else(nothing, |line| line.cells(&row.reading)));
                survey.by = survey.by.take().or(row.by);
                survey.readings.push(row.reading);
            }
            Err(refused) => {
                for problem in refused.problems {
                    let range = layout
                        .line(problem.line)
                        .map_or(0..0, |line| line.cell(problem.column));
                    let place = Place::bytes(file, range);
                    let help = if problem.help.is_empty() {
                        "look the value up in the notes of that day, and correct the cell".into()
                    } else {
                        Words::from(problem.help)
                    };
                    findings.push(
                        Finding::new(&rules::TABLE_CELL_UNREADABLE, place)
                            .message(problem.message)
                            .note("a row with a cell that cannot be understood has no result")
                            .help(help),
                    );
                }
            }
        }
    }
    findings
}

fn nothing() -> Cells {
    Cells::Fields(Vec::new(), 0..0)
}

fn not_utf_8(file: FileId) -> Finding {
    Finding::new(&rules::NOT_UTF_8, Place::bytes(file, 0..0))
        .message("the table is not saved as UTF-8")
        .note("units such as °C and m³ would be read as something else")
        .help("save the table as UTF-8 (in a spreadsheet: CSV UTF-8)")
}

/// A part of a text.
type Bytes = Range<usize>;
