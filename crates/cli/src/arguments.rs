//! The command line as a whole.

use clap::{Parser, Subcommand};

use crate::commands::{
    changes, check, compare, completions, convert, demo, evaluate, explain, find, new, schema,
    sheet,
};

/// A lab's own book of detector-tube data, checked, and the arithmetic that turns a stain into a concentration.
///
/// Detector tubes alone never clear a confined space, nor an oxygen-deficient or explosive atmosphere. Limits and procedures
/// of the local code prevail; a competent person decides.
#[derive(Debug, Parser)]
#[command(
    name = "stainbook",
    version,
    max_term_width = 100,
    disable_help_subcommand = true
)]
#[command(
    after_help = "Exit codes: 0 well, 1 errors found or a result refused, 2 not carried out, 3 a fault of stainbook.\n\
                        Start with `stainbook demo`."
)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// The remedy.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Demo(demo::Demo),
    Convert(convert::Convert),
    Check(check::CheckPaths),
    Compare(compare::Compare),
    Changes(changes::Changes),
    Evaluate(evaluate::Evaluate),
    Find(find::Find),
    Sheet(sheet::SheetOf),
    New(new::New),
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
            Self::Sheet(sheet) => sheet.speaks_json(),
            _ => false,
        }
    }
}
