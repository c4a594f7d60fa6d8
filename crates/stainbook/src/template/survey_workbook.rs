//! A survey's table to be filled in as a spreadsheet: lists to choose from, what each column is for, an example.

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, FormatBorder,
    Workbook, Worksheet, XlsxError,
};
use stainbook_survey::table::{TableTemplate, TemplateColumn};

/// Rows below the header that have lists to choose from.
const ROWS: u32 = 500;

/// Characters of a note beside a cell, which spreadsheet programs cut off there.
const LONGEST_NOTE: usize = 255;

/// Characters of the title of such a note.
const LONGEST_TITLE: usize = 32;

/// Worksheets beside the readings. None of their rows names columns of a survey in two cells, so that none is taken for
/// readings.
const EXPLANATIONS: &str = "Explanations";
const LISTS: &str = "Lists";

/// The spreadsheet: the readings to be filled in, explanations, and the lists. `rows` are readings that are known already, cell
/// by cell under the template's columns.
///
/// # Errors
///
/// Only of the library that writes it.
///
/// # Example
///
/// ```
/// use stainbook::{catalog::Book, survey::TableTemplate, survey::Workbook, template::survey_workbook};
///
/// let (book, _) = Book::demo();
/// let xlsx = survey_workbook(&TableTemplate::for_book(&book), "quay", &[])?;
/// let mut workbook = Workbook::open(xlsx)?;
/// let rows = workbook.rows(None, stainbook::survey::DecimalMark::Point)?;
/// assert_eq!(rows.count(), 0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn survey_workbook(
    template: &TableTemplate,
    name: &str,
    rows: &[Vec<String>],
) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    // The same template is the same file, whenever it is made.
    let properties = DocProperties::new()
        .set_title(name)
        .set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?);
    book.set_properties(&properties);
    let bold = Format::new().set_bold();
    let lists = Lists::of(template);
    readings(book.add_worksheet(), template, &lists, name, rows)?;
    explanations(book.add_worksheet(), template, &bold)?;
    lists.write(book.add_worksheet(), template, &bold)?;
    book.save_to_buffer()
}

/// Lists that are too long to stand in the cell's own rule.
struct Lists<'t> {
    columns: Vec<&'t TemplateColumn>,
}

impl<'t> Lists<'t> {
    fn of(template: &'t TableTemplate) -> Self {
        let all = template.columns.iter();
        Self {
            columns: all.filter(|column| !column.choices.is_empty()).collect(),
        }
    }

    /// The cells of a column's list, as a formula names them.
    fn range_of(&self, column: &TemplateColumn) -> Option<String> {
        let at = self.columns.iter().position(|it| it.name == column.name)?;
        let letter = stainbook_document::column_letters(at + 1);
        let last = column.choices.len() + 1;
        Some(format!("={LISTS}!${letter}$2:${letter}${last}"))
    }

    fn write(
        &self,
        sheet: &mut Worksheet,
        template: &TableTemplate,
        bold: &Format,
    ) -> Result<(), XlsxError> {
        sheet.set_name(LISTS)?;
        for (at, column) in (0_u16..).zip(&self.columns) {
            // A word of its own before the name keeps the row from being a header of readings.
            sheet.write_string_with_format(0, at, format!("for {}", column.name), bold)?;
            sheet.set_column_width(at, 24)?;
            for (row, choice) in (1_u32..).zip(&column.choices) {
                sheet.write_string(row, at, choice)?;
            }
        }
        let beside = u16::try_from(self.columns.len()).unwrap_or(0) + 1;
        for (at, head) in (beside..).zip(["sheets of the catalog", "their lots", "their strokes"]) {
            sheet.write_string_with_format(0, at, head, bold)?;
            sheet.set_column_width(at, 28)?;
        }
        for (row, known) in (1_u32..).zip(&template.sheets) {
            for (at, text) in (beside..).zip([&known.id, &known.lots, &known.strokes]) {
                sheet.write_string(row, at, text)?;
            }
        }
        Ok(())
    }
}

