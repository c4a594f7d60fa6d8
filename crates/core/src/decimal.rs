//! Numbers as their author wrote them: the value and the digits.

use std::fmt;
use std::str::FromStr;

use smol_str::SmolStr;

use crate::decimal_error::{DecimalError, DecimalErrorKind, digit_for};
use crate::elementary::power_of_ten;

/// A bare number with the digits as written.
///
/// Accepted: an optional sign (`+`, `-` or the minus sign U+2212), digits with an optional decimal point, an optional
/// exponent. Refused, because each of them is more often a slip than a number: a decimal comma, thousands separators,
/// leading zeros (`025` may be 25, or 0.25 that has lost its point), not-a-number and infinity.
///
/// # Example
///
/// ```
/// use stainbook_core::Decimal;
///
/// let x: Decimal = "2.50".parse()?;
/// assert_eq!(x.text(), "2.50");
/// assert_eq!(x.significant_digits(), 3);
/// assert!((x.half_step() - 0.005).abs() < 1e-12);
/// assert_eq!("0,5".parse::<Decimal>().unwrap_err().suggestion().as_deref(), Some("0.5"));
/// # Ok::<(), stainbook_core::DecimalError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Decimal {
    value: f64,
    text: SmolStr,
}

impl Decimal {
    /// Reads a number.
    ///
    /// # Errors
    ///
    /// [`DecimalError`], which says what to write instead where that can be known.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::Decimal;
    ///
    /// assert_eq!(Decimal::parse("0.50")?.text(), "0.50");
    /// assert!(Decimal::parse("1.2.3").is_err());
    /// # Ok::<(), stainbook_core::DecimalError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, DecimalError> {
        Ok(Self {
            value: value_of(text)?,
            text: text.into(),
        })
    }

    /// The value.
    pub const fn value(&self) -> f64 {
        self.value
    }

    /// The text, exactly as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Half a unit of the last written digit: 0.05 for `2.5`, 0.5 for `120`, 5 for `2.50e3`.
    pub fn half_step(&self) -> f64 {
        Digits::of(&self.text).half_step()
    }

    /// Number of significant digits: 3 for `2.50`, 2 for `0.025`. Zeros at the end of a whole number may be filling and are not
    /// counted: 2 for `120`, 1 for `1000` and for `1e3`.
    pub fn significant_digits(&self) -> usize {
        Digits::of(&self.text).significant
    }

    /// Number of digits after the point; negative where an exponent puts the last digit before it.
    pub fn decimals(&self) -> i32 {
        Digits::of(&self.text).decimals
    }
}

impl FromStr for Decimal {
    type Err = DecimalError;

