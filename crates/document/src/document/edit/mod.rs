//! Changes of single values, as edits of a text that is otherwise kept byte for byte.
//!
//! A value is [set], a further entry is [inserted](insert) like its neighbours, an entry is [removed](remove), a key is
//! [renamed](rename); a whole file is [tidied]. Indentation, brackets or lines, quotes, line breaks and comments are those of the text. Each function
//! gives edits, or says why it leaves the text alone. It reads what would come of them first: a text is never changed so that
//! it says anything but what was asked for.
//!
//! Comments stay, but for those behind or inside an entry that is removed; a comment on a line of its own above it stays,
//! since it may as well speak of all that follows.
//!
//! ```
//! use stainbook_document::edit::{NewValue, applied, set};
//! use stainbook_document::place::{FileId, Path};
//! use stainbook_document::{Document, ReadOptions};
//!
//! let text = b"kettle: 'blue'   # the old one\nholds: 1.5 L\n";
//! let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
//! let edits = set(&document, &Path::root().key("kettle"), &NewValue::text("red")).unwrap();
//! assert_eq!(applied(&document, &edits), "kettle: 'red'   # the old one\nholds: 1.5 L\n");
//! ```

mod brackets;
mod gaps;
mod habits;
mod lines;
mod moved_entries;
mod new_value;
mod refusal;
mod replaced;
mod tidied;

use std::ops::Range;

use super::tree::{Class, INCOMPLETE};
use super::{Document, Node, ReadOptions, traps};
use crate::finding::Edit;
use crate::place::{Path, PathStep, Place};
use habits::Habits;
pub use new_value::NewValue;
use new_value::pairs;
pub use refusal::EditRefusal;
pub use tidied::{EntryOrder, TidyEdits, tidied};

/// Edits of one document, none of which overlap.
type Edits = Result<Vec<Edit>, EditRefusal>;