fn readings(
    sheet: &mut Worksheet,
    template: &TableTemplate,
    lists: &Lists<'_>,
    name: &str,
    rows: &[Vec<String>],
) -> Result<(), XlsxError> {
    sheet.set_name(worksheet_name(name))?;
    let label = Format::new().set_italic();
    let head = Format::new()
        .set_bold()
        .set_border_bottom(FormatBorder::Thin);
    let text = Format::new().set_num_format("@");
    let example = Format::new().set_italic().set_num_format("@");
    let mut row = 0;
    for above in &template.above {
        sheet.write_string_with_format(row, 0, &above.text, &label)?;
        // A day is typed as text, so that no program turns it round.
        sheet.write_blank(row, 1, &text)?;
        sheet.add_data_validation(row, 1, row, 1, &note(&above.text, &above.meaning)?)?;
        row += 1;
    }
    let header = row;
    let last = header + ROWS;
    for (at, column) in (0_u16..).zip(&template.columns) {
        sheet.write_string_with_format(header, at, &column.header, &head)?;
        sheet.set_column_width(at, width(column))?;
        if column.as_text {
            sheet.set_column_format(at, &text)?;
        }
        cell(sheet, header + 1, at, column, &column.example, &example)?;
        for (row, known) in (header + 2..).zip(rows) {
            let value = known.get(usize::from(at)).map_or("", String::as_str);
            cell(sheet, row, at, column, value, &text)?;
        }
        let rule = note(&column.header, &column.meaning)?;
        let rule = match lists.range_of(column) {
            Some(range) => {
                let strictness = if column.closed {
                    DataValidationErrorStyle::Stop
                } else {
                    // A box that is not in the catalog yet may be written all the same.
                    DataValidationErrorStyle::Information
                };
                rule.allow_list_formula(range.as_str().into())
                    .set_error_style(strictness)
            }
            None => rule,
        };
        sheet.add_data_validation(header + 1, at, last, at, &rule)?;
    }
    sheet.set_freeze_panes(header + 1, 1)?;
    Ok(())
}

/// Writes a cell: a number as one, so that a program can add it up, and what only looks like one as text.
fn cell(
    sheet: &mut Worksheet,
    row: u32,
    at: u16,
    column: &TemplateColumn,
    value: &str,
    as_text: &Format,
) -> Result<(), XlsxError> {
    match value.parse::<f64>() {
        _ if value.is_empty() => Ok(()),
        Ok(number) if !column.as_text => sheet.write_number(row, at, number).map(|_| ()),
        _ => sheet
            .write_string_with_format(row, at, value, as_text)
            .map(|_| ()),
    }
}

/// A rule that lets everything in and shows what a cell is for when it is entered.
fn note(title: &str, text: &str) -> Result<DataValidation, XlsxError> {
    DataValidation::new()
        .set_input_title(shortened(title, LONGEST_TITLE))?
        .set_input_message(shortened(text, LONGEST_NOTE))
}

fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{kept}…")
}

/// A survey's name as that of a worksheet, of which programs take 31 characters.
fn worksheet_name(name: &str) -> String {
    name.chars().take(31).collect()
}

fn width(column: &TemplateColumn) -> f64 {
    match column.name {
        "at" | "tube" => 26.0,
        "place" => 30.0,
        "remark" => 50.0,
        _ => 14.0,
    }
}

fn explanations(
    sheet: &mut Worksheet,
    template: &TableTemplate,
    bold: &Format,
) -> Result<(), XlsxError> {
    sheet.set_name(EXPLANATIONS)?;
    let wrapped = Format::new().set_text_wrap();
    for (at, (head, wide)) in (0_u16..).zip([
        ("head", 24.0),
        ("what it is for", 70.0),
        ("its unit", 12.0),
        ("what to write", 44.0),
    ]) {
        sheet.write_string_with_format(0, at, head, bold)?;
        sheet.set_column_width(at, wide)?;
    }
    let mut row = 1;
    for label in &template.above {
        sheet.write_string(row, 0, format!("{}, above the header", label.text))?;
        sheet.write_string_with_format(row, 1, &label.meaning, &wrapped)?;
        row += 1;
    }
    for (more, columns) in [
        ("", &template.columns),
        (" (may be added)", &template.further),
    ] {
        for column in columns {
            sheet.write_string(row, 0, format!("{}{more}", column.header))?;
            sheet.write_string_with_format(row, 1, &column.meaning, &wrapped)?;
            sheet.write_string(row, 2, column.unit.unwrap_or_default())?;
            let mut write = column.write.clone();
            if column.closed {
                write = format!("{write}: {}", column.choices.join(", "));
            }
            sheet.write_string_with_format(row, 3, &write, &wrapped)?;
            row += 1;
        }
    }
    Ok(())
}
