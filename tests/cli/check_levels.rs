//! Levels that a catalog sets, exceptions that an entry makes, and the exit codes that follow.

use crate::runner::{CommandOutcome, Folder};

const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-01-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

fn lab(name: &str, rules: &str, accept: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", format!("{CATALOG}{rules}"))
        .with("pumps/quay-piston.pump-kind.yaml", KIND)
        .with(
            "pumps/Old_1.pump.yaml",
            format!("pump: Old_1\nkind: quay-piston\n{accept}"),
        )
}

fn check(folder: &Folder, as_of: &str, more: &[&str]) -> CommandOutcome {
    folder.run(
        &[
            &["check", ".", "--format", "short", "--as-of", as_of][..],
            more,
        ]
        .concat(),
    )
}

/// Level and rule of each finding, as they stand in the lines.
fn heads(said: &CommandOutcome) -> Vec<&str> {
    said.stdout
        .lines()
        .map(|line| {
            line.splitn(4, ':')
                .nth(3)
                .unwrap()
                .trim()
                .split(':')
                .next()
                .unwrap()
        })
        .collect()
}

#[test]
fn a_catalog_sets_a_rule_s_level() {
    for (level, head, code, denied) in [
        ("error", Some("error[id-not-kebab-case]"), 1, 1),
        ("warning", Some("warning[id-not-kebab-case]"), 0, 1),
        ("note", Some("note[id-not-kebab-case]"), 0, 0),
        ("silent", None, 0, 0),
    ] {
        let rules = format!(
            "rules:\n  - {{rule: id-not-kebab-case, level: {level}, because: our names are old}}\n"
        );
        let folder = lab(&format!("levels-{level}"), &rules, "");
        let said = check(&folder, "2026-03-02", &[]).exits(code);
        assert_eq!(
            heads(&said),
            head.into_iter().collect::<Vec<_>>(),
            "{level}"
        );
        check(&folder, "2026-03-02", &["--deny", "warnings"]).exits(denied);
    }
}

#[test]
fn an_exception_holds_to_its_last_day() {
    let accept = "accept:\n  - {rule: id-not-kebab-case, because: engraved so, until: 2026-02}\n";
    let folder = lab("levels-until", "", accept);
    for (as_of, expected) in [
        ("2026-02-28", &[][..]),
        (
            "2026-03-01",
            &["warning[id-not-kebab-case]", "warning[exception-expired]"][..],
        ),
    ] {
        let said = check(&folder, as_of, &[]).exits(0);
        assert_eq!(heads(&said), expected, "{as_of}");
        check(&folder, as_of, &["--deny", "warnings"]).exits(i32::from(!expected.is_empty()));
    }
}

#[test]
fn an_exception_that_is_not_needed_is_told() {
    let accept = "accept:\n  - {rule: id-not-kebab-case, because: engraved so}\n  - {rule: not-a-date, because: for no reason}\n";
    let said = check(&lab("levels-unused", "", accept), "2026-03-02", &[]).exits(0);
    assert_eq!(heads(&said), ["warning[exception-unused]"]);
}

#[test]
fn an_exception_needs_a_reason() {
    let said = check(
        &lab(
            "levels-reason",
            "",
            "accept:\n  - {rule: id-not-kebab-case}\n",
        ),
        "2026-03-02",
        &[],
    )
    .exits(1);
    assert!(
        said.stdout
            .contains("error[missing-key]: `because` is missing"),
        "{}",
        said.stdout
    );
}

#[test]
fn a_rule_that_there_is_not_is_told() {
    let rules = "rules:\n  - {rule: id-not-kebap-case, level: error, because: slip}\n";
    let said = check(&lab("levels-unknown", rules, ""), "2026-03-02", &[]).exits(0);
    assert_eq!(
        heads(&said),
        ["warning[rule-unknown]", "warning[id-not-kebab-case]"]
    );
    assert!(
        said.stdout.contains("did you mean `id-not-kebab-case`?"),
        "{}",
        said.stdout
    );
}

#[test]
fn an_exception_may_be_silenced_too() {
    let rules =
        "rules:\n  - {rule: exception-expired, level: silent, because: reviewed elsewhere}\n";
    let accept = "accept:\n  - {rule: id-not-kebab-case, because: engraved so, until: 2026-02}\n";
    let said = check(
        &lab("levels-silent-expired", rules, accept),
        "2026-03-02",
        &[],
    )
    .exits(0);
    assert_eq!(heads(&said), ["warning[id-not-kebab-case]"]);
}
