//! Schema shapes that differ by a `method` field.

use schemars::Schema;
use serde_json::{Map, Value, json};

/// One method: its name, what it means, the fields it needs and the fields it may have.
pub(crate) type MethodShape<'a> = (&'a str, &'a str, &'a [&'a str], &'a [&'a str]);

/// Cuts the schema of all fields into one object schema per method, so that only the fields of that method are allowed.
pub(crate) fn by_method(all: &Schema, description: &str, methods: &[MethodShape<'_>]) -> Schema {
    let fields = all
        .as_value()
        .get("properties")
        .and_then(Value::as_object)
        .cloned()
        .unwrap_or_default();
    let branches: Vec<Value> = methods
        .iter()
        .map(|(method, meaning, needs, may_have)| {
            // In the order of the struct, which is the one that people write them in.
            let mut properties = Map::new();
            for (name, field) in &fields {
                if name == "method" {
                    properties.insert(
                        name.clone(),
                        json!({"const": method, "description": "How the leaflet states it.", "examples": [method]}),
                    );
                } else if needs.iter().chain(*may_have).any(|own| own == name) {
                    properties.insert(name.clone(), field.clone());
                }
            }
            let required: Vec<&str> = std::iter::once("method").chain(needs.iter().copied()).collect();
            json!({
                "description": meaning,
                "type": "object",
                "properties": properties,
                "required": required,
                "additionalProperties": false,
            })
        })
        .collect();
    let mut schema = Map::new();
    schema.insert("description".to_owned(), json!(description));
    schema.insert("type".to_owned(), json!("object"));
    schema.insert("oneOf".to_owned(), Value::Array(branches));
    Schema::from(schema)
}
