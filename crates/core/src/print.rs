//! Printing numbers: to given digits, to the digits that an uncertainty supports, or with all digits they have.
//!
//! No function here prints a negative zero.

use std::fmt::Write as _;

use crate::elementary::power_of_ten;

/// Number of printed digits of an uncertainty. Source: JCGM 100:2008 (GUM), 7.2.6: at most two significant digits.
pub const UNCERTAINTY_DIGITS: u32 = 2;

/// Numbers from here up to [`PLAIN_TO`] are printed without an exponent.
const PLAIN_FROM: f64 = 1e-6;
/// See [`PLAIN_FROM`]. Up to here every digit that is printed is a digit of the value.
const PLAIN_TO: f64 = 1e15;

/// A number with so many digits after the point; a negative count rounds before the point.
///
/// The exact binary value is rounded, a tie to the even digit.
///
/// # Example
///
/// ```
/// use stainbook_core::print::to_decimals;
/// assert_eq!(to_decimals(28.628, 1), "28.6");
/// assert_eq!(to_decimals(1234.0, -2), "1200");
/// assert_eq!(to_decimals(-0.04, 1), "0.0");
/// ```
pub fn to_decimals(value: f64, decimals: i32) -> String {
    let mut text = String::new();
    push_decimals(&mut text, value, decimals);
    text
}

/// The same as [`to_decimals`], behind what a text already holds: for a stream, which keeps its buffer.
pub fn push_decimals(text: &mut String, value: f64, decimals: i32) {
    let start = text.len();
    // Writing to a `String` cannot fail.
    let _ = if let Ok(decimals) = usize::try_from(decimals) {
        write!(text, "{value:.decimals$}")
    } else {
        let step = power_of_ten(decimals.unsigned_abs().min(308).cast_signed());
        write!(text, "{:.0}", (value / step).round_ties_even() * step)
    };
    drop_sign_of_zero(text, start);
}

/// A number with so many significant digits, without an exponent in a readable range (0.000001 to 1e15).
///
/// # Example
///
/// ```
/// use stainbook_core::print::to_significant;
/// assert_eq!(to_significant(28.628, 3), "28.6");
/// assert_eq!(to_significant(0.09996, 3), "0.100");
/// assert_eq!(to_significant(123_456.0, 2), "120000");
/// ```
pub fn to_significant(value: f64, digits: u32) -> String {
    let digits = digits.max(1);
    match exponent_after_rounding(value, digits) {
        Some(exponent) if (-6..15).contains(&exponent) => {
            to_decimals(value, digits.min(400).cast_signed() - 1 - exponent)
        }
        Some(_) => format!("{value:.*e}", usize::try_from(digits - 1).unwrap_or(0)),
        None => number(value),
    }
}

/// Side to which the end of an interval, or a bound, is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Towards {
    /// Upwards: an upper end, and "less than".
    Up,
    /// Downwards: a lower end, and "more than".
    Down,
}

/// A relative distance to a printed number that is no distance: what arithmetic leaves of it.
const NO_DISTANCE: f64 = 1e-9;

/// The end of an interval with so many digits after the point, rounded outwards so that the printed one covers no less.
///
/// # Example
///
/// ```
/// use stainbook_core::print::{Towards, end_to_decimals};
/// assert_eq!(end_to_decimals(7.341, 2, Towards::Up), "7.35");
/// assert_eq!(end_to_decimals(7.349, 2, Towards::Down), "7.34");
/// assert_eq!(end_to_decimals(0.1 + 0.2, 1, Towards::Up), "0.3");
/// assert_eq!(end_to_decimals(1234.0, -2, Towards::Up), "1300");
/// ```
pub fn end_to_decimals(value: f64, decimals: i32, towards: Towards) -> String {
    let steps = power_of_ten(decimals.clamp(-300, 300));
    let scaled = value * steps;
    let nearest = scaled.round();
    let outwards = if (scaled - nearest).abs() <= NO_DISTANCE * nearest.abs().max(1.0) {
        nearest
    } else {
        match towards {
            Towards::Up => scaled.ceil(),
            Towards::Down => scaled.floor(),
        }
    };
    to_decimals(outwards / steps, decimals)
}

/// A bound to so many significant digits, rounded outwards as [`end_to_decimals`] does.
///
/// # Example
///
/// ```
/// use stainbook_core::print::{Towards, bound_to_significant};
/// assert_eq!(bound_to_significant(0.411_2, 3, Towards::Up), "0.412");
/// assert_eq!(bound_to_significant(308.9, 3, Towards::Down), "308");
/// assert_eq!(bound_to_significant(0.520, 3, Towards::Up), "0.520");
/// ```
pub fn bound_to_significant(value: f64, digits: u32, towards: Towards) -> String {
    match exponent_after_rounding(value, digits) {
        Some(exponent) if (-6..15).contains(&exponent) => {
            let decimals = digits.clamp(1, 17).cast_signed() - 1 - exponent;
            end_to_decimals(value, decimals, towards)
        }
        _ => to_significant(value, digits),
    }
}

