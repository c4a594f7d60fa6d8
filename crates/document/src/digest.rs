//! A fingerprint of facts that does not change with layout.

use hmac_sha256::Hash;
use serde::Serialize;
use serde_json::Value;

/// The canonical form of facts: keys in alphabetical order, nothing that is absent, no spaces.
///
/// # Errors
///
/// If the facts cannot be written as JSON, which the written forms always can.
pub fn canonical_json(facts: &impl Serialize) -> serde_json::Result<String> {
    serde_json::to_string(&pruned(serde_json::to_value(facts)?))
}

/// The SHA-256 of the canonical form, in hexadecimal.
///
/// # Errors
///
/// As [`canonical_json`].
pub fn sha256(facts: &impl Serialize) -> serde_json::Result<String> {
    let digest = Hash::hash(canonical_json(facts)?.as_bytes());
    let mut text = String::with_capacity(64);
    for byte in digest {
        for half in [byte >> 4, byte & 0xf] {
            text.extend(char::from_digit(u32::from(half), 16));
        }
    }
    Ok(text)
}

/// Without nulls, empty lists and empty mappings; keys sorted.
fn pruned(value: Value) -> Value {
    match value {
        Value::Object(map) => {
            let mut fields: Vec<(String, Value)> = map
                .into_iter()
                .map(|(key, value)| (key, pruned(value)))
                .filter(|(_, value)| !is_absent(value))
                .collect();
            fields.sort_by(|a, b| a.0.cmp(&b.0));
            Value::Object(fields.into_iter().collect())
        }
        // An absent item keeps its place: the position in a row means something.
        Value::Array(items) => Value::Array(items.into_iter().map(pruned).collect()),
        other => other,
    }
}

fn is_absent(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(items) => items.is_empty(),
        Value::Object(map) => map.is_empty(),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digest_of_nothing() {
        // As `printf '{}' | sha256sum` of the GNU core utilities has it.
        let of_nothing = sha256(&serde_json::json!({"absent": null})).unwrap();
        assert_eq!(
            of_nothing,
            "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
        );
    }

    #[test]
    fn order_of_keys_and_absent_fields_do_not_count() {
        let a = serde_json::json!({"b": [1, 2], "a": null, "c": {}});
        let b = serde_json::json!({"c": {"x": null}, "b": [1, 2]});
        assert_eq!(canonical_json(&a).unwrap(), "{\"b\":[1,2]}");
        assert_eq!(sha256(&a).unwrap(), sha256(&b).unwrap());
    }
}
