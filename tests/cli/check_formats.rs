//! `check --format`: the same findings, severities and exit codes in each.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use serde_json::Value;

use crate::runner::{CommandOutcome, Folder, repository};

pub(crate) const FORMATS: [&str; 6] = ["text", "short", "json", "sarif", "github", "junit"];
const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

pub(crate) fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", CATALOG)
        .with("pumps/quay-piston.pump-kind.yaml", KIND)
}

/// Findings of each level, a related place, facts, safe and unsafe edits, and names that have to be encoded.
fn doubtful(name: &str) -> Folder {
    lab(name)
        .with("pumps/höhe 50 %, a&b.pump.yaml", "pump: \"a <b> & 'c'\"\nkind: no-such-kind\n")
        .with("pumps/worn.pump-kind.yaml", "pump_kind: worn\nname: Worn\nname: Torn\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n")
        .with("pumps/Old_1.pump.yaml", "pump: Old_1\nkind: quay-piston\n")
        .with("pumps/ml.pump-kind.yaml", "pump_kind: ml\nname: Millilitres\nstroke: 100 ml\nhalf_strokes: true\nvolume_tolerance: 5 %\n")
        .with("pumps/latin.pump.yaml", b"pump: latin\nkind: quay-piston\nserial: \"caf\xe9 100\"\n")
        .with("pumps/empty.pump.yaml", "")
}

fn check(folder: &Folder, format: &str, more: &[&str]) -> CommandOutcome {
    let mut arguments = vec!["check", ".", "--as-of", "2026-03-02", "--format", format];
    arguments.extend(more);
    folder.run(&arguments)
}

/// Number of findings of each level and rule that a format shows.
pub(crate) fn counted(format: &str, said: &CommandOutcome) -> BTreeMap<(String, String), usize> {
    let mut counts = BTreeMap::new();
    let mut add = |level: &str, rule: &str| {
        *counts
            .entry((level.to_owned(), rule.to_owned()))
            .or_default() += 1;
    };
    let bracketed = |text: &str, add: &mut dyn FnMut(&str, &str)| {
        let (level, rest) = text.split_once('[').unwrap();
        add(
            level.rsplit(' ').next().unwrap(),
            rest.split_once(']').unwrap().0,
        );
    };
    match format {
        "text" => {
            let heads = ["error[", "warning[", "note["];
            let lines = said
                .stdout
                .lines()
                .filter(|line| heads.iter().any(|head| line.starts_with(head)));
            lines.for_each(|line| bracketed(line, &mut add));
        }
        "short" => said
            .stdout
            .lines()
            .for_each(|line| bracketed(line, &mut add)),
        "json" => said.json()["findings"]
            .as_array()
            .unwrap()
            .iter()
            .for_each(|finding| {
                add(
                    finding["level"].as_str().unwrap(),
                    finding["rule"].as_str().unwrap(),
                );
            }),
        "sarif" => said.json()["runs"][0]["results"]
            .as_array()
            .unwrap()
            .iter()
            .for_each(|result| {
                add(
                    result["level"].as_str().unwrap(),
                    result["ruleId"].as_str().unwrap(),
                );
            }),
        "github" => {
            for line in said.stdout.lines() {
                let level = line
                    .trim_start_matches("::")
                    .split(' ')
                    .next()
                    .unwrap()
                    .replace("notice", "note");
                add(
                    &level,
                    line.split_once("title=")
                        .unwrap()
                        .1
                        .split_once("::")
                        .unwrap()
                        .0,
                );
            }
        }
        "junit" => {
            let document = roxmltree::Document::parse(&said.stdout).unwrap();
            let cases = document
                .descendants()
                .filter(|node| node.has_tag_name("testcase"));
            let found = cases.filter(|case| {
                case.has_children() && case.attribute("name").unwrap().contains('[')
            });
            found.for_each(|case| bracketed(case.attribute("name").unwrap(), &mut add));
        }
        _ => panic!("{format}"),
    }
    counts
}

