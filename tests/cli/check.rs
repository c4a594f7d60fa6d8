//! `check`.

use crate::runner::{Folder, keys, repository};

const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const PUMP_KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", CATALOG)
        .with("pumps/quay-piston.pump-kind.yaml", PUMP_KIND)
}

#[test]
fn a_good_catalog_ends_with_0() {
    let folder = lab("check-good");
    let said = folder
        .run(&["check", ".", "--as-of", "2026-03-02"])
        .exits(0);
    assert_eq!(said.stdout, "no findings in 2 files\n");
    assert!(
        said.stderr.contains("catalog: quay of 2026-03-01"),
        "{}",
        said.stderr
    );
}

#[test]
fn the_contract_of_the_json_report() {
    let folder = lab("check-json").with(
        "pumps/worn.pump-kind.yaml",
        "pump_kind: worn\nname: Worn\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n",
    );
    let report = folder
        .run(&["check", ".", "--as-of", "2026-03-02", "--format", "json"])
        .exits(1)
        .json();
    assert_eq!(report["schema_version"], 1);
    assert_eq!(report["files"], 3);
    let finding = &report["findings"][0];
    assert_eq!(
        keys(finding),
        [
            "byte_end",
            "byte_start",
            "cell",
            "column",
            "edits",
            "end_column",
            "end_line",
            "facts",
            "file",
            "help",
            "label",
            "level",
            "line",
            "message",
            "notes",
            "our_fault",
            "pointer",
            "related",
            "rule",
            "worksheet"
        ]
    );
    assert_eq!(finding["rule"], "decimal-comma");
    assert_eq!(finding["level"], "error");
    assert_eq!(finding["file"], "pumps/worn.pump-kind.yaml");
    assert_eq!(finding["pointer"], "/stroke");
    assert_eq!(
        (finding["line"].as_u64(), finding["column"].as_u64()),
        (Some(3), Some(9))
    );
    assert_eq!(
        (finding["end_line"].as_u64(), finding["end_column"].as_u64()),
        (Some(3), Some(14))
    );
    for fact in finding["facts"].as_object().unwrap().values() {
        assert_eq!(keys(fact), ["text", "unit", "value"]);
    }
}

#[test]
fn nothing_else_is_lost_when_files_are_broken() {
    let folder = lab("check-broken")
        .with(
            "pumps/latin.pump.yaml",
            b"pump: latin\nkind: quay-piston\nremark: caf\xe9\n",
        )
        .with("pumps/syntax.pump.yaml", "pump: [\n")
        .with("pumps/empty.pump.yaml", "")
        .with("pumps/tab.pump.yaml", "pump: tab\nkind:\n\tquay-piston\n")
        .with("pumps/lost.pump.yaml", "pump: lost\nkind: no-such-kind\n");
    let said = folder
        .run(&["check", ".", "--as-of", "2026-03-02", "--format", "short"])
        .exits(1);
    for file in ["latin", "syntax", "empty", "tab", "lost"] {
        assert!(
            said.stdout.contains(&format!("pumps/{file}.pump.yaml:")),
            "{file}: {}",
            said.stdout
        );
    }
    for line in said.stdout.lines() {
        let mut parts = line.splitn(4, ':');
        let (file, at, column, rest) = (
            parts.next().unwrap(),
            parts.next().unwrap(),
            parts.next().unwrap(),
            parts.next().unwrap(),
        );
        assert!(
            file.contains(".pump")
                && 1 <= at.parse::<u32>().unwrap()
                && 1 <= column.parse::<u32>().unwrap(),
            "{line}"
        );
        assert!(
            [" error[", " warning[", " note["]
                .iter()
                .any(|level| rest.starts_with(level)),
            "{line}"
        );
    }
}

#[test]
fn a_file_that_is_not_there_ends_with_2_and_the_others_are_checked() {
    let folder =
        lab("check-missing").with("pumps/lost.pump.yaml", "pump: lost\nkind: no-such-kind\n");
    let said = folder
        .run(&[
            "check",
            "nowhere.pump.yaml",
            "pumps/lost.pump.yaml",
            "--format",
            "short",
        ])
        .exits(2)
        .says("cannot read `nowhere.pump.yaml`: there is no such file");
    assert!(
        said.stdout
            .contains("pumps/lost.pump.yaml:2:7: error[unresolved-reference]"),
        "{}",
        said.stdout
    );
    folder.run(&["check", "no-such-folder/"]).exits(2);
}