/// A number to so many significant digits, without the zeros at its end.
///
/// # Example
///
/// ```
/// use stainbook_core::print::to_significant_at_most;
/// assert_eq!(to_significant_at_most(2.100, 4), "2.1");
/// assert_eq!(to_significant_at_most(1200.0, 3), "1200");
/// ```
pub fn to_significant_at_most(value: f64, digits: u32) -> String {
    let text = to_significant(value, digits);
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Number of digits after the point that an uncertainty supports: so many that two of its digits are printed.
///
/// `None` if the uncertainty is zero, negative or not finite, and so supports no particular digit.
///
/// # Example
///
/// ```
/// use stainbook_core::print::decimals_for;
/// assert_eq!(decimals_for(3.21), Some(1));
/// assert_eq!(decimals_for(0.0999), Some(2)); // printed as 0.10
/// assert_eq!(decimals_for(4567.0), Some(-2));
/// ```
pub fn decimals_for(uncertainty: f64) -> Option<i32> {
    if uncertainty <= 0.0 {
        return None;
    }
    let exponent = exponent_after_rounding(uncertainty, UNCERTAINTY_DIGITS)?;
    Some(UNCERTAINTY_DIGITS.cast_signed() - 1 - exponent)
}

/// A value and its uncertainty, the uncertainty with two digits and the value to the same place.
///
/// An uncertainty that supports no digit (zero, not finite) leaves the value with all its digits.
///
/// # Example
///
/// ```
/// use stainbook_core::print::with_uncertainty;
/// assert_eq!(with_uncertainty(28.6283, 3.214), ("28.6".to_owned(), "3.2".to_owned()));
/// assert_eq!(with_uncertainty(12345.0, 678.0), ("12340".to_owned(), "680".to_owned()));
/// ```
pub fn with_uncertainty(value: f64, uncertainty: f64) -> (String, String) {
    match decimals_for(uncertainty) {
        Some(decimals) => (
            to_decimals(value, decimals),
            to_decimals(uncertainty, decimals),
        ),
        None => (number(value), number(uncertainty)),
    }
}

/// A number with the fewest digits that still give the same number back, without an exponent in a readable range.
///
/// # Example
///
/// ```
/// use stainbook_core::print::number;
/// assert_eq!(number(101.325), "101.325");
/// assert_eq!(number(-0.0), "0");
/// assert_eq!(number(2.5e-9), "2.5e-9");
/// ```
pub fn number(value: f64) -> String {
    let mut text = String::new();
    push_number(&mut text, value);
    text
}

/// A number for people to read: to ten significant digits, without the zeros at its end and without what binary arithmetic
/// leaves behind (`19.85`, not `19.850000000000023`).
///
/// # Example
///
/// ```
/// use stainbook_core::print::tidy;
/// assert_eq!(tidy(293.0 - 273.15), "19.85");
/// assert_eq!(tidy(101.325), "101.325");
/// ```
pub fn tidy(value: f64) -> String {
    number(format!("{value:.9e}").parse().unwrap_or(value))
}

/// The same number but for what binary arithmetic leaves behind, to fourteen significant digits: for whoever reads a computed
/// number on with a program.
///
/// # Example
///
/// ```
/// use stainbook_core::print::without_noise;
/// assert!(without_noise(55.000_000_000_000_01).to_string() == "55");
/// assert!(without_noise(25.020_139_504_844_79).to_string() == "25.020139504845");
/// ```
pub fn without_noise(value: f64) -> f64 {
    rounded(value, 14)
}

/// The nearest number of so many significant digits, 1 to 14.
///
/// # Example
///
/// ```
/// use stainbook_core::print::rounded;
/// assert!(rounded(-0.297_000_000_000_02, 12).to_string() == "-0.297");
/// ```
pub fn rounded(value: f64, digits: u32) -> f64 {
    let digits = digits.clamp(1, 14).cast_signed();
    let magnitude = value.abs();
    // So many places that the last of the digits is that of the ones: a whole number over an exact power of ten is the nearest
    // to what these digits say.
    let places = digits - 1 - exponent_of_ten(magnitude);
    if (0..=22).contains(&places) {
        let scale = power_of_ten(places);
        let whole = (magnitude * scale).round();
        if (power_of_ten(digits - 1)..=power_of_ten(digits)).contains(&whole) {
            return (whole / scale).copysign(value);
        }
    }
    let behind_the_first = usize::try_from(digits - 1).unwrap_or(0);
    format!("{value:.behind_the_first$e}")
        .parse()
        .unwrap_or(value)
}

/// The power of ten of a number's first digit, or one less.
fn exponent_of_ten(magnitude: f64) -> i32 {
    /// log₁₀ 2
    const OF_TWO: f64 = std::f64::consts::LOG10_2;
    let exponent = i32::try_from(magnitude.to_bits() >> 52).unwrap_or(0) - 1023;
    #[allow(
        clippy::cast_possible_truncation,
        reason = "an exponent has four digits"
    )]
    let of_ten = (f64::from(exponent) * OF_TWO).floor() as i32;
    // The mantissa can reach the next power.
    if power_of_ten(of_ten + 1) <= magnitude {
        of_ten + 1
    } else {
        of_ten
    }
}

