//! Sheets of tubes made of a laboratory's own table: one row for each tube and stroke count, columns as a map says.
//!
//! Cells go where the map says, with their digits; what the table does not say is left out, for the check to ask for.
//! Nothing is worked out and nothing is filled in, and what could not be placed is listed.
//!
//! # Example
//!
//! ```
//! use stainbook::import::{ImportTable, draft_map, read_map, sheets};
//! use stainbook::survey::DecimalMark;
//!
//! let table = ImportTable::of_text("Tube,Gas,Strokes,Factor,From,To,Unit\nQuay ammonia,ammonia,1,1,5,70,ppm\nQuay ammonia,ammonia,2,0.50,2.5,35,ppm\n")?;
//! let map = read_map("lab.import-map.yaml", draft_map(&table).as_bytes())?;
//! let made = sheets(&table, &map, DecimalMark::Point);
//! assert_eq!(made.sheets[0].id, "quay-ammonia");
//! assert!(made.sheets[0].text.contains("{strokes: 2, multiply_by: 0.50, from: 2.5, to: 35}"));
//! # Ok::<(), stainbook::import::ImportProblem>(())
//! ```

use std::fmt::Write as _;

use stainbook_catalog::import_fields::{
    FIELDS, ImportField, ImportHolds, UNPLACED, field_of_header, header_and_unit,
};
use stainbook_catalog::written::ImportMap;
use stainbook_catalog::{SourceFile, read_import_map};
use stainbook_document::finding::Level;
use stainbook_document::place::FileId;
use stainbook_document::{double_quoted, is_plain_text};

mod sheet;

pub use sheet::{ImportedSheet, ImportedSheets, UnplacedCell, sheets};

/// A table or a map that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ImportProblem {
    /// The problem, with its place.
    pub message: String,
    /// The remedy.
    pub help: String,
}

impl std::fmt::Display for ImportProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; {}", self.message, self.help)
    }
}

impl std::error::Error for ImportProblem {}

impl ImportProblem {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
        }
    }
}

/// A laboratory's table: its header, and its rows with their numbers as people count them.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct ImportTable {
    /// The headers, with an empty one where a column has none.
    pub header: Vec<String>,
    /// The rows below.
    pub rows: Vec<(u64, Vec<String>)>,
}

/// Rows among which the header is looked for.
const FIRST_ROWS: usize = 30;

impl ImportTable {
    /// The table in a text, whose cells are divided by commas, semicolons or tabs.
    ///
    /// # Errors
    ///
    /// [`ImportProblem`]: it cannot be read, or no row looks like a header.
    pub fn of_text(text: &str) -> Result<Self, ImportProblem> {
        let mut best: Option<(usize, Self)> = None;
        for delimiter in [b',', b';', b'\t'] {
            let Ok((points, table)) = of_rows(divided(text, delimiter)?) else {
                continue;
            };
            if best.as_ref().is_none_or(|(most, _)| *most < points) {
                best = Some((points, table));
            }
        }
        best.map(|(_, table)| table).ok_or_else(no_header)
    }

    /// The table of a worksheet's rows.
    ///
    /// # Errors
    ///
    /// [`ImportProblem`]: no row looks like a header.
    pub fn of_rows(rows: Vec<(u64, Vec<String>)>) -> Result<Self, ImportProblem> {
        of_rows(rows).map(|(_, table)| table)
    }
}

fn divided(text: &str, delimiter: u8) -> Result<Vec<(u64, Vec<String>)>, ImportProblem> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            ImportProblem::new(error.to_string(), "save the table as CSV in UTF-8")
        })?;
        let line = record.position().map_or(0, csv::Position::line);
        rows.push((line, record.iter().map(str::to_owned).collect()));
    }
    Ok(rows)
}

/// The header is the first of the first rows that names the most fields.
fn of_rows(mut rows: Vec<(u64, Vec<String>)>) -> Result<(usize, ImportTable), ImportProblem> {
    let points = |row: &[String]| {
        let named = row.iter().filter(|cell| field_of_header(cell).is_some());
        named.count()
    };
    let first = rows.iter().take(FIRST_ROWS).map(|(_, row)| points(row));
    let (at, most) = first
        .enumerate()
        .reduce(|best, next| if best.1 < next.1 { next } else { best })
        .filter(|(_, most)| 1 < *most)
        .ok_or_else(no_header)?;
    let below = rows.split_off(at + 1);
    let header = rows.pop().map(|(_, header)| header).unwrap_or_default();
    let header = header
        .iter()
        .map(|cell| cell.trim_start_matches('\u{feff}').trim().to_owned())
        .collect();
    Ok((
        most,
        ImportTable {
            header,
            rows: below,
        },
    ))
}

