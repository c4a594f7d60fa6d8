//! The commands, one file each.

pub(crate) mod changes;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod completions;
pub(crate) mod convert;
mod convert_table;
pub(crate) mod demo;
pub(crate) mod due;
pub(crate) mod evaluate;
pub(crate) mod explain;
pub(crate) mod find;
pub(crate) mod import;
pub(crate) mod new;
pub(crate) mod plan;
pub(crate) mod schema;
pub(crate) mod sheet;
pub(crate) mod tidy;

use clap::Subcommand;

use crate::exit_status::ExitStatus;
use crate::failure::Failure;

/// A command, each in a file of its own.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Demo(demo::Demo),
    Convert(convert::Convert),
    Check(check::CheckPaths),
    Tidy(tidy::TidyPaths),
    Compare(compare::Compare),
    Changes(changes::Changes),
    Evaluate(evaluate::Evaluate),
    Find(find::Find),
    Plan(plan::PlanFrom),
    Due(due::DueOn),
    Sheet(sheet::SheetOf),
    New(new::New),
    Import(import::Import),
    Explain(explain::Explain),
    Schema(schema::SchemaOf),
    Completions(completions::Completions),
}

impl Command {
    /// True if errors are to be said as JSON.
    pub(crate) fn speaks_json(&self) -> bool {
        match self {
            Self::Convert(convert) => convert.speaks_json(),
            Self::Check(check) => check.speaks_json(),
            Self::Compare(compare) => compare.speaks_json(),
            Self::Changes(changes) => changes.speaks_json(),
            Self::Evaluate(evaluate) => evaluate.speaks_json(),
            Self::Explain(explain) => explain.speaks_json(),
            Self::Find(find) => find.speaks_json(),
            Self::Due(due) => due.speaks_json(),
            Self::Sheet(sheet) => sheet.speaks_json(),
            _ => false,
        }
    }
}

/// Carries out a command.
pub(crate) fn run(command: &Command) -> Result<ExitStatus, Failure> {
    match command {
        Command::Demo(demo) => demo.run(),
        Command::Convert(convert) => convert.run(),
        Command::Check(check) => check.run(),
        Command::Tidy(tidy) => tidy.run(),
        Command::Compare(compare) => compare.run(),
        Command::Changes(changes) => changes.run(),
        Command::Evaluate(evaluate) => evaluate.run(),
        Command::Find(find) => find.run(),
        Command::Plan(plan) => plan.run(),
        Command::Due(due) => due.run(),
        Command::Sheet(sheet) => sheet.run(),
        Command::New(new) => new.run(),
        Command::Import(import) => import.run(),
        Command::Explain(explain) => explain.run(),
        Command::Schema(schema) => schema.run(),
        Command::Completions(completions) => completions.run(),
    }
}
