//! A serde deserializer over the nodes of a document.

use serde::de::value::BorrowedStrDeserializer;
use serde::de::{
    self, DeserializeSeed, Deserializer, EnumAccess, IntoDeserializer, MapAccess, SeqAccess,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;

use super::error::TypedError;
use super::{Lists, NUMBER, Pass, QUANTITY, TAGGED};
use crate::document::{Class, Entries, Items, Node, NodeId, NodeKind};

/// Reads one node.
#[derive(Clone, Copy)]
pub(crate) struct Reader<'a, 'p> {
    node: Node<'a>,
    pass: &'p Pass<'a>,
}

impl<'a, 'p> Reader<'a, 'p> {
    pub(crate) fn new(node: Node<'a>, pass: &'p Pass<'a>) -> Self {
        Self { node, pass }
    }

    fn scalar<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, TypedError> {
        let text = self.node.text().unwrap_or_default();
        match self.node.class() {
            Class::Text => visitor.visit_borrowed_str(text),
            Class::Null => visitor.visit_unit(),
            Class::Bool => visitor.visit_bool(self.node.boolean().unwrap_or_default()),
            Class::Integer => match self.node.integer() {
                Some(number) => visitor.visit_i64(number),
                None => visitor.visit_f64(self.node.number().unwrap_or(f64::NAN)),
            },
            // What is no number that can be computed with is text to the schema, and so it is here.
            Class::Float => match self.node.number().filter(|number| number.is_finite()) {
                Some(number) => visitor.visit_f64(number),
                None => visitor.visit_borrowed_str(text),
            },
        }
    }

    fn any<V: Visitor<'a>>(self, visitor: V) -> Result<V::Value, TypedError> {
        match self.node.kind() {
            NodeKind::Scalar(_) => self.scalar(visitor),
            NodeKind::Sequence => visitor.visit_seq(ListAccess::new(self)),
            NodeKind::Mapping => visitor.visit_map(FieldsAccess::new(self, None)),
        }
    }

    fn at<T>(self, result: Result<T, TypedError>) -> Result<T, TypedError> {
        result.map_err(|error| error.at(self.node.id()))
    }
}

