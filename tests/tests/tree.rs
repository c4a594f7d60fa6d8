//! The crates that come with the façade: what another program embeds without defaults stays small.
#![cfg(test)]

use std::collections::BTreeSet;

use stainbook_tests::workspace::cargo;

/// The crates in the normal dependency tree of the façade, itself included.
fn tree(arguments: &[&str]) -> BTreeSet<String> {
    let facade = ["tree", "--package", "stainbook"];
    let plain = ["--edges", "normal", "--prefix", "none"];
    let text = cargo(&[&facade[..], &plain, arguments].concat());
    // `name v1.2.3 (path) (*)`: a crate that stands there twice is one.
    let name = |line: &str| {
        line.split_whitespace()
            .take(2)
            .collect::<Vec<_>>()
            .join(" ")
    };
    text.lines()
        .filter(|line| !line.is_empty())
        .map(name)
        .collect()
}

/// Crates that come without defaults, ours among them, at most. It may only fall.
const WITHOUT_DEFAULTS: usize = 92;

#[test]
fn without_defaults_the_facade_brings_few_crates() {
    let (few, all) = (tree(&["--no-default-features"]), tree(&[]));
    assert!(few.len() <= WITHOUT_DEFAULTS, "{}: {few:#?}", few.len());
    assert!(few.is_subset(&all), "{:?}", few.difference(&all));
    for left_out in [
        "calamine",
        "minijinja",
        "csv",
        "rayon",
        "annotate-snippets",
        "rand_xoshiro",
    ] {
        let named = |name: &String| name.starts_with(&format!("{left_out} "));
        assert!(
            all.iter().any(named),
            "{left_out} is not among the defaults"
        );
        assert!(!few.iter().any(named), "{left_out} comes without defaults");
    }
}
