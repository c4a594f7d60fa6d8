//! Every field of every schema tells a hygienist what it is for and shows an example that the schema itself accepts.

#![cfg(test)]

use serde_json::{Map, Value, json};
use stainbook_catalog::EntryKind;
use stainbook_catalog::schema::{Draft, schema};

/// Calls `see` for each property below a schema, with its path.
fn properties(at: &str, value: &Value, see: &mut dyn FnMut(&str, &Value)) {
    match value {
        Value::Object(object) => {
            for (key, child) in object {
                if key == "examples" {
                    continue;
                }
                if let (true, Value::Object(fields)) = (key == "properties", child) {
                    for (name, field) in fields {
                        see(&format!("{at}/{name}"), field);
                    }
                }
                properties(&format!("{at}/{key}"), child, see);
            }
        }
        Value::Array(items) => {
            for (index, child) in items.iter().enumerate() {
                properties(&format!("{at}/{index}"), child, see);
            }
        }
        _ => {}
    }
}

#[test]
fn every_field_is_described_and_has_an_example() {
    for kind in EntryKind::ALL {
        let whole = schema(kind, Draft::Draft2020);
        let mut seen = 0;
        properties(kind.name(), &whole, &mut |at, field| {
            seen += 1;
            let words = field["description"].as_str().unwrap_or_default();
            assert!(
                words.len() > 8 && words.ends_with(['.', '?']),
                "{at}: description `{words}`"
            );
            assert!(
                field["examples"]
                    .as_array()
                    .is_some_and(|examples| !examples.is_empty()),
                "{at}: no example"
            );
        });
        assert!(seen > 4, "{}", kind.name());
    }
}

#[test]
fn every_example_is_valid() {
    for kind in EntryKind::ALL {
        let whole = schema(kind, Draft::Draft2020);
        let definitions = whole["$defs"].as_object().cloned().unwrap_or_else(Map::new);
        properties(kind.name(), &whole, &mut |at, field| {
            let mut field = field.clone();
            field["$defs"] = Value::Object(definitions.clone());
            field["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
            let validator = jsonschema::options().build(&field).unwrap();
            for example in field["examples"].as_array().unwrap() {
                let said: Vec<String> = validator
                    .iter_errors(example)
                    .map(|error| error.to_string())
                    .collect();
                assert!(said.is_empty(), "{at}: {example}: {said:?}");
            }
        });
    }
}

/// The two drafts differ in their vocabulary only: the same fields are there, and the same are required.
#[test]
fn both_drafts_say_the_same() {
    for kind in EntryKind::ALL {
        let names = |draft| {
            let mut all = Vec::new();
            properties("", &schema(kind, draft), &mut |at, _| {
                all.push(at.replace("/definitions/", "/$defs/"));
            });
            all.sort();
            all
        };
        assert_eq!(
            names(Draft::Draft2020),
            names(Draft::Draft07),
            "{}",
            kind.name()
        );
    }
}

#[test]
fn every_schema_has_a_name_of_its_own() {
    let mut names: Vec<String> = EntryKind::ALL
        .into_iter()
        .flat_map(|kind| Draft::ALL.map(|draft| schema(kind, draft)))
        .map(|schema| schema["$id"].as_str().unwrap_or_default().to_owned())
        .collect();
    let all = names.len();
    assert!(names.iter().all(|name| name.starts_with("urn:stainbook:")));
    names.sort();
    names.dedup();
    assert_eq!(names.len(), all);
}
