//! Fields kept with a result.

use stainbook_evaluation::ReadingResult;

use crate::support;
use crate::support::{at_20, book, book_of};

#[test]
fn the_digest_follows_what_the_result_depends_on() {
    let reading = "strokes: 2, reading: {at: 5 ppm}";
    let digest = |book: &stainbook_catalog::Book| at_20(book, reading).sheet_digest.unwrap();
    let usual = digest(&book());
    assert_eq!(usual.len(), 64);
    // A comment, a remark and an accepted finding do not change it; a factor and the pump do.
    assert_eq!(
        usual,
        digest(&book_of(
            &[("doubt:\n", "# seen by KL\nremark: pale print\ndoubt:\n")],
            &[]
        ))
    );
    assert_ne!(
        usual,
        digest(&book_of(&[("[10, 1.10]", "[10, 1.11]")], &[]))
    );
    let pump = support::PUMP.replace("99 mL", "98 mL");
    assert_ne!(usual, digest(&book_of(&[], &[("pump-1.pump.yaml", &pump)])));
}

#[test]
fn every_key_is_always_there() {
    let book = book();
    let keys = |result: &ReadingResult| -> Vec<String> {
        serde_json::to_value(result)
            .unwrap()
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect()
    };
    let measured = keys(&at_20(&book, "strokes: 2, reading: {at: 5 ppm}"));
    for rest in [
        "strokes: 2, reading: {seen: no stain}",
        "strokes: 3, reading: {at: 5 ppm}",
    ] {
        assert_eq!(keys(&at_20(&book, rest)), measured);
    }
    for key in [
        "id",
        "status",
        "concentration",
        "also_as",
        "uncertainty",
        "corrections",
        "against",
        "flags",
        "catalog_revision",
        "sheet_digest",
        "refusal",
        "repeat_with",
        "inputs",
    ] {
        assert!(measured.iter().any(|found| found == key), "{key}");
    }
    // What was evaluated can be read back.
    let result = at_20(&book, "strokes: 2, reading: {at: 5 ppm}");
    let text = serde_json::to_string(&result).unwrap();
    assert_eq!(
        serde_json::from_str::<ReadingResult>(&text).unwrap().id,
        result.id
    );
    assert_eq!(result.inputs["reading"]["reading"]["at"], "5 ppm");
}
