//! `stainbook evaluate`: from a survey's readings to concentrations.

mod checked;
mod draws;
mod input;
mod results_format;
mod verify;

use std::path::{Path, PathBuf};

use clap::Args;
use stainbook_document::finding::Fault;
use stainbook_evaluation::{Evaluation, FaultySheets, Options, SheetErrors};
use stainbook_present::csv_for_excel;
use stainbook_present::results_text::Detail;

use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{Input, Loaded, load, shown};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::output_file::{refuse_name_of_entry, refuse_over_input, refuse_over_standard_input};
use crate::progress::Talk;
use crate::table_arguments::TableArgs;
pub(crate) use checked::Checked;
use draws::DrawsArgs;
use input::Survey;
use results_format::{OutputContent, ResultsFormat};

/// Turn the readings of a survey into concentrations, with every factor and the uncertainty
///
/// A reading that cannot be evaluated is refused, with what to do instead, and never stops the others.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook evaluate surveys/quay-2026-03-02.survey.yaml
  stainbook evaluate readings.csv --catalog my-lab --format csv > results.csv
  stainbook evaluate surveys/quay-2026-03-02.survey.yaml --draws 1000000 --seed 7 --full
  stainbook evaluate round.xlsx --worksheet Round --zone +02:00 --output results.xlsx
  stainbook evaluate quay.survey.yaml --format html --output record.html
  stainbook evaluate quay.survey.yaml --output records/quay.json
  stainbook evaluate --verify records/ --catalog my-lab
  stainbook evaluate - --stdin-filename quay.survey.yaml --format json < quay.survey.yaml")]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
pub(crate) struct Evaluate {
    /// The survey: `.survey.yaml`, or a table `.csv`, `.xlsx` or `.ods`; `-` for standard input
    #[arg(required_unless_present = "verify")]
    survey: Option<PathBuf>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward from the survey, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// How to say the results; without it as the name of --output asks for, else as text
    #[arg(long, value_enum)]
    format: Option<ResultsFormat>,
    /// Write to this file, which is replaced when everything is written
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Say the whole budget of uncertainty as well
    #[arg(long)]
    full: bool,
    /// Use sheets in which the check finds errors; the results carry a flag that says so
    #[arg(long)]
    despite_findings: bool,
    /// The worksheet of a spreadsheet that has several
    #[arg(long, value_name = "NAME")]
    worksheet: Option<String>,
    #[command(flatten)]
    table: TableArgs,
    /// The name that standard input is read under; without it, a table
    #[arg(long, value_name = "FILE")]
    stdin_filename: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawsArgs,
    /// A template of your own for `--format html`, in the language of minijinja; it is given `evaluation` as in JSON
    #[arg(long, value_name = "FILE")]
    template: Option<PathBuf>,
    /// CSV for a spreadsheet program: an apostrophe before each text that it would take for a formula
    #[arg(long)]
    excel: bool,
    /// Say errors only: neither the catalog used nor how far a long run has come
    #[arg(long, short)]
    quiet: bool,
    /// Work records out again (JSON or JSON Lines, or folders of them) and say what still holds, what moves, and why
    #[arg(long, value_name = "RECORD", num_args = 1.., conflicts_with_all = ["survey", "worksheet", "zone", "template", "stdin_filename", "decimal_comma", "dates"])]
    verify: Vec<PathBuf>,
}

