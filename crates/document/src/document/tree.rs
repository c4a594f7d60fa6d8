//! The tree of a document: one row of 16 bytes for each node, in the order of the text.
//!
//! A node's first child is the next row; a list or mapping knows the row after its last
//! descendant. In a mapping keys and values take turns. There are no pointers and no strings but
//! those that differ from the text (escapes, folded lines), so the tree costs about two bytes for
//! each byte of a file.

use std::ops::Range;

/// A node of one document's tree; ids count in the order of the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub(crate) u32);

impl NodeId {
    /// The node of this number, counted from 0; [`Document::node`](super::Document::node) says whether there is one.
    pub fn of_row(row: usize) -> Self {
        Self(u32::try_from(row).unwrap_or(u32::MAX))
    }

    pub(crate) fn number(self) -> u32 {
        self.0
    }

    pub(crate) fn row(self) -> usize {
        self.0 as usize
    }
}

/// Style of a scalar: bare, in quotes, or in a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Style {
    /// Bare text.
    Plain,
    /// In `'single'` quotes.
    Single,
    /// In `"double"` quotes.
    Double,
    /// A block after `|`.
    Literal,
    /// A block after `>`.
    Folded,
}

/// Kinds of node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NodeKind {
    /// Text, a number, a truth value, or nothing.
    Scalar(Style),
    /// A list.
    Sequence,
    /// Fields with values.
    Mapping,
}

/// Class of a bare scalar by the core schema of YAML 1.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Class {
    /// Text.
    Text,
    /// Nothing: an empty value, `~` or `null`.
    Null,
    /// `true` or `false`.
    Bool,
    /// A whole number.
    Integer,
    /// A number with a decimal point or an exponent.
    Float,
}

const KIND_BITS: u32 = 0b1111;
const CLASS_SHIFT: u32 = 4;
const CLASS_BITS: u32 = 0b111;
pub(crate) const FLOW: u32 = 1 << 7;
/// The text ended, or could not be read on, inside this node.
pub(crate) const INCOMPLETE: u32 = 1 << 8;
/// A key that was given before in the same mapping.
pub(crate) const REPEATED: u32 = 1 << 9;
const COUNT_SHIFT: u32 = 10;

/// The most children one node can count; more nodes than this are refused anyway.
pub(crate) const MOST_CHILDREN: u32 = u32::MAX >> COUNT_SHIFT;

/// No text of its own: the scalar is a slice of the document.
const NO_TEXT: u32 = u32::MAX;

#[derive(Clone, Copy, Debug)]
struct NodeRow {
    start: u32,
    end: u32,
    /// Of a list or mapping the row after it; of a scalar the index of its own text.
    link: u32,
    bits: u32,
}

/// All nodes of a document.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tree {
    rows: Vec<NodeRow>,
    texts: Vec<Box<str>>,
}

impl Tree {
    pub(crate) fn with_capacity(rows: usize) -> Self {
        Self {
            rows: Vec::with_capacity(rows),
            texts: Vec::new(),
        }
    }

    pub(crate) fn len(&self) -> usize {
        self.rows.len()
    }

    pub(crate) fn shrink(&mut self) {
        if self.rows.capacity() > self.rows.len() + self.rows.len() / 4 {
            self.rows.shrink_to_fit();
        }
    }

    /// Bytes that the tree takes beside the text.
    pub(crate) fn memory(&self) -> usize {
        self.rows.capacity() * size_of::<NodeRow>()
            + self.texts.capacity() * size_of::<Box<str>>()
            + self.texts.iter().map(|text| text.len()).sum::<usize>()
    }

    fn next_id(&self) -> NodeId {
        NodeId(u32::try_from(self.rows.len()).unwrap_or(u32::MAX))
    }

    pub(crate) fn push_scalar(
        &mut self,
        style: Style,
        class: Class,
        range: Range<u32>,
        own_text: Option<Box<str>>,
    ) -> NodeId {
        let link = match own_text {
            None => NO_TEXT,
            Some(text) => {
                self.texts.push(text);
                u32::try_from(self.texts.len() - 1).unwrap_or(NO_TEXT)
            }
        };
        let kind = match style {
            Style::Plain => 0,
            Style::Single => 1,
            Style::Double => 2,
            Style::Literal => 3,
            Style::Folded => 4,
        };
        let class = match class {
            Class::Text => 0,
            Class::Null => 1,
            Class::Bool => 2,
            Class::Integer => 3,
            Class::Float => 4,
        };
        let id = self.next_id();
        let bits = kind | class << CLASS_SHIFT;
        self.rows.push(NodeRow {
            start: range.start,
            end: range.end,
            link,
            bits,
        });
        id
    }

