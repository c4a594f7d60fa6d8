//! Commands that the README, the pages of rules and flags, and help offer: each is one that the program has.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::runner::Folder;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// What follows `stainbook ` in backticks and in blocks of a text.
fn commands(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for quoted in text.split('`').skip(1).step_by(2) {
        found.extend(quoted.strip_prefix("stainbook ").map(str::to_owned));
    }
    for line in text.lines().filter(|line| line.starts_with("    ")) {
        let line = line.trim().trim_start_matches("- run: ");
        let line = line.trim_start_matches("$ ");
        let line = line.split(" #").next().unwrap_or(line);
        let line = line.split(" > ").next().unwrap_or(line);
        let command = line
            .strip_prefix("stainbook ")
            .or_else(|| line.strip_prefix("cargo run -- "));
        found.extend(command.map(str::to_owned));
    }
    found
}

/// The arguments of a command line, quotation marks taken off.
fn arguments(command: &str) -> Vec<String> {
    let command = command.replace("\"$(date -u +%F)\"", "2026-11-25");
    let (mut parts, mut part, mut quoted) = (Vec::new(), String::new(), false);
    for c in command.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => {
                parts.extend(Some(std::mem::take(&mut part)).filter(|p| !p.is_empty()));
            }
            other => part.push(other),
        }
    }
    parts.extend(Some(part).filter(|part| !part.is_empty()));
    parts.retain(|part| part != "…");
    parts
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn each_command_that_is_offered_is_one_of_the_program() {
    let mut offered: BTreeSet<String> = BTreeSet::new();
    offered.extend(commands(
        &fs::read_to_string(root().join("README.md")).unwrap(),
    ));
    for entry in fs::read_dir(root().join("crates/check/src/rules")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "md") {
            offered.extend(commands(&fs::read_to_string(&path).unwrap()));
        }
    }
    let mut sources = Vec::new();
    rust_files(&root().join("crates"), &mut sources);
    for source in sources {
        let text = fs::read_to_string(&source).unwrap();
        for built in text.split("Offer::command(\"").skip(1) {
            let command = built.split('"').next().unwrap();
            offered.extend(command.strip_prefix("stainbook ").map(str::to_owned));
        }
        offered.extend(
            text.lines()
                .filter(|line| !line.trim_start().starts_with("//"))
                .flat_map(commands)
                .filter(|command| !command.contains(['{', '\\'])),
        );
    }
    assert!(20 < offered.len(), "{offered:?}");
    let folder = Folder::new("offered-commands");
    let mut wrong = Vec::new();
    for command in &offered {
        let arguments = arguments(command);
        // The demo works without a catalog; nothing else is to be done, only understood.
        let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let named = words.len() == 1 || words.len() == 2 && words[0] == "new";
        let run = if named {
            folder.run(&[&words[..], &["--help"]].concat())
        } else {
            folder.run(&words)
        };
        let misunderstood = [
            "unexpected argument",
            "unrecognized subcommand",
            "invalid value",
            "required arguments",
            "cannot be used with",
            "Usage:",
        ];
        if misunderstood.iter().any(|words| run.stderr.contains(words)) || run.code == Some(3) {
            wrong.push(format!("stainbook {command}\n{}", run.stderr));
        }
    }
    println!("{} commands understood", offered.len());
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
