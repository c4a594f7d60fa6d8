//! The crates that come with the façade: what another program embeds without defaults stays small.
#![cfg(test)]

use std::collections::BTreeSet;
use std::process::Command;

/// The crates in the normal dependency tree of the façade, itself included.
fn tree(arguments: &[&str]) -> BTreeSet<String> {
    let output = Command::new(env!("CARGO"))
        .args([
            "tree",
            "--package",
            "stainbook",
            "--edges",
            "normal",
            "--prefix",
            "none",
            "--offline",
        ])
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let text = String::from_utf8(output.stdout).expect("text");
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

/// Crates of others that come without defaults. The aim is 86 (92 in all, when six were ours); in the way stand the draws, which
/// cannot be switched off yet (`rand` and its company, 4), `statrs` (2) and two helpers of derives (5). It may only fall.
const OF_OTHERS: usize = 95;

#[test]
fn without_defaults_the_facade_brings_few_crates() {
    let (few, all) = (tree(&["--no-default-features"]), tree(&[]));
    let others = few.iter().filter(|name| !name.starts_with("stainbook"));
    let others: Vec<&String> = others.collect();
    assert!(others.len() <= OF_OTHERS, "{}: {others:#?}", others.len());
    assert!(few.is_subset(&all), "{:?}", few.difference(&all));
    for left_out in ["calamine", "minijinja", "csv", "rayon", "annotate-snippets"] {
        let named = |name: &String| name.starts_with(&format!("{left_out} "));
        assert!(
            all.iter().any(named),
            "{left_out} is not among the defaults"
        );
        assert!(!few.iter().any(named), "{left_out} comes without defaults");
    }
}
