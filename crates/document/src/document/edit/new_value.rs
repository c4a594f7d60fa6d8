//! A value as it is to be, without its layout.

use crate::document::traps;
use crate::document::tree::{Class, NodeKind};
use crate::document::{Document, Node};

/// A value as it is to be written; layout and quotes are those of its neighbours.
///
/// ```
/// use stainbook_document::edit::NewValue;
///
/// let row = NewValue::Mapping(vec![
///     ("colour".into(), NewValue::text("NO")),
///     ("handles".into(), NewValue::Bare("2".into())),
/// ]);
/// assert_ne!(row, NewValue::text("2"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NewValue {
    /// Text, whatever it looks like; in quotes if it would otherwise be taken for something else.
    Text(String),
    /// A number, a truth value or nothing, with exactly these characters.
    Bare(String),
    /// A list.
    List(Vec<NewValue>),
    /// Fields with values, in this order.
    Mapping(Vec<(String, NewValue)>),
}

impl NewValue {
    /// Text, whatever it looks like.
    ///
    /// ```
    /// use stainbook_document::edit::NewValue;
    ///
    /// assert_eq!(NewValue::text("1.5 L"), NewValue::Text("1.5 L".into()));
    /// ```
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// The value of a node, with all that is under it; a repeated key comes as often as it stands there.
    ///
    /// ```
    /// use stainbook_document::edit::NewValue;
    /// use stainbook_document::place::FileId;
    /// use stainbook_document::{Document, ReadOptions};
    ///
    /// let (document, _) = Document::read(FileId(0), "a", b"holds: [1.50, 'x']\n", &ReadOptions::DEFAULT);
    /// let holds = document.root().and_then(|root| root.get("holds")).map(NewValue::of);
    /// let items = vec![NewValue::Bare("1.50".into()), NewValue::text("x")];
    /// assert_eq!(holds, Some(NewValue::List(items)));
    /// ```
    pub fn of(node: Node<'_>) -> Self {
        match node.kind() {
            NodeKind::Scalar(_) => {
                let text = node.text().unwrap_or_default().to_owned();
                match node.class() {
                    Class::Text => Self::Text(text),
                    Class::Null => Self::Bare(String::new()),
                    _ => Self::Bare(text),
                }
            }
            NodeKind::Sequence => Self::List(node.items().map(Self::of).collect()),
            NodeKind::Mapping => {
                let document = node.document();
                Self::Mapping(
                    pairs(document, node)
                        .map(|(key, value)| (key_text(document, key), Self::of(value)))
                        .collect(),
                )
            }
        }
    }

    /// The value with nothing, however it is written, as an absent one.
    pub(super) fn normal(&self) -> Self {
        match self {
            Self::Bare(_) if self.is_nothing() => Self::Bare(String::new()),
            Self::Text(_) | Self::Bare(_) => self.clone(),
            Self::List(items) => Self::List(items.iter().map(Self::normal).collect()),
            Self::Mapping(fields) => {
                let normal = |(key, value): &(String, Self)| (key.clone(), value.normal());
                Self::Mapping(fields.iter().map(normal).collect())
            }
        }
    }

    /// True of a bare scalar that means nothing.
    pub(super) fn is_nothing(&self) -> bool {
        matches!(self, Self::Bare(text) if traps::plain(text, &[]).0 == Class::Null)
    }

    /// True of text, numbers, truth values and nothing.
    pub(super) fn is_scalar(&self) -> bool {
        matches!(self, Self::Text(_) | Self::Bare(_))
    }

    /// True if a list or mapping, however deep, has an entry that is one and is not empty.
    pub(super) fn is_nested(&self) -> bool {
        match self {
            Self::Text(_) | Self::Bare(_) => false,
            Self::List(items) => items.iter().any(Self::is_filled),
            Self::Mapping(fields) => fields.iter().any(|(_, value)| value.is_filled()),
        }
    }

    /// True of a list or mapping that has entries.
    pub(super) fn is_filled(&self) -> bool {
        match self {
            Self::Text(_) | Self::Bare(_) => false,
            Self::List(items) => !items.is_empty(),
            Self::Mapping(fields) => !fields.is_empty(),
        }
    }

    pub(super) fn is_same_kind(&self, node: Node<'_>) -> bool {
        match self {
            Self::Text(_) | Self::Bare(_) => matches!(node.kind(), NodeKind::Scalar(_)),
            Self::List(_) => node.is_list(),
            Self::Mapping(_) => node.is_mapping(),
        }
    }

    /// The first text that is said to stand bare and would be text there.
    pub(super) fn not_bare(&self) -> Option<&str> {
        match self {
            Self::Text(_) => None,
            Self::Bare(text) => (traps::plain(text, &[]).0 == Class::Text).then_some(text),
            Self::List(items) => items.iter().find_map(Self::not_bare),
            Self::Mapping(fields) => fields.iter().find_map(|(_, value)| value.not_bare()),
        }
    }
}

/// Keys and values of a mapping, repeated keys included.
pub(super) fn pairs<'d>(
    document: &'d Document,
    mapping: Node<'d>,
) -> impl Iterator<Item = (Node<'d>, Node<'d>)> + 'd {
    let mut children = document.tree().children(mapping.id());
    std::iter::from_fn(move || {
        let key = children.next()?;
        let value = children.next()?;
        Some((Node::new(document, key), Node::new(document, value)))
    })
}

/// Text of a key; of one that is no scalar, its bytes.
fn key_text(document: &Document, key: Node<'_>) -> String {
    let bytes = || document.text().get(key.range()).unwrap_or_default();
    key.text().map_or_else(|| bytes().to_owned(), str::to_owned)
}
