//! Generates what is committed: `cargo xtask import`, then `cargo xtask generate`.
//!
//! Every generator writes, or with `--check` compares and fails if what is committed differs.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool for contributors speaks on the terminal"
)]
mod coverage;
mod fuzz;
mod generate;
mod import;
mod lines;
mod malformed;
mod new_rule;
mod office;
mod output;
mod slips;

use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};

/// What contributors generate, count and try.
#[derive(Parser)]
#[command(bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// The entries of catalog/reference, from its tables
    Import(FileGenerator),
    /// Schemas and the lists of embedded files and names
    Generate(FileGenerator),
    /// The files and lines of a new rule, to be filled in
    NewRule(new_rule::NewRule),
    /// Numbers of slips that are seen
    Slips(slips::SlipsPlan),
    /// Share of results that are right, and of verdicts that are wrong
    Coverage(coverage::CoveragePlan),
    /// Damaged files through everything that reads, checks, mends, shows and evaluates
    Fuzz(fuzz::FuzzPlan),
    /// A survey's template through an office program and back
    Office(office::OfficePlan),
    /// Slips in the YAML of the demo, and whether what is said first is about them
    Malformed(malformed::MalformedPlan),
    /// Lines of code by crate, without comments, blanks, tests and what is generated
    Lines {
        /// A revision to count as well; may be given several times
        #[arg(long, value_name = "REVISION")]
        at: Vec<String>,
    },
}

#[derive(Args)]
struct FileGenerator {
    /// Compare with what is committed, and write nothing
    #[arg(long)]
    check: bool,
}

fn main() -> ExitCode {
    let done = match Arguments::parse().task {
        Task::Import(FileGenerator { check: false }) => import::write(),
        Task::Import(FileGenerator { check: true }) => import::compare(),
        Task::Generate(FileGenerator { check: false }) => {
            generate::all().and_then(|files| output::write(&files))
        }
        Task::Generate(FileGenerator { check: true }) => {
            generate::all().and_then(|files| output::compare(&files))
        }
        Task::NewRule(rule) => new_rule::write(&output::root(), &rule),
        Task::Slips(plan) => slips::run(&plan),
        Task::Coverage(plan) => coverage::run(plan),
        Task::Fuzz(plan) => fuzz::run(plan),
        Task::Office(plan) => office::run(&plan),
        Task::Malformed(plan) => malformed::run(&plan),
        Task::Lines { at } => lines::run(&at),
    };
    match done {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}
