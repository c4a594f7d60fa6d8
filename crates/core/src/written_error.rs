//! Faults of a quantity or range as written.

use std::fmt;
use std::ops::Range;

use crate::decimal_error::{DecimalError, DecimalErrorKind};
use crate::dimension::Dimension;
use crate::quantity::QuantityError;
use crate::unknown_unit::{UnknownUnit, UnknownUnitReason};
use crate::words;

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

/// Kind of fault that makes a text no quantity of the wanted dimension.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum WrittenErrorKind {
    /// There is no number at the start, or one that is refused (decimal comma, thousands separator, leading zero).
    Number(DecimalError, Dimension),
    /// The number has no unit.
    NoUnit {
        /// Wanted dimension.
        dimension: Dimension,
    },
    /// More than one number stands there: a range, a tolerance, a fraction, minutes and seconds.
    SeveralNumbers {
        /// Wanted dimension.
        dimension: Dimension,
    },
    /// The unit is unknown, or belongs to another dimension, or has two meanings.
    Unit(UnknownUnit),
    /// There is no such quantity.
    Impossible(QuantityError),
    /// A range has no `to` between its ends.
    NoRange {
        /// Wanted dimension.
        dimension: Dimension,
        /// True if one of its ends may be absent.
        may_be_open: bool,
    },
}

impl WrittenError {
    pub(crate) fn new(
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
    pub(crate) fn number(text: &str, error: DecimalError, dimension: Dimension) -> Self {
        let span = error.span();
        let suggestion = error.suggestion();
        Self::new(
            WrittenErrorKind::Number(error, dimension),
            text,
            span,
            suggestion,
        )
    }

    /// Kind of fault.
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

    /// True if a unit of another dimension was written.
    pub fn is_wrong_dimension(&self) -> bool {
        matches!(&self.inner.kind, WrittenErrorKind::Unit(e) if matches!(e.reason(), UnknownUnitReason::OtherDimension { .. }))
    }

    /// True if the quantity was understood but cannot be.
    pub fn is_impossible(&self) -> bool {
        matches!(self.inner.kind, WrittenErrorKind::Impossible(_))
    }

    /// True if the number has a decimal comma.
    pub fn is_decimal_comma(&self) -> bool {
        matches!(&self.inner.kind, WrittenErrorKind::Number(e, _) if e.kind() == DecimalErrorKind::DecimalComma)
    }

    /// True if the number has no unit.
    pub fn is_unit_missing(&self) -> bool {
        matches!(self.inner.kind, WrittenErrorKind::NoUnit { .. })
    }

    /// The same fault where one end may be absent.
    pub(crate) fn of_span(mut self) -> Self {
        if let WrittenErrorKind::NoRange { may_be_open, .. } = &mut self.inner.kind {
            *may_be_open = true;
        }
        self
    }

    /// The same fault in another text.
    pub(crate) fn moved_to(self, text: &str, span: Range<usize>) -> Self {
        Self::new(self.inner.kind, text, span, None)
    }

    /// The same error for a text of which this one is the part that starts at `offset`.
    pub(crate) fn within(
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
                    "{error}, {} is a number with its unit, such as `{}`",
                    words::a(dimension.name()),
                    example(*dimension)
                )
            }
            WrittenErrorKind::Number(error, _) => error.fmt(f),
            WrittenErrorKind::NoUnit { dimension } => write!(
                f,
                "`{}` has no unit, {} is written in {}",
                self.inner.text.trim(),
                words::a(dimension.name()),
                words::or(dimension.usual_units())
            ),
            WrittenErrorKind::SeveralNumbers { dimension } => write!(
                f,
                "`{}` is more than one number, {} is one number with its unit, such as `{}`",
                self.inner.text.trim(),
                words::a(dimension.name()),
                example(*dimension)
            ),
            WrittenErrorKind::Unit(error) => error.fmt(f),
            WrittenErrorKind::Impossible(error) => error.fmt(f),
            WrittenErrorKind::NoRange {
                dimension,
                may_be_open,
            } => {
                let both = range_example(*dimension);
                write!(
                    f,
                    "`{}` is not a range, write the lower and the upper end with `to` between them, such as `{both}`",
                    self.inner.text.trim(),
                )?;
                if let (true, Some((low, high))) = (may_be_open, both.split_once(" to ")) {
                    let unit = high.split_once(' ').map_or("", |(_, unit)| unit);
                    write!(
                        f,
                        ", or the only end as in `above {low} {unit}` or `below {high}`"
                    )?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for WrittenError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.inner.kind {
            WrittenErrorKind::Number(error, _) => Some(error),
            WrittenErrorKind::Unit(error) => Some(error),
            WrittenErrorKind::Impossible(error) => Some(error),
            WrittenErrorKind::NoUnit { .. }
            | WrittenErrorKind::SeveralNumbers { .. }
            | WrittenErrorKind::NoRange { .. } => None,
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