/// A part of a whole in percent, with at most so many digits after the point and without zeros at its end; half a last
/// digit goes away from zero.
///
/// # Example
///
/// ```
/// use stainbook_core::print::percent;
/// assert_eq!(percent(0.25, 1), "25 %");
/// assert_eq!(percent(0.123, 0), "12 %");
/// assert_eq!(percent(1.0 - 0.95, 4), "5 %");
/// ```
pub fn percent(part: f64, decimals: u32) -> String {
    let percent = part * 100.0;
    let step = power_of_ten(decimals.min(15).cast_signed());
    let rounded = (percent * step).round() / step;
    format!(
        "{} %",
        number(if rounded.is_finite() {
            rounded
        } else {
            percent
        })
    )
}

/// A part of a whole in percent, with so many significant digits, zeros at its end among them.
///
/// # Example
///
/// ```
/// use stainbook_core::print::percent_to_significant;
/// assert_eq!(percent_to_significant(0.01, 2), "1.0 %");
/// assert_eq!(percent_to_significant(0.2345, 2), "23 %");
/// ```
pub fn percent_to_significant(part: f64, digits: u32) -> String {
    format!("{} %", to_significant(part * 100.0, digits))
}

/// A probability in percent, to a tenth; what is nearer to impossible or certain than that is said to be so near only.
///
/// # Example
///
/// ```
/// use stainbook_core::print::probability_in_percent;
/// assert_eq!(probability_in_percent(0.0542), "5.4 %");
/// assert_eq!(probability_in_percent(0.00001), "<0.1 %");
/// assert_eq!(probability_in_percent(1.0), ">99.9 %");
/// ```
pub fn probability_in_percent(probability: f64) -> String {
    let percent_of_it = probability * 100.0;
    if 99.9 < percent_of_it {
        ">99.9 %".to_owned()
    } else if percent_of_it < 0.1 {
        "<0.1 %".to_owned()
    } else {
        percent(probability, 1)
    }
}

/// The same as [`number`], behind what a text already holds.
pub fn push_number(text: &mut String, value: f64) {
    let start = text.len();
    let size = value.abs();
    let plain = size <= 0.0 || (PLAIN_FROM <= size && size < PLAIN_TO) || !value.is_finite();
    // Writing to a `String` cannot fail.
    let _ = if plain {
        write!(text, "{value}")
    } else {
        write!(text, "{value:e}")
    };
    drop_sign_of_zero(text, start);
}

/// The power of ten of the first digit, after rounding to so many digits: 9.99 to two digits starts with the tens.
fn exponent_after_rounding(value: f64, digits: u32) -> Option<i32> {
    if !value.is_finite() || value.abs() <= 0.0 {
        return None;
    }
    // The formatter rounds correctly; a logarithm would be off by one beside the powers of ten.
    let text = format!("{value:.*e}", usize::try_from(digits.max(1) - 1).ok()?);
    text.get(text.find('e')? + 1..)?.parse().ok()
}

