//! Flags, statements and refusals: said with a result beside its figures, each under a code of the registry.
//!
//! A **flag** says that a true record describes a doubtful measurement, a **statement** is to be known and doubts nothing,
//! and a **refusal** stands in place of a result. What each code means, what is to be done, and what it does to a verdict
//! and to the search for a tube stands in one row of the registry: [`Code::definition`].
//!
//! ```
//! use stainbook_evaluation::outcome::{Code, MayRead};
//!
//! let code = Code::from("lot-expired");
//! assert_eq!(code, Code::LotExpired);
//! assert_eq!(code.may_read(), MayRead::TooLow);
//! assert_eq!(code.as_str(), "lot-expired");
//! // A record of another version may say what this one does not know; it reads on as it stands.
//! assert_eq!(Code::from("moon-phase-wrong").as_str(), "moon-phase-wrong");
//! ```

mod code;
mod registry;

pub use code::{Code, CodeKind, Definition, Effect, InSearch, MayRead, UnknownCode};

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A doubt about a measurement that was recorded truly: a word for scripts and words for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Flag {
    /// The word for scripts.
    pub code: Code,
    /// The words.
    pub text: String,
}

impl Flag {
    /// A flag.
    pub fn new(code: Code, text: impl Into<String>) -> Self {
        Self {
            code,
            text: text.into(),
        }
    }
}

/// Something to be known about a result that doubts nothing: a word for scripts and words for people.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Statement {
    /// The word for scripts.
    pub code: Code,
    /// The words.
    pub text: String,
}

impl Statement {
    /// A statement.
    pub fn new(code: Code, text: impl Into<String>) -> Self {
        Self {
            code,
            text: text.into(),
        }
    }
}

impl From<Flag> for Statement {
    /// A flag on a reading becomes a mere statement where there is no reading yet.
    fn from(flag: Flag) -> Self {
        Self::new(flag.code, flag.text)
    }
}

/// Refusal of a result, with what to do about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Refusal {
    /// The word for scripts.
    pub code: Code,
    /// The problem.
    pub text: String,
    /// The remedy.
    #[serde(rename = "instead")]
    pub remedy: String,
    /// The field that is at fault, as a JSON Pointer into the result's `inputs`: `/conditions/air_temperature`,
    /// `/reading/strokes`. It may be a field that was left out. Null where it is no field of the survey.
    #[serde(default)]
    pub field: Option<String>,
}

impl Refusal {
    /// A refusal.
    pub fn new(code: Code, text: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            code,
            text: text.into(),
            remedy: remedy.into(),
            field: None,
        }
    }

    /// The same, with the field that is at fault; one that is named already stays.
    #[must_use]
    pub fn at(mut self, field: &str) -> Self {
        self.field.get_or_insert_with(|| field.to_owned());
        self
    }
}

/// The text and the remedy.
impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.text, self.remedy)
    }
}

impl std::error::Error for Refusal {}
