//! Exit statuses of commands.

use std::process::ExitCode;

/// Exit status of a command, with the exit code that scripts rely on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum ExitStatus {
    /// 0: no error found, every result given; warnings and flags are allowed.
    Success,
    /// 1: errors found, or a result refused.
    Findings,
    /// 2: not carried out: usage, input, output, or conditions that are missing or cannot be.
    Usage,
    /// 3: a fault of stainbook.
    Internal,
}

impl From<ExitStatus> for ExitCode {
    fn from(end: ExitStatus) -> Self {
        match end {
            ExitStatus::Success => Self::SUCCESS,
            ExitStatus::Findings => Self::from(1),
            ExitStatus::Usage => Self::from(2),
            ExitStatus::Internal => Self::from(3),
        }
    }
}