impl Evaluate {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format() == ResultsFormat::Json && self.output.is_none()
    }

    fn format(&self) -> ResultsFormat {
        let by_name = || self.output.as_deref().and_then(ResultsFormat::of_file);
        self.format.or_else(by_name).unwrap_or(ResultsFormat::Text)
    }

    fn talk(&self) -> Talk {
        if self.quiet { Talk::Quiet } else { Talk::Usual }
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let format = self.format();
        if format == ResultsFormat::Xlsx && self.output.is_none() {
            return Err(Failure::usage(
                "a spreadsheet is not written to standard output",
                "say where to with --output FILE.xlsx",
            ));
        }
        if self.template.is_some() && format != ResultsFormat::Html {
            return Err(Failure::usage(
                "a template is for the field record",
                "add --format html",
            ));
        }
        self.refuse_output_over_input()?;
        if self.excel && !matches!(format, ResultsFormat::Csv | ResultsFormat::TogetherCsv) {
            return Err(Failure::usage(
                "--excel is for CSV, the only format in which a text can be taken for a formula",
                "add --format csv, or leave it out",
            ));
        }
        let Some(survey) = &self.survey else {
            return self.verify();
        };
        let input = Survey::open(survey, self.stdin_filename.as_deref())?;
        let checked = self.catalog_for(&input)?;
        let end = match input {
            Survey::Entry { name, .. } => {
                let evaluation = self.entry(&name, &checked)?;
                self.put(&evaluation)?;
                end(evaluation.is_complete(), &checked)
            }
            Survey::Table(table) => self.table(table, &checked)?,
        };
        Ok(end)
    }

    fn catalog_for(&self, input: &Survey) -> Result<Checked, Failure> {
        let from = input.name().parent().unwrap_or(Path::new(""));
        let choice = choose(self.catalog.as_deref(), from)?;
        let extra = match input {
            Survey::Entry { name, bytes } => vec![Input::Bytes(shown(name), bytes.clone())],
            Survey::Table(_) => Vec::new(),
        };
        self.checked(&choice, extra)
    }

    /// Refuses an output that would take the place of what is read, before anything is worked out.
    fn refuse_output_over_input(&self) -> Result<(), Failure> {
        let Some(output) = &self.output else {
            return Ok(());
        };
        refuse_name_of_entry(output)?;
        if self.survey.as_deref() == Some(Path::new("-"))
            || self.verify.iter().any(|path| path == Path::new("-"))
        {
            refuse_over_standard_input(output)?;
        }
        let named = self.survey.iter().chain(&self.template);
        refuse_over_input(output, named.chain(&self.verify))
    }

    fn checked(&self, choice: &Choice, extra: Vec<Input>) -> Result<Checked, Failure> {
        let loaded = load_for(choice, extra);
        // The embedded catalog lies in no folder.
        if let (Some(output), Choice::Folder(_)) = (&self.output, choice) {
            refuse_over_input(output, &loaded.paths)?;
        }
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        if !self.quiet {
            output::message(&format!("catalog: {}", loaded.words));
        }
        Ok(Checked::new(loaded))
    }

    fn put(&self, evaluation: &Evaluation) -> Result<(), Failure> {
        let content =
            self.format()
                .rendered(evaluation, self.detail(), self.template.as_deref())?;
        let content = match content {
            OutputContent::Text(text) => OutputContent::Text(self.for_excel(text)?),
            bytes @ OutputContent::Bytes(_) => bytes,
        };
        results_format::put(&content, self.output.as_deref())
    }

    /// Rows of CSV as they were asked for.
    fn for_excel(&self, csv: String) -> Result<String, Failure> {
        if self.excel {
            csv_for_excel::without_formulas(&csv).map_err(Failure::ours)
        } else {
            Ok(csv)
        }
    }

    fn detail(&self) -> Detail {
        if self.full {
            Detail::Full
        } else {
            Detail::Compact
        }
    }

    /// Facts of the sheets beyond the catalog.
    fn options<'o>(&self, errors: &'o dyn Fn(&str) -> SheetErrors) -> Options<'o> {
        Options::default()
            .with_sheet_errors(errors)
            .with_faulty_sheets(if self.despite_findings {
                FaultySheets::FlagOnly
            } else {
                FaultySheets::Refuse
            })
            .with_monte_carlo(self.draws.options())
    }
}

/// The demo's sheets serve whoever has no catalog, and say that they are invented.
fn load_for(choice: &Choice, extra: Vec<Input>) -> Loaded {
    match choice {
        Choice::Folder(_) => load(choice, extra),
        Choice::Embedded => crate::catalog_files::load_demo_with(extra),
    }
}

/// Exit status, by whether every reading has a result.
fn end(complete: bool, checked: &Checked) -> ExitStatus {
    if checked
        .findings
        .iter()
        .any(|finding| finding.fault() == Fault::Ours)
    {
        ExitStatus::Internal
    } else if !checked.loaded.unreadable.is_empty() {
        ExitStatus::Usage
    } else if complete {
        ExitStatus::Success
    } else {
        ExitStatus::Findings
    }
}
