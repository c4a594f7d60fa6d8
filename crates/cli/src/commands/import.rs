//! `stainbook import`: sheets made of a laboratory's own table.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook::import::{ImportProblem, ImportTable, draft_map, read_map, sheets};
use stainbook_survey::document::is_spreadsheet;
use stainbook_survey::spreadsheet::Workbook;
use stainbook_survey::table::DecimalMark;

use crate::bounded_read;
use crate::catalog_files::shown;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{IfThere, put};

/// Make sheets of a laboratory's own table: one row for each tube and stroke count
///
/// A map says which column goes where. Where there is none yet it is drafted from the header, for you to look at; run the same
/// again, and it is used. What the table does not say is left out, what has no place is listed, and no file is written over.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  stainbook import tubes.xlsx --as tube --map lab.import-map.yaml
  stainbook import tubes.csv --as tube --map lab.import-map.yaml --in my-lab/tubes")]
pub(crate) struct Import {
    /// The table: `.csv`, `.xlsx` or `.ods`
    table: PathBuf,
    /// The kind of file to make of it
    #[arg(long = "as", value_enum)]
    target: ImportTarget,
    /// The map; drafted under this name if there is none
    #[arg(long, value_name = "FILE")]
    map: PathBuf,
    /// The folder to write the sheets to
    #[arg(long = "in", value_name = "FOLDER", default_value = ".")]
    folder: PathBuf,
    /// The worksheet of a spreadsheet that has several
    #[arg(long, value_name = "NAME")]
    worksheet: Option<String>,
    /// The numbers of the table have decimal commas: `0,5`
    #[arg(long)]
    decimal_comma: bool,
}

/// Kinds of file that a table can be made into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ImportTarget {
    /// Sheets of tubes
    Tube,
}

impl Import {
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let ImportTarget::Tube = self.target;
        let table = self.table()?;
        if !self.map.exists() {
            return self.draft(&table);
        }
        let bytes = bounded_read::file(&self.map, bounded_read::ENTRY)?;
        let map = read_map(&shown(&self.map), &bytes)
            .map_err(|problem| unusable("map-unusable", problem))?;
        let mark = if self.decimal_comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        let made = sheets(&table, &map, mark);
        std::fs::create_dir_all(&self.folder)
            .map_err(|error| Failure::unwritable(&self.folder, &error))?;
        let mut there = 0;
        for sheet in &made.sheets {
            let path = self.folder.join(format!("{}.tube.yaml", sheet.id));
            match put(&path, IfThere::Refuse, sheet.text.as_bytes()) {
                Ok(()) => output::data(&format!("{}\n", shown(&path))),
                Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                    there += 1;
                    output::message(&format!(
                        "not written: `{}` is there already, and nothing is overwritten",
                        shown(&path)
                    ));
                }
                Err(error) => return Err(Failure::unwritable(&path, &error)),
            }
        }
        for unplaced in &made.unplaced {
            output::message(&format!("not placed: {unplaced}"));
        }
        output::message(&format!(
            "{} written, {there} there already, {} not placed",
            made.sheets.len() - there,
            made.unplaced.len()
        ));
        output::message("next: compare each with its leaflet, then run");
        output::message(&format!("  stainbook check {}", shown(&self.folder)));
        Ok(if there == 0 && made.unplaced.is_empty() {
            ExitStatus::Success
        } else {
            ExitStatus::Findings
        })
    }

    fn draft(&self, table: &ImportTable) -> Result<ExitStatus, Failure> {
        put(&self.map, IfThere::Refuse, draft_map(table).as_bytes())
            .map_err(|error| Failure::unwritable(&self.map, &error))?;
        output::data(&format!("{}\n", shown(&self.map)));
        output::message(
            "the map is drafted from the header alone: look at each column, then run the same again",
        );
        Ok(ExitStatus::Success)
    }

    fn table(&self) -> Result<ImportTable, Failure> {
        let bytes = bounded_read::file(&self.table, bounded_read::TABLE)?;
        let name = shown(&self.table);
        let table = if is_spreadsheet(&name) {
            let rows = Workbook::open(bytes)
                .and_then(|mut workbook| workbook.texts(self.worksheet.as_deref()))
                .map_err(|problem| {
                    Failure::new(
                        "table-unreadable",
                        format!("`{name}`: {}", problem.message),
                        problem.help,
                    )
                })?;
            ImportTable::of_rows(rows)
        } else {
            let text = String::from_utf8(bytes).map_err(|_| not_utf_8(&self.table))?;
            ImportTable::of_text(&text)
        };
        table.map_err(|problem| unusable("table-unreadable", problem))
    }
}

fn not_utf_8(table: &Path) -> Failure {
    Failure::new(
        "table-unreadable",
        format!("`{}` is not UTF-8", table.display()),
        "save the table as UTF-8 (in a spreadsheet: CSV UTF-8)",
    )
}

fn unusable(code: &'static str, problem: ImportProblem) -> Failure {
    Failure::new(code, problem.message, problem.help)
}
