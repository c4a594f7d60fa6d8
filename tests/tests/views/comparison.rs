//! Two transcriptions of a leaflet, compared, as text.

use stainbook_check::compare::{Scope, compare};
use stainbook_present::comparison::{ComparedPair, FileComparison};
use stainbook_present::{Colour, comparison_text};

use crate::bench::{book, book_with};

fn compared(old: &str, new: &str) -> String {
    let (kl, mt) = (book(), book_with(|_, text| text.replace(old, new)));
    let ((a, _), (b, _)) = (kl.tubes().next().unwrap(), mt.tubes().next().unwrap());
    let comparison = FileComparison {
        pairs: vec![ComparedPair {
            name_a: "kl.tube.yaml",
            name_b: "mt.tube.yaml",
            a: &a.document,
            b: &b.document,
            differences: compare(a.kind, &a.document, &b.document, Scope::Leaflet),
        }],
        ..FileComparison::default()
    };
    comparison_text::render(&comparison, Colour::Plain)
}

#[test]
fn two_that_say_the_same() {
    insta::assert_snapshot!(compared("rows:", "rows:  # as printed"), @"no difference in meaning in 1 pair of files");
}

#[test]
fn a_swapped_digit_and_a_missing_row() {
    insta::assert_snapshot!(compared("      - [10, 1.10]\n      - [20, 1.00]", "      - [20, 1.01]"), @r"
    A  kl.tube.yaml
    B  mt.tube.yaml

    correct, temperature, rows, at 10 °C: missing in B
      A:32  [10, 1.10]                                 B: nothing

    correct, temperature, rows, at 20 °C, factor: another number (one digit differs)
      A:33  1.00                                       B:32  1.01

    2 differences in 1 pair of files (1 in figures, 1 missing on one side); look at the leaflet for each
    ");
}
