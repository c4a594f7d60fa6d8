//! `demo`.

use crate::runner::Folder;

#[test]
fn the_first_command_of_the_readme() {
    let folder = Folder::new("demo");
    let said = folder.run(&["demo"]).exits(0);
    for words in [
        "$ stainbook check",
        "$ stainbook evaluate",
        " to ",
        "never clear a confined space",
        "What to try next",
    ] {
        assert!(said.stdout.contains(words), "not shown: {words}");
    }
    // The demo catalog is free of errors and warnings; what is wrong in its surveys are flags.
    assert!(!said.stdout.contains("error[") && !said.stdout.contains("warning["));
    assert!(folder.run(&["demo", "--all"]).exits(0).stdout.len() > said.stdout.len());
    for line in said.stdout.lines() {
        assert!(line.chars().count() <= 120, "{line}");
    }
}

#[test]
fn what_it_proposes_works() {
    let folder = Folder::new("demo-next");
    let shown = folder.run(&["demo"]).stdout;
    let proposed: Vec<Vec<&str>> = shown
        .split("What to try next")
        .nth(1)
        .unwrap()
        .lines()
        .filter_map(|line| line.trim().strip_prefix("stainbook "))
        .map(|line| {
            line.split("   ")
                .next()
                .unwrap()
                .split("  ")
                .next()
                .unwrap()
                .split_whitespace()
                .collect()
        })
        .collect();
    assert_eq!(proposed.len(), 4);
    for arguments in proposed {
        folder.run(&arguments).exits(0);
    }
}
