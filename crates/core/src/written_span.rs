//! Spans as their author wrote them: ranges that may be open at one end.

use smol_str::SmolStr;

use crate::quantity::Quantity;
use crate::written::Written;
use crate::written_error::WrittenError;
use crate::written_range::WrittenRange;

/// A span as its author wrote it: `30 to 60 %RH`, `above 30 °C`, `below 900 hPa`.
///
/// `from` and `up to` mean the same as `above` and `below`: whether an end itself belongs to a span, a leaflet's words
/// rarely say, so that it belongs to it here.
///
/// # Example
///
/// ```
/// use stainbook_core::{Temperature, WrittenSpan};
///
/// let warm: WrittenSpan<Temperature> = WrittenSpan::parse("above 30 °C")?;
/// assert_eq!(warm.low().unwrap().value().celsius(), 30.0);
/// assert!(warm.high().is_none());
/// assert!(WrittenSpan::<Temperature>::parse("30 °C").is_err());
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenSpan<Q> {
    low: Option<Written<Q>>,
    high: Option<Written<Q>>,
    text: SmolStr,
}

/// Words before the only end of a span, and whether it is the lower one.
const OPEN: [(&str, bool); 6] = [
    ("above", true),
    ("over", true),
    ("from", true),
    ("below", false),
    ("under", false),
    ("up to", false),
];

impl<Q: Quantity> WrittenSpan<Q> {
    /// Reads a span.
    ///
    /// # Errors
    ///
    /// [`WrittenError`], with the place of what is wrong in the whole text and what to write instead.
    pub fn parse(text: &str) -> Result<Self, WrittenError> {
        let start = text.len() - text.trim_start().len();
        let begun = text.get(start..).unwrap_or_default();
        let range = |text: &str, range: WrittenRange<Q>| Self {
            low: Some(range.low().clone()),
            high: Some(range.high().clone()),
            text: text.into(),
        };
        for (word, is_low) in OPEN {
            let Some(rest) = begun
                .strip_prefix(word)
                .filter(|rest| rest.starts_with(char::is_whitespace))
            else {
                continue;
            };
            if is_low && let Ok(both) = WrittenRange::parse(rest) {
                return Ok(range(text, both));
            }
            let end = Written::<Q>::parse(rest).map_err(|error| {
                error.within(text, start + word.len(), |better| {
                    format!("{word} {}", better.trim())
                })
            })?;
            let (low, high) = if is_low {
                (Some(end), None)
            } else {
                (None, Some(end))
            };
            return Ok(Self {
                low,
                high,
                text: text.into(),
            });
        }
        WrittenRange::parse(text).map(|both| range(text, both))
    }

    /// The lower end, or the one that is written first; nothing where the span has none.
    pub const fn low(&self) -> Option<&Written<Q>> {
        self.low.as_ref()
    }

    /// The upper end, or the one that is written last; nothing where the span has none.
    pub const fn high(&self) -> Option<&Written<Q>> {
        self.high.as_ref()
    }

    /// The text, exactly as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// True if the first end is above the second.
    pub fn is_reversed(&self) -> bool {
        matches!((&self.low, &self.high), (Some(low), Some(high)) if low.value() > high.value())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Pressure, RelativeHumidity, Temperature};

    #[test]
    fn ends_as_written() {
        let celsius = |text: &str| {
            let span = WrittenSpan::<Temperature>::parse(text).unwrap();
            [span.low(), span.high()].map(|end| end.map(|end| end.value().celsius()))
        };
        for (text, ends) in [
            ("0 to 40 °C", [Some(0.0), Some(40.0)]),
            ("from 0 to 40 °C", [Some(0.0), Some(40.0)]),
            ("above 20 °C", [Some(20.0), None]),
            ("from -5 °C", [Some(-5.0), None]),
            ("below 0 °C", [None, Some(0.0)]),
            (" up to 40 °C ", [None, Some(40.0)]),
        ] {
            assert_eq!(celsius(text), ends, "{text}");
        }
        let humid = WrittenSpan::<RelativeHumidity>::parse("60 to 90 %RH").unwrap();
        assert_eq!(humid.low().unwrap().value().percent(), 60.0);
        assert!(
            WrittenSpan::<Pressure>::parse("1100 to 900 hPa")
                .unwrap()
                .is_reversed()
        );
    }

    #[test]
    fn what_is_no_span_is_refused() {
        for text in [
            "20 °C",
            "above",
            "above 20",
            "aboveboard 20 °C",
            "above 20 kPa",
            "",
        ] {
            assert!(WrittenSpan::<Temperature>::parse(text).is_err(), "{text}");
        }
    }
}
