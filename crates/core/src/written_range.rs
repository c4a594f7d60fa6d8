//! Ranges as their author wrote them.

use std::fmt;
use std::str::FromStr;

use smol_str::SmolStr;

use crate::decimal;
use crate::quantity::Quantity;
use crate::written::{Written, canonical_number};
use crate::written_error::{WrittenError, WrittenErrorKind};

/// A range as its author wrote it: `0 to 40 °C`, `-5 °C to 40 °C`, `10 to 85 %RH`.
///
/// The lower end may leave out its unit, which is then that of the upper end. A reversed range is read as it stands;
/// whether that is a slip is for a rule to say.
///
/// # Example
///
/// ```
/// use stainbook_core::{Temperature, WrittenRange};
///
/// let usable: WrittenRange<Temperature> = "0 to 40 °C".parse()?;
/// assert_eq!(usable.low().value().celsius(), 0.0);
/// assert!(usable.contains(Temperature::from_fahrenheit(68.0)?));
/// assert!("0-40 °C".parse::<WrittenRange<Temperature>>().is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenRange<Q> {
    low: Written<Q>,
    high: Written<Q>,
    text: SmolStr,
}

impl<Q: Quantity> WrittenRange<Q> {
    /// Reads a range.
    ///
    /// # Errors
    ///
    /// [`WrittenError`], with the place of what is wrong in the whole text and what to write instead.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{RelativeHumidity, WrittenRange};
    ///
    /// let humid = WrittenRange::<RelativeHumidity>::parse("10 to 90 %RH")?;
    /// assert_eq!(humid.high().value().percent(), 90.0);
    /// assert!(WrittenRange::<RelativeHumidity>::parse("dry").is_err());
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, WrittenError> {
        let Some((low_end, high_start)) = divider(text) else {
            let suggestion = hyphenated(text).filter(|better| Self::parse(better).is_ok());
            let start = text.len() - text.trim_start().len();
            let span = start..text.trim_end().len().max(start);
            return Err(WrittenError::new(
                WrittenErrorKind::NoRange {
                    dimension: Q::DIMENSION,
                    may_be_open: false,
                },
                text,
                span,
                suggestion,
            ));
        };
        let low_text = text.get(..low_end).unwrap_or_default();
        let high_text = text.get(high_start..).unwrap_or_default();
        let high = Written::<Q>::parse(high_text).map_err(|e| {
            e.within(text, high_start, |better| {
                format!("{} to {}", low_text.trim(), better.trim())
            })
        })?;
        let bare = decimal::scan(low_text)
            .is_ok_and(|n| low_text.get(n.end..).unwrap_or_default().trim().is_empty());
        let low = if bare && !high.unit().canonical().is_empty() {
            let unit = high_text
                .get(high.number_at().end..)
                .unwrap_or_default()
                .trim();
            Written::<Q>::parse(&format!("{} {unit}", low_text.trim()))
                .map_err(|e| e.moved_to(text, 0..low_text.trim_end().len()))?
        } else {
            Written::<Q>::parse(low_text).map_err(|e| {
                e.within(text, 0, |better| {
                    format!("{} to {}", better.trim(), high_text.trim())
                })
            })?
        };
        Ok(Self {
            low,
            high,
            text: text.into(),
        })
    }

    /// The end that is written first. Its text carries the unit even where the author wrote it once for both.
    pub const fn low(&self) -> &Written<Q> {
        &self.low
    }

    /// The end that is written last.
    pub const fn high(&self) -> &Written<Q> {
        &self.high
    }

    /// The text, exactly as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// True if a quantity lies in the range, ends included. Nothing lies in a reversed range.
    pub fn contains(&self, value: Q) -> bool {
        self.low.value() <= value && value <= self.high.value()
    }

    /// True if the first end is above the second.
    pub fn is_reversed(&self) -> bool {
        self.low.value() > self.high.value()
    }

    /// The same range in the usual form: `0 to 40 °C`, or with two units where the author used two.
    pub fn canonical(&self) -> String {
        if self.low.unit() == self.high.unit() {
            format!(
                "{} to {}",
                canonical_number(self.low.number_text()),
                self.high.canonical()
            )
        } else {
            format!("{} to {}", self.low.canonical(), self.high.canonical())
        }
    }

    /// True if it is already written in the usual form.
    pub fn is_canonical(&self) -> bool {
        self.canonical() == self.text
    }
}

/// End of the lower quantity and start of the upper one.
fn divider(text: &str) -> Option<(usize, usize)> {
    let mut at = 0;
    for word in text.split_inclusive(char::is_whitespace) {
        let start = at;
        at += word.len();
        if 0 < start
            && matches!(word.trim_end(), "to" | "–" | "—" | "…" | "..")
            && word.len() > word.trim_end().len()
        {
            return Some((start, at));
        }
    }
    // Two or three dots.
    if let Some(start) = text.find("..") {
        let rest = text.get(start..).unwrap_or_default();
        return Some((
            start,
            start + rest.len() - rest.trim_start_matches('.').len(),
        ));
    }
    // A dash without spaces about it cannot be a minus sign: that is another letter.
    let (start, dash) = text
        .char_indices()
        .skip(1)
        .find(|(_, c)| matches!(c, '–' | '—' | '…'))?;
    Some((start, start + dash.len_utf8()))
}

/// `10-85 %RH` as `10 to 85 %RH`: a hyphen is also a minus sign, so it is suggested, not taken.
fn hyphenated(text: &str) -> Option<String> {
    let trimmed = text.trim();
    let (at, _) = trimmed.char_indices().skip(1).find(|(_, c)| *c == '-')?;
    let (low, high) = (trimmed.get(..at)?, trimmed.get(at + 1..)?);
    Some(format!("{} to {}", low.trim(), high.trim()))
}

impl<Q: Quantity> FromStr for WrittenRange<Q> {
    type Err = WrittenError;

    fn from_str(text: &str) -> Result<Self, WrittenError> {
        Self::parse(text)
    }
}

impl<Q> fmt::Display for WrittenRange<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}
