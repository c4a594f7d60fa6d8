//! Less than and more than: bounds, and how to get a value.

use stainbook_evaluation::Status;

use crate::support;
use crate::support::{GOOD, at_20, book, book_of, close, one, value};

#[test]
fn bounds() {
    let book = book();
    for (rest, status, expected, repeat) in [
        (
            "strokes: 6, reading: {seen: no stain}",
            Status::LessThan,
            0.2,
            None,
        ),
        // Stated for 6 strokes: with 2 only the first mark bounds it.
        (
            "strokes: 2, reading: {seen: no stain}",
            Status::LessThan,
            1.0,
            Some(6.0),
        ),
        (
            "strokes: 2, reading: {seen: below first mark}",
            Status::LessThan,
            1.0,
            Some(6.0),
        ),
        (
            "strokes: 0.5, reading: {seen: below first mark}",
            Status::LessThan,
            2.5,
            Some(2.0),
        ),
        (
            "strokes: 6, reading: {seen: below first mark}",
            Status::LessThan,
            0.4,
            None,
        ),
        (
            "strokes: 6, reading: {seen: beyond last mark}",
            Status::MoreThan,
            8.0,
            Some(2.0),
        ),
        (
            "strokes: 2, reading: {seen: beyond last mark}",
            Status::MoreThan,
            20.0,
            Some(0.5),
        ),
        (
            "strokes: 0.5, reading: {seen: beyond last mark}",
            Status::MoreThan,
            50.0,
            None,
        ),
    ] {
        for (conditions, factor) in [
            ("air_temperature: 20 °C, pressure: 101.3 kPa", 1.0),
            ("air_temperature: 10 °C, pressure: 50.65 kPa", 2.2),
        ] {
            let result = one(
                &book,
                &format!("{GOOD}, {rest}, conditions: {{humidity: 50 %RH, {conditions}}}"),
            );
            assert_eq!(result.status, status, "{rest}");
            assert!(
                close(value(&result), expected * factor),
                "{rest}: {}",
                value(&result)
            );
            assert_eq!(
                result.repeat_with.as_ref().unwrap().strokes,
                repeat,
                "{rest}"
            );
            assert!(result.uncertainty.is_none());
            assert!(
                result
                    .against
                    .iter()
                    .all(|against| against.probability_above.is_none())
            );
        }
    }
    let without_halves = support::KIND.replace("half_strokes: true", "half_strokes: false");
    let result = at_20(
        &book_of(&[], &[("quay.pump-kind.yaml", &without_halves)]),
        "strokes: 2, reading: {seen: beyond last mark}",
    );
    assert_eq!(result.repeat_with.unwrap().strokes, None);
}
