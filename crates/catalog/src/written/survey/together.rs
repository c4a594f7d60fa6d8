//! Readings that are judged together.

use crate::written::absent::written_fields;
use macro_rules_attribute::apply;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Serialize};
use stainbook_core::Duration;

use super::judge::LimitChoice;
use crate::written::scalars::Stated;
use crate::written::shape::by_method;

/// Readings that are judged together. Which fields it has goes by its `method`.
#[apply(written_fields)]
pub struct GroupRow {
    /// Its name, which no reading has.
    pub id: Option<String>,
    /// What is done with the readings.
    pub method: Option<TogetherMethod>,
    /// The readings, by their `id`.
    pub readings: Vec<String>,
    /// Averages stated above, by their `id`.
    pub averages: Vec<String>,
    /// The period that an average is for.
    pub over: Option<Stated<Duration>>,
    /// What was in the time that no reading stands for.
    pub rest: Option<Rest>,
    /// What the gases of a mixture do alike.
    pub same_effect: Option<String>,
    /// The limit that each value is compared with.
    pub limit: Option<LimitChoice>,
    /// Whose exposure the values are.
    pub exposure_group: Option<String>,
    /// True if each value stands for a whole reference period.
    pub represents_reference_period: Option<bool>,
    /// What to mind.
    pub remark: Option<String>,
}

/// What is done with readings that are judged together.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum TogetherMethod {
    /// Averaged over time, each with the time it stands for.
    #[serde(rename = "average")]
    Average,
    /// Gases that act alike: the sum of their shares of their limits.
    #[serde(rename = "mixture")]
    Mixture,
    /// The preliminary test or the group test of EN 689.
    #[serde(rename = "exposure group")]
    ExposureGroup,
    /// Gases that disturb each other's tubes, solved for together.
    #[serde(rename = "mutual interference")]
    MutualInterference,
}

impl TogetherMethod {
    /// As written in a survey.
    pub fn name(self) -> &'static str {
        match self {
            Self::Average => "average",
            Self::Mixture => "mixture",
            Self::ExposureGroup => "exposure group",
            Self::MutualInterference => "mutual interference",
        }
    }
}

/// What was in the time that no reading stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Rest {
    /// None of the gas: breaks, work elsewhere.
    #[serde(rename = "without exposure")]
    WithoutExposure,
    /// As much as in the time that readings stand for.
    #[serde(rename = "like the sampled time")]
    LikeSampled,
}

/// The fields of [`GroupRow`] as the schema describes them; [`by_method`] cuts it into one shape per method.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(dead_code, reason = "read by the schema generator only")]
struct TogetherFields {
    /// Its name, which no reading and no other row has.
    #[schemars(example = &"fitter")]
    id: String,
    /// What is done with the readings.
    #[schemars(example = &"average")]
    method: TogetherMethod,
    /// The readings, by their `id`. In an average each says under `stands_for` how long it stands for.
    #[schemars(example = serde_json::json!(["r01", "r02", "r05"]))]
    readings: Vec<String>,
    /// Averages stated above in this list, by their `id`.
    #[schemars(example = serde_json::json!(["fitter"]))]
    averages: Vec<String>,
    /// The period that the average is for: `8 h` for a shift (that is what counts where nothing is written), `15 min` for a short-term limit.
    #[schemars(example = &"8 h")]
    over: Stated<Duration>,
    /// What was in the time that no reading stands for. Without it that time is unknown, and the average has no upper bound: it is never filled in silently.
    #[schemars(example = &"without exposure")]
    rest: Rest,
    /// What these gases do alike, as somebody who may say so has judged. Only gases with the same effect are added up.
    #[schemars(example = &"both irritate the airways")]
    same_effect: String,
    /// The limit of each gas: one authority (or source) and one kind for all.
    #[schemars(example = serde_json::json!({"authority": "US OSHA", "kind": "8-hour average"}))]
    limit: LimitChoice,
    /// Whose exposure the values are: people who do the same work in the same place with the same air.
    #[schemars(example = &"packers on the morning shift")]
    exposure_group: String,
    /// True if each value stands for a whole reference period of the limit. A single tube does so for a short-term limit at most.
    #[schemars(example = true)]
    represents_reference_period: bool,
    /// What to mind.
    #[schemars(example = &"a quiet day")]
    remark: String,
}

impl JsonSchema for GroupRow {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Together".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        by_method(
            &TogetherFields::json_schema(generator),
            "Readings that are judged together; which fields it has goes by its `method`.",
            &[
                (
                    "average",
                    "Readings of one gas averaged over a shift (or a quarter of an hour), each with the time it stands for. Over a shift the figure is indicative.",
                    &["id", "readings"],
                    &["over", "rest", "remark"],
                ),
                (
                    "mixture",
                    "Gases that act alike: the sum of the shares that each takes of its limit, against 1.",
                    &["id", "limit"],
                    &["same_effect", "readings", "averages", "remark"],
                ),
                (
                    "exposure group",
                    "EN 689: 3 to 5 values go to the preliminary test, 6 and more to the group test.",
                    &["id", "limit"],
                    &[
                        "exposure_group",
                        "represents_reference_period",
                        "readings",
                        "averages",
                        "remark",
                    ],
                ),
                (
                    "mutual interference",
                    "Readings of different gases in the same air, drawn at the same place and time, whose tubes each answer to the other's gas as well: solved for together. Leave those gases' levels out of `present`.",
                    &["id", "readings"],
                    &["remark"],
                ),
            ],
        )
    }
}
