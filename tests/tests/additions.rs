//! A lab's entry that adds to the reference: nothing to find fault with, and a slip in it is found.

#![cfg(test)]

use stainbook::check_book;
use stainbook_catalog::SourceFile;

const CATALOG: &str = "catalog: quay-lab\ntitle: Quay lab\nrevision: \"2026-11-25\"\nformat: 1\nbuilds_on: [stainbook-reference]\n";

const HOUSE_RULE: &str = "source: house-rule\ntitle: House rule 4\npublisher: Quay lab\nedition: \"2026\"\nauthority: Quay lab\nmass_stated_at: {temperature: 20 °C, pressure: 101.3 kPa}\nlicence: own\nobtained: looked up\n";

fn findings(ammonia: &str) -> Vec<String> {
    let files = [
        ("catalog.yaml", CATALOG),
        ("sources/house-rule.source.yaml", HOUSE_RULE),
        ("substances/ammonia.substance.yaml", ammonia),
    ];
    let (_, report) = check_book(files.map(|(path, text)| SourceFile::new(path, text)), None);
    report
        .findings
        .iter()
        .map(|finding| format!("{}: {}", finding.rule(), finding.message_text()))
        .collect()
}

#[test]
fn an_addition_is_a_sound_entry() {
    let said = findings(
        "substance: ammonia\nadds_to: stainbook-reference\nlimits:\n  - {kind: ceiling, at_most: 20 ppm, also_printed: 14 mg/m³, source: house-rule}\n",
    );
    assert_eq!(said, Vec::<String>::new());
}

#[test]
fn a_slip_in_an_addition_is_found() {
    for (slip, expected) in [
        (
            "substance: ammonia\nadds_to: stainbook-reference\nlimits:\n  - {kind: ceiling, at_most: 20 ppm, source: house-rules}\n",
            "unresolved-reference",
        ),
        (
            "substance: ammonia\nadd_to: stainbook-reference\nlimits: []\n",
            "unknown-key",
        ),
        (
            "substance: ammonia\nadds_to: stainbook-reference\ncas: \"7664-41-8\"\n",
            "cas-check-digit",
        ),
    ] {
        let said = findings(slip);
        assert!(
            said.iter().any(|words| words.starts_with(expected)),
            "{slip}{said:?}"
        );
    }
}
