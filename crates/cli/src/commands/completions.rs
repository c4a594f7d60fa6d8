//! `stainbook completions`: for the shell.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use crate::arguments::Arguments;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;

/// Write a completion script for a shell
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  stainbook completions bash > ~/.local/share/bash-completion/completions/stainbook"
)]
pub(crate) struct Completions {
    /// Which shell
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    #[allow(
        clippy::unnecessary_wraps,
        reason = "every command ends in one of the same two ways"
    )]
    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let mut script = Vec::new();
        clap_complete::generate(
            self.shell,
            &mut Arguments::command(),
            "stainbook",
            &mut script,
        );
        output::data(&String::from_utf8_lossy(&script));
        Ok(ExitStatus::Success)
    }
}
