//! What was changed in a reading after it was first written down.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use stainbook_core::Duration;

use super::{Conditions, PreTubeUsed, Present, Seen};
use crate::written::field::{Day, Moment, Num, Stated};
use crate::written::pump::LeakTest;

/// One change of a reading.
#[apply(written_form)]
#[derive(JsonSchema)]
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
    #[schemars(extend("x-required" = true), example = serde_json::json!({"strokes": 2}))]
    pub was: Before,
}

/// Fields of a reading as they were before a change.
#[apply(written_form)]
#[derive(JsonSchema)]
#[schemars(extend("minProperties" = 1))]
pub struct Before {
    /// When the tube was said to be read.
    #[schemars(example = &"2026-03-02T07:40+00:00")]
    pub at: Option<Moment>,
    /// The place that was written before.
    #[schemars(example = &"brine wash, at the valve")]
    pub place: Option<String>,
    /// The tube that was written before.
    #[schemars(example = &"brinewash-chlorine-a")]
    pub tube: Option<String>,
    /// The revision of the leaflet that was written before.
    #[schemars(example = &"1")]
    pub leaflet: Option<String>,
    /// The lot that was written before.
    #[schemars(example = &"24-117")]
    pub lot: Option<String>,
    /// The expiry that was written before.
    #[schemars(example = &"2027-01")]
    pub expires: Option<Day>,
    /// The pre-tube that was written before.
    #[schemars(example = serde_json::json!({"lot": "P-31", "expires": "2026-12"}))]
    pub pre_tube: Option<PreTubeUsed>,
    /// The pump that was written before.
    #[schemars(example = &"pump-03")]
    pub pump: Option<String>,
    /// The leak test that was written before.
    #[schemars(example = &"held")]
    pub leak_test: Option<LeakTest>,
    /// Whether the tube was said to have come to the temperature of the place.
    #[schemars(example = true)]
    pub brought_to_ambient: Option<bool>,
    /// How many strokes were said to be drawn.
    #[schemars(example = 2)]
    pub strokes: Option<Num>,
    /// The scale that was said to be read.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// The gas that was said to be measured.
    #[schemars(example = &"bromine")]
    pub substance: Option<String>,
    /// What was said to be read.
    #[schemars(example = serde_json::json!({"at": "3 ppm"}))]
    pub reading: Option<Seen>,
    /// The other gases that were named before.
    #[schemars(example = serde_json::json!([{"substance": "chlorine-dioxide"}]))]
    pub present: Vec<Present>,
    /// Conditions that were said to differ from the survey's.
    #[schemars(example = serde_json::json!({"air_temperature": "-4 °C"}))]
    pub conditions: Conditions,
    /// How long the reading was said to stand for.
    #[schemars(example = &"90 min")]
    pub stands_for: Option<Stated<Duration>>,
    /// Whether it was said to be a blank.
    #[schemars(example = true)]
    pub blank: Option<bool>,
    /// The reading that it was said to repeat.
    #[schemars(example = &"s05")]
    pub repeat_of: Option<String>,
    /// The remark that was written before.
    #[schemars(example = &"front hard to see")]
    pub remark: Option<String>,
}

#[cfg(test)]
mod tests {
    use serde_json::Value;

    use super::*;
    use crate::written::Reading;

    /// The fields of a schema, each without what is said about it.
    fn fields<T: JsonSchema>() -> serde_json::Map<String, Value> {
        let schema = schemars::schema_for!(T).to_value();
        let mut fields = schema["properties"].as_object().unwrap().clone();
        for field in fields.values_mut() {
            let field = field.as_object_mut().unwrap();
            for words in ["description", "examples", "x-required"] {
                field.remove(words);
            }
        }
        fields
    }

    /// A field that a reading newly has can be amended too, and is of the same shape before as after.
    #[test]
    fn whatever_a_reading_has_may_have_been_otherwise_before() {
        let mut of_reading = fields::<Reading>();
        for own in ["id", "amended"] {
            assert!(of_reading.remove(own).is_some());
        }
        assert_eq!(fields::<Before>(), of_reading);
    }
}