/// Side of an entry of a mapping.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside<'k> {
    /// Before the entry with this key.
    Before(&'k str),
    /// After the entry with this key.
    After(&'k str),
}

/// Sets the value that a path leads to. A scalar keeps its quotes; brackets stay brackets.
///
/// ```
/// use stainbook_document::edit::{NewValue, applied, set};
/// use stainbook_document::place::{FileId, Path};
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"holds: {water: 1.5 L}  # to the brim\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let water = Path::root().key("holds").key("water");
/// let edits = set(&document, &water, &NewValue::text("2.0 L")).unwrap();
/// assert_eq!(applied(&document, &edits), "holds: {water: 2.0 L}  # to the brim\n");
/// ```
///
/// # Errors
///
/// [`EditRefusal`], for example if nothing is there, or if comments inside a list would be lost.
pub fn set(document: &Document, path: &Path, value: &NewValue) -> Edits {
    let place = Route::of(document, path)?;
    bare(value)?;
    if NewValue::of(place.value) == value.normal() {
        return Ok(Vec::new());
    }
    let edits = replaced::replaced(&place, value)?;
    let expected = changed(document, path, &Change::Set(value));
    checked(document, path, edits, expected.as_ref())
}

/// Inserts an entry where the path leads to: a key comes last in its mapping, an index says which entry of the list it will be.
///
/// ```
/// use stainbook_document::edit::{NewValue, applied, insert};
/// use stainbook_document::place::{FileId, Path};
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"sizes:\n  - {cups: 4, of: 'tea'}  # small\n  - {cups: 8, of: 'tea'}\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let row = NewValue::Mapping(vec![
///     ("cups".into(), NewValue::Bare("6".into())),
///     ("of".into(), NewValue::text("mate")),
/// ]);
/// let edits = insert(&document, &Path::root().key("sizes").index(1), &row).unwrap();
/// assert_eq!(
///     applied(&document, &edits),
///     "sizes:\n  - {cups: 4, of: 'tea'}  # small\n  - {cups: 6, of: 'mate'}\n  - {cups: 8, of: 'tea'}\n"
/// );
/// ```
///
/// # Errors
///
/// [`EditRefusal`], for example if the key is there already, or if the list is shorter.
pub fn insert(document: &Document, path: &Path, value: &NewValue) -> Edits {
    inserted(document, path, value, None)
}

/// Inserts a key beside another one of its mapping.
///
/// ```
/// use stainbook_document::edit::{Beside, NewValue, applied, insert_beside};
/// use stainbook_document::place::{FileId, Path};
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"kettle: blue\nholds: 1.5 L\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let lid = Path::root().key("lid");
/// let edits = insert_beside(&document, &lid, &NewValue::text("glass"), Beside::After("kettle")).unwrap();
/// assert_eq!(applied(&document, &edits), "kettle: blue\nlid: glass\nholds: 1.5 L\n");
/// ```
///
/// # Errors
///
/// [`EditRefusal`], also if the neighbour is not there.
pub fn insert_beside(
    document: &Document,
    path: &Path,
    value: &NewValue,
    beside: Beside<'_>,
) -> Edits {
    inserted(document, path, value, Some(beside))
}

fn inserted(
    document: &Document,
    path: &Path,
    value: &NewValue,
    beside: Option<Beside<'_>>,
) -> Edits {
    let (Some(parent), Some(step)) = (path.parent(), path.steps().last()) else {
        return Err(EditRefusal::Present(path.clone()));
    };
    let place = Route::of(document, &parent)?;
    let holder = place.value;
    bare(value)?;
    if document.is_broken() && place.is_root() {
        // What seems absent may stand in the rest.
        return Err(EditRefusal::Unread(path.clone()));
    }
    let name = step_name(step);
    let (index, entry) = match step {
        PathStep::Index(index) if holder.is_list() => {
            if beside.is_some() || holder.len() < *index {
                return Err(EditRefusal::Absent(path.clone()));
            }
            (*index, NewEntry { key: None, value })
        }
        _ if holder.is_mapping() => {
            if holder.get(&name).is_some() {
                return Err(EditRefusal::Present(path.clone()));
            }
            let key = Some(name.as_str());
            (index_of(holder, &parent, beside)?, NewEntry { key, value })
        }
        _ => return Err(EditRefusal::NoHolder(parent)),
    };
    let edits = if holder.is_in_brackets() {
        brackets::insert(&place, index, &entry)?
    } else {
        lines::insert(&place, index, &entry)?
    };
    let expected = changed(document, path, &Change::Insert(index, value));
    checked(document, path, edits, expected.as_ref())
}

/// Position of a new entry of a mapping.
fn index_of(
    mapping: Node<'_>,
    parent: &Path,
    beside: Option<Beside<'_>>,
) -> Result<usize, EditRefusal> {
    let (named, further) = match beside {
        None => return Ok(mapping.len()),
        Some(Beside::Before(key)) => (key, 0),
        Some(Beside::After(key)) => (key, 1),
    };
    let found = pairs(mapping.document(), mapping).position(|(key, _)| key.text() == Some(named));
    match found {
        Some(at) => Ok(at + further),
        None => Err(EditRefusal::Absent(parent.clone().key(named.to_owned()))),
    }
}

/// Removes an entry with the comment behind it and those inside. A list or mapping that had no other becomes an empty one.
///
/// ```
/// use stainbook_document::edit::{applied, remove};
/// use stainbook_document::place::{FileId, Path};
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"# kitchen\nkettle: blue\nlid: glass  # cracked\nholds: [1.5 L, 2 L]\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let edits = remove(&document, &Path::root().key("lid")).unwrap();
/// assert_eq!(applied(&document, &edits), "# kitchen\nkettle: blue\nholds: [1.5 L, 2 L]\n");
/// let edits = remove(&document, &Path::root().key("holds").index(0)).unwrap();
/// assert!(applied(&document, &edits).ends_with("holds: [2 L]\n"));
/// ```
///
/// # Errors
///
/// [`EditRefusal`], for example if nothing is there; also of the root, which is the file.
pub fn remove(document: &Document, path: &Path) -> Edits {
    let Some(parent) = path.parent() else {
        return Err(EditRefusal::NoHolder(path.clone()));
    };
    let entry = Route::of(document, path)?;
    let holder = Route::of(document, &parent)?;
    if document.is_broken() && holder.is_root() {
        return Err(EditRefusal::Unread(path.clone()));
    }
    let edits = if holder.value.is_in_brackets() {
        brackets::remove(&holder, &entry)?
    } else {
        lines::remove(&holder, &entry)?
    };
    let expected = changed(document, path, &Change::Remove);
    checked(document, path, edits, expected.as_ref())
}

/// Renames the key that a path ends with, in its quotes.
///
/// ```
/// use stainbook_document::edit::{applied, rename};
/// use stainbook_document::place::{FileId, Path};
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"'kettel': blue\nlid: glass\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let edits = rename(&document, &Path::root().key("kettel"), "kettle").unwrap();
/// assert_eq!(applied(&document, &edits), "'kettle': blue\nlid: glass\n");
/// assert!(rename(&document, &Path::root().key("kettel"), "lid").is_err());
/// ```
///
/// # Errors
///
/// [`EditRefusal`], for example if the new key is there already, or the path ends with no key.
pub fn rename(document: &Document, path: &Path, name: &str) -> Edits {
    let place = Route::of(document, path)?;
    let (Some(key), Some(holder)) = (place.key, place.holder) else {
        return Err(EditRefusal::NoHolder(path.clone()));
    };
    if key.text() == Some(name) {
        return Ok(Vec::new());
    }
    let Some(edit) = key_renamed(holder, key, name) else {
        let parent = path.parent().unwrap_or_default();
        return Err(EditRefusal::Present(parent.key(name.to_owned())));
    };
    let expected = changed(document, path, &Change::Rename(name));
    checked(document, path, vec![edit], expected.as_ref())
}

/// The edit that gives a key of a mapping another name; nothing if the mapping has that name already, or is a table's.
///
/// Findings come by the thousand, so that what comes of this one is not read: it changes one key's bytes and nothing else.
pub(crate) fn key_renamed(mapping: Node<'_>, key: Node<'_>, name: &str) -> Option<Edit> {
    let document = key.document();
    if document.of_cells || mapping.get(name).is_some() {
        return None;
    }
    let text = Habits::usual(document).key_in_place_of(key, name);
    Some(replacement(document, key.range(), text))
}

/// The edit that makes a scalar this one, in its quotes; what comes of it is not read, for the same reason. Nothing for a
/// value that is absent, or a block, whose bytes are not all of it.
pub(crate) fn scalar_set(scalar: Node<'_>, value: &NewValue) -> Option<Edit> {
    let (document, range) = (scalar.document(), scalar.range());
    if document.of_cells || range.is_empty() || gaps::is_block(scalar) {
        return None;
    }
    let text = Habits::usual(document).scalar_in_place_of(scalar, None, value);
    Some(replacement(document, range, text))
}

/// The edit that makes a scalar what these characters mean bare.
pub(crate) fn scalar_like(scalar: Node<'_>, bare: &str) -> Option<Edit> {
    let value = match traps::plain(bare, &[]).0 {
        Class::Text => NewValue::text(bare),
        _ => NewValue::Bare(bare.to_owned()),
    };
    scalar_set(scalar, &value)
}

/// The text of a document with edits made, which must not overlap.
///
/// ```
/// use stainbook_document::edit::applied;
/// use stainbook_document::finding::Edit;
/// use stainbook_document::place::{FileId, Place};
/// use stainbook_document::{Document, ReadOptions};
///
/// let (document, _) = Document::read(FileId(0), "a", b"kettle: blue\n", &ReadOptions::DEFAULT);
/// let edit = Edit { place: Place::bytes(FileId(0), 8..12), replacement: "red".into() };
/// assert_eq!(applied(&document, &[edit]), "kettle: red\n");
/// ```
#[must_use]
pub fn applied(document: &Document, edits: &[Edit]) -> String {
    let mut ranges: Vec<(Range<usize>, &str)> = edits
        .iter()
        .map(|edit| (document.locate(&edit.place), edit.replacement.as_str()))
        .collect();
    // Sorted so that edits at one byte keep their order.
    ranges.sort_by_key(|(range, _)| (range.start, range.end));
    let text = document.text();
    let mut out = String::with_capacity(text.len() + 64);
    let mut from = 0;
    for (range, replacement) in ranges {
        out.push_str(text.get(from..range.start).unwrap_or_default());
        out.push_str(replacement);
        from = range.end.max(from);
    }
    out.push_str(text.get(from..).unwrap_or_default());
    out
}

/// An entry that is to be inserted.
struct NewEntry<'v> {
    key: Option<&'v str>,
    value: &'v NewValue,
}

