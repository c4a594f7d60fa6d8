//! Findings in each of their views.

#![cfg(test)]

use proptest::prelude::*;
use stainbook_catalog::{Book, SourceFile};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::place::{FileId, Path, Place};
use stainbook_present::{Colour, Counts, Sources, findings_json, findings_short, findings_text};

const PUMP_KIND: &str =
    "pump_kind: quay\nname: Quay\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

fn book(text: &str) -> (Book, Vec<Finding>) {
    Book::read([SourceFile::new("quay.pump-kind.yaml", text.to_owned())])
}

fn made(place: Place) -> Finding {
    Finding::of("made-up", Level::Warning, place)
        .message("something is the matter")
        .label("here")
}

fn text(book: &Book, findings: &[Finding]) -> String {
    findings_text::render(findings, &Sources::of_book(book), 1, Colour::Plain)
}

#[test]
fn notes_help_and_another_place_of_the_same_file() {
    let (book, _) = book(PUMP_KIND);
    let file = FileId(0);
    let finding = made(Place::value(file, Path::root().key("name")))
        .related(
            Place::value(file, Path::root().key("volume_tolerance")),
            "and there",
        )
        .note("why it matters")
        .help("what to do");
    insta::assert_snapshot!(text(&book, &[finding]), @r"
    warning[made-up]: something is the matter
     --> quay.pump-kind.yaml:2:7
      |
    2 | name: Quay
      |       ^^^^ here
    ...
    5 | volume_tolerance: 5 %
      |                   --- and there
      |
      = note: why it matters
      = help: what to do

    1 warning in 1 file
    ");
}

#[test]
fn a_place_in_another_file_is_shown_with_its_own_line() {
    let files = [
        SourceFile::new("a.pump.yaml", "pump: a\nkind: quay\n"),
        SourceFile::new("quay.pump-kind.yaml", PUMP_KIND),
    ];
    let (book, _) = Book::read(files);
    let finding = made(Place::value(FileId(0), Path::root().key("kind"))).related(
        Place::value(FileId(1), Path::root().key("stroke")),
        "its kind",
    );
    let shown = text(&book, &[finding]);
    assert!(
        shown.contains("--> a.pump.yaml:2:7") && shown.contains("quay.pump-kind.yaml:3:9"),
        "{shown}"
    );
    assert!(
        shown.contains("stroke: 0,1 L") && shown.contains("its kind"),
        "{shown}"
    );
}

#[test]
fn columns_count_characters_and_a_byte_order_mark_counts_for_nothing() {
    let (book, findings) = book("\u{feff}name: \"µ³℃\"  \nremark: {x}\n");
    for finding in &findings {
        let at = Sources::of_book(&book).locate(finding.place());
        let line = at.text.lines().nth(at.start.line - 1).unwrap();
        assert!(at.start.column <= line.chars().count() + 1, "{finding:?}");
    }
    let short = findings_short::render(
        &[made(Place::value(FileId(0), Path::root().key("name")))],
        &Sources::of_book(&book),
    );
    assert_eq!(
        short,
        "quay.pump-kind.yaml:1:7: warning[made-up]: something is the matter\n"
    );
}

#[test]
fn a_file_without_text_and_one_that_was_not_read() {
    let (book, findings) = book("");
    let shown = text(&book, &findings);
    assert!(shown.contains("--> quay.pump-kind.yaml"), "{shown}");
    let mut sources = Sources::of_book(&book);
    sources.add_unread(FileId(7), "odd.name");
    let finding = [made(Place::file(FileId(7)))];
    assert_eq!(
        findings_short::render(&finding, &sources),
        "odd.name:1:1: warning[made-up]: something is the matter\n"
    );
    assert!(findings_text::render(&finding, &sources, 1, Colour::Plain).contains("--> odd.name"));
}

#[test]
fn our_fault_asks_for_a_report() {
    let (book, _) = book(PUMP_KIND);
    let finding = [made(Place::file(FileId(0))).our_fault()];
    assert!(text(&book, &finding).contains(findings_text::OUR_FAULT));
    assert_eq!(Counts::of(&finding).ours, 1);
    let json = findings_json::render(&finding, &Sources::of_book(&book), 1, None).unwrap();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["findings"][0]["our_fault"], true);
}

#[test]
fn colour_only_where_it_is_wanted() {
    let (book, findings) = book(PUMP_KIND);
    let sources = Sources::of_book(&book);
    assert!(!findings_text::render(&findings, &sources, 1, Colour::Plain).contains('\u{1b}'));
    assert!(findings_text::render(&findings, &sources, 1, Colour::Terminal).contains('\u{1b}'));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever stands in a file, every view shows it, and places lie in the text.
    #[test]
    fn any_file_can_be_shown(bytes in prop::collection::vec(any::<u8>(), 0..400), yaml in "[a-z: \\-\\n\\r\\t\\[\\]{}\"'#µ,0-9]{0,300}") {
        for content in [bytes, yaml.into_bytes()] {
            let (book, findings) = Book::read([SourceFile::from_bytes("x.tube.yaml", content)]);
            let sources = Sources::of_book(&book);
            findings_text::render(&findings, &sources, 1, Colour::Plain);
            let short = findings_short::render(&findings, &sources);
            prop_assert_eq!(short.lines().count(), findings.len());
            let json = findings_json::render(&findings, &sources, 1, None).unwrap();
            let json: serde_json::Value = serde_json::from_str(&json).unwrap();
            for finding in json["findings"].as_array().unwrap() {
                let number = |key: &str| finding[key].as_u64().unwrap();
                prop_assert!(1 <= number("line") && 1 <= number("column"));
                prop_assert!((number("line"), number("column")) <= (number("end_line"), number("end_column")));
                prop_assert!(number("byte_start") <= number("byte_end"));
            }
        }
    }
}
