//! A sheet's own examples, worked out again.
#![cfg(test)]

mod support;

use stainbook_document::finding::Finding;
use stainbook_evaluation::worked::{RULE, check_worked, worked_value};
use support::{book_of, close};

#[test]
fn examples_come_out_or_are_named() {
    for (example, said) in [
        ("{reading: 5 ppm, strokes: 2, gives: 5.0 ppm}", None),
        (
            "{reading: 5 ppm, strokes: 2, temperature: 10 °C, gives: 5.5 ppm}",
            None,
        ),
        (
            "{reading: 5 ppm, strokes: 0.5, temperature: 10 °C, pressure: 800 hPa, gives: 17.4 ppm}",
            None,
        ),
        ("{reading: 5000 ppb, strokes: 2, gives: 5 ppm}", None),
        // 5.45 rounds to 5.5 or 5.4: half the last printed digit is not too much.
        ("{reading: 5.45 ppm, strokes: 2, gives: 5.5 ppm}", None),
        // The factor inverted: 5 / 1.1.
        (
            "{reading: 5 ppm, strokes: 2, temperature: 10 °C, gives: 4.55 ppm}",
            Some("the sheet's own tables give 5.500 ppm here, the example says `4.55 ppm`"),
        ),
        (
            "{reading: 5 ppm, strokes: 2, gives: 5.1 ppm}",
            Some("the sheet's own tables give 5.00 ppm here, the example says `5.1 ppm`"),
        ),
        (
            "{reading: 5 ppm, strokes: 3, gives: 5 ppm}",
            Some(
                "the example cannot be worked out: `3` strokes are not on the sheet for this scale",
            ),
        ),
        (
            "{reading: 5 ppm, strokes: 2, temperature: 50 °C, gives: 5 ppm}",
            Some(
                "the example cannot be worked out: 50 °C is outside correct.temperature, which goes from 0 to 40 °C",
            ),
        ),
        (
            "{reading: 5 ppm, strokes: 2, substance: bromine, gives: 5 ppm}",
            Some("the example cannot be worked out: the sheet has no factor for `bromine`"),
        ),
        (
            "{reading: 5 mg/m³, strokes: 2, gives: 5 ppm}",
            Some(
                "the example cannot be worked out: `5 mg/m³` is not in a unit of the scale's kind, ppm",
            ),
        ),
    ] {
        let book = book_of(
            &[("doubt:\n", &format!("worked: [{example}]\ndoubt:\n"))],
            &[],
        );
        let findings = check_worked(&book);
        let found: Vec<&str> = findings.iter().map(Finding::message_text).collect();
        assert_eq!(found, said.into_iter().collect::<Vec<_>>(), "{example}");
        for finding in &findings {
            assert_eq!(finding.rule(), RULE);
            assert!(finding.help_text().is_some());
            assert!(
                finding
                    .place()
                    .path()
                    .unwrap()
                    .pointer()
                    .starts_with("/worked/0")
            );
        }
    }
}

#[test]
fn the_value_is_in_the_unit_of_the_result() {
    let book = book_of(
        &[(
            "doubt:\n",
            "worked: [{reading: 5 ppm, strokes: 2, temperature: 10 °C, gives: 5500 ppb}]\ndoubt:\n",
        )],
        &[],
    );
    let tube = book.tube_model("slip-chlorine-r2").unwrap();
    let worked = &book.tube("slip-chlorine-r2").unwrap().worked[0];
    assert!(close(worked_value(&tube, worked).unwrap(), 5500.0));
    assert!(check_worked(&book).is_empty());
}
