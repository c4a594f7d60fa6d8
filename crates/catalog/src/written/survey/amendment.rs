//! Amendments of a reading after it was first written down.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::Value;

use super::Reading;
use crate::written::scalars::Moment;

/// One change of a reading.
#[apply(written_form)]
pub struct Amendment {
    /// Who changed it, by initials.
    #[schemars(extend("x-required" = true), example = &"MT")]
    pub by: Option<String>,
    /// When: date, time and zone, in quotation marks.
    #[schemars(extend("x-required" = true), example = &"2026-03-03T09:10+00:00")]
    pub at: Option<Moment>,
    /// Why, so that somebody else can judge it.
    #[schemars(extend("x-required" = true), example = &"strokes miscounted, see the pump's counter")]
    pub because: Option<String>,
    /// What was written before; only the fields that were changed.
    #[schemars(schema_with = "fields_before", extend("x-required" = true), example = serde_json::json!({"strokes": 2}))]
    pub was: Box<Reading>,
}

/// A reading of which nothing has to be there, and neither its name nor its own changes can be.
fn fields_before(generator: &mut SchemaGenerator) -> Schema {
    let mut schema = Reading::json_schema(generator);
    schema.remove("description");
    schema.insert("minProperties".to_owned(), Value::from(1));
    let properties = schema.get_mut("properties");
    if let Some(properties) = properties.and_then(Value::as_object_mut) {
        properties.retain(|field, _| field != "id" && field != "amended");
        for field in properties.values_mut().filter_map(Value::as_object_mut) {
            field.remove("x-required");
        }
    }
    schema
}