    pub(crate) fn push_container(&mut self, kind: NodeKind, flow: u32, start: u32) -> NodeId {
        let id = self.next_id();
        let kind = if kind == NodeKind::Mapping { 6 } else { 5 };
        self.rows.push(NodeRow {
            start,
            end: start,
            link: id.0 + 1,
            bits: kind | flow,
        });
        id
    }

    /// Closes a list or mapping.
    pub(crate) fn close(&mut self, id: NodeId, end: u32, children: u32) {
        let next = self.next_id().0;
        // A key that is absent can be said to stand before its mapping.
        let first = self
            .rows
            .get(id.row() + 1)
            .map_or(u32::MAX, |row| row.start);
        if let Some(row) = self.rows.get_mut(id.row()) {
            row.start = row.start.min(first);
            row.end = end.max(row.start);
            row.link = next;
            row.bits |= children.min(MOST_CHILDREN) << COUNT_SHIFT;
        }
    }

    /// Forgets this node and everything after it.
    pub(crate) fn truncate(&mut self, id: NodeId) {
        self.rows.truncate(id.row());
    }

    pub(crate) fn set(&mut self, id: NodeId, flag: u32) {
        if let Some(row) = self.rows.get_mut(id.row()) {
            row.bits |= flag;
        }
    }

    pub(crate) fn has(&self, id: NodeId, flag: u32) -> bool {
        self.rows
            .get(id.row())
            .is_some_and(|row| row.bits & flag != 0)
    }

    pub(crate) fn kind(&self, id: NodeId) -> NodeKind {
        match self
            .rows
            .get(id.row())
            .map_or(0, |row| row.bits & KIND_BITS)
        {
            0 => NodeKind::Scalar(Style::Plain),
            1 => NodeKind::Scalar(Style::Single),
            2 => NodeKind::Scalar(Style::Double),
            3 => NodeKind::Scalar(Style::Literal),
            4 => NodeKind::Scalar(Style::Folded),
            5 => NodeKind::Sequence,
            _ => NodeKind::Mapping,
        }
    }

    pub(crate) fn class(&self, id: NodeId) -> Class {
        let bits = self.rows.get(id.row()).map_or(0, |row| row.bits);
        match (bits >> CLASS_SHIFT) & CLASS_BITS {
            1 => Class::Null,
            2 => Class::Bool,
            3 => Class::Integer,
            4 => Class::Float,
            _ => Class::Text,
        }
    }

    pub(crate) fn count(&self, id: NodeId) -> usize {
        self.rows
            .get(id.row())
            .map_or(0, |row| (row.bits >> COUNT_SHIFT) as usize)
    }

    pub(crate) fn range(&self, id: NodeId) -> Range<usize> {
        self.rows
            .get(id.row())
            .map_or(0..0, |row| row.start as usize..row.end as usize)
    }

    /// The row after this node and all that is in it.
    pub(crate) fn after(&self, id: NodeId) -> NodeId {
        match self.rows.get(id.row()) {
            Some(row) if row.bits & KIND_BITS >= 5 => NodeId(row.link),
            _ => NodeId(id.0.saturating_add(1)),
        }
    }

    /// The scalar's own text, if it is not simply a slice of the document.
    pub(crate) fn own_text(&self, id: NodeId) -> Option<&str> {
        let row = self.rows.get(id.row())?;
        if row.bits & KIND_BITS >= 5 || row.link == NO_TEXT {
            return None;
        }
        self.texts.get(row.link as usize).map(AsRef::as_ref)
    }

    pub(crate) fn children(&self, id: NodeId) -> Children<'_> {
        let (next, end) = match self.kind(id) {
            NodeKind::Scalar(_) => (0, 0),
            _ => (id.0 + 1, self.after(id).0),
        };
        Children {
            tree: self,
            next,
            end,
        }
    }
}

/// The nodes directly under a list or mapping; of a mapping keys and values in turn.
#[derive(Clone, Debug)]
pub(crate) struct Children<'a> {
    tree: &'a Tree,
    next: u32,
    end: u32,
}

impl Iterator for Children<'_> {
    type Item = NodeId;

    fn next(&mut self) -> Option<NodeId> {
        #[cfg(test)]
        super::wide_nodes::count_steps(1);
        if self.next >= self.end {
            return None;
        }
        let id = NodeId(self.next);
        self.next = self.tree.after(id).0.max(self.next + 1);
        Some(id)
    }
}
