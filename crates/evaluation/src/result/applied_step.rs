//! The steps from a reading to its result.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_catalog::written::tube::correct::CorrectionStep;

use crate::step_words;

/// A step from a reading to its result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum AppliedStep {
    /// The share of disturbing gases, taken off the reading.
    Interference,
    /// The stroke multiplier.
    Strokes,
    /// The temperature correction.
    Temperature,
    /// The humidity correction.
    Humidity,
    /// The pressure correction.
    Pressure,
    /// The factor for another gas than the scale's.
    #[serde(rename = "other gas")]
    ResponseFactor,
}

impl AppliedStep {
    /// As in the output: `interference`, `strokes`, `temperature`, `humidity`, `pressure`, `other gas`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Interference => "interference",
            Self::Strokes => step_words::name(CorrectionStep::Strokes),
            Self::Temperature => step_words::name(CorrectionStep::Temperature),
            Self::Humidity => step_words::name(CorrectionStep::Humidity),
            Self::Pressure => step_words::name(CorrectionStep::Pressure),
            Self::ResponseFactor => step_words::name(CorrectionStep::ResponseFactor),
        }
    }
}

impl From<CorrectionStep> for AppliedStep {
    fn from(step: CorrectionStep) -> Self {
        match step {
            CorrectionStep::Strokes => Self::Strokes,
            CorrectionStep::Temperature => Self::Temperature,
            CorrectionStep::Humidity => Self::Humidity,
            CorrectionStep::Pressure => Self::Pressure,
            CorrectionStep::ResponseFactor => Self::ResponseFactor,
        }
    }
}