fn drop_sign_of_zero(text: &mut String, start: usize) {
    let printed = text.get(start..).unwrap_or_default();
    if let Some(unsigned) = printed.strip_prefix('-')
        && unsigned.bytes().all(|b| matches!(b, b'0' | b'.'))
    {
        text.remove(start);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn decimals() {
        for (value, decimals, text) in [
            (0.0, 2, "0.00"),
            (-0.0, 2, "0.00"),
            (-0.001, 2, "0.00"),
            (-0.006, 2, "-0.01"),
            (0.125, 2, "0.12"),
            (0.375, 2, "0.38"),
            (149.9, -2, "100"),
            (-49.0, -2, "0"),
            (1e300, -310, "0"),
        ] {
            assert_eq!(to_decimals(value, decimals), text, "{value}");
        }
    }

    #[test]
    fn significant() {
        for (value, digits, text) in [
            (99.96, 3, "100"),
            (9.996, 3, "10.0"),
            (1.0, 3, "1.00"),
            (-1234.5, 2, "-1200"),
            (1e-9, 2, "1.0e-9"),
            (1.26e20, 2, "1.3e20"),
            (0.0, 3, "0"),
            (0.000_001_234, 2, "0.0000012"),
            (5.0, 0, "5"),
        ] {
            assert_eq!(to_significant(value, digits), text, "{value}");
        }
    }

    #[test]
    fn nearly_sure_is_not_sure() {
        for (part, text) in [
            (0.95, "95 %"),
            (0.999_99, ">99.9 %"),
            (1.0, ">99.9 %"),
            (0.0, "<0.1 %"),
            (1e-9, "<0.1 %"),
            (0.123_4, "12.3 %"),
        ] {
            assert_eq!(probability_in_percent(part), text);
        }
    }

    #[test]
    fn percent_has_the_digits_that_are_asked_for() {
        for (part, decimals, text) in [
            (0.125, 0, "13 %"),
            (0.125, 1, "12.5 %"),
            (0.125, 4, "12.5 %"),
            (-0.004, 0, "0 %"),
            (1.5, 0, "150 %"),
        ] {
            assert_eq!(percent(part, decimals), text);
        }
    }

    #[test]
    fn uncertainty_decides_the_place() {
        for (value, uncertainty, expected) in [
            (10.0, 0.35, ("10.00", "0.35")),
            (10.0, 0.996, ("10.0", "1.0")),
            (10.0, 0.0994, ("10.000", "0.099")),
            (10.0, 0.0999, ("10.00", "0.10")),
            (10.0, 12.0, ("10", "12")),
            (1234.0, 120.0, ("1230", "120")),
            (0.04, 12.0, ("0", "12")),
            (10.25, 0.0, ("10.25", "0")),
        ] {
            let (v, u) = with_uncertainty(value, uncertainty);
            assert_eq!((v.as_str(), u.as_str()), expected);
        }
        assert_eq!(decimals_for(f64::NAN), None);
        assert_eq!(decimals_for(-1.0), None);
    }

    proptest! {
        #[test]
        fn a_number_comes_back_as_it_was(value in proptest::num::f64::NORMAL | proptest::num::f64::ZERO) {
            let text = number(value);
            prop_assert!(text.parse::<f64>().unwrap() == value);
            prop_assert!(text != "-0");
            prop_assert!(text.len() <= 26, "{}", text);
        }

        #[test]
        fn rounding_is_within_half_a_step(value in -1e9..1e9_f64, decimals in -6..9_i32) {
            let printed: f64 = to_decimals(value, decimals).parse().unwrap();
            let half = 0.5 * power_of_ten(-decimals);
            prop_assert!((printed - value).abs() <= half * (1.0 + 1e-9) + value.abs() * 1e-15);
        }

        #[test]
        fn an_uncertainty_prints_with_two_digits(uncertainty in 1e-6..1e9_f64) {
            let (_, text) = with_uncertainty(0.0, uncertainty);
            let digits = text.trim_start_matches(['0', '.']).bytes().filter(u8::is_ascii_digit).count();
            let zeros_before_point = decimals_for(uncertainty).map_or(0, |d| usize::try_from(-d).unwrap_or(0));
            prop_assert_eq!(digits, 2 + zeros_before_point, "{}", text);
        }
    }

    #[test]
    fn noise() {
        for (value, plain) in [
            (55.000_000_000_000_01, "55"),
            (0.1 + 0.2, "0.3"),
            (99_999_999_999_999.9, "100000000000000"),
            (9.999_999_999_999_99e-7, "1e-6"),
            (1e-300, "1e-300"),
            (1.797_693_134_862_315_7e308, "1.7976931348623e308"),
            (5e-324, "5e-324"),
            (0.0, "0"),
        ] {
            assert_eq!(
                number(without_noise(value)).replace("0.000001", "1e-6"),
                plain
            );
        }
        assert!(without_noise(f64::NAN).is_nan() && without_noise(f64::INFINITY).is_infinite());
    }

    proptest! {
        /// As by way of text, but for a tie that the product rounds; and never more than fourteen digits.
        #[test]
        fn noise_goes_as_by_way_of_text(value in proptest::num::f64::NORMAL) {
            let plain = without_noise(value);
            let by_text: f64 = format!("{value:.13e}").parse().unwrap();
            prop_assert!((plain - by_text).abs() <= by_text.abs() * 1.001e-13, "{plain} {by_text}");
            let digits = format!("{plain:e}");
            let digits = digits.split('e').next().unwrap();
            prop_assert!(digits.chars().filter(char::is_ascii_digit).count() <= 14, "{digits}");
        }
    }
}
