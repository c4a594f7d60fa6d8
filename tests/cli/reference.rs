//! `explain`, `schema`, `completions`, and help.

use crate::runner::Folder;

#[test]
fn every_rule_is_listed_and_explained() {
    let folder = Folder::new("explain");
    let list = folder.run(&["explain"]).exits(0).stdout;
    let rules: Vec<&str> = list
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split_whitespace().next())
        .collect();
    assert!(40 < rules.len());
    for rule in ["range-gap", "decimal-comma", "cas-check-digit"] {
        assert!(rules.contains(&rule), "{rule}");
        let said = folder.run(&["explain", rule]).exits(0);
        assert!(
            said.stdout.starts_with(&format!("# {rule}")),
            "{}",
            said.stdout
        );
    }
    folder
        .run(&["explain", "range-gaps"])
        .exits(2)
        .says("did you mean `range-gap`?");
    let all = folder.run(&["explain", "--format", "json"]).exits(0).json();
    assert_eq!(all["rules"].as_array().unwrap().len(), rules.len());
    let one = folder
        .run(&["explain", "range-gap", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(
        crate::runner::keys(&one),
        ["docs", "family", "level", "rule", "since", "summary"]
    );
    // As it is copied from a finding.
    folder.run(&["explain", "error[range-gap]"]).exits(0);
}

#[test]
fn schemas_are_those_of_the_repository() {
    let folder = Folder::new("schema");
    for (arguments, file) in [
        (&["schema", "tube"][..], "schemas/tube.schema.json"),
        (
            &["schema", "pump-kind", "--draft", "07"],
            "schemas/pump-kind.draft-07.schema.json",
        ),
    ] {
        let committed = std::fs::read_to_string(crate::runner::repository(file)).unwrap();
        assert_eq!(folder.run(arguments).exits(0).stdout, committed, "{file}");
    }
    assert_eq!(
        folder
            .run(&["schema", "--all", "s"])
            .exits(0)
            .stdout
            .lines()
            .count(),
        16
    );
    folder.run(&["schema"]).exits(2);
}

#[test]
fn every_command_has_help_with_an_example() {
    let folder = Folder::new("help");
    let help = folder.run(&["--help"]).exits(0).stdout;
    for command in [
        "demo",
        "convert",
        "check",
        "evaluate",
        "find",
        "sheet",
        "new",
        "explain",
        "schema",
        "completions",
    ] {
        assert!(help.contains(&format!("\n  {command}")), "{command}");
        let own = folder.run(&[command, "--help"]).exits(0).stdout;
        assert!(own.contains("Example"), "{command}");
        assert!(own.contains(&format!("  stainbook {command}")), "{command}");
    }
    assert!(
        folder
            .run(&["completions", "bash"])
            .exits(0)
            .stdout
            .contains("stainbook")
    );
}
