//! `stainbook due`: what expires, is overdue, failed, is to be reviewed or is missing.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook_check::due::{DueWhen, due};
use stainbook_core::Duration;
use stainbook_present::{due_calendar, due_csv, due_json, due_text};

use super::check::as_of;
use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{load, load_demo_with};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::quantities::quantity;

/// List what is due: boxes that expire, checks of pumps that are overdue or failed, sheets to be reviewed, plans that lack something
///
/// What is past its day, failed or missing stands first, then what comes within the days that are looked ahead. The exit code
/// is 1 if anything is past, failed or missing.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook due --as-of 2026-11-25 --within 60d
  stainbook due --format ics > lab.ics       for a calendar; read it in again after every change
  stainbook due --catalog my-lab --format csv")]
pub(crate) struct DueOn {
    /// The day that dates are judged by; without it today at Greenwich
    #[arg(long, value_name = "DATE")]
    as_of: Option<String>,
    /// How far ahead of that day to look
    #[arg(long, value_name = "TIME", default_value = "60 days")]
    within: String,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// How to say it
    #[arg(long, value_enum, default_value_t = DueFormat::Text)]
    format: DueFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DueFormat {
    /// For people
    Text,
    /// For a spreadsheet
    Csv,
    /// For scripts
    Json,
    /// For a calendar: iCalendar, RFC 5545
    Ics,
}

impl DueOn {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == DueFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let when = DueWhen::new(as_of(self.as_of.as_deref())?, self.within_days()?);
        let choice = choose(self.catalog.as_deref(), Path::new(""))?;
        let loaded = match &choice {
            Choice::Folder(_) => load(&choice, Vec::new()),
            Choice::Embedded => load_demo_with(Vec::new()),
        };
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {}", loaded.words));
        let list = due(&loaded.book, when);
        let text = match self.format {
            DueFormat::Text => due_text::render(&list, output::colour()),
            DueFormat::Csv => due_csv::render(&list).map_err(Failure::ours)?,
            DueFormat::Json => due_json::render(&list).map_err(Failure::ours)?,
            DueFormat::Ics => due_calendar::render(&list),
        };
        output::data(&text);
        Ok(if !loaded.unreadable.is_empty() {
            ExitStatus::Usage
        } else if list.is_anything_past() {
            ExitStatus::Findings
        } else {
            ExitStatus::Success
        })
    }

    /// Whole days; a part of a day counts as one.
    fn within_days(&self) -> Result<u32, Failure> {
        let within = quantity::<Duration>("--within", &self.within)?;
        let days = within.value().days().ceil();
        format!("{days:.0}").parse().map_err(|_| {
            Failure::usage(
                format!("--within: `{}` is too far ahead", self.within),
                "write days, months or years as in `60 days`",
            )
        })
    }
}
