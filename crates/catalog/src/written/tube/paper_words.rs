//! Scalars that leaflets print as words and numbers together: `above 10 °C`, `1/2`, `10 to 15 %`, `about 1.2`, `first third`.
//!
//! Each keeps the author's text.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use smol_str::SmolStr;
use stainbook_core::{Decimal, Quantity, Written, WrittenRange};
use stainbook_document::typed::{FromText, NUMBER, Problem, QUANTITY, from_text};

use crate::written::scalar_problem;
use crate::written::scalars::scalar;

/// A range of a quantity that may be open at one end: `above 10 °C`, `below 30 °C`, `10 to 30 °C`.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenRange<Q> {
    low: Option<Q>,
    high: Option<Q>,
    text: SmolStr,
}

impl<Q: Copy> OpenRange<Q> {
    /// The lower end, if it has one.
    pub fn low(&self) -> Option<Q> {
        self.low
    }

    /// The upper end, if it has one.
    pub fn high(&self) -> Option<Q> {
        self.high
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<Q: Quantity> FromText for OpenRange<Q> {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a range with its unit, such as `above 10 °C`";

    fn read(text: &str) -> Result<Self, Problem> {
        let one = |rest: &str| {
            let written = Written::<Q>::parse(rest.trim());
            written
                .map(|written| written.value())
                .map_err(|error| scalar_problem::of_quantity(&error))
        };
        let (mut low, mut high) = (None, None);
        if let Some(rest) = text.strip_prefix("above ").or(text.strip_prefix("from ")) {
            if rest.contains(" to ") {
                return Self::read(rest);
            }
            low = Some(one(rest)?);
        } else if let Some(rest) = text.strip_prefix("below ").or(text.strip_prefix("up to ")) {
            high = Some(one(rest)?);
        } else {
            let range = WrittenRange::<Q>::parse(text)
                .map_err(|error| scalar_problem::of_quantity(&error))?;
            (low, high) = (Some(range.low().value()), Some(range.high().value()));
        }
        Ok(Self {
            low,
            high,
            text: text.into(),
        })
    }
}

scalar!(text OpenRange<Q>, format!("open range of {}", Q::NAME), {"type": "string"});

/// A part of a whole, as a fraction or a number: `1/2`, `0.5`.
#[derive(Clone, Debug, PartialEq)]
pub struct Fraction {
    value: f64,
    text: SmolStr,
}

impl Fraction {
    /// The part, above 0 and at most 1.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for Fraction {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a part such as `1/2` or `0.5`";

    fn read(text: &str) -> Result<Self, Problem> {
        let number = |part: &str| {
            Decimal::parse(part.trim())
                .map(|number| number.value())
                .map_err(|error| scalar_problem::of_number(&error))
        };
        let value = match text.split_once('/') {
            Some((over, under)) => number(over)? / number(under)?,
            None => number(text)?,
        };
        if !(0.0 < value && value <= 1.0) {
            return Err(scalar_problem::part(text));
        }
        Ok(Self {
            value,
            text: text.into(),
        })
    }
}

scalar!(text Fraction, "part", {"type": ["string", "number"]});
