//! A cell of a printed table, which may be empty.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use stainbook_core::Decimal;
use stainbook_document::typed::{FromText, NUMBER, Problem, from_text};

use super::scalar_problem;

/// A number of a table with the digits that were written, or an empty cell: the leaflet states nothing there.
///
/// An empty cell is written `none`; a dash in quotation marks, as papers print it, is read as the same.
#[derive(Clone, Debug, PartialEq)]
pub struct TableCell(Option<Decimal>);

/// The usual word for an empty cell.
const EMPTY: &str = "none";

/// Dashes that papers print in an empty cell.
const DASHES: [&str; 3] = ["-", "–", "—"];

impl TableCell {
    /// The number; nothing of an empty cell.
    pub fn number(&self) -> Option<&Decimal> {
        self.0.as_ref()
    }

    /// The number; not a number (NaN) of an empty cell.
    pub fn value(&self) -> f64 {
        self.number().map_or(f64::NAN, Decimal::value)
    }

    /// The text as it is shown: the digits as written, or a dash.
    pub fn text(&self) -> &str {
        self.number().map_or("–", Decimal::text)
    }
}

impl FromText for TableCell {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a number, or `none` for an empty cell";

    fn read(text: &str) -> Result<Self, Problem> {
        let trimmed = text.trim();
        if trimmed == EMPTY || DASHES.contains(&trimmed) {
            return Ok(Self(None));
        }
        Decimal::parse(text)
            .map(|number| Self(Some(number)))
            .map_err(|error| scalar_problem::of_cell(&error))
    }
}

impl<'de> Deserialize<'de> for TableCell {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        from_text(deserializer)
    }
}

impl Serialize for TableCell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match &self.0 {
            Some(number) => number.serialize(serializer),
            None => serializer.serialize_str(EMPTY),
        }
    }
}

impl JsonSchema for TableCell {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "table cell".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": ["number", "string"],
            "x-nothing": EMPTY,
            "pattern": r"^([-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?|none|[-–—])$",
        })
    }
}
