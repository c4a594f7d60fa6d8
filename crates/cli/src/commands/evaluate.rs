//! `stainbook evaluate`: from a survey's readings to concentrations.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook::catalog::WrittenEntry;
use stainbook::catalog::finding::{Fault, Level};
use stainbook::check::Options as CheckOptions;
use stainbook::check_read;
use stainbook::present::results_text::{self, Detail};
use stainbook::present::{Sources, findings_text, results_csv, results_json};
use stainbook::reading::survey_csv::{self, DecimalMark};
use stainbook::reading::{Evaluation, FaultySheets, Options, evaluate};
use stainbook::{Book, EntryKind, Finding};

use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{Input, Loaded, identity, load, shown, standard_input};
use crate::end::End;
use crate::failure::Failure;
use crate::output;

/// Turn the readings of a survey into concentrations, with every factor and the uncertainty
///
/// A reading that cannot be evaluated is refused, with what to do instead, and never stops the others.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook evaluate surveys/quay-2026-03-02.survey.yaml
  stainbook evaluate readings.csv --catalog my-lab --format csv > results.csv
  stainbook evaluate - --stdin-filename quay.survey.yaml --format json < quay.survey.yaml")]
pub(crate) struct Evaluate {
    /// The survey: `.survey.yaml`, or a table `.csv`; `-` for standard input
    survey: PathBuf,
    /// A folder with a `catalog.yaml`; without it the nearest one upward from the survey, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// How to say the results
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Say the whole budget of uncertainty as well
    #[arg(long)]
    full: bool,
    /// Use sheets in which the check finds errors; the results carry a flag that says so
    #[arg(long)]
    despite_findings: bool,
    /// A table has decimal commas: `0,5`
    #[arg(long)]
    decimal_comma: bool,
    /// The name that standard input is read under; without it, a table
    #[arg(long, value_name = "FILE")]
    stdin_filename: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// For scripts
    Json,
    /// For a spreadsheet
    Csv,
}

impl Evaluate {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == Format::Json
    }

    pub(crate) fn run(&self) -> Result<End, Failure> {
        let (name, bytes) = if self.survey == Path::new("-") {
            let name = self
                .stdin_filename
                .clone()
                .unwrap_or_else(|| PathBuf::from("standard-input.csv"));
            (name, standard_input()?)
        } else {
            let bytes = std::fs::read(&self.survey)
                .map_err(|error| Failure::unreadable(&self.survey, &error))?;
            (self.survey.clone(), bytes)
        };
        let choice = choose(
            self.catalog.as_deref(),
            name.parent().unwrap_or(Path::new("")),
        )?;
        let is_table = name
            .extension()
            .is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
        let kind = EntryKind::of_file(&shown(&name)).map(|(kind, _)| kind);
        if !is_table && kind != Some(EntryKind::Survey) {
            return Err(Failure::usage(
                format!("`{}` is no survey", name.display()),
                "a survey's name ends in `.survey.yaml` or `.csv`",
            ));
        }
        let extra = if is_table {
            Vec::new()
        } else {
            vec![Input::Bytes(shown(&name), bytes.clone())]
        };
        let loaded = load_for(&choice, extra);
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {}", loaded.words));
        let checked = Checked::new(loaded);
        let evaluation = if is_table {
            self.table(&name, &bytes, &checked)?
        } else {
            self.entry(&name, &checked)?
        };
        let end = end(&evaluation, &checked);
        output::data(&self.rendered(&evaluation)?);
        Ok(end)
    }

    fn rendered(&self, evaluation: &Evaluation) -> Result<String, Failure> {
        let detail = if self.full {
            Detail::Full
        } else {
            Detail::Compact
        };
        match self.format {
            Format::Text => Ok(results_text::render(evaluation, detail, output::colour())),
            Format::Json => results_json::render(evaluation).map_err(Failure::ours),
            Format::Csv => results_csv::render(evaluation).map_err(Failure::ours),
        }
    }

    fn options<'o>(&self, errors: &'o dyn Fn(&str) -> usize) -> Options<'o> {
        Options {
            sheet_errors: Some(errors),
            faulty_sheets: if self.despite_findings {
                FaultySheets::FlagOnly
            } else {
                FaultySheets::Refuse
            },
        }
    }

    fn table(&self, name: &Path, bytes: &[u8], checked: &Checked) -> Result<Evaluation, Failure> {
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let good =
                String::from_utf8_lossy(bytes.get(..error.valid_up_to()).unwrap_or_default());
            let line = good.matches('\n').count() + 1;
            Failure::new(
                "not-utf-8",
                format!(
                    "`{}`, line {line}: the table is not saved as UTF-8",
                    name.display()
                ),
                "save it as UTF-8 (in a spreadsheet: CSV UTF-8)",
            )
        })?;
        let mark = if self.decimal_comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        let errors = |id: &str| checked.errors_of(EntryKind::Tube, id);
        survey_csv::evaluate_csv(
            &checked.loaded.book,
            text.trim_start_matches('\u{feff}'),
            mark,
            &self.options(&errors),
        )
        .map_err(|problem| {
            Failure::new(
                "table-unreadable",
                format!(
                    "`{}`, line 1, column {}: {}",
                    name.display(),
                    problem.column,
                    problem.message
                ),
                problem.help,
            )
        })
    }

    fn entry(&self, name: &Path, checked: &Checked) -> Result<Evaluation, Failure> {
        let wanted = identity(name);
        let book = &checked.loaded.book;
        let found = book
            .surveys()
            .find(|(entry, _)| identity(Path::new(&entry.path)) == wanted);
        let Some((entry, survey)) = found else {
            return Err(Failure::ours(format!(
                "the survey `{}` was read and is not in the book",
                name.display()
            )));
        };
        let id = entry.id().to_owned();
        if 0 < checked.errors_of(EntryKind::Survey, &id) && !self.despite_findings {
            let sources = Sources::of_book(book);
            let own: Vec<Finding> = checked
                .findings
                .iter()
                .filter(|finding| finding.place().file == entry.file)
                .cloned()
                .collect();
            output::message(
                findings_text::render(&own, &sources, 1, stainbook::present::Colour::Plain)
                    .trim_end(),
            );
            return Err(Failure {
                end: End::Wrong,
                ..Failure::new(
                    "survey-has-errors",
                    format!(
                        "the survey `{}` has errors and is not evaluated",
                        name.display()
                    ),
                    "correct them, or say --despite-findings to evaluate what could be read",
                )
            });
        }
        let errors = |id: &str| checked.errors_of(EntryKind::Tube, id);
        Ok(evaluate(book, survey, &self.options(&errors)))
    }
}

