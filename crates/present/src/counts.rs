//! Numbers of findings of each level, and the line that says so.

use stainbook_document::finding::{Fault, Finding, Level};

/// Numbers of findings of each level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Errors.
    pub errors: usize,
    /// Warnings.
    pub warnings: usize,
    /// Notes.
    pub notes: usize,
    /// Findings, of any level, that are a fault of this software.
    pub ours: usize,
}

impl Counts {
    /// Counts findings.
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Self {
        let mut counts = Self::default();
        for finding in findings {
            match finding.level() {
                Level::Error => counts.errors += 1,
                Level::Warning => counts.warnings += 1,
                Level::Note => counts.notes += 1,
            }
            counts.ours += usize::from(finding.fault() == Fault::Ours);
        }
        counts
    }

    /// `2 errors, 1 warning in 34 files`; `no findings in 34 files` if there are none.
    pub fn summary(&self, files: usize) -> String {
        let parts: Vec<String> = [
            (self.errors, "error"),
            (self.warnings, "warning"),
            (self.notes, "note"),
        ]
        .into_iter()
        .filter(|(count, _)| 0 < *count)
        .map(|(count, word)| counted(count, word))
        .collect();
        let found = if parts.is_empty() {
            "no findings".to_owned()
        } else {
            parts.join(", ")
        };
        format!("{found} in {}", counted(files, "file"))
    }
}

/// `1 file`, `2 files`.
pub fn counted(count: usize, word: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {word}{plural}")
}

#[cfg(test)]
mod tests {
    use super::Counts;

    #[test]
    fn summaries() {
        let counts = |errors, warnings, notes| Counts {
            errors,
            warnings,
            notes,
            ours: 0,
        };
        for (counts, files, expected) in [
            (counts(2, 1, 0), 34, "2 errors, 1 warning in 34 files"),
            (counts(0, 0, 0), 1, "no findings in 1 file"),
            (counts(0, 0, 3), 0, "3 notes in 0 files"),
        ] {
            assert_eq!(counts.summary(files), expected);
        }
    }
}
