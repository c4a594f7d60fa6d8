//! Effects of another gas on a reading.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Effects of another gas on a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum EffectOnReading {
    /// Its share was taken off.
    Subtracted,
    /// Its share was left in a bound, which holds all the more without it.
    LeftIn,
    /// It makes the tube read too high, by how much is not known.
    ReadsHigh,
    /// It makes the tube read too low, by how much is not known.
    ReadsLow,
    /// None.
    NoEffect,
    /// The sheet does not say.
    Unknown,
}

impl EffectOnReading {
    /// As in the output: `subtracted`, `left_in`, `reads_high`, `reads_low`, `no_effect`, `unknown`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Subtracted => "subtracted",
            Self::LeftIn => "left_in",
            Self::ReadsHigh => "reads_high",
            Self::ReadsLow => "reads_low",
            Self::NoEffect => "no_effect",
            Self::Unknown => "unknown",
        }
    }

    /// As people read it: `left in`.
    pub fn words(self) -> String {
        self.name().replace('_', " ")
    }

    /// True if the result says by how much, the size of nothing included.
    pub const fn is_quantified(self) -> bool {
        match self {
            Self::Subtracted | Self::LeftIn | Self::NoEffect => true,
            Self::ReadsHigh | Self::ReadsLow | Self::Unknown => false,
        }
    }
}