/// The demo's sheets serve whoever has no catalog, and say that they are invented.
fn load_for(choice: &Choice, extra: Vec<Input>) -> Loaded {
    match choice {
        Choice::Folder(_) => load(choice, extra),
        Choice::Embedded => crate::catalog_files::load_demo_with(extra),
    }
}

/// A catalog with what the check says of it.
pub(crate) struct Checked {
    pub(crate) loaded: Loaded,
    pub(crate) findings: Vec<Finding>,
    pub(crate) files: usize,
    errors: BTreeMap<(EntryKind, String), usize>,
}

impl Checked {
    /// Checks a catalog. Dates are not judged by today: a sheet does not become wrong over night.
    pub(crate) fn new(mut loaded: Loaded) -> Self {
        let read = std::mem::take(&mut loaded.findings);
        let report = check_read(&loaded.book, read, &CheckOptions::default());
        let mut errors = BTreeMap::new();
        for finding in report
            .findings
            .iter()
            .filter(|finding| finding.level() == Level::Error)
        {
            if let Some(entry) = loaded.book.entry(finding.place().file) {
                *errors
                    .entry((entry.kind, entry.id().to_owned()))
                    .or_insert(0) += 1;
            }
        }
        Self {
            findings: report.findings,
            files: report.files,
            errors,
            loaded,
        }
    }

    pub(crate) fn errors_of(&self, kind: EntryKind, id: &str) -> usize {
        let own = self
            .errors
            .get(&(kind, id.to_owned()))
            .copied()
            .unwrap_or(0);
        if kind == EntryKind::Tube {
            own + errors_behind(&self.loaded.book, &self.errors, id)
        } else {
            own
        }
    }
}

/// Errors in the entries that a sheet rests on: its substance.
fn errors_behind(book: &Book, errors: &BTreeMap<(EntryKind, String), usize>, tube: &str) -> usize {
    let Some(WrittenEntry::Tube(sheet)) =
        book.find(EntryKind::Tube, tube).map(|entry| &entry.written)
    else {
        return 0;
    };
    let Some(measures) = &sheet.measures else {
        return 0;
    };
    [&measures.substance, &measures.expressed_as]
        .into_iter()
        .flatten()
        .filter_map(|id| errors.get(&(EntryKind::Substance, id.clone())))
        .sum()
}

fn end(evaluation: &Evaluation, checked: &Checked) -> End {
    if checked
        .findings
        .iter()
        .any(|finding| finding.fault() == Fault::Ours)
    {
        End::OurBug
    } else if !checked.loaded.unreadable.is_empty() {
        End::NotCarriedOut
    } else if evaluation.is_complete() {
        End::Well
    } else {
        End::Wrong
    }
}
