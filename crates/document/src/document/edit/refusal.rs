//! Reasons for which a text is left as it is.

use std::fmt;

use crate::place::Path;

/// Reason for which an edit is not made.
///
/// ```
/// use stainbook_document::edit::EditRefusal;
/// use stainbook_document::place::Path;
///
/// let refusal = EditRefusal::Absent(Path::root().key("handles"));
/// assert_eq!(refusal.to_string(), "`/handles` is not there; name something that is, or insert it");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum EditRefusal {
    /// The text is a table's, and its cells are none of YAML's values.
    Table,
    /// The place lies in, or ends at, a part that could not be read.
    Unread(Path),
    /// Nothing is there.
    Absent(Path),
    /// Something is there already.
    Present(Path),
    /// Neither a list nor a mapping that could hold such an entry.
    NoHolder(Path),
    /// The key is given more than once.
    Repeated(Path),
    /// Written in a way that has no neighbour to be like: with a tag, an anchor or a `?`.
    Unusual(Path),
    /// Comments stand inside that would be lost.
    Comments(Path),
    /// A comment stands so that it may be about one entry or another, of which one would be moved away from it.
    UnclearComments(Path),
    /// Text that is to stand bare, and would be text there.
    NotBare(String),
    /// The text would not say what was asked for, or something else besides.
    OtherMeaning(Path),
}

impl fmt::Display for EditRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Table => f.write_str("a table is changed in the program that keeps it, not here"),
            Self::Unread(path) => write!(
                f,
                "{} lies in a part of the file that could not be read; mend that first",
                shown(path)
            ),
            Self::Absent(path) => write!(
                f,
                "{} is not there; name something that is, or insert it",
                shown(path)
            ),
            Self::Present(path) => {
                write!(f, "{} is there already; set its value", shown(path))
            }
            Self::NoHolder(path) => write!(
                f,
                "{} is no list or mapping that could hold the entry; set its value to one",
                shown(path)
            ),
            Self::Repeated(path) => write!(
                f,
                "{} is given more than once; delete all but one first",
                shown(path)
            ),
            Self::Unusual(path) => write!(
                f,
                "{} is written with a tag, an anchor or `?`; write it as `name: value` first",
                shown(path)
            ),
            Self::Comments(path) => write!(
                f,
                "comments inside {} would be lost; change its entries one by one",
                shown(path)
            ),
            Self::UnclearComments(path) => write!(
                f,
                "a comment in {} may be about the field above or the one below; put it directly above its own, with a blank \
                 line before it",
                shown(path)
            ),
            Self::NotBare(text) => write!(
                f,
                "`{text}` is neither a number nor a truth value; give it as text"
            ),
            Self::OtherMeaning(path) => write!(
                f,
                "the file would not say what is asked for at {}; change it by hand",
                shown(path)
            ),
        }
    }
}

impl std::error::Error for EditRefusal {}

fn shown(path: &Path) -> String {
    if path.steps().is_empty() {
        "the file as a whole".to_owned()
    } else {
        format!("`{}`", path.pointer())
    }
}