fn no_header() -> ImportProblem {
    ImportProblem::new(
        "no row of the table looks like its header",
        "name the columns in one row, as in `Tube`, `Gas`, `Strokes`, `Factor`, `From`, `To`, `Unit`",
    )
}

/// The text of a map for a table, drafted from its header: what is recognised has its field, the rest is `unplaced`.
pub fn draft_map(table: &ImportTable) -> String {
    let mut out = String::from(
        "# Which column goes where in a sheet. Look at each: it was drafted from the header alone. A column that has no place is\n\
         # `unplaced`; what stands there is listed when the table is read. `unit` is that of numbers that stand without one.\n\
         # Fields:\n",
    );
    for field in &FIELDS {
        let _ = writeln!(out, "#   {}", field.path);
    }
    out.push_str("as: tube\ncolumns:\n");
    let mut taken: Vec<&str> = Vec::new();
    for header in table.header.iter().filter(|header| !header.is_empty()) {
        // Of two columns that may be meant for one field the first has it, and a person looks at both.
        let field = field_of_header(header).filter(|field| !taken.contains(&field.path));
        let path = field.map_or(UNPLACED, |field| field.path);
        taken.extend(field.map(|field| field.path));
        let unit = header_and_unit(header)
            .1
            .filter(|_| field.is_some_and(takes_unit))
            .map(|unit| format!(", unit: {}", scalar(unit)));
        let _ = writeln!(
            out,
            "  - {{header: {}, field: {path}{}}}",
            scalar(header),
            unit.unwrap_or_default()
        );
    }
    out
}

/// True if the numbers of a field may have a unit.
fn takes_unit(field: &ImportField) -> bool {
    matches!(
        field.holds,
        ImportHolds::OnScale | ImportHolds::Numbers | ImportHolds::Quantity(_)
    )
}

/// A text that means itself in a file.
fn scalar(text: &str) -> String {
    if is_plain_text(text) {
        text.to_owned()
    } else {
        double_quoted(text)
    }
}

/// Reads a map. It is strict: a field that is none, or a column that stands twice, is refused.
///
/// # Errors
///
/// [`ImportProblem`] with the line.
pub fn read_map(name: &str, bytes: &[u8]) -> Result<ImportMap, ImportProblem> {
    let source = SourceFile::from_bytes(name, bytes.to_vec());
    let (map, document, findings) = read_import_map(FileId(0), &source);
    let wrong = findings
        .iter()
        .find(|finding| finding.level() == Level::Error);
    if let Some(finding) = wrong {
        let at = document.line_column(document.locate(finding.place()).start);
        return Err(ImportProblem::new(
            format!(
                "`{name}`, line {}, column {}: {}",
                at.line,
                at.column,
                finding.message_text()
            ),
            finding
                .help_text()
                .unwrap_or("look at the fields that stand at the head of a drafted map")
                .to_owned(),
        ));
    }
    let mut headers: Vec<&str> = Vec::new();
    let mut fields: Vec<&str> = Vec::new();
    for column in &map.columns {
        let header = column.header.as_deref().unwrap_or_default();
        let field = column.field.as_deref().unwrap_or_default();
        if headers.contains(&header) {
            return Err(ImportProblem::new(
                format!("`{name}`: the column `{header}` is there twice"),
                "keep one of them",
            ));
        }
        if field != UNPLACED && fields.contains(&field) {
            return Err(ImportProblem::new(
                format!("`{name}`: two columns go to `{field}`"),
                "say `unplaced` for one of them",
            ));
        }
        headers.push(header);
        fields.push(field);
    }
    for needed in ["name", "tube"] {
        if fields.contains(&needed) {
            return Ok(map);
        }
    }
    Err(ImportProblem::new(
        format!(
            "`{name}`: no column goes to `name` or `tube`, so that it cannot be told which rows belong to one tube"
        ),
        "say of one column `field: name`",
    ))
}
