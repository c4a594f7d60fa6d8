//! The document's tree as `jsonschema` sees it, so that nothing is converted and every error
//! leads back to a node.

use std::borrow::Cow;

use jsonschema::JsonType;
use jsonschema::json::{Array, Json, JsonNumber, NodeIdentity, Object};
use serde_json::{Map, Number, Value};

use crate::document::{Class, Entries, Items, Node, NodeKind};

/// Depth to which a value is copied for a comparison; documents are never deeper.
const COPY_DEPTH: usize = 64;

/// The representation.
pub(super) struct TreeRepresentation;

/// A node, or a key standing in for one.
#[derive(Clone, Copy)]
pub(super) enum Instance<'a> {
    Node(Node<'a>),
    Key(&'a str),
}

impl Json for TreeRepresentation {
    type Node<'a> = Instance<'a>;
    type PreparedKey = Box<str>;
    type StringBuffer = ();

    // A lookup walks the fields, so it costs about half of what walking them for all keys does.
    const KEYS_PER_LOOKUP: usize = 4;

    fn prepare_key(key: &str) -> Box<str> {
        key.into()
    }

    fn with_string_node<T>((): &mut (), string: &str, f: impl FnOnce(Instance<'_>) -> T) -> T {
        f(Instance::Key(string))
    }
}

impl<'a> jsonschema::json::Node<'a, TreeRepresentation> for Instance<'a> {
    type Object = ObjectNode<'a>;
    type Array = ArrayNode<'a>;
    type Number = NumberNode<'a>;

    fn as_object(&self) -> Option<ObjectNode<'a>> {
        match self {
            Self::Node(node) if node.is_mapping() => Some(ObjectNode(*node)),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<ArrayNode<'a>> {
        match self {
            Self::Node(node) if node.is_list() => Some(ArrayNode(*node)),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        match self {
            Self::Key(key) => Some(Cow::Borrowed(key)),
            Self::Node(node) if node.class() == Class::Text => node.text().map(Cow::Borrowed),
            Self::Node(_) => None,
        }
    }

    fn as_number(&self) -> Option<NumberNode<'a>> {
        match self {
            Self::Node(node) if is_number(*node) => Some(NumberNode(*node)),
            _ => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self {
            Self::Node(node) => node.boolean(),
            Self::Key(_) => None,
        }
    }

    fn is_null(&self) -> bool {
        matches!(self, Self::Node(node) if node.is_null())
    }

    fn json_type(&self) -> JsonType {
        let Self::Node(node) = self else {
            return JsonType::String;
        };
        match (node.kind(), node.class()) {
            (NodeKind::Mapping, _) => JsonType::Object,
            (NodeKind::Sequence, _) => JsonType::Array,
            (_, Class::Null) => JsonType::Null,
            (_, Class::Bool) => JsonType::Boolean,
            (_, Class::Integer | Class::Float) if is_number(*node) => JsonType::Number,
            _ => JsonType::String,
        }
    }

    fn equals_value(&self, expected: &Value) -> bool {
        match (expected, self.as_string()) {
            (Value::String(expected), Some(text)) => *expected == text,
            (Value::String(_), None) => false,
            _ => jsonschema::json::cmp::equal(&self.to_value(), expected),
        }
    }

    fn to_value(&self) -> Cow<'a, Value> {
        Cow::Owned(match self {
            Self::Key(key) => Value::String((*key).to_owned()),
            Self::Node(node) => value(*node, COPY_DEPTH),
        })
    }

    fn identity(&self) -> Option<NodeIdentity> {
        match self {
            Self::Key(key) => Some(NodeIdentity::new(key.as_ptr() as usize)),
            Self::Node(node) => {
                let address = std::ptr::from_ref(node.document()) as usize;
                Some(NodeIdentity::tagged(address, node.id().number()))
            }
        }
    }
}

/// `.nan` and `.inf` are no numbers to JSON, nor to whoever computes with them: they count as text.
fn is_number(node: Node<'_>) -> bool {
    match node.class() {
        Class::Integer => true,
        Class::Float => node.number().is_some_and(f64::is_finite),
        _ => false,
    }
}

fn value(node: Node<'_>, depth: usize) -> Value {
    let Some(deeper) = depth.checked_sub(1) else {
        return Value::Null;
    };
    match (node.kind(), node.class()) {
        (NodeKind::Mapping, _) => Value::Object(
            node.entries()
                .map(|(key, entry)| {
                    (
                        key.text().unwrap_or_default().to_owned(),
                        value(entry, deeper),
                    )
                })
                .collect::<Map<_, _>>(),
        ),
        (NodeKind::Sequence, _) => {
            Value::Array(node.items().map(|item| value(item, deeper)).collect())
        }
        (_, Class::Null) => Value::Null,
        (_, Class::Bool) => Value::Bool(node.boolean().unwrap_or_default()),
        (_, Class::Integer | Class::Float) if is_number(node) => Value::Number(number(node)),
        _ => Value::String(node.text().unwrap_or_default().to_owned()),
    }
}

fn number(node: Node<'_>) -> Number {
    match node.integer() {
        Some(whole) => Number::from(whole),
        None => node
            .number()
            .and_then(Number::from_f64)
            .unwrap_or_else(|| Number::from(0)),
    }
}

/// A scalar that is a number.
pub(super) struct NumberNode<'a>(Node<'a>);

impl JsonNumber for NumberNode<'_> {
    fn as_u64(&self) -> Option<u64> {
        self.0.integer().and_then(|whole| u64::try_from(whole).ok())
    }

    fn as_i64(&self) -> Option<i64> {
        self.0.integer()
    }

    fn as_f64(&self) -> Option<f64> {
        self.0.number()
    }

    fn as_str(&self) -> Cow<'_, str> {
        Cow::Borrowed(self.0.text().unwrap_or_default())
    }

    fn to_number(&self) -> Cow<'_, Number> {
        Cow::Owned(number(self.0))
    }
}

/// The fields of a mapping, repeated keys left out.
pub(super) struct ObjectNode<'a>(Node<'a>);

impl<'a> Object<'a, TreeRepresentation> for ObjectNode<'a> {
    type Node = Instance<'a>;
    type MemberName = &'a str;
    type MembersIter = Members<'a>;

    fn len(&self) -> usize {
        self.0.len()
    }

    fn get(&self, key: &Box<str>) -> Option<Instance<'a>> {
        self.0.get(key).map(Instance::Node)
    }

    fn members(&self) -> Members<'a> {
        Members(self.0.entries())
    }
}

/// Walks the fields of a mapping.
pub(super) struct Members<'a>(Entries<'a>);

impl<'a> Iterator for Members<'a> {
    type Item = (&'a str, Instance<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        let (key, value) = self.0.next()?;
        Some((key.text().unwrap_or_default(), Instance::Node(value)))
    }
}

/// The entries of a list.
pub(super) struct ArrayNode<'a>(Node<'a>);

impl<'a> Array<'a, TreeRepresentation> for ArrayNode<'a> {
    type Node = Instance<'a>;
    type ElementsIter = Elements<'a>;

    fn len(&self) -> usize {
        self.0.len()
    }

    fn elements(&self) -> Elements<'a> {
        Elements(self.0.items())
    }
}

/// Walks the entries of a list.
pub(super) struct Elements<'a>(Items<'a>);

impl<'a> Iterator for Elements<'a> {
    type Item = Instance<'a>;

    fn next(&mut self) -> Option<Instance<'a>> {
        self.0.next().map(Instance::Node)
    }
}
