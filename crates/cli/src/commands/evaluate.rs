//! `stainbook evaluate`: from a survey's readings to concentrations.

mod checked;
mod input;
mod results_format;

use std::path::{Path, PathBuf};

use clap::Args;
use stainbook::EntryKind;
use stainbook::catalog::finding::Fault;
use stainbook::present::results_text::Detail;
use stainbook::reading::{Evaluation, FaultySheets, Options};

use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{Input, Loaded, load, shown, standard_input};
use crate::end::End;
use crate::failure::Failure;
use crate::output;
pub(crate) use checked::Checked;
use results_format::Format;

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
        output::data(&self.format.rendered(&evaluation, self.detail())?);
        Ok(end)
    }

    fn detail(&self) -> Detail {
        if self.full {
            Detail::Full
        } else {
            Detail::Compact
        }
    }

    /// What is known of the sheets beyond the catalog.
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
}

/// The demo's sheets serve whoever has no catalog, and say that they are invented.
fn load_for(choice: &Choice, extra: Vec<Input>) -> Loaded {
    match choice {
        Choice::Folder(_) => load(choice, extra),
        Choice::Embedded => crate::catalog_files::load_demo_with(extra),
    }
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
