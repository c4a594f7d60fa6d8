//! All findings of a run, counted.

use stainbook_document::finding::{Finding, Level};

/// Level of findings that makes a run fail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Deny {
    /// Errors only.
    #[default]
    Errors,
    /// Warnings as well.
    Warnings,
}

/// All findings of a run, in the order in which they are shown.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Report {
    /// The findings: by path of the file, then by position, then by rule.
    pub findings: Vec<Finding>,
    /// Findings that only follow from a slip in the layout of a file, which is told in their place: nobody has to read them, but
    /// whoever computes with the files has to know of them.
    pub follow: Vec<Finding>,
    /// Number of files looked at.
    pub files: usize,
    /// Number of errors.
    pub errors: usize,
    /// Number of warnings.
    pub warnings: usize,
    /// Number of notes.
    pub notes: usize,
}

impl Report {
    /// Counts findings that are already in order.
    #[must_use]
    pub fn new(findings: Vec<Finding>, files: usize) -> Self {
        let count = |level| {
            findings
                .iter()
                .filter(|finding| finding.level() == level)
                .count()
        };
        Self {
            files,
            errors: count(Level::Error),
            warnings: count(Level::Warning),
            notes: count(Level::Note),
            findings,
            follow: Vec::new(),
        }
    }
}
