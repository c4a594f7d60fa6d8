//! A word of a result beside which there may be other texts.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

/// A word of a result that this version knows, or another text. Output has it as text.
///
/// ```
/// use stainbook_evaluation::result::{CoverageDistribution, Recorded};
///
/// let read = |text| serde_json::from_str::<Recorded<CoverageDistribution>>(text);
/// assert_eq!(read("\"normal\"").unwrap(), CoverageDistribution::Normal);
/// assert_eq!(read("\"lopsided\"").unwrap().to_string(), "lopsided");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(untagged)]
#[non_exhaustive]
pub enum Recorded<T> {
    /// One that this version knows.
    Known(T),
    /// A text of another version, or one that no word stands for.
    Other(String),
}

impl<T> From<T> for Recorded<T> {
    fn from(known: T) -> Self {
        Self::Known(known)
    }
}

impl<T: PartialEq> PartialEq<T> for Recorded<T> {
    fn eq(&self, other: &T) -> bool {
        matches!(self, Self::Known(known) if known == other)
    }
}

/// As in the output.
impl<T: Serialize> fmt::Display for Recorded<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.serialize(f)
    }
}

impl<T> JsonSchema for Recorded<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Recorded".into()
    }

    // Not a list of the words: a record of another version may have further ones.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"type": "string"})
    }
}
