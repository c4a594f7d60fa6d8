//! The command line as a whole.

use clap::Parser;

use crate::commands::Command;

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
