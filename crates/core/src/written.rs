//! Quantities as their author wrote them: value, text and unit.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use crate::decimal::{self, DecimalError, DecimalErrorKind, Digits};
use crate::print;
use crate::quantity::{Quantity, QuantityError};
use crate::spelling;
use crate::unit::{Dimension, Unit, UnknownUnit, UnknownUnitReason, unknown};
use crate::words;

/// A quantity as its author wrote it.
///
/// The text is kept to the letter, the unit is a row of the unit table, and the digits tell how finely the number was
/// meant: two written quantities are compared with the tolerance that their digits give.
///
/// # Example
///
/// ```
/// use stainbook_core::{VolumeFraction, Written};
///
/// let x: Written<VolumeFraction> = "25ppm".parse()?;
/// assert_eq!(x.value().ppm(), 25.0);
/// assert_eq!(x.text(), "25ppm");
/// assert_eq!(x.canonical(), "25 ppm");
/// assert_eq!(x.half_step(), 0.5);
///
/// let error = "25 mg/m3".parse::<Written<VolumeFraction>>().unwrap_err();
/// assert!(error.to_string().contains("mass concentration"));
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Written<Q> {
    value: Q,
    number: f64,
    unit: &'static Unit,
    text: Box<str>,
    number_at: Range<usize>,
}

impl<Q: Quantity> Written<Q> {
    /// Reads a number with a unit.
    ///
    /// Spaces about and between the two do not matter, nor does their kind. What stands for a number is told at
    /// [`Decimal`](crate::Decimal), which units are accepted at [`Unit::spellings`].
    ///
    /// # Errors
    ///
    /// [`WrittenError`], with the place of what is wrong and what to write instead.
    pub fn parse(text: &str) -> Result<Self, WrittenError> {
        let scanned =
            decimal::scan(text).map_err(|e| WrittenError::number(text, e, Q::DIMENSION))?;
        let rest = text.get(scanned.end..).unwrap_or_default();
        let spelling = rest.trim();
        let unit = find_unit(text, rest, spelling, scanned.end, Q::DIMENSION)?;
        let number_at = scanned.start..scanned.end;
        let value = Q::from_unit(scanned.value, unit).map_err(|e| {
            WrittenError::new(
                WrittenErrorKind::Impossible(e),
                text,
                scanned.start..text.trim_end().len(),
                None,
            )
        })?;
        Ok(Self {
            value,
            number: scanned.value,
            unit,
            text: text.into(),
            number_at,
        })
    }

    /// A quantity written out in `unit` with so many digits after the point.
    ///
    /// The value is kept as it is; only the text is rounded.
    ///
    /// # Errors
    ///
    /// [`QuantityError::WrongUnit`]: the unit is of another dimension.
    pub fn of(value: Q, unit: &'static Unit, decimals: i32) -> Result<Self, QuantityError> {
        let number = value.in_unit(unit);
        if number.is_nan() {
            return Err(QuantityError::WrongUnit {
                quantity: Q::NAME,
                unit,
            });
        }
        let mut text = print::to_decimals(number, decimals);
        let number_at = 0..text.len();
        if !unit.canonical().is_empty() {
            text.push(' ');
            text.push_str(unit.canonical());
        }
        Ok(Self {
            value,
            number,
            unit,
            text: text.into(),
            number_at,
        })
    }

    /// The quantity.
    pub const fn value(&self) -> Q {
        self.value
    }

    /// The number, in the unit it is written in.
    pub const fn number(&self) -> f64 {
        self.number
    }

    /// The number's own text: `2.50` of `2.50 ppm`.
    pub fn number_text(&self) -> &str {
        self.text.get(self.number_at.clone()).unwrap_or_default()
    }

    /// The unit it is written in.
    pub const fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// The text, exactly as typed.
    pub const fn text(&self) -> &str {
        &self.text
    }

    /// Half a unit of the last written digit, in the written unit: 0.05 for `2.5 ppm`.
    ///
    /// Zeros before the point count as written: `1200 ppm` is meant to the ppm.
    pub fn half_step(&self) -> f64 {
        Digits::of(self.number_text()).half_step()
    }

    /// How many digits of the number are significant.
    pub fn significant_digits(&self) -> usize {
        Digits::of(self.number_text()).significant
    }

    /// How many digits stand after the point; negative where an exponent puts the last digit before it.
    pub fn decimals(&self) -> i32 {
        Digits::of(self.number_text()).decimals
    }

    /// The same quantity in the usual form: the digits as written, one space, the canonical spelling of the unit.
    pub fn canonical(&self) -> String {
        let mut text = canonical_number(self.number_text());
        if !self.unit.canonical().is_empty() {
            text.push(' ');
            text.push_str(self.unit.canonical());
        }
        text
    }

    /// Whether it is already written in the usual form.
    pub fn is_canonical(&self) -> bool {
        self.canonical() == *self.text
    }
}

