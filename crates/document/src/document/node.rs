//! A handle on one node of a document.

use std::ops::Range;

use super::tree::{Children, Class, FLOW, INCOMPLETE, NodeId, NodeKind, REPEATED};
use super::{Document, slice_text};

/// One node of a document, with what is under it.
#[derive(Clone, Copy, Debug)]
pub struct Node<'a> {
    document: &'a Document,
    id: NodeId,
}

impl<'a> Node<'a> {
    pub(crate) fn new(document: &'a Document, id: NodeId) -> Self {
        Self { document, id }
    }

    /// The document it belongs to.
    pub fn document(self) -> &'a Document {
        self.document
    }

    /// Its number in the document.
    pub fn id(self) -> NodeId {
        self.id
    }

    /// Scalar, list or mapping.
    pub fn kind(self) -> NodeKind {
        self.document.tree().kind(self.id)
    }

    /// Class of a scalar; quoted scalars are text.
    pub fn class(self) -> Class {
        self.document.tree().class(self.id)
    }

    /// Its bytes in the document, quotes or brackets included.
    pub fn range(self) -> Range<usize> {
        self.document.tree().range(self.id)
    }

    /// The text of a scalar, without quotes and with escapes resolved; whatever it means, exactly
    /// as written.
    pub fn text(self) -> Option<&'a str> {
        if !matches!(self.kind(), NodeKind::Scalar(_)) {
            return None;
        }
        Some(match self.document.tree().own_text(self.id) {
            Some(text) => text,
            None => slice_text(&self.document.text, self.document.tree(), self.id),
        })
    }

    /// The number that a bare scalar means.
    pub fn number(self) -> Option<f64> {
        let text = self.text()?;
        match self.class() {
            Class::Integer if text.starts_with("0x") || text.starts_with("0o") => {
                self.integer()?.to_string().parse().ok()
            }
            Class::Integer => text.parse().ok(),
            Class::Float => float(text),
            _ => None,
        }
    }

    /// The whole number that a bare scalar means, if it fits.
    pub fn integer(self) -> Option<i64> {
        if self.class() != Class::Integer {
            return None;
        }
        let text = self.text()?;
        match text.get(..2) {
            Some("0x") => i64::from_str_radix(text.get(2..)?, 16).ok(),
            Some("0o") => i64::from_str_radix(text.get(2..)?, 8).ok(),
            _ => text.parse().ok(),
        }
    }

    /// The truth value that a bare scalar means.
    pub fn boolean(self) -> Option<bool> {
        if self.class() != Class::Bool {
            return None;
        }
        self.text().map(|text| text.starts_with(['t', 'T']))
    }

    /// True if it is empty, `~` or `null`.
    pub fn is_null(self) -> bool {
        self.class() == Class::Null
    }

    /// True if it is a list.
    pub fn is_list(self) -> bool {
        self.kind() == NodeKind::Sequence
    }

    /// True if it is a mapping of fields to values.
    pub fn is_mapping(self) -> bool {
        self.kind() == NodeKind::Mapping
    }

    /// True if it is a list or mapping in brackets.
    pub(crate) fn is_in_brackets(self) -> bool {
        self.document.tree().has(self.id, FLOW)
    }

    /// The id after this node and everything under it.
    pub(crate) fn after(self) -> NodeId {
        self.document.tree().after(self.id)
    }

    /// True if the text could not be read to this node's end.
    pub fn is_incomplete(self) -> bool {
        self.document.tree().has(self.id, INCOMPLETE)
    }

    /// True if it is a key that was given before in the same mapping.
    pub fn is_repeated(self) -> bool {
        self.document.tree().has(self.id, REPEATED)
    }

    /// Number of entries of a list or mapping, repeated keys included.
    pub fn len(self) -> usize {
        self.document.tree().count(self.id)
    }

    /// True if a list or mapping has no entries; true of every scalar.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// The value under a key of a mapping; the first if the key is repeated.
    #[must_use]
    pub fn get(self, key: &str) -> Option<Self> {
        self.entry(key).map(|(_, value)| value)
    }

    /// Key and value of an entry of a mapping.
    pub fn entry(self, key: &str) -> Option<(Self, Self)> {
        if let (NodeKind::Mapping, Some(wide)) = (self.kind(), self.document.wide(self.id)) {
            let (key, value) = wide.entry(self.document, key)?;
            return Some((
                Self::new(self.document, key),
                Self::new(self.document, value),
            ));
        }
        self.entries().find(|(node, _)| node.text() == Some(key))
    }

    /// The entry of a list with this index.
    #[must_use]
    pub fn item(self, index: usize) -> Option<Self> {
        match (self.kind(), self.document.wide(self.id)) {
            (NodeKind::Sequence, Some(wide)) => Some(Self::new(self.document, wide.child(index)?)),
            _ => self.items().nth(index),
        }
    }

    /// Keys and values of a mapping in the order of the text, repeated keys left out; nothing for
    /// other nodes.
    pub fn entries(self) -> Entries<'a> {
        let children = match self.kind() {
            NodeKind::Mapping => Some(self.document.tree().children(self.id)),
            _ => None,
        };
        Entries {
            document: self.document,
            children,
        }
    }

    /// The entries of a list in the order of the text; nothing for other nodes.
    pub fn items(self) -> Items<'a> {
        let children = match self.kind() {
            NodeKind::Sequence => Some(self.document.tree().children(self.id)),
            _ => None,
        };
        Items {
            document: self.document,
            children,
        }
    }
}

/// Reads a float of YAML's core schema.
fn float(text: &str) -> Option<f64> {
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let negative = text.starts_with('-');
    if unsigned.eq_ignore_ascii_case(".inf") {
        return Some(if negative {
            f64::NEG_INFINITY
        } else {
            f64::INFINITY
        });
    }
    if unsigned.eq_ignore_ascii_case(".nan") {
        return Some(f64::NAN);
    }
    text.parse().ok()
}

/// Keys and values of a mapping.
#[derive(Clone, Debug)]
pub struct Entries<'a> {
    document: &'a Document,
    children: Option<Children<'a>>,
}

impl<'a> Iterator for Entries<'a> {
    type Item = (Node<'a>, Node<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        let children = self.children.as_mut()?;
        loop {
            let key = Node::new(self.document, children.next()?);
            let value = Node::new(self.document, children.next()?);
            if !key.is_repeated() {
                return Some((key, value));
            }
        }
    }
}

/// Entries of a list.
#[derive(Clone, Debug)]
pub struct Items<'a> {
    document: &'a Document,
    children: Option<Children<'a>>,
}

impl<'a> Iterator for Items<'a> {
    type Item = Node<'a>;

    fn next(&mut self) -> Option<Self::Item> {
        let id = self.children.as_mut()?.next()?;
        Some(Node::new(self.document, id))
    }
}
