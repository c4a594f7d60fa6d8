//! Two transcriptions, or folders of them, compared: what the views of it have in common.

use stainbook_check::compare::{Difference, DifferenceSide};
use stainbook_document::{Document, LineColumn};

/// Files that were compared.
#[derive(Debug, Default)]
pub struct FileComparison<'a> {
    /// Files that belong together.
    pub pairs: Vec<ComparedPair<'a>>,
    /// Files of A without a partner.
    pub only_a: Vec<&'a str>,
    /// Files of B without a partner.
    pub only_b: Vec<&'a str>,
}

/// Two files that belong together.
#[derive(Debug)]
pub struct ComparedPair<'a> {
    /// The name of A's file.
    pub name_a: &'a str,
    /// The name of B's file.
    pub name_b: &'a str,
    /// A's file.
    pub a: &'a Document,
    /// B's file.
    pub b: &'a Document,
    /// Differences.
    pub differences: Vec<Difference>,
}

impl FileComparison<'_> {
    /// Number of differences; a file without a partner is one.
    pub fn count(&self) -> usize {
        let in_pairs: usize = self.pairs.iter().map(|pair| pair.differences.len()).sum();
        in_pairs + self.only_a.len() + self.only_b.len()
    }
}

/// Place of a side in its file.
pub(crate) fn span(side: &DifferenceSide, document: &Document) -> (LineColumn, LineColumn) {
    let bytes = document.locate(&side.place);
    (
        document.line_column(bytes.start),
        document.line_column(bytes.end),
    )
}
