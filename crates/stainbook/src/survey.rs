//! Surveys in tables and in worksheets, and boxes in stock in tables.

pub use stainbook_survey::boxes::{is_table_of_boxes, read_boxes};
pub use stainbook_survey::document::{is_spreadsheet, is_survey, is_table, read_table};
#[cfg(feature = "spreadsheets")]
pub use stainbook_survey::document::{read_worksheet, worksheets_of_readings};
#[cfg(feature = "spreadsheets")]
pub use stainbook_survey::spreadsheet::{Workbook, WorkbookProblem, WorksheetRows};
pub use stainbook_survey::table::{
    COLUMNS, CellProblem, Column, CsvReading, DateOrder, DecimalMark, HeaderProblem, NoZone,
    RefusedRow, Rows, TableSettings, TableTemplate, TableTop, TemplateColumn, TemplateLabel,
    TemplateSheet, Zone, delimiter_of, evaluate_csv, evaluate_row, evaluate_rows, first_lines,
    read,
};