/// The way from the root to a value.
struct Route<'d> {
    document: &'d Document,
    path: Path,
    /// The list or mapping that holds it.
    holder: Option<Node<'d>>,
    key: Option<Node<'d>>,
    value: Node<'d>,
}

impl<'d> Route<'d> {
    /// Follows a path to its end, through nothing that could not be read or is written in an unusual way.
    fn of(document: &'d Document, path: &Path) -> Result<Self, EditRefusal> {
        if document.of_cells {
            return Err(EditRefusal::Table);
        }
        let unread = || EditRefusal::Unread(path.clone());
        let root = document.root().ok_or_else(|| {
            if document.is_broken() {
                unread()
            } else {
                EditRefusal::Absent(path.clone())
            }
        })?;
        let mut route = Self {
            document,
            path: Path::root(),
            holder: None,
            key: None,
            value: root,
        };
        for step in path.steps() {
            let holder = route.value;
            route.path.push(step.clone());
            let name = step_name(step);
            let next = match step {
                PathStep::Index(index) if holder.is_list() => {
                    holder.item(*index).map(|item| (None, item))
                }
                _ if holder.is_mapping() => {
                    let found = holder.entry(&name);
                    found.map(|(key, value)| (Some(key), value))
                }
                _ => None,
            };
            let Some((key, value)) = next else {
                let unread_here = document.is_broken() && route.holder.is_none();
                return Err(if unread_here || is_incomplete(holder) {
                    unread()
                } else {
                    EditRefusal::Absent(route.path)
                });
            };
            let again = pairs(document, holder)
                .any(|(other, _)| other.is_repeated() && other.text() == Some(name.as_str()));
            if holder.is_mapping() && again {
                return Err(EditRefusal::Repeated(route.path));
            }
            (route.holder, route.key, route.value) = (Some(holder), key, value);
            if is_incomplete(value) {
                return Err(unread());
            }
            if let Some(key) = key
                && !is_usual(document, holder, key, value)
            {
                return Err(EditRefusal::Unusual(route.path));
            }
        }
        Ok(route)
    }