#[test]
fn every_format_says_the_same_and_ends_the_same() {
    let doubtful = doubtful("formats-same");
    let clean = lab("formats-clean");
    let warned =
        lab("formats-warned").with("pumps/Old_1.pump.yaml", "pump: Old_1\nkind: quay-piston\n");
    for (folder, more, code, least) in [
        (&doubtful, &[][..], 1, 6),
        (&doubtful, &["--deny", "warnings"][..], 1, 6),
        (&clean, &["--deny", "warnings"][..], 0, 0),
        (&warned, &[][..], 0, 1),
        (&warned, &["--deny", "warnings"][..], 1, 1),
        (&doubtful, &["nowhere.pump.yaml"][..], 2, 6),
    ] {
        let expected = counted("json", &check(folder, "json", more));
        assert!(least <= expected.len(), "{expected:?}");
        for format in FORMATS {
            let said = check(folder, format, more).exits(code);
            let mut counts = counted(format, &said);
            // What could not be read is beside the findings.
            counts.retain(|(_, rule), _| rule != "unreadable");
            assert_eq!(counts, expected, "{format} {more:?}");
            assert_eq!(
                check(folder, format, more).stdout,
                said.stdout,
                "{format} is the same every time"
            );
        }
    }
    let levels: BTreeSet<String> = counted("json", &check(&doubtful, "json", &[]))
        .into_keys()
        .map(|(level, _)| level)
        .collect();
    assert_eq!(
        levels.into_iter().collect::<Vec<_>>(),
        ["error", "note", "warning"]
    );
}

fn sarif_schema() -> jsonschema::Validator {
    let schema = fs::read_to_string(repository("tests/sarif/sarif-schema-2.1.0.json")).unwrap();
    let mut schema: Value = serde_json::from_str(&schema).unwrap();
    // This pattern has a stray bracket, which only some dialects of regular expressions let pass; we state no language.
    for part in ["run", "toolComponent"] {
        let language = schema
            .pointer_mut(&format!("/definitions/{part}/properties/language"))
            .unwrap();
        assert!(
            language
                .as_object_mut()
                .unwrap()
                .remove("pattern")
                .is_some()
        );
    }
    jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap()
}

#[track_caller]
pub(crate) fn assert_valid(log: &Value) {
    let errors: Vec<String> = sarif_schema()
        .iter_errors(log)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
}

#[test]
fn sarif_holds_to_the_standard_s_schema() {
    let folder = doubtful("formats-sarif-schema");
    let broken = repository("tests/format");
    for more in [&[][..], &["nowhere.pump.yaml"][..], &[broken.as_str()][..]] {
        assert_valid(&check(&folder, "sarif", more).json());
    }
    assert_valid(&check(&lab("formats-sarif-clean"), "sarif", &[]).json());
    let demo = Folder::new("formats-sarif-demo");
    assert_valid(
        &demo
            .run(&[
                "check",
                &repository("catalog"),
                "--as-of",
                "2026-11-25",
                "--format",
                "sarif",
            ])
            .json(),
    );
    // The schema does say no.
    let mut log = check(&folder, "sarif", &[]).json();
    log["runs"][0]["results"][0]["level"] = "fatal".into();
    assert!(!sarif_schema().is_valid(&log));
}

