//! What a lab keeps elsewhere and says so, in writing.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::written::scalars::{Day, Moment};

/// Something that is not on record here and kept elsewhere. It stands in for what the survey does not say, never against what it says.
#[apply(written_form)]
pub struct Assured {
    /// What is assured.
    #[schemars(extend("x-required" = true), example = &"leak tests")]
    pub what: Option<Assurable>,
    /// For which pumps (leak tests, volume checks), lots (expiry, pre-tubes, storage) or readings (other gases). Without it: for all of the survey.
    #[serde(rename = "for")]
    #[schemars(example = serde_json::json!(["pump-02"]))]
    pub of: Vec<String>,
    /// For which day. Without it: for every day of the survey.
    #[schemars(example = &"2026-06-16")]
    pub day: Option<Day>,
    /// Where somebody else finds it.
    #[serde(rename = "where")]
    #[schemars(extend("x-required" = true), example = &"pump log 3")]
    pub kept: Option<String>,
    /// Who says so, by initials.
    #[schemars(extend("x-required" = true), example = &"KL")]
    pub by: Option<String>,
    /// If it was added after the survey had been evaluated: when. It is then told as an amendment.
    #[schemars(example = &"2026-06-18T09:10+01:00")]
    pub added: Option<Moment>,
    /// If it was added afterwards: why only then.
    #[schemars(example = &"the log was at the workshop")]
    pub because: Option<String>,
}

/// Things that can be kept elsewhere than in a survey.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Assurable {
    /// The pump held in a leak test on the day.
    #[serde(rename = "leak tests")]
    LeakTests,
    /// The stroke volume of the pump was checked in time, and found within the tolerance.
    #[serde(rename = "volume checks")]
    VolumeChecks,
    /// The box of the tubes was within its date.
    #[serde(rename = "expiry")]
    Expiry,
    /// The pre-tube that the sheet asks for was used, within its date.
    #[serde(rename = "pre-tubes")]
    PreTubes,
    /// A box that is stored cold had come to the temperature of the place.
    #[serde(rename = "storage")]
    Storage,
    /// Somebody has looked for other gases, and none is known beside those that are listed.
    #[serde(rename = "other gases")]
    OtherGases,
}

impl Assurable {
    /// As written in a survey.
    pub fn name(self) -> &'static str {
        match self {
            Self::LeakTests => "leak tests",
            Self::VolumeChecks => "volume checks",
            Self::Expiry => "expiry",
            Self::PreTubes => "pre-tubes",
            Self::Storage => "storage",
            Self::OtherGases => "other gases",
        }
    }
}
