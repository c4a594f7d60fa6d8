//! Every rule runs on every fixture: what a rule does to a fixture that is not its own shows, unless the fixture says so
//! (`# also:`).
#![cfg(test)]
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the fixtures offer"
)]

mod fixture;

use std::collections::BTreeSet;
use std::fs;

use stainbook_check::registry;

fn folders() -> Vec<String> {
    fixture::names(&fixture::rules_folder())
        .into_iter()
        .filter(|name| name != "base")
        .collect()
}

#[test]
fn fixtures_and_rules_are_the_same_set() {
    let folders: BTreeSet<String> = folders().into_iter().collect();
    let rules: BTreeSet<String> = registry().iter().map(|rule| rule.name.to_owned()).collect();
    assert_eq!(folders, rules);
}

#[test]
fn every_rule_on_every_fixture() {
    let mut wrong = Vec::new();
    let mut fired_anywhere = BTreeSet::new();
    for rule in folders() {
        let folder = fixture::rules_folder().join(&rule);
        let names = fixture::names(&folder);
        for kind in ["flagged", "clean"] {
            assert!(
                names.iter().any(|name| name.starts_with(kind)),
                "{rule}: no `{kind}*.yaml`"
            );
        }
        for name in names {
            let example = fs::read(folder.join(&name)).unwrap();
            let fired = fixture::fired(&example);
            fired_anywhere.extend(fired.iter().copied());
            let mut expected = fixture::also(&example);
            if name.starts_with("flagged") {
                expected.insert(rule.clone());
            }
            if fired != expected.iter().map(String::as_str).collect() {
                wrong.push(format!("{rule}/{name}: {fired:?}"));
            }
        }
    }
    let never = registry()
        .iter()
        .filter(|rule| !fired_anywhere.contains(rule.name));
    wrong.extend(never.map(|rule| format!("{}: a rule that has never fired", rule.name)));
    assert!(
        wrong.is_empty(),
        "fixtures that fire other rules than they say:\n{}",
        wrong.join("\n")
    );
}
