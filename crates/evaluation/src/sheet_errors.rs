//! Errors that the checker found in a sheet and in the files that it rests on, each told where it is.

use std::collections::BTreeMap;

use stainbook_catalog::{Book, EntryKind};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::FileId;

/// Errors in a sheet, and in the files that it rests on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct SheetErrors {
    /// Number of errors in the sheet itself.
    pub own: usize,
    /// The files that it rests on and that have errors.
    pub behind: Vec<FaultyFile>,
}

/// A file with errors that a sheet rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct FaultyFile {
    /// Its path.
    pub path: String,
    /// Number of its errors.
    pub errors: usize,
    /// Message of the first.
    pub first: String,
}

impl SheetErrors {
    /// So many errors in the sheet itself.
    #[must_use]
    pub fn own(errors: usize) -> Self {
        Self {
            own: errors,
            behind: Vec::new(),
        }
    }

    /// True if there are none.
    pub fn is_empty(&self) -> bool {
        self.own == 0 && self.behind.is_empty()
    }
}

/// The errors that a check found, by file.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_evaluation::ErrorsByFile;
///
/// let files = [
///     SourceFile::new("x.tube.yaml", "tube: x\nmeasures: {substance: y}\n"),
///     SourceFile::new("y.substance.yaml", "substance: y\nformula: [C, O]\n"),
/// ];
/// let (book, findings) = Book::read(files);
/// let errors = ErrorsByFile::of(&findings).of_sheet(&book, "x");
/// assert_eq!(errors.behind[0].path, "y.substance.yaml");
/// ```
#[derive(Clone, Debug, Default)]
pub struct ErrorsByFile(BTreeMap<FileId, (usize, String)>);

impl ErrorsByFile {
    /// Sorts what was found.
    pub fn of<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> Self {
        let mut by_file = BTreeMap::new();
        let errors = findings.into_iter();
        for finding in errors.filter(|finding| finding.level() == Level::Error) {
            let message = || (0, finding.message_text().to_owned());
            by_file
                .entry(finding.place().file)
                .or_insert_with(message)
                .0 += 1;
        }
        Self(by_file)
    }

    /// The same, with findings that nobody is told because they follow from a slip elsewhere: a file that has no other errors
    /// has these.
    #[must_use]
    pub fn with_those_that_follow<'f>(
        mut self,
        follow: impl IntoIterator<Item = &'f Finding>,
    ) -> Self {
        for (file, errors) in Self::of(follow).0 {
            self.0.entry(file).or_insert(errors);
        }
        self
    }

    /// Errors in the sheet of this short name, in its substance and in its group.
    pub fn of_sheet(&self, book: &Book, id: &str) -> SheetErrors {
        let count = |kind, id: &str| {
            Some((
                book.find(kind, id)?,
                self.0.get(&book.find(kind, id)?.file)?,
            ))
        };
        let own = count(EntryKind::Tube, id).map_or(0, |(_, (errors, _))| *errors);
        let measures = book.tube(id).and_then(|sheet| sheet.measures.as_ref());
        let rests_on = measures.into_iter().flat_map(|measures| {
            [
                (EntryKind::Substance, &measures.substance),
                (EntryKind::Substance, &measures.expressed_as),
                (EntryKind::Group, &measures.group),
            ]
        });
        let behind = rests_on
            .filter_map(|(kind, id)| count(kind, id.as_deref()?))
            .map(|(entry, (errors, first))| FaultyFile {
                path: entry.path.clone(),
                errors: *errors,
                first: first.clone(),
            })
            .collect();
        SheetErrors { own, behind }
    }
}
