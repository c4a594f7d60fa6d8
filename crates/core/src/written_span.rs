//! Spans as their author wrote them: ranges that may be open at one end.

use smol_str::SmolStr;

use crate::quantity::Quantity;
use crate::written::Written;
use crate::written_error::WrittenError;
use crate::written_range::WrittenRange;

/// A span as its author wrote it: `30 to 60 %RH`, `above 30 °C`, `below 900 hPa`.
///
/// `from`, `up to`, `950 hPa and above` and the like mean the same as `above` and `below`: whether an end itself belongs to a span,
/// a leaflet's words rarely say, so that it belongs to it here.
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

/// Words behind the only end of a span, and whether it is the lower one.
const OPEN_BEHIND: [(&str, bool); 7] = [
    ("and above", true),
    ("or above", true),
    ("and more", true),
    ("or more", true),
    ("and below", false),
    ("or below", false),
    ("or less", false),
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
            return Ok(Self::open(end, is_low, text));
        }
        for (words, is_low) in OPEN_BEHIND {
            let number = text.trim_end().strip_suffix(words);
            if let Some(number) = number.filter(|number| number.ends_with(char::is_whitespace)) {
                let end = Written::<Q>::parse(number)
                    .map_err(|error| error.within(text, 0, |better| format!("{better} {words}")))?;
                return Ok(Self::open(end, is_low, text));
            }
        }
        WrittenRange::parse(text)
            .map(|both| range(text, both))
            .map_err(WrittenError::of_span)
    }

    fn open(end: Written<Q>, is_low: bool, text: &str) -> Self {
        let (low, high) = if is_low {
            (Some(end), None)
        } else {
            (None, Some(end))
        };
        Self {
            low,
            high,
            text: text.into(),
        }
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
            ("20 °C and above", [Some(20.0), None]),
            (" 20 °C or more ", [Some(20.0), None]),
            ("5 °C or below", [None, Some(5.0)]),
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
            "20 and above",
            "and above",
            "20 °Cand above",
            "from 20 °C and above",
            "",
        ] {
            assert!(WrittenSpan::<Temperature>::parse(text).is_err(), "{text}");
        }
    }

    /// Whoever has one end only is told how to write it.
    #[test]
    fn an_open_end_is_offered() {
        let error = WrittenSpan::<Pressure>::parse("950 hPa upward").unwrap_err();
        let offered = "`90 to 105 kPa`, or the only end as in `above 90 kPa` or `below 105 kPa`";
        assert!(error.to_string().ends_with(offered), "{error}");
        assert!(WrittenSpan::<Pressure>::parse("above 90 kPa").is_ok());
        assert!(WrittenSpan::<Pressure>::parse("below 105 kPa").is_ok());
        let range = WrittenRange::<Pressure>::parse("950 hPa upward").unwrap_err();
        assert!(range.to_string().ends_with("`90 to 105 kPa`"), "{range}");
    }
}
