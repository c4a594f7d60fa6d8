//! A survey that is kept in a worksheet of a spreadsheet, as a file of a catalog.
//!
//! The rows are read as for evaluating them ([`spreadsheet`](crate::spreadsheet)). A text is made of them, a
//! line for each row of the worksheet with ` | ` between its cells, so that places can be shown; what is said of a place is
//! its cell.

use stainbook_catalog::written::SurveyEntry;
use stainbook_catalog::{Entry, EntryKind, WrittenEntry};
use stainbook_document::finding::Finding;
use stainbook_document::place::{FileId, Place};
use stainbook_document::{Cell, Document, Worksheet};

use super::layout::{Layout, Line};
use super::{
    Bytes, SurveyCells, columns_passed_over, is_sound, surroundings, table_stem, take_head,
    take_rows, unreadable_header,
};
use crate::spreadsheet::{RawWorksheet, Workbook, WorkbookProblem, WorksheetRows};
use crate::table::TableSettings;

/// Separator of two cells of a row in the text that is made of them.
const BETWEEN: &str = " | ";

/// The worksheets of a spreadsheet that hold readings: the only one, or of several those whose header names columns of a
/// survey.
///
/// # Errors
///
/// [`WorkbookProblem`]: it is empty, a worksheet cannot be read, or none of several looks like readings.
pub fn worksheets_of_readings(workbook: &mut Workbook) -> Result<Vec<String>, WorkbookProblem> {
    let names = workbook.worksheets();
    if let [] | [_] = names.as_slice() {
        return if names.is_empty() {
            Err(WorkbookProblem {
                message: "the spreadsheet is empty".to_owned(),
                help: "the first row names the columns, as in `id`, `at`, `tube`, `strokes`, `reading [ppm]`".to_owned(),
            })
        } else {
            Ok(names)
        };
    }
    let of_readings = workbook.of_readings(&names)?;
    if of_readings.is_empty() {
        return Err(WorkbookProblem {
            message: "none of the worksheets begins with the columns of a survey".to_owned(),
            help: "name the columns in the first row, as in `id`, `at`, `tube`, `strokes`, `reading [ppm]`".to_owned(),
        });
    }
    Ok(of_readings)
}

/// Reads a worksheet of a survey. Rows that cannot be read are reported, cell by cell, and are not among the readings.
///
/// `settings` say which zone the spreadsheet's own dates have, without which none of them is taken, and how typed ones are
/// written.
///
/// # Errors
///
/// [`WorkbookProblem`]: there is no such worksheet, or it cannot be read.
pub fn read_worksheet(
    file: FileId,
    path: &str,
    workbook: &mut Workbook,
    worksheet: &str,
    settings: impl Into<TableSettings>,
) -> Result<(Entry, Vec<Finding>), WorkbookProblem> {
    let several = 1 < worksheets_of_readings(workbook)?.len();
    let stem = if several {
        format!("{}-{}", table_stem(path), kebab(worksheet))
    } else {
        table_stem(path).to_owned()
    };
    let mut survey = SurveyEntry {
        survey: Some(stem.clone()),
        ..SurveyEntry::default()
    };
    let mut text = Shown::default();
    let sheet = workbook.worksheet(worksheet)?;
    let (header_row, width) = (sheet.header_row(), sheet.width());
    let mut line = |number: u64, texts: &[(usize, String)]| {
        let (cells, beyond) = text.row(number, width, texts);
        Line {
            number,
            cells,
            beyond,
        }
    };
    let above = sheet.shown_above().into_iter();
    let above: Vec<Line> = above.map(|(number, texts)| line(number, &texts)).collect();
    let header = line(header_row, &header_of(&sheet)).cells;
    let mut cells = SurveyCells::default();
    let findings = match WorksheetRows::new(sheet, settings.into()) {
        Err(problem) => {
            let layout = Layout::of_cells(&text.text, above, header, Vec::new());
            let cell = layout.cell_of_head(problem.line, problem.column);
            vec![unreadable_header(Place::bytes(file, cell), problem)]
        }
        Ok(mut rows) => {
            let lines = rows
                .numbers()
                .map(|number| line(number, &rows.texts(number)));
            let lines = lines.collect();
            let layout = Layout::of_cells(&text.text, above, header, lines);
            let own = rows.first_foreign().and_then(|column| {
                let place = Place::bytes(file, layout.header_cell(column));
                columns_passed_over(place, &rows.foreign_columns())
            });
            take_head(rows.top(), &layout, &mut survey, &mut cells);
            let mut findings = take_rows(file, &mut rows, &layout, &mut survey, &mut cells);
            findings.extend(own);
            findings.extend(surroundings(file, rows.around(), &layout));
            findings
        }
    };
    let Shown {
        text,
        cells: places,
        ..
    } = text;
    let readings = cells.of_survey(0..text.len());
    let places = Worksheet::new(worksheet, places);
    let entry = Entry {
        file,
        path: path.to_owned(),
        kind: EntryKind::Survey,
        document: Document::of_worksheet(file, path, text, &readings, places),
        written: WrittenEntry::Survey(Box::new(survey)),
        stem,
        background: false,
        sound: is_sound(&findings),
        named_otherwise: Vec::new(),
    };
    Ok((entry, findings))
}

fn header_of(sheet: &RawWorksheet) -> Vec<(usize, String)> {
    sheet
        .header()
        .map(|(column, text)| (column, text.to_owned()))
        .collect()
}

/// A name as part of an id.
fn kebab(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-")
}

/// The text that is made of a worksheet.
#[derive(Default)]
struct Shown {
    text: String,
    cells: Vec<(usize, Cell)>,
    lines: u64,
}

impl Shown {
    /// Adds a row and gives the bytes of its cells under the header, empty ones included, and of those beyond it; rows and
    /// columns count from 1.
    fn row(
        &mut self,
        row: u64,
        width: usize,
        texts: &[(usize, String)],
    ) -> (Vec<Bytes>, Vec<(usize, Bytes)>) {
        while self.lines + 1 < row {
            self.text.push('\n');
            self.lines += 1;
        }
        self.lines += 1;
        if texts.is_empty() {
            let at = self.text.len();
            self.text.push('\n');
            return (vec![at..at; width], Vec::new());
        }
        let number = usize::try_from(row).unwrap_or(usize::MAX);
        let mut under = Vec::with_capacity(width);
        let mut texts = texts.iter().peekable();
        for column in 1..=width {
            let text = texts.next_if(|(at, _)| *at == column);
            let text = text.map_or("", |(_, text)| text.as_str());
            under.push(self.cell(number, column, text));
        }
        // Between those that stand far away under no header there is nothing to show.
        let beyond = texts.map(|(column, text)| (*column, self.cell(number, *column, text)));
        let beyond = beyond.collect();
        self.text.push('\n');
        (under, beyond)
    }

    fn cell(&mut self, row: usize, column: usize, text: &str) -> Bytes {
        if 1 < column {
            self.text.push_str(BETWEEN);
        }
        let start = self.text.len();
        // A line of text has to stay one.
        self.text
            .extend(text.chars().map(|c| if c.is_control() { ' ' } else { c }));
        self.cells.push((start, Cell { row, column }));
        start..self.text.len()
    }
}
