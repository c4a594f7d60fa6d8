//! The `stainbook` command: the only part that reads files, knows the clock, prints and exits.
//!
//! Exit codes, the same for every command and format: 0 nothing wrong (warnings and flags allowed), 1 errors found or a
//! result refused, 2 the command could not be carried out, 3 a fault of stainbook itself.

#![allow(
    clippy::format_push_string,
    reason = "texts here are short, and a line reads best as one format"
)]
mod arguments;
mod bounded_read;
mod catalog_choice;
mod catalog_files;
mod commands;
mod exit_status;
mod failure;
mod git;
mod output;
mod output_file;
mod progress;
mod quantities;
mod revision_catalog;
mod substance_lookup;
mod table_arguments;
mod two_sides;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

use clap::Parser;

use arguments::Arguments;
use exit_status::ExitStatus;
use failure::Failure;

fn main() -> ExitCode {
    // The default hook speaks to programmers; who stands with a tube in the hand needs to know what to do.
    std::panic::set_hook(Box::new(|panic| {
        let at = panic
            .location()
            .map(|at| format!(" ({}:{})", at.file(), at.line()))
            .unwrap_or_default();
        output::message(&format!("error: stainbook itself is at fault{at}"));
        output::message("  help: please report this with the command and the files it was given");
    }));
    match catch_unwind(AssertUnwindSafe(run)) {
        Ok(end) if output::is_lost() => end.max(ExitStatus::Usage).into(),
        Ok(end) => end.into(),
        Err(_) => ExitStatus::Internal.into(),
    }
}

fn run() -> ExitStatus {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return usage(&error),
    };
    match commands::run(&arguments.command) {
        Ok(end) => end,
        Err(failure) => {
            failure.report(arguments.command.speaks_json());
            failure.end
        }
    }
}

/// Messages of clap. Help and version are data, everything else is a failure like any other.
fn usage(error: &clap::Error) -> ExitStatus {
    if !error.use_stderr() {
        output::data_styled(&error.render());
        return ExitStatus::Success;
    }
    let asks_json = std::env::args_os()
        .zip(std::env::args_os().skip(1))
        .any(|(a, b)| a == "--format" && b == "json")
        || std::env::args_os().any(|a| a == "--format=json");
    if asks_json {
        let text = error.render().to_string();
        let text = text.trim_start_matches("error: ");
        let (message, help) = text.split_once("\n\n").unwrap_or((text, ""));
        let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
        Failure::usage(
            message.split_whitespace().collect::<Vec<_>>().join(" "),
            help,
        )
        .report(true);
    } else {
        output::message_styled(&error.render());
    }
    ExitStatus::Usage
}
