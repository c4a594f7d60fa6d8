//! Bounds on what a spreadsheet may hold, looked at before it is opened.
//!
//! A file of a few hundred bytes can say that a row repeats a billion times, or unpack to a gigabyte. Whoever checks a folder
//! has to be told of such a file, and of all the others.

use std::io::{BufReader, Cursor, Read};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

use super::WorkbookProblem;

/// Bytes that all parts of a spreadsheet may unpack to; 20,000 readings with all their columns take about a third of it.
pub(super) const MOST_UNPACKED: u64 = 64 << 20;

/// Cells between the first and the last that hold something, and cells that hold something.
pub(super) const MOST_CELLS: u64 = 2_000_000;

/// Rows and columns of the largest worksheet that a spreadsheet program makes.
pub(super) const MOST_ROWS: u32 = 1_048_576;
pub(super) const MOST_COLUMNS: u32 = 16_384;

/// Parts of a packed file; a spreadsheet has some ten.
const MOST_PARTS: usize = 4096;

/// What holds the worksheets of an `.ods` file.
const CONTENT: &str = "content.xml";

/// The two forms of spreadsheet that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    Xlsx,
    Ods,
}

/// The form of a spreadsheet, if it is within the bounds.
pub(super) fn form_within_bounds(bytes: &[u8]) -> Result<Form, WorkbookProblem> {
    // Whoever opens it has better words for what is no such file, or has a password.
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Ok(Form::Xlsx);
    };
    let mut left = MOST_UNPACKED;
    if MOST_PARTS < archive.len() {
        return Err(too_large(format!("{} parts", archive.len())));
    }
    for index in 0..archive.len() {
        let Ok(part) = archive.by_index(index) else {
            continue;
        };
        // What a part says of its size need not be true.
        let unpacked = std::io::copy(&mut part.take(left + 1), &mut std::io::sink());
        left = match left.checked_sub(unpacked.unwrap_or_default()) {
            Some(left) => left,
            None => {
                return Err(too_large(format!(
                    "more than {} MiB unpacked",
                    MOST_UNPACKED >> 20
                )));
            }
        };
    }
    let Ok(content) = archive.by_name(CONTENT) else {
        return Ok(Form::Xlsx);
    };
    look_through(BufReader::new(content))?;
    Ok(Form::Ods)
}

/// A spreadsheet that holds more than is read.
pub(super) fn too_large(what: impl AsRef<str>) -> WorkbookProblem {
    WorkbookProblem::new(
        format!("the spreadsheet is too large: it has {}", what.as_ref()),
        "delete the rows and columns behind the readings, where a cell may have been filled by mistake, and save it again; or save it as CSV",
    )
}

/// Extent of the worksheets of an `.ods` file, repeats counted as often as they say.
#[derive(Default)]
struct Extent {
    rows: u64,
    last_row: u64,
    width: u64,
    bytes: u64,
    row: Row,
    cell: Option<Filling>,
}

#[derive(Default)]
struct Row {
    repeats: u64,
    columns: u64,
    width: u64,
    bytes: u64,
}

#[derive(Default)]
struct Filling {
    repeats: u64,
    filled: bool,
    bytes: u64,
}

fn look_through(content: impl std::io::BufRead) -> Result<(), WorkbookProblem> {
    let mut reader = Reader::from_reader(content);
    reader.config_mut().expand_empty_elements = true;
    reader.config_mut().check_end_names = false;
    let mut extent = Extent::default();
    let mut buffer = Vec::new();
    loop {
        // Whoever opens the file says what is wrong with its form.
        let Ok(event) = reader.read_event_into(&mut buffer) else {
            return Ok(());
        };
        match event {
            Event::Eof => return Ok(()),
            Event::Start(element) => extent.begins(&element),
            Event::End(element) => extent.ends(element.name().as_ref()),
            Event::Text(text) => extent.text(text.len()),
            Event::CData(text) => extent.text(text.len()),
            Event::GeneralRef(_) => extent.text(1),
            _ => {}
        }
        let cells = extent.last_row.saturating_mul(extent.width);
        if MOST_CELLS < cells {
            let (rows, columns) = (extent.last_row, extent.width);
            return Err(too_large(format!(
                "{rows} rows and {columns} columns with what is repeated in them, and at most {MOST_CELLS} cells are read"
            )));
        }
        if MOST_UNPACKED < extent.bytes {
            return Err(too_large(format!(
                "more than {} MiB of text with what is repeated in it",
                MOST_UNPACKED >> 20
            )));
        }
        buffer.clear();
    }
}

impl Extent {
    fn begins(&mut self, element: &BytesStart<'_>) {
        match element.name().as_ref() {
            "table:table" => {
                let bytes = self.bytes;
                *self = Self {
                    bytes,
                    ..Self::default()
                };
            }
            "table:table-row" => {
                self.row = Row {
                    repeats: number(element, "table:number-rows-repeated"),
                    ..Row::default()
                };
            }
            "table:table-cell" | "table:covered-table-cell" => {
                let said = element.attributes().flatten();
                let said: Vec<_> = said.map(|said| said.value.len()).collect();
                let holds = ["office:value-type", "table:formula"];
                self.cell = Some(Filling {
                    repeats: number(element, "table:number-columns-repeated"),
                    filled: holds.iter().any(|name| attribute(element, name).is_some()),
                    bytes: said.into_iter().map(|length| length as u64).sum(),
                });
            }
            name => {
                if let Some(cell) = &mut self.cell {
                    cell.filled = true;
                    if name == "text:s" {
                        cell.bytes = cell.bytes.saturating_add(number(element, "text:c"));
                    }
                }
                // Blanks are made as they are read, before their cell ends.
                self.bytes = match &self.cell {
                    Some(cell) if MOST_UNPACKED < cell.bytes => u64::MAX,
                    _ => self.bytes,
                };
            }
        }
    }

    fn ends(&mut self, name: &str) {
        match name {
            "table:table-cell" | "table:covered-table-cell" => {
                let cell = self.cell.take().unwrap_or_default();
                self.row.columns = self.row.columns.saturating_add(cell.repeats);
                if cell.filled {
                    self.row.width = self.row.columns;
                    let bytes = cell.bytes.saturating_mul(cell.repeats);
                    self.row.bytes = self.row.bytes.saturating_add(bytes);
                }
            }
            "table:table-row" => {
                let row = std::mem::take(&mut self.row);
                self.rows = self.rows.saturating_add(row.repeats);
                if 0 < row.width {
                    self.last_row = self.rows;
                    self.width = self.width.max(row.width);
                    let bytes = row.bytes.saturating_mul(row.repeats);
                    self.bytes = self.bytes.saturating_add(bytes);
                }
            }
            _ => {}
        }
    }

    fn text(&mut self, length: usize) {
        if let Some(cell) = &mut self.cell {
            cell.bytes = cell.bytes.saturating_add(length as u64);
        }
    }
}

fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut all = element.attributes().flatten();
    let found = all.find(|attribute| attribute.key.as_ref() == name)?;
    Some(String::from_utf8_lossy(found.value.as_bytes()).into_owned())
}

/// How often something is there: once, if nothing is said; what is no number is for whoever opens the file.
fn number(element: &BytesStart<'_>, name: &str) -> u64 {
    attribute(element, name).map_or(1, |text| text.trim().parse().unwrap_or(u64::MAX))
}
