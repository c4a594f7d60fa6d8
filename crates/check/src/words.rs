//! Numbers in messages: the author's digits as written, computed ones to a readable number of digits.

use stainbook_core::{Decimal, Quantity, Unit, Written, print};
use stainbook_document::finding::Fact;

/// Computed numbers are shown with so many significant digits: more than any leaflet prints.
const COMPUTED_DIGITS: u32 = 4;
/// Tolerances are shown with so many.
const TOLERANCE_DIGITS: u32 = 2;

/// A computed number, without zeros at its end.
pub(crate) fn number(value: f64) -> String {
    print::to_significant_at_most(value, COMPUTED_DIGITS)
}

/// A sum or difference of written numbers, which is exact but for the last binary digits.
pub(crate) fn exact(value: f64) -> String {
    print::to_significant_at_most(value, 10)
}

/// A computed number with its unit.
pub(crate) fn with_unit(value: f64, unit: &Unit) -> String {
    join(&number(value), unit.canonical())
}

/// A tolerance.
pub(crate) fn tolerance(value: f64) -> String {
    print::to_significant_at_most(value, TOLERANCE_DIGITS)
}

/// A tolerance with its unit.
pub(crate) fn tolerance_with_unit(value: f64, unit: &Unit) -> String {
    join(&tolerance(value), unit.canonical())
}

/// A bare number as its author wrote it, with the unit that it stands in.
pub(crate) fn as_written(number: &Decimal, unit: &Unit) -> String {
    join(number.text(), unit.canonical())
}

/// A part of a whole, in percent.
pub(crate) fn percent(part: f64) -> String {
    join(&tolerance(part * 100.0), "%")
}

/// Number of strokes as an adjective: `half-stroke`, `8-stroke`.
pub(crate) fn strokes(number: &Decimal) -> String {
    if crate::printed::same(number.value(), 0.5) {
        "half-stroke".to_owned()
    } else {
        format!("{}-stroke", number.text())
    }
}

/// Number of strokes as a count: `half a stroke`, `1 stroke`, `8 strokes`.
pub(crate) fn count_of_strokes(number: &Decimal) -> String {
    if crate::printed::same(number.value(), 0.5) {
        "half a stroke".to_owned()
    } else if crate::printed::same(number.value(), 1.0) {
        "1 stroke".to_owned()
    } else {
        format!("{} strokes", number.text())
    }
}

/// A figure as its author wrote it.
pub(crate) fn written_fact<Q: Quantity>(written: &Written<Q>) -> Fact {
    Fact::number(written.number(), written.unit().canonical(), written.text())
}

/// A bare figure as its author wrote it, in the unit that it stands in.
pub(crate) fn number_fact(number: &Decimal, unit: &'static str) -> Fact {
    Fact::number(number.value(), unit, join(number.text(), unit))
}

/// A computed figure.
pub(crate) fn computed_fact(value: f64, unit: &'static str) -> Fact {
    Fact::number(value, unit, join(&number(value), unit))
}

/// A tolerance.
pub(crate) fn tolerance_fact(value: f64, unit: &'static str) -> Fact {
    Fact::number(value, unit, join(&tolerance(value), unit))
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() {
        number.to_owned()
    } else {
        format!("{number} {unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn computed_numbers_are_readable() {
        for (value, text) in [
            (5.2, "5.2"),
            (13.0 * 0.4, "5.2"),
            (1234.0, "1234"),
            (0.066_666, "0.06667"),
            (100.0, "100"),
            (0.0, "0"),
        ] {
            assert_eq!(number(value), text);
        }
        assert_eq!(percent(0.123), "12 %");
    }

    #[test]
    fn strokes_are_spoken_of_as_people_do() {
        for (text, adjective, count) in [
            ("0.5", "half-stroke", "half a stroke"),
            ("1", "1-stroke", "1 stroke"),
            ("8", "8-stroke", "8 strokes"),
        ] {
            let number = Decimal::parse(text).unwrap();
            assert_eq!(
                (
                    strokes(&number).as_str(),
                    count_of_strokes(&number).as_str()
                ),
                (adjective, count)
            );
        }
    }
}
