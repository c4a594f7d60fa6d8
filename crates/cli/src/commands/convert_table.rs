//! `stainbook convert --csv`: a column of a table of any size, row by row.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;

use csv::ByteRecord;
use stainbook::conversion::{Plan, Terms};
use stainbook_core::{DecimalError, DecimalErrorKind, Unit, decimal, print};
use stainbook_survey::row_bound::RowBound;

use crate::commands::convert::convert_refused;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::quantities::concentration_unit;

/// So many bad cells are described; the others are counted.
const DESCRIBED: u64 = 20;

/// Rows are read and written in blocks of this size.
const BUFFER: usize = 1 << 18;

/// The table to convert.
pub(crate) struct ConversionTable<'a> {
    pub(crate) file: &'a Path,
    pub(crate) column: &'a str,
    pub(crate) decimal_comma: bool,
    pub(crate) delimiter: Option<char>,
}

/// Converts and says how it went.
pub(crate) fn run(
    table: &ConversionTable<'_>,
    to: &'static Unit,
    terms: &Terms,
) -> Result<ExitStatus, Failure> {
    let input: Box<dyn Read> = if table.file == Path::new("-") {
        Box::new(io::stdin().lock())
    } else {
        Box::new(File::open(table.file).map_err(|error| Failure::unreadable(table.file, &error))?)
    };
    let mut input = BufReader::with_capacity(BUFFER, input);
    let delimiter = match table.delimiter {
        Some(delimiter) => u8::try_from(delimiter).map_err(|_| {
            Failure::usage(
                format!("--delimiter: `{delimiter}` is no ASCII character"),
                "write `;`, `,` or a tab",
            )
        })?,
        None => likely_delimiter(
            input
                .fill_buf()
                .map_err(|error| Failure::unreadable(table.file, &error))?,
        ),
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .buffer_capacity(BUFFER)
        .from_reader(RowBound::new(input));
    let mut writer = csv::WriterBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .buffer_capacity(BUFFER)
        .from_writer(io::stdout().lock());
    let mut row = ByteRecord::new();
    if !next(&mut reader, &mut row, table.file)? {
        return Err(Failure::new(
            "empty-table",
            "the table is empty",
            "its first row holds the names of the columns",
        ));
    }
    let (index, plan) = plan_for(&row, table, to, terms)?;
    let width = row.len();
    for assumption in plan.assumptions() {
        output::message(&format!("note: {}", assumption.text));
    }
    if let Some(at) = plan.conditions() {
        output::message(&format!(
            "note: {to} at {} and {}",
            at.temperature.text, at.pressure.text
        ));
    }
    output::message(&format!("catalog: {}", plan.catalog()));
    row.push_field(new_name(&row, index, to).as_bytes());
    let mut outcome = ConvertedColumn {
        column: index + 1,
        name: table.column,
        bad: 0,
    };
    let mut text = String::new();
    loop {
        if let Err(error) = writer.write_byte_record(&row) {
            // Whoever reads has had enough.
            return if closed(&error) {
                Ok(ExitStatus::Success)
            } else {
                Err(unwritable(&error))
            };
        }
        if !next(&mut reader, &mut row, table.file)? {
            break;
        }
        text.clear();
        let line = row.position().map_or(0, csv::Position::line);
        if row.len() == width {
            let cell = row.get(index).unwrap_or_default();
            if let Err(bad) = convert_cell(cell, &plan, table.decimal_comma, &mut text) {
                outcome.report(line, &bad);
            }
        } else {
            outcome.report(
                line,
                &Bad {
                    message: format!("the row has {} cells, the first row has {width}", row.len()),
                    help: "look for a missing or an extra delimiter".to_owned(),
                },
            );
            while row.len() < width {
                row.push_field(b"");
            }
        }
        row.push_field(text.as_bytes());
    }
    if let Err(error) = writer.flush()
        && error.kind() != io::ErrorKind::BrokenPipe
    {
        return Err(unwritable(&csv::Error::from(error)));
    }
    Ok(outcome.end())
}

struct Bad {
    message: String,
    help: String,
}

struct ConvertedColumn<'a> {
    column: usize,
    name: &'a str,
    bad: u64,
}

impl ConvertedColumn<'_> {
    #[cold]
    fn report(&mut self, line: u64, bad: &Bad) {
        self.bad += 1;
        if self.bad <= DESCRIBED {
            output::message(&format!(
                "error: line {line}, column {} ({}): {}; {}",
                self.column, self.name, bad.message, bad.help
            ));
        }
    }

    fn end(&self) -> ExitStatus {
        if self.bad == 0 {
            return ExitStatus::Success;
        }
        let more = self.bad.saturating_sub(DESCRIBED);
        let unsaid = if more == 0 {
            String::new()
        } else {
            format!(", {more} of them not described above")
        };
        let cells = if self.bad == 1 {
            "1 cell"
        } else {
            &format!("{} cells", self.bad)
        };
        output::message(&format!(
            "{cells} could not be converted{unsaid}; their rows are kept with an empty cell"
        ));
        ExitStatus::Findings
    }
}

fn convert_cell(
    cell: &[u8],
    plan: &Plan,
    decimal_comma: bool,
    text: &mut String,
) -> Result<(), Bad> {
    let Ok(cell) = std::str::from_utf8(cell) else {
        return Err(Bad {
            message: "the cell is not UTF-8".to_owned(),
            help: "save the table as UTF-8".to_owned(),
        });
    };
    let cell = cell.trim();
    // Nothing measured, nothing to convert.
    if cell.is_empty() {
        return Ok(());
    }
    let with_point;
    let number =
        if decimal_comma && cell.bytes().filter(|b| *b == b',').count() == 1 && !cell.contains('.')
        {
            with_point = cell.replace(',', ".");
            with_point.as_str()
        } else {
            cell
        };
    let value = decimal::value_of(number).map_err(|error| unreadable_cell(cell, &error, plan))?;
    let converted = plan.apply_checked(value).map_err(|error| Bad {
        message: error.to_string(),
        help: "look at the number again, or leave the cell empty".to_owned(),
    })?;
    print::push_number(text, print::without_noise(converted));
    if decimal_comma {
        *text = text.replace('.', ",");
    }
    Ok(())
}

