//! `stainbook sheet`: a tube's data sheet, to hang above the bench.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use serde_json::json;
use stainbook_catalog::model::series_of;
use stainbook_catalog::search::{folded, nearest};
use stainbook_catalog::written::{Day, TubeEntry};
use stainbook_catalog::{Book, EntryKind};
use stainbook_document::finding::Level;
use stainbook_present::{Sources, findings_text, most_shown, pretty_json, sheet_text};

use crate::bounded_read;
use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{Input, Loaded, identity, load, load_demo_with, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Print a tube's data sheet, laid out by the work
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook sheet brinewash-chlorine-a-r2
  stainbook sheet brinewash-chlorine-a       the newest revision
  stainbook sheet tubes/quay-co-r1.tube.yaml
  stainbook sheet - < draft.tube.yaml")]
pub(crate) struct SheetOf {
    /// The sheet's short name, that name without its revision, or a file; `-` for standard input. Without it the sheets
    /// are listed
    tube: Option<String>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// How to say it
    #[arg(long, value_enum, default_value_t = SheetFormat::Text)]
    format: SheetFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum SheetFormat {
    /// For people
    Text,
    /// For scripts: the fields of the file, figures as typed
    Json,
}

impl SheetOf {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == SheetFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let file = self.file()?;
        let name = file.as_ref().map(Input::path);
        let near = name
            .as_deref()
            .map(Path::new)
            .and_then(Path::parent)
            .unwrap_or(Path::new(""));
        let choice = choose(self.catalog.as_deref(), near)?;
        let extra: Vec<Input> = file.into_iter().collect();
        let loaded = match &choice {
            Choice::Folder(_) => load(&choice, extra),
            Choice::Embedded => load_demo_with(extra),
        };
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {}", loaded.words));
        let end = if loaded.unreadable.is_empty() {
            ExitStatus::Success
        } else {
            ExitStatus::Usage
        };
        let book = &loaded.book;
        match (&self.tube, &name) {
            (None, _) => self.list(book),
            (Some(wanted), None) => self.print(find(book, wanted)?, book)?,
            (Some(_), Some(name)) => {
                let Some(sheet) = of_file(&loaded, name) else {
                    return Ok(end.max(ExitStatus::Findings));
                };
                self.print(sheet, book)?;
            }
        }
        Ok(end)
    }

    /// The file that is meant, if it is one.
    fn file(&self) -> Result<Option<Input>, Failure> {
        match self.tube.as_deref() {
            Some("-") => Ok(Some(Input::Bytes(
                "standard-input.tube.yaml".to_owned(),
                bounded_read::standard_input(bounded_read::ENTRY)?,
            ))),
            Some(name)
                if EntryKind::of_file(name).is_some_and(|(kind, _)| kind == EntryKind::Tube) =>
            {
                Ok(Some(Input::File(PathBuf::from(name))))
            }
            _ => Ok(None),
        }
    }

    fn list(&self, book: &Book) {
        let mut rows = Vec::new();
        for (entry, tube) in book.tubes() {
            rows.push((entry.id(), tube.name.as_deref().unwrap_or_default()));
        }
        let text = match self.format {
            SheetFormat::Text => {
                let lines: Vec<String> = rows
                    .iter()
                    .map(|(id, name)| format!("{id}  {name}"))
                    .collect();
                lines.join(
                    "
",
                ) + "
"
            }
            SheetFormat::Json => {
                let sheets: Vec<_> = rows
                    .iter()
                    .map(|(id, name)| json!({"tube": id, "name": name}))
                    .collect();
                pretty_json::escaped(format!("{:#}\n", json!({ "sheets": sheets })))
            }
        };
        output::data(&text);
    }

    fn print(&self, sheet: &TubeEntry, book: &Book) -> Result<(), Failure> {
        let text = match self.format {
            SheetFormat::Text => sheet_text::render(sheet, book, output::colour()),
            SheetFormat::Json => {
                pretty_json::written(&serde_json::to_value(sheet).map_err(Failure::ours)?)
                    .map_err(Failure::ours)?
            }
        };
        output::data(&text);
        Ok(())
    }
}

/// The sheet of a file; what reading it found is said beside it, because a draft is looked at to see what is missing.
fn of_file<'b>(loaded: &'b Loaded, name: &str) -> Option<&'b TubeEntry> {
    let wanted = identity(Path::new(name));
    let (entry, sheet) = loaded
        .book
        .tubes()
        .find(|(entry, _)| identity(Path::new(&entry.path)) == wanted)?;
    let errors: Vec<_> = loaded
        .findings
        .iter()
        .filter(|finding| finding.place().file == entry.file && finding.level() == Level::Error)
        .cloned()
        .collect();
    if !errors.is_empty() {
        let sources = Sources::of_book(&loaded.book);
        output::message(
            findings_text::each(
                &most_shown(&errors),
                &sources,
                stainbook_present::Colour::Plain,
            )
            .trim_end(),
        );
        output::message(&format!(
            "note: what could not be read is not on the sheet; `stainbook check {}` says more",
            shown(Path::new(name))
        ));
    }
    Some(sheet)
}

/// The sheet of this name, or the newest of the series, that is not withdrawn if there is such a one.
fn find<'b>(book: &'b Book, wanted: &str) -> Result<&'b TubeEntry, Failure> {
    if let Some(sheet) = book.tube(wanted) {
        return Ok(sheet);
    }
    let mut series: Vec<&TubeEntry> = book
        .tubes()
        .map(|(_, tube)| tube)
        .filter(|tube| series_of(tube) == wanted)
        .collect();
    series.sort_by_key(|tube| {
        let date = tube
            .leaflet
            .as_ref()
            .and_then(|leaflet| leaflet.date.as_ref().map(Day::last));
        (tube.withdrawn.is_none(), date)
    });
    if let Some(newest) = series.pop() {
        let older: Vec<&str> = series
            .iter()
            .filter_map(|tube| tube.tube.as_deref())
            .collect();
        if !older.is_empty() {
            output::message(&format!(
                "note: the newest revision is shown; older ones, for their own lots: {}",
                older.join(", ")
            ));
        }
        return Ok(newest);
    }
    let names: Vec<String> = book
        .ids(EntryKind::Tube)
        .into_iter()
        .map(ToOwned::to_owned)
        .collect();
    let near = nearest(&folded(wanted), &names);
    let help = if near.is_empty() {
        "`stainbook sheet` alone lists the sheets".to_owned()
    } else {
        format!("did you mean `{}`?", near.join("`, `"))
    };
    Err(Failure::new(
        "unknown-sheet",
        format!("there is no sheet `{wanted}`"),
        help,
    ))
}