    fn from_str(text: &str) -> Result<Self, DecimalError> {
        Self::parse(text)
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// The value of a bare number, without keeping its text: nothing is allocated.
///
/// # Errors
///
/// The same as [`Decimal::parse`].
///
/// # Example
///
/// ```
/// assert_eq!(stainbook_core::decimal::value_of("-2.5e1"), Ok(-25.0));
/// ```
pub fn value_of(text: &str) -> Result<f64, DecimalError> {
    let scanned = scan(text)?;
    let rest = text.get(scanned.end..).unwrap_or_default();
    if rest.trim().is_empty() {
        Ok(scanned.value)
    } else {
        let start = text.len() - rest.trim_start().len();
        Err(DecimalError {
            kind: DecimalErrorKind::Trailing,
            text: text.to_owned(),
            span: start..text.trim_end().len(),
        })
    }
}

pub(crate) fn is_group_separator(c: char) -> bool {
    c == ',' || c == '\'' || c == '’' || c == '_' || c.is_whitespace()
}

/// Place of a number in a text, and its value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scanned {
    pub(crate) value: f64,
    pub(crate) start: usize,
    pub(crate) end: usize,
}

/// The number at the start of a text, after any spaces. What follows it is left to the caller.
pub(crate) fn scan(text: &str) -> Result<Scanned, DecimalError> {
    let start = text.len() - text.trim_start().len();
    let body = text.get(start..).unwrap_or_default();
    let (sign, digits_at) = match body.chars().next() {
        Some('-') => (-1.0, 1),
        Some('−') => (-1.0, '−'.len_utf8()),
        Some('+') => (1.0, 1),
        _ => (1.0, 0),
    };
    let unsigned = body.get(digits_at..).unwrap_or_default();
    let bytes = unsigned.as_bytes();

    let whole = count_digits(bytes);
    let mut length = whole;
    let mut fraction = 0;
    if bytes.get(length) == Some(&b'.') {
        fraction = count_digits(bytes.get(length + 1..).unwrap_or_default());
        if 0 < whole || 0 < fraction {
            length += 1 + fraction;
        }
    }
    let error = |kind, end: usize| DecimalError {
        kind,
        text: text.to_owned(),
        span: start..start + digits_at + end,
    };
    if whole == 0 && fraction == 0 {
        return Err(no_number(text, start, unsigned, digits_at));
    }
    let mantissa_end = length;
    if let Some(b'e' | b'E') = bytes.get(length) {
        let signed = usize::from(matches!(bytes.get(length + 1), Some(b'+' | b'-')));
        let exponent = count_digits(bytes.get(length + 1 + signed..).unwrap_or_default());
        if 0 < exponent {
            length += 1 + signed + exponent;
        }
    }
    if let Some((kind, end)) = separated(unsigned, mantissa_end, whole, fraction) {
        return Err(error(kind, end));
    }
    if 1 < whole && bytes.first() == Some(&b'0') {
        return Err(error(DecimalErrorKind::LeadingZero, length));
    }
    let number = unsigned.get(..length).unwrap_or_default();
    // The grammar above is a part of what the standard parser reads, so only the range can go wrong.
    let value = sign * number.parse::<f64>().unwrap_or(f64::NAN);
    if !value.is_finite() {
        return Err(error(DecimalErrorKind::NotFinite, length));
    }
    let mantissa = unsigned.get(..mantissa_end).unwrap_or_default();
    let digits = mantissa.bytes().any(|b| matches!(b, b'1'..=b'9'));
    // What was measured is not nothing, and a number this small keeps none or few of its digits.
    if digits && value.abs() < f64::MIN_POSITIVE {
        return Err(error(DecimalErrorKind::TooSmall, length));
    }
    Ok(Scanned {
        value: value + 0.0,
        start,
        end: start + digits_at + length,
    })
}

fn count_digits(bytes: &[u8]) -> usize {
    bytes.iter().take_while(|b| b.is_ascii_digit()).count()
}

/// Separators right after the first run of digits, and where the whole of the separated number ends.
fn separated(
    unsigned: &str,
    at: usize,
    whole: usize,
    fraction: usize,
) -> Option<(DecimalErrorKind, usize)> {
    let rest = unsigned.get(at..)?;
    let first = rest.chars().next()?;
    // A second point: `1.000.000`.
    let point_again = first == '.' && 0 < fraction;
    if !(is_group_separator(first) || point_again) {
        return None;
    }
    // Runs of digits, each after one separator.
    let mut end = at;
    let mut groups = Vec::new();
    let mut tail = rest;
    while let Some(separator) = tail
        .chars()
        .next()
        .filter(|c| is_group_separator(*c) || *c == '.')
    {
        let after = tail.get(separator.len_utf8()..).unwrap_or_default();
        let digits = count_digits(after.as_bytes());
        if digits == 0 {
            break;
        }
        groups.push(digits);
        end += separator.len_utf8() + digits;
        tail = after.get(digits..).unwrap_or_default();
    }
    if groups.is_empty() {
        return None;
    }
    let threes = groups.iter().all(|digits| *digits == 3);
    let kind = match (first, groups.len()) {
        (',', 1) if fraction == 0 && threes && whole <= 3 && !unsigned.starts_with('0') => {
            DecimalErrorKind::CommaOrThousands
        }
        (',', 1) if fraction == 0 => DecimalErrorKind::DecimalComma,
        // Two numbers with a space between are a range or a list unless the second is a group of three.
        (space, _) if space.is_whitespace() && !threes => return None,
        _ => DecimalErrorKind::ThousandsSeparator,
    };
    Some((kind, end))
}

#[cold]
fn no_number(text: &str, start: usize, unsigned: &str, digits_at: usize) -> DecimalError {
    let word: String = unsigned
        .chars()
        .take_while(|c| c.is_alphabetic() || *c == '.' || *c == '∞')
        .collect();
    let plain = word.trim_start_matches('.').to_ascii_lowercase();
    let special = matches!(plain.as_str(), "nan" | "inf" | "infinity" | "∞");
    if special {
        let end = start + digits_at + word.len();
        return DecimalError {
            kind: DecimalErrorKind::NotFinite,
            text: text.to_owned(),
            span: start..end,
        };
    }
    // `O.5`, `l0`: a letter that looks like a digit, with a digit or the point right behind it.
    let like_number = |c: char| c.is_ascii_digit() || c == '.' || digit_for(c).is_some();
    let end = unsigned.find(|c| !like_number(c)).unwrap_or(unsigned.len());
    let number = unsigned.get(..end).unwrap_or_default();
    if number.chars().any(|c| c.is_ascii_digit()) {
        return DecimalError {
            kind: DecimalErrorKind::LetterForDigit,
            text: text.to_owned(),
            span: start..start + digits_at + end,
        };
    }
    // `,5`: a decimal comma without the digit before it.
    if unsigned.starts_with(',') {
        let digits = count_digits(unsigned.get(1..).unwrap_or_default().as_bytes());
        if 0 < digits {
            let end = start + digits_at + 1 + digits;
            return DecimalError {
                kind: DecimalErrorKind::DecimalComma,
                text: text.to_owned(),
                span: start..end,
            };
        }
    }
    DecimalError {
        kind: DecimalErrorKind::NoNumber,
        text: text.to_owned(),
        span: start..text.trim_end().len().max(start),
    }
}

/// Fineness of an accepted number, as its digits say it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Digits {
    pub(crate) significant: usize,
    pub(crate) decimals: i32,
}

