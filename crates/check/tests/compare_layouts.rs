//! The same entry in another layout is the same entry.
#![cfg(test)]
#![allow(
    clippy::string_slice,
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the trees offer"
)]

mod sheet_tree;

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::Book;
use stainbook_check::compare::{Scope, compare};
use stainbook_tests::honest::Chance;

use sheet_tree::{SheetValue, read, reformatted};

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(env!("CARGO_MANIFEST_DIR"), "/proptest-regressions/compare_layouts.txt")))), ..ProptestConfig::default() })]

    /// Every entry of the demo, each case in another layout.
    #[test]
    fn layout_does_not_count(seed: u64) {
        let (demo, _) = Book::demo();
        let mut chance = Chance::new(seed);
        for entry in demo.entries() {
            let root = entry.document.root().unwrap();
            let text = reformatted(&SheetValue::of(root), &mut chance);
            let again = read(entry.kind, 7, &text);
            let differences = compare(entry.kind, &entry.document, &again, Scope::Everything);
            prop_assert!(differences.is_empty(), "{}: {:#?}\n{}", entry.path, differences, text);
        }
    }
}

/// The layouts are really other ones: most texts differ from the file in more than a comment.
#[test]
fn layouts_differ() {
    let (demo, _) = Book::demo();
    let mut chance = Chance::new(1);
    let entry = demo
        .entries()
        .iter()
        .find(|entry| entry.id() == "brinewash-chlorine-a-r2")
        .unwrap();
    let tree = SheetValue::of(entry.document.root().unwrap());
    let texts: std::collections::BTreeSet<String> =
        (0..20).map(|_| reformatted(&tree, &mut chance)).collect();
    assert_eq!(texts.len(), 20);
    let all: String = texts.into_iter().collect();
    for sign in [
        "[factor, ",
        "degC",
        "ppmv",
        "# a remark",
        "\"Brine-wash chlorine tube A\"",
        "25°C",
    ] {
        assert!(all.contains(sign), "{sign} never comes up");
    }
}
