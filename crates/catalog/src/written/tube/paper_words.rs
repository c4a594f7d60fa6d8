//! Scalars that leaflets print as words and numbers together: `above 10 °C`, `1/2`, `10 to 15 %`, `about 1.2`, `first third`.
//!
//! Each keeps the author's text.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use smol_str::SmolStr;
use stainbook_core::{Concentration, Decimal, Quantity, Ratio, Written, WrittenRange, WrittenSpan};
use stainbook_document::typed::{FromText, NUMBER, Problem, QUANTITY, from_text};

use crate::written::scalar_problem;
use crate::written::scalars::Day;
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
        let span =
            WrittenSpan::<Q>::parse(text).map_err(|error| scalar_problem::of_quantity(&error))?;
        let [low, high] = [span.low(), span.high()].map(|end| end.map(Written::value));
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

/// A share, or a span of shares of which the larger counts: `12 %`, `10 to 15 %`.
#[derive(Clone, Debug, PartialEq)]
pub struct RatioSpan {
    low: Option<Written<Ratio>>,
    high: Written<Ratio>,
    text: SmolStr,
}

impl RatioSpan {
    /// The share that counts: the larger one of a span.
    pub fn larger(&self) -> &Written<Ratio> {
        &self.high
    }

    /// The smaller one of a span.
    pub fn smaller(&self) -> Option<&Written<Ratio>> {
        self.low.as_ref()
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for RatioSpan {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a share such as `12 %`, or a span such as `10 to 15 %`";

    fn read(text: &str) -> Result<Self, Problem> {
        let of_quantity = |error| scalar_problem::of_quantity(&error);
        let (low, high) = if text.contains(" to ") {
            let range = WrittenRange::<Ratio>::parse(text).map_err(of_quantity)?;
            if range.high().value().fraction() < range.low().value().fraction() {
                return Err(scalar_problem::span_reversed(text));
            }
            (Some(range.low().clone()), range.high().clone())
        } else {
            (None, Written::parse(text).map_err(of_quantity)?)
        };
        Ok(Self {
            low,
            high,
            text: text.into(),
        })
    }
}

scalar!(text RatioSpan, "share", {"type": "string", "format": Ratio::NAME});

/// The reading up to which a band holds: a concentration, or a part of the scale in words.
#[derive(Clone, Debug, PartialEq)]
pub struct UpTo {
    bound: UpToBound,
    text: SmolStr,
}

/// The bound of a band.
#[derive(Clone, Debug, PartialEq)]
pub enum UpToBound {
    /// A reading on the scale.
    Reading(Written<Concentration>),
    /// The first, second or third third of the scale.
    Third(u8),
    /// The last mark.
    LastMark,
}

impl UpTo {
    /// Words for a part of the scale, each with its bound.
    pub const WORDS: [(&'static str, UpToBound); 5] = [
        ("first third", UpToBound::Third(1)),
        ("second third", UpToBound::Third(2)),
        ("last third", UpToBound::LastMark),
        ("last mark", UpToBound::LastMark),
        ("whole scale", UpToBound::LastMark),
    ];

    /// The bound.
    pub fn bound(&self) -> &UpToBound {
        &self.bound
    }

    /// The concentration, if it is one.
    pub fn reading(&self) -> Option<&Written<Concentration>> {
        match &self.bound {
            UpToBound::Reading(reading) => Some(reading),
            UpToBound::Third(_) | UpToBound::LastMark => None,
        }
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for UpTo {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str =
        "a reading such as `3 ppm`, or `first third`, `second third`, `last mark`";

    fn read(text: &str) -> Result<Self, Problem> {
        let words = Self::WORDS.into_iter().find(|(words, _)| *words == text);
        let bound = match words {
            Some((_, bound)) => bound,
            None => UpToBound::Reading(
                Written::parse(text).map_err(|error| scalar_problem::up_to(text, &error))?,
            ),
        };
        Ok(Self {
            bound,
            text: text.into(),
        })
    }
}

scalar!(text UpTo, "reading on the scale", {"type": "string", "format": Concentration::NAME});

/// A factor: a number, a span whose middle counts, or one that the leaflet calls approximate: `1.6`, `0.5 to 0.7`, `about 1.2`.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    low: Decimal,
    high: Option<Decimal>,
    is_approximate: bool,
    text: SmolStr,
}

impl Factor {
    /// The number, or the middle of a span.
    pub fn value(&self) -> f64 {
        let low = self.low.value();
        let high = self.high.as_ref().map_or(low, Decimal::value);
        f64::midpoint(low, high)
    }

    /// Half of what its digits leave open; of a span half its width and the digits of its ends.
    pub fn half_width(&self) -> f64 {
        match &self.high {
            Some(high) => (high.value() - self.low.value()).abs() / 2.0 + high.half_step(),
            None => self.low.half_step(),
        }
    }

    /// Half the width of a span as a part of its middle; nothing for a single number.
    pub fn relative_half_width(&self) -> Option<f64> {
        let high = self.high.as_ref()?;
        Some((high.value() - self.low.value()).abs() / 2.0 / self.value().abs())
    }

    /// True of one that the leaflet calls approximate.
    pub fn is_approximate(&self) -> bool {
        self.is_approximate
    }

    /// The numbers as written: one, or both ends of a span.
    pub fn numbers(&self) -> impl Iterator<Item = &Decimal> {
        std::iter::once(&self.low).chain(&self.high)
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// Words with which a leaflet calls a factor approximate.
const APPROXIMATELY: [&str; 4] = ["about ", "approx. ", "approximately ", "ca. "];

impl FromText for Factor {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a factor such as `1.6`, `0.5 to 0.7` or `about 1.2`";

    fn read(text: &str) -> Result<Self, Problem> {
        let about = APPROXIMATELY
            .iter()
            .find_map(|word| text.strip_prefix(word));
        let rest = about.unwrap_or(text).trim();
        let number = |part: &str| {
            Decimal::parse(part.trim()).map_err(|error| scalar_problem::factor(text, &error))
        };
        let (low, high) = match rest.split_once(" to ") {
            Some((low, high)) => (number(low)?, Some(number(high)?)),
            None => (number(rest)?, None),
        };
        if high
            .as_ref()
            .is_some_and(|high| high.value() <= low.value())
        {
            return Err(scalar_problem::factor_reversed(text));
        }
        Ok(Self {
            low,
            high,
            is_approximate: about.is_some(),
            text: text.into(),
        })
    }
}

// A plain number stays one, as everywhere else in a sheet.
impl Serialize for Factor {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.high.is_none() && !self.is_approximate {
            self.low.serialize(serializer)
        } else {
            serializer.serialize_str(&self.text)
        }
    }
}

scalar!(Factor, "factor", {"type": ["number", "string"]});

/// Days of manufacture: `from 2024-03`, `up to 2024-02`, `2024-03 to 2025-01`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DaySpan {
    from: Option<Day>,
    to: Option<Day>,
    text: SmolStr,
}

impl DaySpan {
    /// True if a day or month may lie in it; nothing is known of one that reaches over an end.
    pub fn contains(&self, day: &Day) -> bool {
        self.from
            .as_ref()
            .is_none_or(|from| from.first() <= day.first())
            && self.to.as_ref().is_none_or(|to| day.last() <= to.last())
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for DaySpan {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "days such as `from 2024-03` or `2024-03 to 2025-01`";

    fn read(text: &str) -> Result<Self, Problem> {
        let (from, to) = if let Some(to) = text.strip_prefix("up to ") {
            (None, Some(to))
        } else if let Some((from, to)) = text.split_once(" to ") {
            (Some(from.strip_prefix("from ").unwrap_or(from)), Some(to))
        } else if let Some(from) = text.strip_prefix("from ") {
            (Some(from), None)
        } else {
            return Err(scalar_problem::day_span(text));
        };
        let day = |text: Option<&str>| text.map(|text| Day::read(text.trim())).transpose();
        Ok(Self {
            from: day(from)?,
            to: day(to)?,
            text: text.into(),
        })
    }
}

scalar!(text DaySpan, "days of manufacture", {"type": "string"});

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_core::Temperature;

    #[test]
    fn words_of_the_paper() {
        let open = |text: &str| {
            let range = OpenRange::<Temperature>::read(text).ok()?;
            let celsius = |end: Option<Temperature>| end.map(Temperature::celsius);
            Some((celsius(range.low()), celsius(range.high())))
        };
        assert_eq!(open("above 10 °C"), Some((Some(10.0), None)));
        assert_eq!(open("below 30 °C"), Some((None, Some(30.0))));
        assert_eq!(open("up to 30 °C"), Some((None, Some(30.0))));
        assert_eq!(open("10 to 30 °C"), Some((Some(10.0), Some(30.0))));
        assert_eq!(open("from 10 to 30 °C"), Some((Some(10.0), Some(30.0))));
        for wrong in ["10 °C", "above", "above 10", "above 10 ppm", "cold"] {
            assert_eq!(open(wrong), None, "{wrong}");
        }
        let fraction = |text: &str| Fraction::read(text).map(|part| part.value()).ok();
        assert_eq!(fraction("1/2"), Some(0.5));
        assert_eq!(fraction("0.25"), Some(0.25));
        for wrong in ["3/2", "0", "1/0", "half", "-1/2", "1/2/3"] {
            assert_eq!(fraction(wrong), None, "{wrong}");
        }
        let span = |text: &str| {
            let span = RatioSpan::read(text).ok()?;
            Some((span.smaller().is_some(), span.larger().value().fraction()))
        };
        assert_eq!(span("12 %"), Some((false, 0.12)));
        assert_eq!(span("10 to 15 %"), Some((true, 0.15)));
        for wrong in ["15 to 10 %", "10 to %", "10 ppm"] {
            assert_eq!(span(wrong), None, "{wrong}");
        }
        let factor = |text: &str| {
            let factor = Factor::read(text).ok()?;
            Some((
                factor.value(),
                factor.relative_half_width(),
                factor.is_approximate(),
            ))
        };
        assert_eq!(factor("1.6"), Some((1.6, None, false)));
        assert_eq!(factor("about 1.2"), Some((1.2, None, true)));
        assert_eq!(factor("1 to 3"), Some((2.0, Some(0.5), false)));
        for wrong in ["3 to 1", "1 to", "some", "about", "1,6"] {
            assert_eq!(factor(wrong), None, "{wrong}");
        }
        let span = |text: &str| DaySpan::read(text).ok();
        let day = |text: &str| Day::read(text).unwrap();
        let of = span("2024-03 to 2025-01").unwrap();
        assert!(of.contains(&day("2024-03-01")) && of.contains(&day("2025-01")));
        assert!(!of.contains(&day("2024-02")) && !of.contains(&day("2025")));
        assert!(span("from 2024-03").unwrap().contains(&day("2031")));
        assert!(span("up to 2024-02").unwrap().contains(&day("2024-02-29")));
        for wrong in ["2024-03", "from", "from March", "since 2024"] {
            assert_eq!(span(wrong), None, "{wrong}");
        }
        let up_to = |text: &str| UpTo::read(text).ok().map(|up_to| up_to.reading().is_some());
        assert_eq!(up_to("3 ppm"), Some(true));
        assert_eq!(up_to("second third"), Some(false));
        for wrong in ["fourth third", "3", "last"] {
            assert_eq!(up_to(wrong), None, "{wrong}");
        }
    }
}
