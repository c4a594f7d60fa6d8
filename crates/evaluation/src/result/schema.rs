//! The JSON Schema of a record: what [`Evaluation`] is as JSON.

use schemars::generate::SchemaSettings;
use serde_json::Value;

use super::{Evaluation, SCHEMA_VERSION};

/// The JSON Schema, draft 2020-12, of the results that `evaluate --format json` prints and a lab keeps as its record.
///
/// Every key is required, what does not apply is null, and further keys may come: a key that goes or changes its meaning
/// makes a new version.
///
/// # Example
///
/// ```
/// let schema = stainbook_evaluation::result::schema();
/// assert!(schema["properties"]["results"].is_object());
/// ```
pub fn schema() -> Value {
    let mut schema = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<Evaluation>();
    schema.insert("title".to_owned(), Value::from("stainbook results"));
    let mut schema = schema.to_value();
    if let Some(object) = schema.as_object_mut() {
        let id = format!("urn:stainbook:schema:results:{SCHEMA_VERSION}");
        object.shift_insert(1, "$id".to_owned(), Value::from(id));
    }
    schema
}
