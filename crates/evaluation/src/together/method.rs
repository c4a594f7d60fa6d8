//! Methods of judging readings together.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_catalog::written::TogetherMethod;

/// Methods of judging readings together: those that the survey asks for, and those that follow from the readings.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum GroupMethod {
    /// The survey does not say.
    #[default]
    #[serde(rename = "")]
    NotStated,
    /// An average over time.
    Average,
    /// A blank held against the readings of its lot.
    Blank,
    /// The tests of EN 689 of an exposure group.
    #[serde(rename = "exposure group")]
    ExposureGroup,
    /// The sum of the shares that gases take of their limits.
    Mixture,
    /// Gases that disturb each other's tubes, solved for together.
    #[serde(rename = "mutual interference")]
    MutualInterference,
    /// Repeats of one reading.
    Repeats,
}

impl GroupMethod {
    /// As in the output; nothing where it is not stated.
    pub fn name(self) -> &'static str {
        match self {
            Self::NotStated => "",
            Self::Average => TogetherMethod::Average.name(),
            Self::Blank => "blank",
            Self::ExposureGroup => TogetherMethod::ExposureGroup.name(),
            Self::Mixture => TogetherMethod::Mixture.name(),
            Self::MutualInterference => TogetherMethod::MutualInterference.name(),
            Self::Repeats => "repeats",
        }
    }
}

impl From<TogetherMethod> for GroupMethod {
    fn from(method: TogetherMethod) -> Self {
        match method {
            TogetherMethod::Average => Self::Average,
            TogetherMethod::Mixture => Self::Mixture,
            TogetherMethod::ExposureGroup => Self::ExposureGroup,
            TogetherMethod::MutualInterference => Self::MutualInterference,
        }
    }
}
