//! Places: a file, and in it a path of keys and indices, or a range of bytes.
//!
//! Findings name places by path. Only [`Document::locate`](crate::document::Document::locate)
//! turns a path into bytes, and only
//! [`Document::line_column`](crate::document::Document::line_column) turns bytes into a line and
//! a column.

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

/// Number of a file among those given to a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// One step downward in a document.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PathStep {
    /// The value under this key of a mapping.
    Key(Cow<'static, str>),
    /// The entry of a list, counted from 0.
    Index(usize),
}

/// A route from the root of a document to one of its nodes.
///
/// # Example
///
/// ```
/// use stainbook_document::place::Path;
///
/// let path = Path::root().key("draw").key("ranges").index(2).key("to");
/// assert_eq!(path.pointer(), "/draw/ranges/2/to");
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Path(Vec<PathStep>);

impl Path {
    /// The document as a whole.
    #[must_use]
    pub fn root() -> Self {
        Self::default()
    }

    /// The value under `key`.
    #[must_use]
    pub fn key(mut self, key: impl Into<Cow<'static, str>>) -> Self {
        self.0.push(PathStep::Key(key.into()));
        self
    }

    /// The entry with this index, counted from 0.
    #[must_use]
    pub fn index(mut self, index: usize) -> Self {
        self.0.push(PathStep::Index(index));
        self
    }

    /// Appends one step.
    pub fn push(&mut self, step: PathStep) {
        self.0.push(step);
    }

    /// The steps from the root downward.
    pub fn steps(&self) -> &[PathStep] {
        &self.0
    }

    /// The path of the node that holds this one; nothing for the root.
    #[must_use]
    pub fn parent(&self) -> Option<Self> {
        let (_, rest) = self.0.split_last()?;
        Some(Self(rest.to_vec()))
    }

    /// True if `other` is this node or lies under it.
    pub fn contains(&self, other: &Self) -> bool {
        other.0.starts_with(&self.0)
    }

    /// The path as a JSON Pointer (RFC 6901): the empty text for the root.
    pub fn pointer(&self) -> String {
        self.to_string()
    }

    /// Reads a JSON Pointer.
    ///
    /// A pointer does not say whether `/3` is a key or an index, so such a step is taken as an
    /// index; [`Document::find`](crate::document::Document::find) looks it up as a key where the
    /// node is a mapping.
    #[must_use]
    pub fn from_pointer(pointer: &str) -> Self {
        let steps = pointer.split('/').skip(1).map(|part| {
            let plain_number = !part.is_empty()
                && part.bytes().all(|byte| byte.is_ascii_digit())
                && (part == "0" || !part.starts_with('0'));
            match part.parse() {
                Ok(index) if plain_number => PathStep::Index(index),
                _ => PathStep::Key(Cow::Owned(part.replace("~1", "/").replace("~0", "~"))),
            }
        });
        Self(steps.collect())
    }
}

impl FromIterator<PathStep> for Path {
    fn from_iter<I: IntoIterator<Item = PathStep>>(steps: I) -> Self {
        Self(steps.into_iter().collect())
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for step in &self.0 {
            match step {
                PathStep::Key(key) if key.contains(['~', '/']) => {
                    write!(f, "/{}", key.replace('~', "~0").replace('/', "~1"))?;
                }
                PathStep::Key(key) => write!(f, "/{key}")?,
                PathStep::Index(index) => write!(f, "/{index}")?,
            }
        }
        Ok(())
    }
}

/// Part of an entry: key, value, or both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EntryPart {
    /// The key; the value where there is no key (the root, an entry of a list).
    Key,
    /// The value.
    #[default]
    Value,
    /// Key and value.
    Entry,
}

/// A place within one document.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Spot {
    /// A node that the path leads to.
    At {
        /// The route to the node.
        path: Path,
        /// Key, value or both.
        part: EntryPart,
        /// Only these bytes of the scalar's text.
        within: Option<Range<usize>>,
    },
    /// Bytes of the text, where no path can name the place: a syntax error, a repeated key.
    Bytes(Range<usize>),
}

/// A place within a set of documents.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// The file.
    pub file: FileId,
    /// The place in it.
    pub spot: Spot,
}

impl Place {
    /// The value that the path leads to.
    #[must_use]
    pub fn value(file: FileId, path: Path) -> Self {
        Self::part(file, path, EntryPart::Value)
    }

    /// The key under which the value lies.
    #[must_use]
    pub fn key(file: FileId, path: Path) -> Self {
        Self::part(file, path, EntryPart::Key)
    }

    /// Key and value.
    #[must_use]
    pub fn entry(file: FileId, path: Path) -> Self {
        Self::part(file, path, EntryPart::Entry)
    }

    /// A stated part of the entry.
    #[must_use]
    pub fn part(file: FileId, path: Path, part: EntryPart) -> Self {
        let spot = Spot::At {
            path,
            part,
            within: None,
        };
        Self { file, spot }
    }

    /// Only these bytes of the text of the value that the path leads to.
    #[must_use]
    pub fn within(file: FileId, path: Path, range: Range<usize>) -> Self {
        let spot = Spot::At {
            path,
            part: EntryPart::Value,
            within: Some(range),
        };
        Self { file, spot }
    }

    /// Bytes of the file's text.
    #[must_use]
    pub fn bytes(file: FileId, range: Range<usize>) -> Self {
        Self {
            file,
            spot: Spot::Bytes(range),
        }
    }

    /// The file as a whole: its first line when shown.
    #[must_use]
    pub fn file(file: FileId) -> Self {
        Self::value(file, Path::root())
    }

    /// The path, if the place is given by one.
    pub fn path(&self) -> Option<&Path> {
        match &self.spot {
            Spot::At { path, .. } => Some(path),
            Spot::Bytes(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pointers_there_and_back() {
        for pointer in ["", "/a", "/a/0/b", "/a~1b/~0/12", "/", "/05"] {
            assert_eq!(Path::from_pointer(pointer).pointer(), pointer);
        }
        assert_eq!(Path::root().key("a/b").key("m~n").pointer(), "/a~1b/m~0n");
        assert_eq!(
            Path::from_pointer("/rows/3"),
            Path::root().key("rows").index(3)
        );
    }

    #[test]
    fn a_path_contains_what_lies_under_it() {
        let draw = Path::root().key("draw");
        assert!(draw.contains(&draw.clone().key("ranges").index(1)));
        assert!(draw.contains(&draw));
        assert!(!draw.contains(&Path::root().key("read")));
        assert_eq!(draw.parent(), Some(Path::root()));
    }
}