impl<'de> Deserializer<'de> for Reader<'de, '_> {
    type Error = TypedError;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TypedError> {
        self.at(self.any(visitor))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TypedError> {
        if self.node.is_null() {
            self.at(visitor.visit_none())
        } else {
            self.at(visitor.visit_some(self))
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, TypedError> {
        match (name, self.node.text()) {
            (QUANTITY | NUMBER, Some(text)) => self.at(visitor.visit_borrowed_str(text)),
            _ => self.at(visitor.visit_newtype_struct(self)),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TypedError> {
        match (self.node.kind(), fields.first()) {
            (NodeKind::Mapping, Some(first)) if name == TAGGED => {
                self.at(visitor.visit_map(FieldsAccess::new(self, Some(first))))
            }
            _ => self.at(self.any(visitor)),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TypedError> {
        match (self.node.text(), self.node.entries().next()) {
            (Some(text), _) if self.node.class() == Class::Text => {
                let name: BorrowedStrDeserializer<'de, TypedError> =
                    BorrowedStrDeserializer::new(text);
                self.at(visitor.visit_enum(name))
            }
            (None, Some((key, value))) if self.node.len() == 1 => {
                let value = Reader::new(value, self.pass);
                self.at(visitor.visit_enum(VariantAccessor { key, value }))
            }
            _ => self.at(self.any(visitor)),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, TypedError> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map identifier
    }
}

impl<'a> IntoDeserializer<'a, TypedError> for Reader<'a, '_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

/// The entries of a list.
struct ListAccess<'a, 'p> {
    id: NodeId,
    items: Items<'a>,
    next: usize,
    pass: &'p Pass<'a>,
}

impl<'a, 'p> ListAccess<'a, 'p> {
    fn new(reader: Reader<'a, 'p>) -> Self {
        let id = reader.node.id();
        let mut items = reader.node.items();
        let mut next = 0;
        if reader.pass.lists == Lists::Probed {
            next = reader
                .pass
                .known_good
                .borrow()
                .get(&id)
                .copied()
                .unwrap_or(0);
            if let Some(last) = next.checked_sub(1) {
                items.nth(last);
            }
        }
        Self {
            id,
            items,
            next,
            pass: reader.pass,
        }
    }
}

impl<'a> SeqAccess<'a> for ListAccess<'a, '_> {
    type Error = TypedError;

    fn next_element_seed<T: DeserializeSeed<'a>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, TypedError> {
        let node = loop {
            match self.items.next() {
                None => return Ok(None),
                Some(node) if self.pass.reported.contains(node.id()) => self.next += 1,
                Some(node) => break node,
            }
        };
        let value = seed.deserialize(Reader::new(node, self.pass));
        match value {
            Ok(value) => {
                self.next += 1;
                Ok(Some(value))
            }
            Err(error) => {
                self.pass.known_good.borrow_mut().insert(self.id, self.next);
                Err(error)
            }
        }
    }

    fn size_hint(&self) -> Option<usize> {
        self.pass
            .document
            .node(self.id)
            .map(|list| list.len().saturating_sub(self.next))
    }
}

/// The fields of a mapping.
struct FieldsAccess<'a, 'p> {
    entries: Entries<'a>,
    /// The entry that is given before the others, and its key.
    first: Option<(Node<'a>, Node<'a>)>,
    given: Option<NodeId>,
    value: Option<Node<'a>>,
    pass: &'p Pass<'a>,
}

impl<'a, 'p> FieldsAccess<'a, 'p> {
    fn new(reader: Reader<'a, 'p>, first: Option<&str>) -> Self {
        let first = first.and_then(|key| reader.node.entry(key));
        Self {
            entries: reader.node.entries(),
            first,
            given: None,
            value: None,
            pass: reader.pass,
        }
    }

    fn advance(&mut self) -> Option<(Node<'a>, Node<'a>)> {
        if let Some(first) = self.first.take() {
            self.given = Some(first.0.id());
            if !self.is_blamed(first) {
                return Some(first);
            }
        }
        loop {
            let entry = self.entries.next()?;
            if self.given != Some(entry.0.id()) && !self.is_blamed(entry) {
                return Some(entry);
            }
        }
    }

    fn is_blamed(&self, (key, value): (Node<'a>, Node<'a>)) -> bool {
        self.pass.reported.contains(key.id()) || self.pass.reported.contains(value.id())
    }
}

impl<'a> MapAccess<'a> for FieldsAccess<'a, '_> {
    type Error = TypedError;

    fn next_key_seed<K: DeserializeSeed<'a>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, TypedError> {
        let Some((key, value)) = self.advance() else {
            return Ok(None);
        };
        self.value = Some(value);
        let name: BorrowedStrDeserializer<'a, TypedError> =
            BorrowedStrDeserializer::new(key.text().unwrap_or_default());
        seed.deserialize(name)
            .map(Some)
            .map_err(|error| error.at(key.id()))
    }

    fn next_value_seed<V: DeserializeSeed<'a>>(&mut self, seed: V) -> Result<V::Value, TypedError> {
        match self.value.take() {
            Some(value) => seed.deserialize(Reader::new(value, self.pass)),
            None => Err(de::Error::custom("a value is asked for before its key")),
        }
    }
}

/// A mapping of one field, read as an alternative of that name.
struct VariantAccessor<'a, 'p> {
    key: Node<'a>,
    value: Reader<'a, 'p>,
}

impl<'a, 'p> EnumAccess<'a> for VariantAccessor<'a, 'p> {
    type Error = TypedError;
    type Variant = Reader<'a, 'p>;

    fn variant_seed<V: DeserializeSeed<'a>>(
        self,
        seed: V,
    ) -> Result<(V::Value, Reader<'a, 'p>), TypedError> {
        let name: BorrowedStrDeserializer<'a, TypedError> =
            BorrowedStrDeserializer::new(self.key.text().unwrap_or_default());
        let name = seed
            .deserialize(name)
            .map_err(|error| error.at(self.key.id()))?;
        Ok((name, self.value))
    }
}

impl<'a> VariantAccess<'a> for Reader<'a, '_> {
    type Error = TypedError;

    fn unit_variant(self) -> Result<(), TypedError> {
        Ok(())
    }

    fn newtype_variant_seed<T: DeserializeSeed<'a>>(self, seed: T) -> Result<T::Value, TypedError> {
        seed.deserialize(self)
    }

    fn tuple_variant<V: Visitor<'a>>(self, _: usize, visitor: V) -> Result<V::Value, TypedError> {
        self.deserialize_any(visitor)
    }

    fn struct_variant<V: Visitor<'a>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, TypedError> {
        self.deserialize_any(visitor)
    }
}
