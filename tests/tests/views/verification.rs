//! Records worked out again, as text and as a table.

use stainbook_evaluation::SheetErrors;
use stainbook_present::{Colour, results_json, verification_csv, verification_text};
use stainbook_revision::record::{Record, verify};
use stainbook_revision::verification::Verification;

use crate::bench::{averaged, book_of, results};

/// A record of two readings and their average, with one text in it changed by hand, worked out with a catalog that has
/// another factor.
fn verified(by_hand: [&str; 2], factor: [&str; 2]) -> Verification {
    let readings = averaged();
    let kept = results_json::render(&results(&book_of(&readings))).unwrap();
    assert!(kept.contains(by_hand[0]), "{kept}");
    let kept = kept.replacen(by_hand[0], by_hand[1], 1);
    let records = Record::read("kept.json", &kept).unwrap();
    let now = crate::bench::book_with(|_, text| text.replace(factor[0], factor[1]));
    verify(&now, &records, &|_| SheetErrors::default())
}

#[test]
fn a_record_that_holds() {
    let verified = verified(["", ""], ["", ""]);
    insta::assert_snapshot!(verification_text::render(&verified, Colour::Plain), @r"
    kept.json, made with the catalog of 2026-03-01
      2 results: 2 hold
      1 of readings together: 1 holds

    2 results in 1 record: 2 hold, 0 moved, 0 not reproducible; of readings together: 1 holds. Figures
    are the same within 1e-9 of themselves.
    ");
    insta::assert_snapshot!(verification_csv::render(&verified).unwrap(), @r"
    record,id,at,place,sheet,made with revision,state,was,is,moved by [%],verdicts turned,because,not from own facts,method
    kept.json,good,2026-02-20T07:40+00:00,quay,quay-chlorine-r1,2026-03-01,holds,5.1 ppm,5.1 ppm,,,,,reading
    kept.json,later,2026-02-20T07:50+00:00,quay,quay-chlorine-r1,2026-03-01,holds,3.1 ppm,3.1 ppm,,,,,reading
    kept.json,shift,,,,2026-03-01,holds,1.85 (1.38 to 2.65) ppm,1.85 (1.38 to 2.65) ppm,,,,,average
    ");
}

#[test]
fn a_record_that_the_catalog_moves() {
    let verified = verified(["", ""], ["[20, 1.00]", "[20, 1.04]"]);
    insta::assert_snapshot!(verification_text::render(&verified, Colour::Plain), @r"
    kept.json, made with the catalog of 2026-03-01
      2 results: 2 moved
      1 of readings together: 1 moved
      good, quay, 2026-02-20T07:40+00:00
        5.1 ppm → 5.3 ppm (+3.1 %)
        because tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04
      later, quay, 2026-02-20T07:50+00:00
        3.1 ppm → 3.2 ppm (+3.1 %)
        because tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04
      shift, 8 h average of chlorine
        1.85 (1.38 to 2.65) ppm → 1.91 (1.42 to 2.73) ppm (+3.1 %)
        because tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04

    2 results in 1 record: 0 hold, 2 moved, 0 not reproducible; of readings together: 1 moved; moved by
    up to 3.1 %. Figures are the same within 1e-9 of themselves.
    ");
    insta::assert_snapshot!(verification_csv::render(&verified).unwrap(), @r#"
    record,id,at,place,sheet,made with revision,state,was,is,moved by [%],verdicts turned,because,not from own facts,method
    kept.json,good,2026-02-20T07:40+00:00,quay,quay-chlorine-r1,2026-03-01,moved,5.1 ppm,5.3 ppm,3.1372549019607954,,"tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04",,reading
    kept.json,later,2026-02-20T07:50+00:00,quay,quay-chlorine-r1,2026-03-01,moved,3.1 ppm,3.2 ppm,3.1372549019607954,,"tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04",,reading
    kept.json,shift,,,,2026-03-01,moved,1.85 (1.38 to 2.65) ppm,1.91 (1.42 to 2.73) ppm,3.1372549019607954,,"tube quay-chlorine-r1: correct, temperature, rows, at 20 °C, factor: 1.00 → 1.04",,average
    "#);
}

#[test]
fn a_record_that_was_changed_by_hand() {
    let verified = verified(
        [
            "\"coverage_factor\": 1.9599639845401",
            "\"coverage_factor\": 1.5",
        ],
        ["", ""],
    );
    insta::assert_snapshot!(verification_text::render(&verified, Colour::Plain), @r"
    kept.json, made with the catalog of 2026-03-01
      2 results: 1 holds, 1 not reproducible
      1 of readings together: 1 holds
      good, quay, 2026-02-20T07:40+00:00
        does not follow from the record's own facts; it was changed after it was made:
          /uncertainty/coverage_factor: recorded 1.5, follows 1.959963984540054

    2 results in 1 record: 1 hold, 0 moved, 1 not reproducible; of readings together: 1 holds. Figures
    are the same within 1e-9 of themselves.
    ");
    insta::assert_snapshot!(verification_csv::render(&verified).unwrap(), @r"
    record,id,at,place,sheet,made with revision,state,was,is,moved by [%],verdicts turned,because,not from own facts,method
    kept.json,good,2026-02-20T07:40+00:00,quay,quay-chlorine-r1,2026-03-01,not reproducible,5.1 ppm,5.1 ppm,,,,/uncertainty/coverage_factor,reading
    kept.json,later,2026-02-20T07:50+00:00,quay,quay-chlorine-r1,2026-03-01,holds,3.1 ppm,3.1 ppm,,,,,reading
    kept.json,shift,,,,2026-03-01,holds,1.85 (1.38 to 2.65) ppm,1.85 (1.38 to 2.65) ppm,,,,,average
    ");
}
