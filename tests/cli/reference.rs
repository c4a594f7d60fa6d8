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
    let count = |what: &str| all[what].as_array().unwrap().len();
    assert_eq!(
        count("rules") + count("codes") + count("general"),
        rules.len()
    );
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
fn every_code_is_explained() {
    let folder = Folder::new("explain_code");
    assert_eq!(
        folder.run(&["explain", "lot-expired"]).exits(0).stdout,
        "# lot-expired (flag)\n\nThe tube had expired on the day of the reading.\n\n\
         What to do: Measure again with a box within its date.\n\n\
         Verdicts: the tube may have read too low, so that nothing is called below a limit: `cannot tell (tube expired)`.\n\n\
         `find`: passed over, as it is about the record of a reading that does not exist yet.\n",
    );
    folder
        .run(&["explain", "lot-expird"])
        .exits(2)
        .says("did you mean `lot-expired`?");
    let one = folder
        .run(&["explain", "outside-usable-humidity", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(one["may_read"], "either_way");
    assert_eq!(one["in_verdict"], "outside the usable humidities");
    assert_eq!(one["in_search"], "excludes");
}

/// A name that is both stands for one matter: the rule finds it in the file, the refusal says it instead of a result.
#[test]
fn names_that_are_a_rule_and_a_code_are_told_as_both() {
    let folder = Folder::new("explain_both");
    let all = folder.run(&["explain", "--format", "json"]).exits(0).json();
    let names = |list: &str, key: &str| -> Vec<String> {
        let entries = all[list].as_array().unwrap();
        entries
            .iter()
            .map(|entry| entry[key].as_str().unwrap().to_owned())
            .collect()
    };
    let rules = names("rules", "rule");
    let mut both: Vec<String> = names("codes", "code")
        .into_iter()
        .filter(|code| rules.contains(code))
        .collect();
    both.sort();
    assert_eq!(
        both,
        [
            "blank-among-readings",
            "half-stroke-impossible",
            "limit-without-conditions",
            "reading-named-twice",
            "reading-unknown",
            "stroke-volume-differs",
        ]
    );
    for name in both {
        let said = folder.run(&["explain", &name]).exits(0).stdout;
        assert!(said.contains(&format!("# {name} (refusal)")), "{said}");
        assert_eq!(said.matches(&format!("# {name}")).count(), 2, "{said}");
    }
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
        22
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
