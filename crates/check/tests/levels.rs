//! Levels that a catalog sets, exceptions that an entry makes, and the counts that follow.
#![cfg(test)]
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the fixtures offer"
)]

mod fixture;

use stainbook_check::Report;

fn report(example: &str) -> Report {
    fixture::run(&fixture::make(example.as_bytes())).1
}

/// Rule and level of each finding.
fn levels(report: &Report) -> Vec<(&'static str, &'static str)> {
    let findings = report.findings.iter();
    findings
        .map(|finding| (finding.rule(), finding.level().name()))
        .collect()
}

const UNVERIFIED: &str = "# in: tube\n# without: verified\n";

fn with_level(level: &str) -> String {
    format!(
        "{UNVERIFIED}# in: catalog\nrules:\n  - {{rule: not-verified, level: {level}, because: house rule}}\n"
    )
}

#[test]
fn a_catalog_sets_levels() {
    for (level, expected, counts) in [
        ("error", Some("error"), [1, 0, 0]),
        ("warning", Some("warning"), [0, 1, 0]),
        ("note", Some("note"), [0, 0, 1]),
        ("silent", None, [0, 0, 0]),
    ] {
        let report = report(&with_level(level));
        let expected: Vec<_> = expected
            .into_iter()
            .map(|level| ("not-verified", level))
            .collect();
        assert_eq!(levels(&report), expected, "{level}");
        let counted = [report.errors, report.warnings, report.notes];
        assert_eq!(counted, counts, "{level}");
    }
}

#[test]
fn the_last_level_counts() {
    let twice = with_level("error") + "  - {rule: not-verified, level: silent, because: for now}\n";
    assert_eq!(levels(&report(&twice)), []);
}

#[test]
fn an_exception_covers_its_place_only() {
    let accept = |at: &str| {
        format!("{UNVERIFIED}accept:\n  - {{rule: not-verified, at: {at}, because: looked at}}\n")
    };
    assert_eq!(levels(&report(&accept("/entered"))), []);
    assert_eq!(levels(&report(&accept("\"\""))), []);
    let elsewhere = [("not-verified", "note"), ("exception-unused", "warning")];
    assert_eq!(levels(&report(&accept("/draw/ranges/1"))), elsewhere);
}

#[test]
fn an_exception_is_for_its_own_file() {
    let other = format!(
        "{UNVERIFIED}# in: pump\naccept:\n  - {{rule: not-verified, because: looked at}}\n"
    );
    let expected = [("exception-unused", "warning"), ("not-verified", "note")];
    assert_eq!(levels(&report(&other)), expected);
}

#[test]
fn an_exception_covers_what_the_reader_finds() {
    let example = "# in: substance bromine\nalso_called: [NO]\naccept:\n  - {rule: yaml-1-1-word, because: no other reader}\n";
    assert_eq!(levels(&report(example)), []);
}

#[test]
fn rules_alone_do_not_judge_exceptions_from_the_reader() {
    let example = "# in: substance bromine\nalso_called: [NO]\naccept:\n  - {rule: yaml-1-1-word, because: no other reader}\n";
    let made = fixture::make(example.as_bytes());
    let (book, _) = fixture::run(&made);
    assert!(stainbook_check::check(&book, &made.options).is_empty());
}
