//! Two states of a catalog as text.

use stainbook_present::{Colour, changes_text};
use stainbook_revision::changes::{State, changes};

use crate::bench::{book, book_with};

fn changed(file: &str, old: &str, new: &str) -> String {
    let before = book();
    let after = book_with(|name, text| {
        if name == file {
            assert!(text.contains(old), "{text}");
            text.replace(old, new)
        } else {
            text
        }
    });
    let found = changes(&State::whole(&before), &State::whole(&after));
    changes_text::render(&found, Colour::Plain)
}

#[test]
fn nothing_changed() {
    insta::assert_snapshot!(changed("catalog.yaml", "catalog: base", "catalog: base"), @"nothing changed in meaning");
}

#[test]
fn a_factor_of_a_sheet() {
    insta::assert_snapshot!(changed("quay-chlorine-r1.tube.yaml", "[10, 1.10]", "[10, 1.12]"), @r"
    changed  tube quay-chlorine-r1
      what it says
        - correct, temperature, rows, at 10 °C, factor: 1.10 → 1.12
      what that does to results
        - at 10 °C: results rise by 1.8 %
        495 readings worked out both ways, 81 came out otherwise; the largest rise is 1.8 %

    surveys: results that come out otherwise
      round, r1: 5.1 ppm (+0.39 %)

    entries: 1 changed; otherwise: 1 result of surveys
    ");
}

#[test]
fn a_limit() {
    insta::assert_snapshot!(changed("chlorine.substance.yaml", "at_most: 1 ppm, also_printed: 3 mg/m³", "at_most: 0.5 ppm, also_printed: 1.5 mg/m³"), @r"
    changed  substance chlorine
      what it says
        - limits, pocket-guide ceiling, at_most: 1 ppm → 0.5 ppm
        - limits, pocket-guide ceiling, also_printed: 3 mg/m³ → 1.5 mg/m³
      what that does to conversions and judgements
        - chlorine: ceiling limit of harbour office falls from 1 ppm to 0.5 ppm; results between the two
          were below it and are above it now

    entries: 1 changed
    ");
}