impl Digits {
    pub(crate) fn of(number: &str) -> Self {
        let number = number.trim();
        let (mantissa, exponent) = match number.find(['e', 'E']) {
            Some(at) => (
                number.get(..at).unwrap_or_default(),
                // An exponent too long for an `i32` belongs to a zero or an underflow; its digits say nothing more.
                number
                    .get(at + 1..)
                    .and_then(|e| e.parse::<i32>().ok())
                    .unwrap_or(0),
            ),
            None => (number, 0),
        };
        let fraction = mantissa
            .find('.')
            .map_or(0, |point| mantissa.len() - point - 1);
        let all = mantissa.bytes().filter(u8::is_ascii_digit).count();
        let zeros = mantissa
            .bytes()
            .filter(|b| *b != b'.')
            .skip_while(|b| !b.is_ascii_digit())
            .take_while(|b| *b == b'0')
            .count();
        let decimals = i32::try_from(fraction)
            .unwrap_or(i32::MAX)
            .saturating_sub(exponent);
        let filling = if mantissa.contains('.') {
            0
        } else {
            mantissa.bytes().rev().take_while(|b| *b == b'0').count()
        };
        // A number of zeros only (`0`, `0.00`) still has the one digit that was read as zero.
        Self {
            significant: all.saturating_sub(zeros).saturating_sub(filling).max(1),
            decimals,
        }
    }

