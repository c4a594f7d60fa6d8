//! A file in its usual form: usual spellings, then the order of its fields, its quotes and its line ends.

use stainbook_catalog::Entry;
use stainbook_document::edit::{EditRefusal, applied, tidied};
use stainbook_document::finding::{Finding, Level};

use crate::fix::{NotUtf8, fix};

/// One step toward a file's usual form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TidyStep {
    /// The file's bytes after it; nothing if there is nothing left to do.
    pub bytes: Option<Vec<u8>>,
    /// Reasons for which some fields keep their order.
    pub left: Vec<EditRefusal>,
}

/// Reason for which a file is not tidied.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum TidyRefusal {
    /// It is not saved as UTF-8.
    NotUtf8,
    /// It cannot be read to its end.
    Unread,
    /// It would say something else.
    Edit(EditRefusal),
}

impl std::fmt::Display for TidyRefusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotUtf8 => f.write_str("it is not saved as UTF-8; save it so first"),
            Self::Unread => {
                f.write_str("it cannot be read to its end; mend what `stainbook check` says first")
            }
            Self::Edit(refusal) => write!(f, "{refusal}"),
        }
    }
}

impl std::error::Error for TidyRefusal {}

/// Takes a step toward a file's usual form: first what is understood is spelled as usual, as findings less than an error
/// offer it safely; then fields are put in the order of the schema, quotes that say nothing and blanks at the ends of lines
/// go. Reading the file again after a step finds whether another is to be taken; the last of all changes nothing.
///
/// Nothing that the file says changes by it, nor any digit, row or remark; [`tidied`] says where a comment goes.
///
/// # Errors
///
/// [`TidyRefusal`], for example of a file that cannot be read to its end.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{Book, SourceFile};
/// use stainbook_check::tidy;
///
/// let text = "name: 'Quay pump'\npump_kind: quay-piston\nstroke: 100 ml\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
/// let mut bytes = text.as_bytes().to_vec();
/// loop {
///     let (book, findings) = Book::read([SourceFile::from_bytes("quay-piston.pump-kind.yaml", bytes.clone())]);
///     match tidy(&book.entries()[0], &bytes, &findings).unwrap().bytes {
///         Some(after) => bytes = after,
///         None => break,
///     }
/// }
/// assert!(String::from_utf8(bytes).unwrap().starts_with("pump_kind: quay-piston\nname: Quay pump\nstroke: 100 mL\n"));
/// ```
pub fn tidy<'a>(
    entry: &Entry,
    bytes: &[u8],
    findings: impl IntoIterator<Item = &'a Finding>,
) -> Result<TidyStep, TidyRefusal> {
    let document = &entry.document;
    if document.is_broken() {
        return Err(TidyRefusal::Unread);
    }
    let spellings = findings
        .into_iter()
        .filter(|finding| finding.level() < Level::Error);
    match fix(document, bytes, spellings) {
        Err(NotUtf8) => return Err(TidyRefusal::NotUtf8),
        Ok(Some(fixed)) => {
            return Ok(TidyStep {
                bytes: Some(fixed.bytes),
                left: Vec::new(),
            });
        }
        Ok(None) => {}
    }
    let tidy = tidied(document, &entry.out_of_order()).map_err(TidyRefusal::Edit)?;
    if tidy.edits.is_empty() {
        return Ok(TidyStep {
            bytes: None,
            left: tidy.left,
        });
    }
    if bytes != document.text().as_bytes() {
        return Err(TidyRefusal::NotUtf8);
    }
    Ok(TidyStep {
        bytes: Some(applied(document, &tidy.edits).into_bytes()),
        left: tidy.left,
    })
}