#[test]
fn sarif_holds_what_uploaders_require() {
    let folder = doubtful("formats-sarif");
    let log = check(&folder, "sarif", &[]).exits(1).json();
    let run = &log["runs"][0];
    assert_eq!(
        (log["version"].as_str(), run["columnKind"].as_str()),
        (Some("2.1.0"), Some("unicodeCodePoints"))
    );
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
    for rule in rules {
        for text in [
            &rule["shortDescription"]["text"],
            &rule["fullDescription"]["text"],
            &rule["help"]["text"],
        ] {
            assert!(20 < text.as_str().unwrap().len(), "{rule:#}");
        }
        assert!(
            rule["help"]["markdown"]
                .as_str()
                .unwrap()
                .starts_with(&format!("# {}", rule["id"].as_str().unwrap()))
        );
    }
    let mut prints = BTreeSet::new();
    let mut files = BTreeSet::new();
    for result in run["results"].as_array().unwrap() {
        assert!(!result["message"]["text"].as_str().unwrap().is_empty());
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(rules[index]["id"], result["ruleId"]);
        let place = &result["locations"][0]["physicalLocation"];
        let uri = place["artifactLocation"]["uri"].as_str().unwrap();
        assert!(
            !uri.starts_with('/') && !uri.contains([' ', '&', ':']) || uri.contains("%20"),
            "{uri}"
        );
        assert_eq!(place["artifactLocation"]["uriBaseId"], "SRCROOT");
        files.insert(uri.to_owned());
        let region = &place["region"];
        assert!(
            1 <= region["startLine"].as_u64().unwrap()
                && 1 <= region["startColumn"].as_u64().unwrap()
        );
        assert!(
            region["snippet"]["text"].is_string() || uri.contains("empty"),
            "{result:#}"
        );
        assert_eq!(
            region["byteOffset"].is_u64(),
            !uri.contains("latin") && !uri.contains("empty"),
            "{result:#}"
        );
        assert!(
            prints.insert(
                result["partialFingerprints"]["primaryLocationLineHash"]
                    .as_str()
                    .unwrap()
                    .to_owned()
            ),
            "{result:#}"
        );
    }
    assert!(
        files.contains("pumps/h%C3%B6he%2050%20%25,%20a&b.pump.yaml"),
        "{files:?}"
    );
    let result = |rule: &str| {
        run["results"]
            .as_array()
            .unwrap()
            .iter()
            .find(|r| r["ruleId"] == rule)
            .unwrap()
    };
    let comma = result("decimal-comma");
    let region = &comma["locations"][0]["physicalLocation"]["region"];
    assert_eq!(region["snippet"]["text"], "0,1 L");
    let numbers = [
        "startLine",
        "startColumn",
        "endLine",
        "endColumn",
        "byteOffset",
        "byteLength",
    ]
    .map(|key| region[key].as_u64().unwrap());
    assert_eq!(numbers, [4, 9, 4, 14, 46, 5]);
    assert_eq!(
        comma["locations"][0]["physicalLocation"]["contextRegion"]["snippet"]["text"],
        "stroke: 0,1 L"
    );
    let change = &comma["fixes"][0]["artifactChanges"][0];
    assert_eq!(
        change["replacements"][0]["insertedContent"]["text"],
        "0.1 L"
    );
    assert_eq!(comma["fixes"][0]["properties"]["safe"], true);
    let twice = result("duplicate-key");
    assert_eq!(
        twice["relatedLocations"][0]["physicalLocation"]["region"]["startLine"],
        2
    );
    assert!(twice["relatedLocations"][0]["message"]["text"].is_string());
}

fn prints(folder: &Folder) -> BTreeMap<String, (String, u64)> {
    let log = check(folder, "sarif", &[]).json();
    let results = log["runs"][0]["results"].as_array().unwrap().clone();
    let one = |result: &Value| {
        let line = result["locations"][0]["physicalLocation"]["region"]["startLine"]
            .as_u64()
            .unwrap();
        let print = result["partialFingerprints"]["primaryLocationLineHash"]
            .as_str()
            .unwrap()
            .to_owned();
        (result["ruleId"].as_str().unwrap().to_owned(), (print, line))
    };
    results.iter().map(one).collect()
}

#[test]
fn fingerprints_stay_when_lines_move_and_change_with_the_text() {
    let text =
        "pump_kind: worn\nname: Worn\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
    let file = "pumps/worn.pump-kind.yaml";
    let before = prints(&lab("formats-prints-1").with(file, text));
    let moved = prints(
        &lab("formats-prints-2").with(file, format!("# a remark\n\n{text}").replace('\n', "\r\n")),
    );
    let (print, line) = &before["decimal-comma"];
    let (moved_print, moved_line) = &moved["decimal-comma"];
    assert_eq!((print, *moved_line), (moved_print, line + 2));
    let other = prints(&lab("formats-prints-3").with(file, text.replace("0,1", "0,2")));
    assert_ne!(&other["decimal-comma"].0, print);
}

#[test]
fn paths_outside_the_folder_stand_for_themselves() {
    let folder = lab("formats-outside")
        .with("pumps/lost.pump.yaml", "pump: lost\nkind: no-such-kind\n")
        .with("elsewhere/x.txt", "");
    let within = folder.run(&["check", "pumps", "--format", "sarif"]).json();
    let uri = |log: &Value| {
        log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"].clone()
    };
    assert_eq!(uri(&within)["uri"], "pumps/lost.pump.yaml");
    let absolute = folder.path("pumps/lost.pump.yaml");
    let by_name = folder
        .run(&["check", &absolute, "--format", "sarif"])
        .json();
    assert_eq!(
        uri(&by_name),
        uri(&within),
        "an absolute path below the folder is the same file"
    );
    let outside = folder
        .run_in("elsewhere", &["check", "../pumps", "--format", "sarif"])
        .json();
    let outside = uri(&outside);
    assert!(
        outside["uri"].as_str().unwrap().starts_with("file:///") && outside["uriBaseId"].is_null(),
        "{outside}"
    );
}