    fn is_root(&self) -> bool {
        self.holder.is_none()
    }

    fn unusual(&self) -> EditRefusal {
        EditRefusal::Unusual(self.path.clone())
    }

    fn edit(&self, range: Range<usize>, text: impl Into<String>) -> Edit {
        replacement(self.document, range, text)
    }
}

/// Text of a step, where it is the key of a mapping.
fn step_name(step: &PathStep) -> String {
    match step {
        PathStep::Key(key) => key.to_string(),
        PathStep::Index(index) => index.to_string(),
    }
}

fn is_incomplete(node: Node<'_>) -> bool {
    node.document().tree().has(node.id(), INCOMPLETE)
}

/// True of `key: value` without a tag, an anchor or a `?`.
fn is_usual(document: &Document, holder: Node<'_>, key: Node<'_>, value: Node<'_>) -> bool {
    let text = document.text();
    let key_end = key.range().end;
    let colon = gaps::colon_after(text, key);
    let after = match colon {
        Some(colon) => colon + 1,
        None if holder.is_in_brackets() => key_end,
        None => return false,
    };
    let start = gaps::line_start(text, key.range().start);
    let before = text.get(start..key.range().start).unwrap_or_default();
    let asked = before.trim_end().ends_with('?');
    let anchored = before
        .trim_start_matches([' ', '-'])
        .starts_with(['&', '!']);
    let value_start = gaps::start_of(text, after, value);
    let gap = value_start <= after || gaps::is_gap(text, &(after..value_start));
    !asked && !anchored && gap && key.text().is_some()
}