#[cold]
fn unreadable_cell(cell: &str, error: &DecimalError, plan: &Plan) -> Bad {
    let words = error.to_string();
    let (message, help) = match words.split_once(", ") {
        Some((message, help)) => (message.to_owned(), help.to_owned()),
        None => (
            words,
            format!("write a number in {}, or leave the cell empty", plan.from()),
        ),
    };
    let help = match error.kind() {
        DecimalErrorKind::DecimalComma => {
            format!("{help}, or say --decimal-comma for the whole table")
        }
        DecimalErrorKind::Trailing if cell.ends_with(plan.from().canonical()) => {
            format!(
                "the unit stands in the head of the column: write `{}`",
                cell.trim_end_matches(plan.from().canonical()).trim()
            )
        }
        _ => help,
    };
    Bad { message, help }
}

/// The column's place, and the conversion from the unit in its name.
fn plan_for(
    head: &ByteRecord,
    table: &ConversionTable<'_>,
    to: &'static Unit,
    terms: &Terms,
) -> Result<(usize, Plan), Failure> {
    let names: Vec<String> = head.iter().map(column_name).collect();
    let wanted = table.column.trim();
    let bare = |name: &str| {
        name.split_once('[')
            .map_or(name, |(bare, _)| bare)
            .trim()
            .to_owned()
    };
    let by_bare_name: Vec<usize> = names
        .iter()
        .enumerate()
        .filter(|(_, name)| bare(name) == wanted)
        .map(|(index, _)| index)
        .collect();
    let index = match (
        names.iter().position(|name| name == wanted),
        by_bare_name.as_slice(),
    ) {
        (Some(index), _) => index,
        (None, [index]) => *index,
        (None, []) => {
            let list = names.join("`, `");
            return Err(Failure::new(
                "unknown-column",
                format!("the table has no column `{wanted}`"),
                format!("it has `{list}`"),
            ));
        }
        (None, _) => {
            return Err(Failure::new(
                "unknown-column",
                format!("several columns are called `{wanted}`"),
                "name it with its unit, such as `co [ppm]`",
            ));
        }
    };
    let name = names.get(index).map_or(wanted, String::as_str);
    let unit = name
        .split_once('[')
        .and_then(|(_, unit)| unit.trim_end().strip_suffix(']'));
    let Some(unit) = unit else {
        return Err(Failure::new(
            "unit-missing",
            format!("the name of the column `{name}` has no unit"),
            format!(
                "write the unit in brackets in the first row of the table, such as `{name} [ppm]`"
            ),
        ));
    };
    let from = concentration_unit(&format!("column `{name}`"), unit)?;
    let plan = Plan::new(from, to, terms).map_err(|refused| convert_refused(&refused))?;
    let added = new_name(head, index, to);
    if names.contains(&added) {
        return Err(Failure::new(
            "column-exists",
            format!("the table has a column `{added}` already"),
            "take that column out or rename it first: nothing is overwritten",
        ));
    }
    Ok((index, plan))
}

/// `co [mg/m³]` for `co [ppm]`.
fn new_name(head: &ByteRecord, index: usize, to: &Unit) -> String {
    let name = head.get(index).map(column_name).unwrap_or_default();
    format!(
        "{} [{to}]",
        name.split_once('[')
            .map_or(name.as_str(), |(bare, _)| bare)
            .trim()
    )
}

fn column_name(name: &[u8]) -> String {
    String::from_utf8_lossy(name)
        .trim_start_matches('\u{feff}')
        .trim()
        .to_owned()
}

/// Of comma, semicolon and tab the one that stands most often in the first line outside quotation marks.
fn likely_delimiter(start: &[u8]) -> u8 {
    let mut quoted = false;
    let mut counts = [(b',', 0_u32), (b';', 0), (b'\t', 0)];
    for byte in start.iter().take_while(|byte| **byte != b'\n') {
        if *byte == b'"' {
            quoted = !quoted;
        }
        if !quoted
            && let Some((_, count)) = counts.iter_mut().find(|(delimiter, _)| delimiter == byte)
        {
            *count += 1;
        }
    }
    // `max_by_key` takes the last of equals, and the comma is the usual one.
    counts
        .iter()
        .rev()
        .max_by_key(|(_, count)| *count)
        .map_or(b',', |(delimiter, _)| *delimiter)
}

fn next<R: Read>(
    reader: &mut csv::Reader<RowBound<R>>,
    row: &mut ByteRecord,
    file: &Path,
) -> Result<bool, Failure> {
    reader.get_mut().row_begins();
    reader.read_byte_record(row).map_err(|error| {
        let line = error
            .position()
            .map(|at| format!(", line {}", at.line()))
            .unwrap_or_default();
        Failure::new(
            "unreadable",
            format!("cannot read `{}`{line}: {error}", file.display()),
            "",
        )
    })
}

fn closed(error: &csv::Error) -> bool {
    matches!(error.kind(), csv::ErrorKind::Io(error) if error.kind() == io::ErrorKind::BrokenPipe)
}

fn unwritable(error: &csv::Error) -> Failure {
    Failure::new(
        "unwritable",
        format!("cannot write to standard output: {error}"),
        "is the disk full?",
    )
}
