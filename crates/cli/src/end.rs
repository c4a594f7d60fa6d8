//! How a command ends.

use std::process::ExitCode;

/// How a command ends, with the exit code that scripts rely on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum End {
    /// 0: no error found, every result given; warnings and flags are allowed.
    Well,
    /// 1: errors found, or a result refused.
    Wrong,
    /// 2: not carried out: usage, input, output, or conditions that are missing or cannot be.
    NotCarriedOut,
    /// 3: a fault of stainbook.
    OurBug,
}

impl From<End> for ExitCode {
    fn from(end: End) -> Self {
        match end {
            End::Well => Self::SUCCESS,
            End::Wrong => Self::from(1),
            End::NotCarriedOut => Self::from(2),
            End::OurBug => Self::from(3),
        }
    }
}