#[test]
fn one_file_is_checked_as_part_of_its_catalog() {
    let folder = lab("check-one")
        .with(
            "pumps/pump-03.pump.yaml",
            "pump: pump-03\nkind: quay-piston\n",
        )
        .with("pumps/lost.pump.yaml", "pump: lost\nkind: no-such-kind\n");
    let said = folder.run(&["check", "pumps/pump-03.pump.yaml"]).exits(0);
    assert_eq!(said.stdout, "no findings in 1 file\n");
}

#[test]
fn standard_input_stands_in_for_the_file_of_that_name() {
    let folder = lab("check-stdin").with(
        "pumps/pump-03.pump.yaml",
        "pump: pump-03\nkind: quay-piston\n",
    );
    let name = "pumps/pump-03.pump.yaml";
    let arguments = ["check", "-", "--stdin-filename", name, "--format", "short"];
    let said = folder
        .run_with(&arguments, b"pump: pump-03\nkind: no-such-kind\n")
        .exits(1);
    assert!(
        said.stdout
            .starts_with("pumps/pump-03.pump.yaml:2:7: error[unresolved-reference]"),
        "{}",
        said.stdout
    );
    folder
        .run_with(&arguments, b"pump: pump-03\nkind: quay-piston\n")
        .exits(0);
    folder
        .run_with(&["check", "-"], b"")
        .exits(2)
        .says("--stdin-filename");
}

#[test]
fn warnings_are_denied_only_when_asked() {
    let folder = lab("check-deny").with(
        "pumps/Pump_3.pump.yaml",
        "pump: Pump_3\nkind: quay-piston\n",
    );
    let said = folder.run(&["check", "."]).exits(0);
    assert!(
        said.stdout.ends_with("1 warning in 3 files\n"),
        "{}",
        said.stdout
    );
    folder.run(&["check", ".", "--deny", "warnings"]).exits(1);
    folder
        .run(&["check", ".", "--deny", "warnings", "--format", "json"])
        .exits(1);
}

#[test]
fn dates_are_judged_by_the_day_that_is_named() {
    let folder = lab("check-as-of");
    folder
        .run(&["check", ".", "--as-of", "someday"])
        .exits(2)
        .says("`someday` is not a date");
    let early = folder.run(&["check", ".", "--as-of", "2026-02-01", "--format", "short"]);
    assert!(
        early.stdout.contains("[date-in-the-future]"),
        "{}",
        early.stdout
    );
}

#[test]
fn yaml_files_without_a_kind_are_mentioned() {
    let folder = lab("check-left-out").with("tubes/slip.tubes.yaml", "tube: slip\n");
    folder
        .run(&["check", "."])
        .exits(0)
        .says("1 file left out")
        .says("tubes/slip.tubes.yaml");
    folder
        .run(&["check", "tubes/slip.tubes.yaml", "--format", "short"])
        .exits(1);
    let nothing = Folder::new("check-nothing");
    nothing
        .run(&["check", "."])
        .exits(2)
        .says("there is nothing to check in `.`");
}

#[test]
fn the_same_output_every_time() {
    let folder = Folder::new("check-same");
    let arguments = [
        "check",
        &repository("catalog"),
        "--as-of",
        "2026-11-25",
        "--format",
        "json",
    ];
    let first = folder.run(&arguments).stdout;
    assert!(first.len() > 100);
    for _ in 0..3 {
        assert_eq!(folder.run(&arguments).stdout, first);
    }
}