/// The digits as written, with an ordinary minus sign, no plus sign, and a digit on both sides of the point.
fn canonical_number(number: &str) -> String {
    let number = number.trim_start_matches('+');
    let (sign, unsigned) = match number.strip_prefix(['-', '−']) {
        Some(unsigned) => ("-", unsigned),
        None => ("", number),
    };
    let (mantissa, exponent) =
        unsigned.split_at(unsigned.find(['e', 'E']).unwrap_or(unsigned.len()));
    let zero = if mantissa.starts_with('.') { "0" } else { "" };
    let mantissa = mantissa.strip_suffix('.').unwrap_or(mantissa);
    // `-0` is zero, and printing a sign on it would only raise questions.
    let sign = if mantissa.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        sign
    } else {
        ""
    };
    format!("{sign}{zero}{mantissa}{}", exponent.replace('E', "e"))
}

fn find_unit(
    text: &str,
    rest: &str,
    spelling: &str,
    number_end: usize,
    dimension: Dimension,
) -> Result<&'static Unit, WrittenError> {
    if let Some(unit) = spelling::find(dimension.members(), spelling) {
        return Ok(unit);
    }
    let start = number_end + (rest.len() - rest.trim_start().len());
    if spelling.is_empty() {
        let kind = WrittenErrorKind::NoUnit { dimension };
        return Err(WrittenError::new(kind, text, number_end..number_end, None));
    }
    let error = unknown(spelling, Some(dimension));
    let suggestion = error.suggestion().map(|unit| {
        let number = text.get(..number_end).unwrap_or_default().trim_start();
        format!("{number} {unit}")
    });
    Err(WrittenError::new(
        WrittenErrorKind::Unit(error),
        text,
        start..start + spelling.len(),
        suggestion,
    ))
}

impl<Q: Quantity> FromStr for Written<Q> {
    type Err = WrittenError;

    fn from_str(text: &str) -> Result<Self, WrittenError> {
        Self::parse(text)
    }
}

impl<Q> fmt::Display for Written<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// A text that is no quantity of the kind that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenError {
    inner: Box<Inner>,
}

#[derive(Debug, Clone, PartialEq)]
struct Inner {
    kind: WrittenErrorKind,
    text: String,
    span: Range<usize>,
    suggestion: Option<String>,
}

/// Why a text is no quantity of the kind that is wanted.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum WrittenErrorKind {
    /// There is no number at the start, or one that is refused (decimal comma, thousands separator, leading zero).
    Number(DecimalError, Dimension),
    /// The number has no unit.
    NoUnit {
        /// What is wanted.
        dimension: Dimension,
    },
    /// The unit is unknown, or belongs to another dimension, or has two meanings.
    Unit(UnknownUnit),
    /// There is no such quantity.
    Impossible(QuantityError),
    /// A range has no `to` between its ends.
    NoRange {
        /// What is wanted.
        dimension: Dimension,
    },
}

impl WrittenError {
    fn new(
        kind: WrittenErrorKind,
        text: &str,
        span: Range<usize>,
        suggestion: Option<String>,
    ) -> Self {
        Self {
            inner: Box::new(Inner {
                kind,
                text: text.to_owned(),
                span,
                suggestion,
            }),
        }
    }

    #[cold]
    fn number(text: &str, error: DecimalError, dimension: Dimension) -> Self {
        let span = error.span();
        let suggestion = error.suggestion();
        Self::new(
            WrittenErrorKind::Number(error, dimension),
            text,
            span,
            suggestion,
        )
    }

    /// Why it was refused.
    pub fn kind(&self) -> &WrittenErrorKind {
        &self.inner.kind
    }

    /// The text as it was given.
    pub fn text(&self) -> &str {
        &self.inner.text
    }

    /// The bytes of the text that are wrong. Empty, at the place where it belongs, for something that is missing.
    pub fn span(&self) -> Range<usize> {
        self.inner.span.clone()
    }

    /// The whole text as it should be written, where only one thing can be meant.
    pub fn suggestion(&self) -> Option<String> {
        self.inner.suggestion.clone()
    }

    /// Whether a unit of another dimension was written.
    pub fn is_wrong_dimension(&self) -> bool {
        matches!(&self.inner.kind, WrittenErrorKind::Unit(e) if matches!(e.reason(), UnknownUnitReason::OtherDimension { .. }))
    }

    /// Whether the quantity was understood but cannot be.
    pub fn is_impossible(&self) -> bool {
        matches!(self.inner.kind, WrittenErrorKind::Impossible(_))
    }

    /// Whether the number has a decimal comma.
    pub fn is_decimal_comma(&self) -> bool {
        matches!(&self.inner.kind, WrittenErrorKind::Number(e, _) if e.kind() == DecimalErrorKind::DecimalComma)
    }

    /// Whether the number has no unit.
    pub fn is_unit_missing(&self) -> bool {
        matches!(self.inner.kind, WrittenErrorKind::NoUnit { .. })
    }

