//! Each rule's document is a test of the rule: its flagged example fires exactly this rule, its corrected one does not.
#![cfg(test)]
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the fixtures offer"
)]

mod fixture;

use std::collections::BTreeSet;

use stainbook_check::registry;

/// The block of YAML under a heading.
fn block<'a>(docs: &'a str, heading: &str) -> Option<&'a str> {
    let (_, rest) = docs.split_once(&format!("\n## {heading}\n"))?;
    let section = rest.split("\n## ").next()?;
    let (_, rest) = section.split_once("```yaml\n")?;
    rest.split_once("\n```").map(|(block, _)| block)
}

#[test]
fn the_sound_catalog_is_sound() {
    let made = fixture::Made {
        files: fixture::base(),
        ..fixture::Made::default()
    };
    let (_, report) = fixture::run(&made);
    assert!(report.findings.is_empty(), "{:#?}", report.findings);
}

#[test]
fn examples_do_what_the_documents_say() {
    let mut wrong = Vec::new();
    for rule in registry() {
        let (Some(flagged), Some(clean)) =
            (block(rule.docs, "Flagged"), block(rule.docs, "Not flagged"))
        else {
            wrong.push(format!("{}: no examples", rule.name));
            continue;
        };
        let end = |block: &str| format!("{block}\n").into_bytes();
        let fired = fixture::fired(&end(flagged));
        let mut expected = fixture::also(&end(flagged));
        expected.insert(rule.name.to_owned());
        if fired != expected.iter().map(String::as_str).collect() {
            wrong.push(format!(
                "{}: the flagged example fires {fired:?}",
                rule.name
            ));
        }
        let fired = fixture::fired(&end(clean));
        if fired.contains(rule.name) {
            wrong.push(format!(
                "{}: the corrected example fires {fired:?}",
                rule.name
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn documents_have_one_outline() {
    for rule in registry() {
        let name = rule.name;
        assert!(
            rule.docs.starts_with(&format!("# {name}\n\n")),
            "{name}: the title is the rule's name"
        );
        assert!(
            rule.docs
                .contains("\n## Where the tolerance comes from\n\n"),
            "{name}: where the tolerance comes from"
        );
        assert!(
            rule.summary.ends_with('.'),
            "{name}: the summary is a sentence"
        );
        let before_examples = rule.docs.split("\n## ").next().unwrap();
        let paragraphs = before_examples.trim().split("\n\n").count();
        assert!(
            3 <= paragraphs,
            "{name}: what it checks, and why it matters for a measurement"
        );
    }
}

#[test]
fn rules_files_and_documents_are_the_same_set() {
    let registered: BTreeSet<String> = registry().iter().map(|rule| rule.name.to_owned()).collect();
    let files = fixture::names(&fixture::docs_folder());
    let documents: BTreeSet<String> = files
        .iter()
        .filter_map(|name| name.strip_suffix(".md"))
        .map(str::to_owned)
        .collect();
    assert_eq!(documents, registered);
    let declared: BTreeSet<String> = files
        .iter()
        .filter_map(|name| name.strip_suffix(".rs"))
        .map(|name| name.replace('_', "-"))
        .collect();
    let ours: BTreeSet<String> = registry()
        .iter()
        .filter(|rule| !matches!(rule.check, stainbook_check::Check::Reader))
        .map(|rule| rule.name.to_owned())
        .collect();
    assert_eq!(declared, ours);
}

#[test]
fn names_are_in_order_and_once() {
    let names: Vec<&str> = registry().iter().map(|rule| rule.name).collect();
    let mut sorted = names.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(names, sorted);
}
