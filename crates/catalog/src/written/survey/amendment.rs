//! What was changed in a reading after it was first written down.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Conditions, PreTubeUsed, Present, Seen};
use crate::written::field::{Day, Moment, Num};
use crate::written::pump::LeakTest;

/// One change of a reading.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
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
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
#[schemars(extend("minProperties" = 1))]
pub struct Before {
    /// When the tube was said to be read.
    #[schemars(example = &"2026-03-02T07:40+00:00")]
    pub at: Option<Moment>,
    /// Where.
    #[schemars(example = &"brine wash, at the valve")]
    pub place: Option<String>,
    /// The tube.
    #[schemars(example = &"brinewash-chlorine-a")]
    pub tube: Option<String>,
    /// The revision of the leaflet.
    #[schemars(example = &"1")]
    pub leaflet: Option<String>,
    /// The lot.
    #[schemars(example = &"24-117")]
    pub lot: Option<String>,
    /// The expiry.
    #[schemars(example = &"2027-01")]
    pub expires: Option<Day>,
    /// The pre-tube.
    #[schemars(example = serde_json::json!({"lot": "P-31", "expires": "2026-12"}))]
    pub pre_tube: Option<PreTubeUsed>,
    /// The pump.
    #[schemars(example = &"pump-03")]
    pub pump: Option<String>,
    /// The leak test.
    #[schemars(example = &"held")]
    pub leak_test: Option<LeakTest>,
    /// Whether the tube was said to have come to the temperature of the place.
    #[schemars(example = true)]
    pub brought_to_ambient: Option<bool>,
    /// How many strokes.
    #[schemars(example = 2)]
    pub strokes: Option<Num>,
    /// Which scale.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// The gas measured.
    #[schemars(example = &"bromine")]
    pub substance: Option<String>,
    /// What was read.
    #[schemars(example = serde_json::json!({"at": "3 ppm"}))]
    pub reading: Option<Seen>,
    /// Other gases.
    #[schemars(example = serde_json::json!([{"substance": "chlorine-dioxide"}]))]
    pub present: Vec<Present>,
    /// Conditions.
    #[schemars(example = serde_json::json!({"air_temperature": "-4 °C"}))]
    pub conditions: Conditions,
    /// The remark.
    #[schemars(example = &"front hard to see")]
    pub remark: Option<String>,
}