    /// The same error for a text of which this one is the part that starts at `offset`.
    fn within(
        mut self,
        text: &str,
        offset: usize,
        suggestion: impl FnOnce(&str) -> String,
    ) -> Self {
        let span = &mut self.inner.span;
        *span = span.start + offset..span.end + offset;
        self.inner.suggestion = self.inner.suggestion.as_deref().map(suggestion);
        text.clone_into(&mut self.inner.text);
        self
    }
}

impl fmt::Display for WrittenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.inner.kind {
            WrittenErrorKind::Number(error, dimension)
                if error.kind() == DecimalErrorKind::NoNumber =>
            {
                write!(
                    f,
                    "{error}, a {dimension} is a number with its unit, such as `{}`",
                    example(*dimension)
                )
            }
            WrittenErrorKind::Number(error, _) => error.fmt(f),
            WrittenErrorKind::NoUnit { dimension } => write!(
                f,
                "`{}` has no unit, a {dimension} is written in {}",
                self.inner.text.trim(),
                words::or(dimension.usual_units())
            ),
            WrittenErrorKind::Unit(error) => error.fmt(f),
            WrittenErrorKind::Impossible(error) => error.fmt(f),
            WrittenErrorKind::NoRange { dimension } => write!(
                f,
                "`{}` is not a range, write the lower and the upper end with `to` between them, such as `{}`",
                self.inner.text.trim(),
                range_example(*dimension)
            ),
        }
    }
}

impl std::error::Error for WrittenError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.inner.kind {
            WrittenErrorKind::Number(error, _) => Some(error),
            WrittenErrorKind::Unit(error) => Some(error),
            WrittenErrorKind::Impossible(error) => Some(error),
            WrittenErrorKind::NoUnit { .. } | WrittenErrorKind::NoRange { .. } => None,
        }
    }
}

fn example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::VolumeFraction | Dimension::Concentration => "2.5 ppm",
        Dimension::MassFraction => "2.5 mg/kg",
        Dimension::MassConcentration => "2.5 mg/m³",
        Dimension::MolarMass => "17.031 g/mol",
        Dimension::MolarVolume => "24.055 L/mol",
        Dimension::Temperature => "20 °C",
        Dimension::TemperatureDifference => "5 K",
        Dimension::Pressure => "101.3 kPa",
        Dimension::RelativeHumidity | Dimension::Humidity => "50 %RH",
        Dimension::AbsoluteHumidity => "9 g/m³",
        Dimension::Altitude => "1600 m",
        Dimension::Volume => "100 mL",
        Dimension::Duration => "40 s",
        Dimension::Ratio => "10 %",
    }
}

fn range_example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::VolumeFraction | Dimension::Concentration => "0.5 to 20 ppm",
        Dimension::MassFraction => "0.5 to 20 mg/kg",
        Dimension::MassConcentration => "0.5 to 20 mg/m³",
        Dimension::MolarMass => "17 to 18 g/mol",
        Dimension::MolarVolume => "24.0 to 24.5 L/mol",
        Dimension::Temperature => "0 to 40 °C",
        Dimension::TemperatureDifference => "1 to 5 K",
        Dimension::Pressure => "90 to 105 kPa",
        Dimension::RelativeHumidity | Dimension::Humidity => "10 to 85 %RH",
        Dimension::AbsoluteHumidity => "2 to 20 g/m³",
        Dimension::Altitude => "0 to 2000 m",
        Dimension::Volume => "50 to 100 mL",
        Dimension::Duration => "30 to 60 s",
        Dimension::Ratio => "5 to 10 %",
    }
}

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
    text: Box<str>,
}

impl<Q: Quantity> WrittenRange<Q> {
    /// Reads a range.
    ///
    /// # Errors
    ///
    /// [`WrittenError`], with the place of what is wrong in the whole text and what to write instead.
    pub fn parse(text: &str) -> Result<Self, WrittenError> {
        let Some((low_end, high_start)) = divider(text) else {
            let suggestion = hyphenated(text).filter(|better| Self::parse(better).is_ok());
            let start = text.len() - text.trim_start().len();
            let span = start..text.trim_end().len().max(start);
            return Err(WrittenError::new(
                WrittenErrorKind::NoRange {
                    dimension: Q::DIMENSION,
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
                .get(high.number_at.end..)
                .unwrap_or_default()
                .trim();
            Written::<Q>::parse(&format!("{} {unit}", low_text.trim())).map_err(|e| {
                WrittenError::new(e.inner.kind, text, 0..low_text.trim_end().len(), None)
            })?
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
    pub const fn text(&self) -> &str {
        &self.text
    }

    /// Whether a quantity lies in the range, ends included. Nothing lies in a reversed range.
    pub fn contains(&self, value: Q) -> bool {
        self.low.value() <= value && value <= self.high.value()
    }

    /// Whether the first end is above the second.
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

    /// Whether it is already written in the usual form.
    pub fn is_canonical(&self) -> bool {
        self.canonical() == *self.text
    }
}

/// Where the lower end stops and the upper one starts.
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
