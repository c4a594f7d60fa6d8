//! The air that a concentration refers to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The air that a concentration refers to. In the output it is words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(from = "String", into = "String")]
#[non_exhaustive]
pub enum Basis {
    /// The air at the place, its water vapour included.
    AirAsItIs,
    /// The same air without its water vapour.
    DryAir,
    /// The air at the temperature and pressure at which it was drawn: mass in a volume.
    AirAsDrawn,
    /// No air: a number on the scale.
    OnTheScale,
    /// At conditions that are named: `at 20 °C and 101.3 kPa`.
    At(String),
}

impl Basis {
    /// As in the output: `air as it is`, `dry air`, `in the air as drawn`, `on the scale`, `at 20 °C and 101.3 kPa`.
    pub fn words(&self) -> &str {
        match self {
            Self::AirAsItIs => "air as it is",
            Self::DryAir => "dry air",
            Self::AirAsDrawn => "in the air as drawn",
            Self::OnTheScale => "on the scale",
            Self::At(conditions) => conditions,
        }
    }
}

impl From<String> for Basis {
    fn from(words: String) -> Self {
        [
            Self::AirAsItIs,
            Self::DryAir,
            Self::AirAsDrawn,
            Self::OnTheScale,
        ]
        .into_iter()
        .find(|basis| basis.words() == words)
        .unwrap_or(Self::At(words))
    }
}

impl From<Basis> for String {
    fn from(basis: Basis) -> Self {
        match basis {
            Basis::At(conditions) => conditions,
            other => other.words().to_owned(),
        }
    }
}