    pub(crate) fn half_step(self) -> f64 {
        let decimals = self.decimals;
        if 0 <= decimals {
            0.5 / power_of_ten(decimals)
        } else {
            0.5 * power_of_ten(-decimals)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers() {
        for (text, value, significant, decimals) in [
            ("25", 25.0, 2, 0),
            (" 25 ", 25.0, 2, 0),
            ("2.50", 2.5, 3, 2),
            ("0.025", 0.025, 2, 3),
            ("-5", -5.0, 1, 0),
            ("−5.0", -5.0, 2, 1),
            ("+1e3", 1000.0, 1, -3),
            ("2.50e3", 2500.0, 3, -1),
            ("1E-2", 0.01, 1, 2),
            (".5", 0.5, 1, 1),
            ("760.", 760.0, 3, 0),
            ("0", 0.0, 1, 0),
            ("0.00", 0.0, 1, 2),
            ("-0", 0.0, 1, 0),
            ("120", 120.0, 2, 0),
            ("1000", 1000.0, 1, 0),
            ("1110000", 1_110_000.0, 3, 0),
            ("100.0", 100.0, 4, 1),
        ] {
            let x = Decimal::parse(text).unwrap();
            assert!((x.value() - value).abs() <= 0.0, "{text}");
            assert!(x.value().is_sign_positive() || x.value() < 0.0, "{text}");
            assert_eq!(
                (x.significant_digits(), x.decimals()),
                (significant, decimals),
                "{text}"
            );
            assert_eq!(x.text(), text);
        }
    }

    #[test]
    fn refusals_say_why_and_what_to_write() {
        use DecimalErrorKind as K;
        for (text, kind, span, suggestion) in [
            ("", K::NoNumber, 0..0, None),
            ("ppm", K::NoNumber, 0..3, None),
            ("-", K::NoNumber, 0..1, None),
            (".", K::NoNumber, 0..1, None),
            ("0,5", K::DecimalComma, 0..3, Some("0.5")),
            ("-0,125", K::DecimalComma, 0..6, Some("-0.125")),
            (" 12,5", K::DecimalComma, 1..5, Some(" 12.5")),
            ("O.5", K::LetterForDigit, 0..3, Some("0.5")),
            ("-l0", K::LetterForDigit, 0..3, Some("-10")),
            (",5", K::DecimalComma, 0..2, Some(".5")),
            ("1,000", K::CommaOrThousands, 0..5, None),
            ("1,000,000", K::ThousandsSeparator, 0..9, Some("1000000")),
            ("1.000.000", K::ThousandsSeparator, 0..9, None),
            ("1,234.5", K::ThousandsSeparator, 0..7, Some("1234.5")),
            ("1.234,5", K::ThousandsSeparator, 0..7, Some("1234.5")),
            ("1 000", K::ThousandsSeparator, 0..5, Some("1000")),
            ("1'000", K::ThousandsSeparator, 0..5, Some("1000")),
            ("1_000", K::ThousandsSeparator, 0..5, Some("1000")),
            ("025", K::LeadingZero, 0..3, None),
            ("00.5", K::LeadingZero, 0..4, None),
            ("NaN", K::NotFinite, 0..3, None),
            (".inf", K::NotFinite, 0..4, None),
            ("-Infinity", K::NotFinite, 0..9, None),
            ("1e999", K::NotFinite, 0..5, None),
            ("5 x", K::Trailing, 2..3, None),
            ("0x10", K::Trailing, 1..4, None),
            ("1e", K::Trailing, 1..2, None),
        ] {
            let error = Decimal::parse(text).unwrap_err();
            assert_eq!(error.kind(), kind, "{text}: {error}");
            assert_eq!(error.span(), span, "{text}");
            assert_eq!(error.suggestion().as_deref(), suggestion, "{text}");
        }
    }

    #[test]
    fn half_steps() {
        for (text, half) in [
            ("25", 0.5),
            ("2.5", 0.05),
            ("2.50e3", 5.0),
            ("0.001", 0.0005),
            ("1e3", 500.0),
        ] {
            let step = Decimal::parse(text).unwrap().half_step();
            assert!((step / half - 1.0).abs() < 1e-15, "{text} {step}");
        }
    }
}
