//! Shape of a field: taken from the schema, so that there is no second list of fields to forget one in.

use std::sync::OnceLock;

use serde_json::Value;
use stainbook_catalog::EntryKind;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_core::Dimension;

/// A place in the schema of a kind of file; nothing where the schema knows no such field.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    schema: Option<(&'static Value, &'static Value)>,
}

/// Meaning of a single value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A number with a unit of this dimension.
    Quantity(Dimension),
    /// A lower and a higher end.
    Range(Dimension),
    /// A bare number.
    Number,
    /// Words, names, dates.
    Words,
}

/// The dimensions that fields are stated in.
const DIMENSIONS: [Dimension; 10] = [
    Dimension::Concentration,
    Dimension::VolumeFraction,
    Dimension::Temperature,
    Dimension::Humidity,
    Dimension::Pressure,
    Dimension::Ratio,
    Dimension::Volume,
    Dimension::Duration,
    Dimension::MolarMass,
    Dimension::Altitude,
];

impl Shape {
    /// The schema of a kind of file.
    pub(super) fn of(kind: EntryKind) -> Self {
        static SCHEMAS: [OnceLock<Value>; EntryKind::ALL.len()] =
            [const { OnceLock::new() }; EntryKind::ALL.len()];
        let root = EntryKind::ALL
            .iter()
            .position(|other| *other == kind)
            .and_then(|index| SCHEMAS.get(index))
            .map(|cell| cell.get_or_init(|| schema(kind, Draft::Draft2020)));
        Self {
            schema: root.map(|root| (root, root)),
        }
    }

    /// The field of a mapping.
    pub(super) fn field(self, key: &str) -> Self {
        self.step(|node| {
            let own = node.get("properties").and_then(|fields| fields.get(key));
            // A field that several methods of a correction have means the same in each.
            own.or_else(|| {
                let methods = node.get("oneOf")?.as_array()?;
                methods
                    .iter()
                    .find_map(|method| method.get("properties")?.get(key))
            })
        })
    }

    /// The entries of a list.
    pub(super) fn item(self) -> Self {
        self.step(|node| node.get("items"))
    }

    fn step(self, down: impl Fn(&'static Value) -> Option<&'static Value>) -> Self {
        let schema = self
            .resolved()
            .and_then(|(root, node)| Some((root, down(node)?)));
        Self { schema }
    }

    fn resolved(self) -> Option<(&'static Value, &'static Value)> {
        let (root, node) = self.schema?;
        let Some(reference) = node.get("$ref").and_then(Value::as_str) else {
            return Some((root, node));
        };
        Some((root, root.pointer(reference.strip_prefix('#')?)?))
    }

    /// Meaning of a single value here.
    pub(super) fn meaning(self) -> Meaning {
        let Some((_, node)) = self.resolved() else {
            return Meaning::Words;
        };
        if let Some(format) = node.get("format").and_then(Value::as_str) {
            let of = |name: &str| DIMENSIONS.into_iter().find(|d| d.name() == name);
            if let Some(dimension) = format.strip_prefix("range of ").and_then(of) {
                return Meaning::Range(dimension);
            }
            if let Some(dimension) = of(format) {
                return Meaning::Quantity(dimension);
            }
        }
        // A number's digits can also stand in quotation marks: `[number, string]`.
        let shape = node.get("type");
        match shape
            .and_then(|shape| shape.get(0))
            .or(shape)
            .and_then(Value::as_str)
        {
            Some("number" | "integer") => Meaning::Number,
            _ => Meaning::Words,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every format of every schema is understood; a new dimension has to be added above.
    #[test]
    fn every_format_is_known() {
        fn formats(value: &Value, found: &mut Vec<String>) {
            match value {
                Value::Object(fields) => {
                    for (key, value) in fields {
                        match value.as_str() {
                            Some(text) if key == "format" => found.push(text.to_owned()),
                            _ => formats(value, found),
                        }
                    }
                }
                Value::Array(items) => items.iter().for_each(|item| formats(item, found)),
                _ => {}
            }
        }
        let mut found = Vec::new();
        for kind in EntryKind::ALL {
            formats(&schema(kind, Draft::Draft2020), &mut found);
        }
        assert!(!found.is_empty());
        for format in found {
            // A span that may be open is compared by its words.
            let name = format
                .strip_prefix("range of ")
                .or(format.strip_prefix("span of "))
                .unwrap_or(&format);
            // `uint32` and the like say how a whole number is kept, not what it means.
            if !name.starts_with("uint") {
                assert!(DIMENSIONS.iter().any(|d| d.name() == name), "{format}");
            }
        }
    }

    #[test]
    fn fields_are_found_through_references_and_methods() {
        let tube = Shape::of(EntryKind::Tube);
        let stroke = tube.field("draw").field("stroke").meaning();
        assert_eq!(stroke, Meaning::Quantity(Dimension::Volume));
        let usable = tube.field("before_use").field("usable").field("humidity");
        assert_eq!(usable.meaning(), Meaning::Range(Dimension::Humidity));
        let correction = tube.field("correct").field("temperature");
        assert_eq!(
            correction.field("rows").item().item().meaning(),
            Meaning::Number
        );
        let line = correction.field("lines").item();
        assert_eq!(
            line.field("reading").meaning(),
            Meaning::Quantity(Dimension::Concentration)
        );
        assert_eq!(tube.field("no such field").item().meaning(), Meaning::Words);
    }
}