#[test]
fn a_finding_shows_its_line_and_no_colour_where_none_is_wanted() {
    let folder = lab("check-text").with(
        "pumps/worn.pump-kind.yaml",
        "pump_kind: worn\nname: Worn\nstroke: 0,1 L\nhalf_strokes: true\nvolume_tolerance: 5 %\n",
    );
    let said = folder.run(&["check", "."]).exits(1);
    assert!(!said.stdout.contains('\u{1b}') && !said.stderr.contains('\u{1b}'));
    let shown: Vec<&str> = said.stdout.lines().take(5).collect();
    insta::assert_snapshot!(shown.join("\n"), @r"
    error[decimal-comma]: `0,1 L` has a comma in its number
     --> pumps/worn.pump-kind.yaml:3:9
      |
    3 | stroke: 0,1 L
      |         ^^^^^
    ");
    assert!(said.stdout.ends_with("1 error in 3 files\n"));
}

#[test]
fn a_catalog_reached_under_several_names_is_read_once() {
    let folder = Folder::new("check-once")
        .with("lab/catalog.yaml", CATALOG)
        .with(
            "lab/pumps/lost.pump.yaml",
            "pump: lost\nkind: no-such-kind\n",
        )
        .with("lab/pumps/.keep", "");
    for arguments in [
        &["check", "lab"][..],
        &["check", "lab/pumps", "lab", "lab/pumps/lost.pump.yaml"],
        &["check", "lab/../lab", "lab"],
    ] {
        let said = folder
            .run(&[arguments, &["--format", "short"]].concat())
            .exits(1);
        assert_eq!(
            said.stdout.matches("unresolved-reference").count(),
            1,
            "{arguments:?}: {}",
            said.stdout
        );
        assert_eq!(
            said.stderr.matches("quay of 2026-03-01").count(),
            1,
            "{arguments:?}: {}",
            said.stderr
        );
        assert!(
            said.stderr.contains("1 error in 2 files"),
            "{arguments:?}: {}",
            said.stderr
        );
    }
}

const TABLE: &str = "\
id,at,place,tube,lot,strokes,reading [ppm],remark
t1,2026-02-20T07:40+00:00,quay,quay-clorine,24-117,3,5,
t2,2026-02-20T07:30+00:00,\"quay, at the bollard\",quay-clorine,24-117,three,5,
";

#[test]
fn a_survey_in_a_table_is_checked_cell_by_cell() {
    let folder = lab("check-table").with("surveys/round.survey.csv", TABLE);
    for paths in [&["."][..], &["surveys/round.survey.csv"]] {
        let arguments = [
            &["check"],
            paths,
            &["--as-of", "2026-03-02", "--format", "short"],
        ];
        let said = folder.run(&arguments.concat()).exits(1);
        let places: Vec<&str> = said
            .stdout
            .lines()
            .map(|line| line.split(": ").next().unwrap())
            .collect();
        assert_eq!(
            places,
            [
                "surveys/round.survey.csv:2:32",
                "surveys/round.survey.csv:3:70"
            ],
            "{}",
            said.stdout
        );
    }
    // Nothing of a table is mended, and the rest of the catalog still is.
    let fixed = folder
        .run(&["check", ".", "--as-of", "2026-03-02", "--fix"])
        .exits(1);
    assert_eq!(
        folder.read("surveys/round.survey.csv"),
        TABLE,
        "{}",
        fixed.stdout
    );
}

#[test]
fn capital_letters_keep_no_file_from_being_seen() {
    let folder = Folder::new("check-capitals")
        .with("lab/catalog.yaml", "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with("lab/pumps/X.PUMP.YAML", "pump: x\nkind: no-such-kind\n")
        .with("lab/pumps/y.Pump.yml", "pump: y\nkind: no-such-kind\n")
        .with("lab/old/CATALOG.yaml", "catalog: old\n")
        .with("lab/surveys/round.SURVEY.csv", "id,colour\n1,red\n")
        .with("lab/NOTES.YAML", "remark: none\n");
    let said = folder.run(&["check", "lab", "--format", "short"]).exits(1);
    let lines: Vec<&str> = said.stdout.lines().collect();
    assert_eq!(lines.len(), 4, "{said:#?}");
    for (line, (file, help)) in lines.iter().zip([
        ("lab/old/CATALOG.yaml", "`catalog.yaml`"),
        ("lab/pumps/X.PUMP.YAML", "`X.pump.yaml`"),
        ("lab/pumps/y.Pump.yml", "`y.pump.yml`"),
        ("lab/surveys/round.SURVEY.csv", "colour"),
    ]) {
        assert!(line.starts_with(file) && line.contains(help), "{line}");
    }
    let note = said.says("note: 1 file left out");
    assert!(note.stderr.contains("lab/NOTES.YAML"), "{note:#?}");
    // The same where the file itself is asked for.
    folder
        .run(&["check", "lab/pumps/X.PUMP.YAML", "--format", "short"])
        .exits(1);
}