fn bare(value: &NewValue) -> Result<(), EditRefusal> {
    match value.not_bare() {
        Some(text) => Err(EditRefusal::NotBare(text.to_owned())),
        None => Ok(()),
    }
}

fn replacement(document: &Document, range: Range<usize>, text: impl Into<String>) -> Edit {
    Edit {
        place: Place::bytes(document.file(), range),
        replacement: text.into(),
    }
}

/// For a text that was within its limits when it was read first: an edit may not be refused for a limit either.
const WITHOUT_LIMITS: ReadOptions = ReadOptions {
    bytes: usize::MAX / 2,
    depth: 64,
    nodes: usize::MAX / 2,
    syntax_errors: usize::MAX / 2,
    units: &[],
    nothing: None,
};

/// A change of what a document says.
enum Change<'v> {
    Set(&'v NewValue),
    Insert(usize, &'v NewValue),
    Remove,
    Rename(&'v str),
}

/// The whole of a document after a change; nothing if the change fits nowhere.
fn changed(document: &Document, path: &Path, change: &Change<'_>) -> Option<NewValue> {
    let mut whole = document.root().map(NewValue::of)?;
    let Some((last, before)) = path.steps().split_last() else {
        return match change {
            Change::Set(value) => Some(value.normal()),
            _ => None,
        };
    };
    let mut at = &mut whole;
    for step in before {
        at = child(at, step)?;
    }
    match (change, &mut *at) {
        (Change::Set(value), _) => *child(at, last)? = value.normal(),
        (Change::Insert(index, value), NewValue::List(items)) if *index <= items.len() => {
            items.insert(*index, value.normal());
        }
        (Change::Insert(index, value), NewValue::Mapping(fields)) if *index <= fields.len() => {
            fields.insert(*index, (step_name(last), value.normal()));
        }
        (Change::Remove, NewValue::List(items)) => match last {
            PathStep::Index(index) if *index < items.len() => {
                items.remove(*index);
            }
            _ => return None,
        },
        (Change::Remove, NewValue::Mapping(fields)) => {
            let name = step_name(last);
            let index = fields.iter().position(|(key, _)| *key == name)?;
            fields.remove(index);
        }
        (Change::Rename(new), NewValue::Mapping(fields)) => {
            let name = step_name(last);
            let field = fields.iter_mut().find(|(key, _)| *key == name)?;
            (*new).clone_into(&mut field.0);
        }
        _ => return None,
    }
    Some(whole)
}

fn child<'v>(value: &'v mut NewValue, step: &PathStep) -> Option<&'v mut NewValue> {
    match (value, step) {
        (NewValue::List(items), PathStep::Index(index)) => items.get_mut(*index),
        (NewValue::Mapping(fields), step) => {
            let name = step_name(step);
            let field = fields.iter_mut().find(|(key, _)| *key == name)?;
            Some(&mut field.1)
        }
        _ => None,
    }
}

/// The edits, if the text then says what is expected and nothing else.
fn checked(
    document: &Document,
    path: &Path,
    edits: Vec<Edit>,
    expected: Option<&NewValue>,
) -> Edits {
    let text = applied(document, &edits);
    let (again, _) = Document::read(document.file(), "", text.as_bytes(), &WITHOUT_LIMITS);
    let says = again.root().map(NewValue::of);
    if says.is_some() && says.as_ref() == expected && again.is_broken() == document.is_broken() {
        Ok(edits)
    } else {
        Err(EditRefusal::OtherMeaning(path.clone()))
    }
}

#[cfg(test)]
mod tests;
