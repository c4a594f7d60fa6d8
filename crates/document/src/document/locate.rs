//! The one place that turns paths into bytes, bytes into lines and columns, and bytes back into
//! paths.

use std::borrow::Cow;
use std::ops::Range;

use super::line_index::LineIndex;
use super::node::Node;
use super::tree::{NodeId, NodeKind};
use super::{Document, Style};
use crate::place::{EntryPart, Path, PathStep, Place, Spot};

/// A line and a column, both counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineColumn {
    /// The line.
    pub line: usize,
    /// The column in Unicode scalar values.
    pub column: usize,
}

/// The node that a path leads to.
struct LocatedNode<'a> {
    key: Option<Node<'a>>,
    value: Node<'a>,
}

impl Document {
    /// The node that a path leads to.
    pub fn find(&self, path: &Path) -> Option<Node<'_>> {
        self.follow(path)
            .filter(|(_, whole)| *whole)
            .map(|(found, _)| found.value)
    }

    /// Follows a path as far as it goes, and says whether that was to its end.
    fn follow(&self, path: &Path) -> Option<(LocatedNode<'_>, bool)> {
        let mut found = LocatedNode {
            key: None,
            value: self.root()?,
        };
        for step in path.steps() {
            let next = match (step, found.value.kind()) {
                (PathStep::Key(key), NodeKind::Mapping) => {
                    found.value.entry(key).map(|(key, value)| LocatedNode {
                        key: Some(key),
                        value,
                    })
                }
                (PathStep::Index(index), NodeKind::Mapping) => found
                    .value
                    .entry(&index.to_string())
                    .map(|(key, value)| LocatedNode {
                        key: Some(key),
                        value,
                    }),
                (PathStep::Index(index), NodeKind::Sequence) => found
                    .value
                    .item(*index)
                    .map(|value| LocatedNode { key: None, value }),
                _ => None,
            };
            match next {
                Some(next) => found = next,
                None => return Some((found, false)),
            }
        }
        Some((found, true))
    }

    /// The bytes of a place.
    ///
    /// Always within the text and on the boundaries of characters. A path that leads further than
    /// the document does gives the last node that is there, so that a finding about something
    /// absent stands where it belongs.
    ///
    /// A tree that was let go is made for this alone, as thousands of files may have a note each; for several places of one
    /// document ask [`with_tree`](Self::with_tree) first.
    pub fn locate(&self, place: &Place) -> Range<usize> {
        if matches!(place.spot, Spot::At { .. }) && !self.has_tree() {
            return self.with_tree().locate(place);
        }
        let range = match &place.spot {
            Spot::Bytes(range) => range.clone(),
            Spot::At { path, part, within } => match self.follow(path) {
                None => 0..0,
                Some((found, false)) => shown(found.key.unwrap_or(found.value)),
                Some((found, true)) => match (part, found.key, within) {
                    (EntryPart::Value, _, Some(within)) => inside(found.value, within),
                    (EntryPart::Key, Some(key), _) => key.range(),
                    (EntryPart::Entry, Some(key), _) => key.range().start..found.value.range().end,
                    _ => shown(found.value),
                },
            },
        };
        let start = self.boundary(range.start);
        start..self.boundary(range.end).max(start)
    }

    fn boundary(&self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// Line and column of a byte offset, both counted from 1, the column in Unicode scalar
    /// values. A byte order mark counts for nothing.
    pub fn line_column(&self, offset: usize) -> LineColumn {
        let offset = self.boundary(offset);
        let lines = self.lines.get_or_init(|| LineIndex::of(&self.text));
        let (line, start) = lines.line_at(offset);
        let marks = if line == 1 {
            self.text
                .get(..offset)
                .unwrap_or_default()
                .chars()
                .take_while(|c| *c == '\u{feff}')
                .count()
        } else {
            0
        };
        let characters = lines.characters(&self.text, offset) - lines.characters(&self.text, start);
        LineColumn {
            line,
            column: characters - marks + 1,
        }
    }

    /// The path to a node, and whether the node is a key.
    pub fn path_of(&self, id: NodeId) -> (Path, EntryPart) {
        let mut path = Path::root();
        let mut at = self.root();
        while let Some(node) = at {
            if node.id() == id {
                break;
            }
            let Some((position, child)) = self.child_holding(node.id(), id) else {
                break;
            };
            match node.kind() {
                NodeKind::Mapping => {
                    let is_key = position % 2 == 0;
                    let key = if is_key {
                        Some(child)
                    } else {
                        self.child(node.id(), position - 1)
                    };
                    let name = key.and_then(|key| Node::new(self, key).text());
                    let name = name.unwrap_or_default().to_owned();
                    path.push(PathStep::Key(Cow::Owned(name)));
                    if is_key {
                        return (path, EntryPart::Key);
                    }
                }
                _ => path.push(PathStep::Index(position)),
            }
            at = Some(Node::new(self, child));
        }
        (path, EntryPart::Value)
    }

    /// The child of a node that is another node or holds it, with its position; of a mapping keys and values count.
    fn child_holding(&self, parent: NodeId, id: NodeId) -> Option<(usize, NodeId)> {
        if let Some(wide) = self.wide(parent) {
            let position = wide.position_of(self, id)?;
            return Some((position, wide.child(position)?));
        }
        let mut children = self.tree().children(parent).enumerate();
        children.find(|(_, child)| id < self.tree().after(*child))
    }

    /// The child of a node with this position; of a mapping keys and values count.
    fn child(&self, parent: NodeId, position: usize) -> Option<NodeId> {
        match self.wide(parent) {
            Some(wide) => wide.child(position),
            None => self.tree().children(parent).nth(position),
        }
    }

    /// The value that stands before a key of a mapping, if one does, and the key's own.
    pub(crate) fn around_key(
        &self,
        mapping: NodeId,
        key: NodeId,
    ) -> Option<(Option<Node<'_>>, Node<'_>)> {
        let (position, _) = self.child_holding(mapping, key)?;
        let before = position.checked_sub(1);
        let before = before.and_then(|before| self.child(mapping, before));
        let value = self.child(mapping, position + 1)?;
        Some((before.map(|id| Node::new(self, id)), Node::new(self, value)))
    }

    /// The nodes from the root down to this one, itself included.
    pub fn ancestors(&self, id: NodeId) -> Vec<NodeId> {
        let mut found = Vec::new();
        let mut at = self.root().map(Node::id);
        while let Some(node) = at {
            found.push(node);
            if node == id {
                break;
            }
            at = self.child_holding(node, id).map(|(_, child)| child);
        }
        found
    }

    /// The place of a node: its path, or its bytes where a repeated key hides it.
    pub fn place_of(&self, id: NodeId) -> Place {
        let (path, part) = self.path_of(id);
        let place = Place::part(self.file, path, part);
        let reached = place
            .path()
            .and_then(|path| self.follow(path))
            .is_some_and(|(found, _)| {
                found.value.id() == id || found.key.is_some_and(|key| key.id() == id)
            });
        if reached {
            place
        } else {
            Place::bytes(self.file, self.tree().range(id))
        }
    }

    /// The innermost node that covers a byte offset.
    pub fn node_at(&self, offset: usize) -> Option<NodeId> {
        let mut at = self.root()?;
        loop {
            let child = match self.wide(at.id()) {
                Some(wide) => wide.child_at(self, offset),
                None => self.tree().children(at.id()).find(|child| {
                    let range = self.tree().range(*child);
                    range.start <= offset && offset <= range.end && !range.is_empty()
                }),
            };
            match child {
                Some(child) => at = Node::new(self, child),
                None => return Some(at.id()),
            }
        }
    }

    /// The path by which a place is printed: its own, or that of the node its bytes lie in.
    pub fn path_at(&self, place: &Place) -> Path {
        match &place.spot {
            Spot::At { path, .. } => path.clone(),
            Spot::Bytes(range) => self
                .node_at(range.start)
                .map(|id| self.path_of(id).0)
                .unwrap_or_default(),
        }
    }
}

/// The bytes to show for a node: all of a scalar, but only the first line of anything longer.
fn shown(node: Node<'_>) -> Range<usize> {
    let range = node.range();
    let text = node
        .document()
        .text()
        .get(range.clone())
        .unwrap_or_default();
    match text.find(['\n', '\r']) {
        Some(end) => range.start..range.start + end,
        None => range,
    }
}

/// Bytes of the document for bytes of a scalar's text; all of the scalar if its text is not a
/// slice of the document.
fn inside(node: Node<'_>, within: &Range<usize>) -> Range<usize> {
    let range = node.range();
    let skip = match node.kind() {
        NodeKind::Scalar(Style::Plain) => 0,
        NodeKind::Scalar(Style::Single | Style::Double) => 1,
        _ => return range,
    };
    let length = node.text().map_or(0, str::len);
    if node.document().tree().own_text(node.id()).is_some() || within.end > length {
        return range;
    }
    range.start + skip + within.start..range.start + skip + within.end
}
