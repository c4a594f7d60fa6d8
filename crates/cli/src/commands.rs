//! The commands, one file each.

pub(crate) mod changes;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod completions;
pub(crate) mod convert;
mod convert_table;
pub(crate) mod demo;
pub(crate) mod evaluate;
pub(crate) mod explain;
pub(crate) mod find;
pub(crate) mod new;
pub(crate) mod schema;
pub(crate) mod sheet;

use crate::arguments::Command;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;

/// Carries out a command.
pub(crate) fn run(command: &Command) -> Result<ExitStatus, Failure> {
    match command {
        Command::Demo(demo) => demo.run(),
        Command::Convert(convert) => convert.run(),
        Command::Check(check) => check.run(),
        Command::Compare(compare) => compare.run(),
        Command::Changes(changes) => changes.run(),
        Command::Evaluate(evaluate) => evaluate.run(),
        Command::Find(find) => find.run(),
        Command::Sheet(sheet) => sheet.run(),
        Command::New(new) => new.run(),
        Command::Explain(explain) => explain.run(),
        Command::Schema(schema) => schema.run(),
        Command::Completions(completions) => completions.run(),
    }
}
