//! Quantities as their author wrote them: value, text and unit.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use smol_str::SmolStr;

use crate::decimal::{self, Digits};
use crate::dimension::Dimension;
use crate::print;
use crate::quantity::{Quantity, QuantityError};
use crate::spelling;
use crate::unit::Unit;
use crate::unknown_unit::unknown;
use crate::written_error::{WrittenError, WrittenErrorKind};

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
    text: SmolStr,
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
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{Pressure, Written};
    ///
    /// let here = Written::<Pressure>::parse("835 hPa")?;
    /// assert_eq!((here.value().kilopascals(), here.text()), (83.5, "835 hPa"));
    /// assert!(Written::<Pressure>::parse("835 h").is_err());
    /// # Ok::<(), stainbook_core::WrittenError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, WrittenError> {
        let scanned =
            decimal::scan(text).map_err(|e| WrittenError::number(text, e, Q::DIMENSION))?;
        let rest = text.get(scanned.end..).unwrap_or_default();
        let spelling = rest.trim();
        let unit = find_unit(text, rest, spelling, scanned.end, Q::DIMENSION)?;
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
        })
    }

    /// A quantity written out in `unit` with so many digits after the point.
    ///
    /// The value is kept as it is; only the text is rounded.
    ///
    /// # Errors
    ///
    /// [`QuantityError::WrongUnit`]: the unit is of another dimension.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::{VolumeFraction, Written, unit};
    ///
    /// let shown = Written::of(VolumeFraction::from_ppm(24.96)?, unit("ppm")?, 1)?;
    /// assert_eq!((shown.text(), shown.value().ppm()), ("25.0 ppm", 24.96));
    /// assert!(Written::of(VolumeFraction::from_ppm(25.0)?, unit("kPa")?, 1).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(value: Q, unit: &'static Unit, decimals: i32) -> Result<Self, QuantityError> {
        let number = value.in_unit(unit);
        if number.is_nan() {
            return Err(QuantityError::WrongUnit {
                quantity: Q::NAME,
                unit,
            });
        }
        let mut text = print::to_decimals(number, decimals);
        if !unit.canonical().is_empty() {
            let unit = unit.canonical_after(&text);
            text.push(' ');
            text.push_str(unit);
        }
        Ok(Self {
            value,
            number,
            unit,
            text: text.into(),
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
        self.text.get(self.number_at()).unwrap_or_default()
    }

    /// Place of the number in the text.
    pub(crate) fn number_at(&self) -> Range<usize> {
        // Found again rather than kept: a large catalog holds a million of these.
        decimal::scan(&self.text).map_or(0..0, |scanned| scanned.start..scanned.end)
    }

    /// The unit it is written in.
    pub const fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// The text, exactly as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Half a unit of the last written digit, in the written unit: 0.05 for `2.5 ppm`.
    ///
    /// Zeros before the point count as written: `1200 ppm` is meant to the ppm.
    pub fn half_step(&self) -> f64 {
        Digits::of(self.number_text()).half_step()
    }

    /// Number of significant digits; zeros at the end of a whole number are not counted.
    pub fn significant_digits(&self) -> usize {
        Digits::of(self.number_text()).significant
    }

    /// Number of digits after the point; negative where an exponent puts the last digit before it.
    pub fn decimals(&self) -> i32 {
        Digits::of(self.number_text()).decimals
    }

    /// The same quantity in the usual form: the digits as written, one space, the canonical spelling of the unit.
    pub fn canonical(&self) -> String {
        let mut text = canonical_number(self.number_text());
        if !self.unit.canonical().is_empty() {
            let unit = self.unit.canonical_after(&text);
            text.push(' ');
            text.push_str(unit);
        }
        text
    }

    /// True if it is already written in the usual form.
    pub fn is_canonical(&self) -> bool {
        self.canonical() == self.text
    }
}

/// The digits as written, with an ordinary minus sign, no plus sign, and a digit on both sides of the point.
pub(crate) fn canonical_number(number: &str) -> String {
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
    // `25-30 ppm`, `25±2 ppm`, `1:30 min`, `1 min 30 s`: what follows the number holds another one.
    let another = spelling.starts_with(['-', '–', '—', '−', '±', ':', '/', '.'])
        || spelling
            .split_whitespace()
            .skip(1)
            .any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    if another && spelling.contains(|c: char| c.is_ascii_digit()) {
        let kind = WrittenErrorKind::SeveralNumbers { dimension };
        return Err(WrittenError::new(
            kind,
            text,
            start..start + spelling.len(),
            None,
        ));
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