#[test]
fn junit_has_a_suite_for_each_file_and_a_case_for_each_finding() {
    let folder = doubtful("formats-junit");
    let said = check(&folder, "junit", &["nowhere.pump.yaml"]).exits(2);
    let document = roxmltree::Document::parse(&said.stdout).unwrap();
    let root = document.root_element();
    let suites: Vec<_> = root
        .children()
        .filter(|node| node.has_tag_name("testsuite"))
        .collect();
    let number = |node: &roxmltree::Node, name: &str| {
        node.attribute(name).unwrap().parse::<usize>().unwrap()
    };
    for count in ["tests", "failures", "errors"] {
        assert_eq!(
            suites
                .iter()
                .map(|suite| number(suite, count))
                .sum::<usize>(),
            number(&root, count)
        );
    }
    for suite in &suites {
        let cases = suite
            .children()
            .filter(|node| node.has_tag_name("testcase"))
            .count();
        assert_eq!(cases, number(suite, "tests"));
        assert!(1 <= cases, "a file without findings passes");
        let failures = suite
            .descendants()
            .filter(|node| node.has_tag_name("failure"))
            .count();
        assert_eq!(failures, number(suite, "failures"));
    }
    let names: Vec<&str> = suites
        .iter()
        .map(|suite| suite.attribute("name").unwrap())
        .collect();
    assert!(
        names.contains(&"pumps/höhe 50 %, a&b.pump.yaml"),
        "{names:?}"
    );
    assert!(
        names.contains(&"pumps/quay-piston.pump-kind.yaml") && names.contains(&"catalog.yaml"),
        "{names:?}"
    );
    let findings = counted("json", &check(&folder, "json", &[]));
    let errors: usize = findings
        .iter()
        .filter(|((level, _), _)| level == "error")
        .map(|(_, count)| count)
        .sum();
    assert_eq!(
        (number(&root, "failures"), number(&root, "errors")),
        (errors, 1)
    );
    let denied = check(&folder, "junit", &["--deny", "warnings"]).exits(1);
    let document = roxmltree::Document::parse(&denied.stdout).unwrap();
    let notes: usize = findings
        .iter()
        .filter(|((level, _), _)| level == "note")
        .map(|(_, count)| count)
        .sum();
    assert_eq!(
        number(&document.root_element(), "failures"),
        findings.values().sum::<usize>() - notes
    );
}

#[test]
fn junit_is_well_formed_whatever_the_files_hold() {
    let folder = lab("formats-junit-odd")
        .with(
            "pumps/a]]>.pump.yaml",
            "pump: \"]]> <![CDATA[ &amp; \u{fffe} \u{1}\"\nkind: no-such-kind\n",
        )
        .with(
            "pumps/b.pump.yaml",
            "pump: \"\\x01\\e\\u0085\"\nkind: \"<!-- \\uFFFF -->\"\n",
        );
    let said = check(&folder, "junit", &[]).exits(1);
    roxmltree::Document::parse(&said.stdout).unwrap();
    check(&folder, "sarif", &[]).exits(1).json();
    let github = check(&folder, "github", &[]).exits(1);
    assert!(
        github.stdout.lines().all(|line| line.starts_with("::")),
        "{}",
        github.stdout
    );
}

#[test]
fn github_annotations() {
    let said = check(&doubtful("formats-github"), "github", &[]).exits(1);
    let line = said
        .stdout
        .lines()
        .find(|line| line.contains("decimal-comma"))
        .unwrap();
    assert!(
        line.starts_with("::error file=pumps/worn.pump-kind.yaml,line=4,endLine=4,col=9,endColumn=14,title=decimal-comma::`0,1 L` has a comma"),
        "{line}"
    );
    assert!(
        said.stdout
            .contains("file=pumps/höhe 50 %25%2C a&b.pump.yaml,"),
        "{}",
        said.stdout
    );
}
