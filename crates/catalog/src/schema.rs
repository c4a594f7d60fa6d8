//! The JSON Schemas of the files that a hygienist writes, made from the written form.

use std::collections::BTreeMap;

use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value, json};

use crate::kind::EntryKind;
use crate::written;

/// A draft of JSON Schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Draft {
    /// 2020-12, against which files are checked.
    Draft2020,
    /// Draft 7, which more editors understand.
    Draft07,
}

impl Draft {
    /// Both drafts.
    pub const ALL: [Self; 2] = [Self::Draft2020, Self::Draft07];

    /// The part of a schema's file name that tells the draft.
    pub fn suffix(self) -> &'static str {
        match self {
            Self::Draft2020 => "schema.json",
            Self::Draft07 => "draft-07.schema.json",
        }
    }
}

/// The schema of one kind of file.
///
/// # Example
///
/// ```
/// use stainbook_catalog::{EntryKind, schema};
/// let tube = schema::schema(EntryKind::Tube, schema::Draft::Draft2020);
/// assert!(tube["properties"]["draw"].is_object());
/// ```
pub fn schema(kind: EntryKind, draft: Draft) -> Value {
    match kind {
        EntryKind::Catalog => generate::<written::CatalogEntry>(kind, draft),
        EntryKind::Source => generate::<written::SourceEntry>(kind, draft),
        EntryKind::Substance => generate::<written::SubstanceEntry>(kind, draft),
        EntryKind::Group => generate::<written::GroupEntry>(kind, draft),
        EntryKind::PumpKind => generate::<written::PumpKindEntry>(kind, draft),
        EntryKind::Pump => generate::<written::PumpEntry>(kind, draft),
        EntryKind::Tube => generate::<written::TubeEntry>(kind, draft),
        EntryKind::StockBox => generate::<written::StockBoxEntry>(kind, draft),
        EntryKind::BoxList => generate::<written::BoxListEntry>(kind, draft),
        EntryKind::Plan => generate::<written::PlanEntry>(kind, draft),
        EntryKind::Survey => generate::<written::SurveyEntry>(kind, draft),
    }
}

/// The name by which a schema is known wherever it lies: `urn:stainbook:schema:tube:2020-12`.
pub fn id(name: &str, draft: Draft) -> String {
    let draft = match draft {
        Draft::Draft2020 => "2020-12",
        Draft::Draft07 => "draft-07",
    };
    format!("urn:stainbook:schema:{name}:{draft}")
}

/// The schema of a map that says which column of a laboratory's table goes where.
pub fn import_map(draft: Draft) -> Value {
    named::<written::ImportMap>(IMPORT_MAP, draft)
}

/// The name of such a map's schema, and the end of its file's name.
pub const IMPORT_MAP: &str = "import-map";

fn generate<T: JsonSchema>(kind: EntryKind, draft: Draft) -> Value {
    named::<T>(kind.name(), draft)
}

fn named<T: JsonSchema>(name: &str, draft: Draft) -> Value {
    let settings = match draft {
        Draft::Draft2020 => SchemaSettings::draft2020_12(),
        Draft::Draft07 => SchemaSettings::draft07(),
    };
    let mut schema = settings
        .with(|settings| settings.untagged_enum_variant_titles = false)
        .into_generator()
        .into_root_schema_for::<T>();
    RecursiveTransform(tidy).transform(&mut schema);
    schema.insert("title".to_owned(), Value::from(format!("stainbook {name}")));
    let mut schema = schema.to_value();
    if let Some(object) = schema.as_object_mut() {
        object.shift_insert(1, "$id".to_owned(), Value::from(id(name, draft)));
    }
    schema
}

/// Turns what the derives say into what a file must look like: fields marked `x-required` are required, nothing
/// may be null, no defaults, and a list of constants with descriptions becomes an enumeration.
fn tidy(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else {
        return;
    };
    object.remove("default");
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|t| t != "null");
        if let [only] = types.as_slice() {
            let only = only.clone();
            object.insert("type".to_owned(), only);
        }
    }
    if object.get("format").is_some_and(|f| f == "double") {
        object.remove("format");
    }
    unwrap_nullable(object);
    collect_constants(object);
    require_marked(object);
}

/// `anyOf: [X, null]` becomes X, with the field's own description kept.
fn unwrap_nullable(object: &mut Map<String, Value>) {
    let Some(Value::Array(branches)) = object.get("anyOf") else {
        return;
    };
    let kept: Vec<&Value> = branches
        .iter()
        .filter(|b| b.get("type").is_none_or(|t| t != "null"))
        .collect();
    let [Value::Object(only)] = kept.as_slice() else {
        return;
    };
    let only = only.clone();
    object.remove("anyOf");
    for (key, value) in only {
        object.entry(key).or_insert(value);
    }
}

/// schemars writes an enumeration whose members have docs as `oneOf` of constants. Editors show the members' docs
/// from that form only in draft 2020, and our own checker names the allowed values from `enum`.
fn collect_constants(object: &mut Map<String, Value>) {
    let Some(Value::Array(branches)) = object.get("oneOf") else {
        return;
    };
    let mut constants = Vec::new();
    let mut meanings = Vec::new();
    for branch in branches {
        let Some(constant) = branch.get("const") else {
            return;
        };
        let meaning = branch
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or_default();
        meanings.push(Value::from(meaning));
        constants.push(constant.clone());
    }
    object.remove("oneOf");
    object.insert("type".to_owned(), Value::from("string"));
    object.insert("enum".to_owned(), Value::Array(constants));
    object.insert("enumDescriptions".to_owned(), Value::Array(meanings));
}

fn require_marked(object: &mut Map<String, Value>) {
    let Some(Value::Object(properties)) = object.get_mut("properties") else {
        return;
    };
    let mut required = Vec::new();
    let mut unless: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for (name, property) in properties.iter_mut() {
        let Some(property) = property.as_object_mut() else {
            continue;
        };
        if let Some(Value::String(other)) = property.remove("x-required-unless") {
            unless
                .entry(other)
                .or_default()
                .push(Value::from(name.as_str()));
        }
        if property.remove("x-required").is_some() {
            required.push(Value::from(name.as_str()));
            if property.get("type").is_some_and(|t| t == "array") {
                property.insert("minItems".to_owned(), Value::from(1));
            }
        }
    }
    if !required.is_empty() {
        object.insert("required".to_owned(), Value::Array(required));
    }
    // There is one such field at most in an entry.
    if let Some((other, names)) = unless.into_iter().next() {
        object.insert("if".to_owned(), json!({"required": [other]}));
        object.insert("then".to_owned(), Value::Bool(true));
        object.insert("else".to_owned(), json!({"required": names}));
    }
}
