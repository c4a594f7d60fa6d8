//! What a command reads, and what somebody wrote by hand, is never written over.

use std::fs;

use crate::runner::{CommandOutcome, Folder, repository};

const SURVEY: &str = "catalog/demo/surveys/hatchery-2026-09-10.survey.csv";
const ROUND: &str = "catalog/demo/surveys/plant-round-2026-06-16.survey.yaml";

fn text(path: &str) -> String {
    fs::read_to_string(repository(path)).unwrap()
}

/// Two surveys, a lab's catalog and a template.
fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("my.csv", text(SURVEY))
        .with("round.survey.yaml", text(ROUND))
        .with("layout.html", "{{ evaluation.catalog }}")
        .with(
            "lab/catalog.yaml",
            "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        )
        .with("lab/pumps/quay.pump-kind.yaml", KIND)
}

const KIND: &str = "pump_kind: quay\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";

fn refused(folder: &Folder, arguments: &[&str], kept: &str) -> CommandOutcome {
    let before = folder.bytes(kept);
    let said = folder.run(arguments).exits(2);
    assert!(folder.bytes(kept) == before, "{arguments:?} changed {kept}");
    said
}

#[test]
fn results_do_not_go_over_the_readings() {
    let folder = lab("over-readings");
    fs::hard_link(folder.path("my.csv"), folder.path("hard")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("my.csv", folder.path("soft")).unwrap();
    #[cfg(not(unix))]
    fs::hard_link(folder.path("my.csv"), folder.path("soft")).unwrap();
    for output in ["my.csv", "./lab/../my.csv", "hard", "soft"] {
        for format in ["csv", "jsonl", "json", "text"] {
            let arguments = ["evaluate", "my.csv", "--format", format, "-o", output];
            refused(&folder, &arguments, "my.csv").says("is read by this command");
        }
    }
    refused(
        &folder,
        &["evaluate", "round.survey.yaml", "-o", "round.survey.yaml"],
        "round.survey.yaml",
    );
    // The same readings by way of a pipe, or of a link on the other side.
    refused(
        &folder,
        &["evaluate", "soft", "--format", "csv", "-o", "my.csv"],
        "my.csv",
    );
    folder
        .run(&["evaluate", "my.csv", "-o", "other.csv"])
        .exits(0);
    folder
        .run(&["evaluate", "my.csv", "-o", "other.csv"])
        .exits(0);
}

#[test]
fn results_do_not_go_over_standard_input() {
    let folder = lab("over-standard-input");
    let before = folder.bytes("my.csv");
    let input = fs::File::open(folder.path("my.csv")).unwrap();
    let end = std::process::Command::new(env!("CARGO_BIN_EXE_stainbook"))
        .args(["evaluate", "-", "-q", "-o", "my.csv"])
        .current_dir(folder.root())
        .stdin(input)
        .status()
        .unwrap();
    assert_eq!(end.code(), Some(2));
    assert!(folder.bytes("my.csv") == before);
}

#[test]
fn results_do_not_go_over_anything_else_that_is_read() {
    let folder = lab("over-others");
    fs::hard_link(folder.path("layout.html"), folder.path("link.html")).unwrap();
    for (output, more) in [
        ("layout.html", &["--template", "layout.html"][..]),
        ("link.html", &["--template", "layout.html"]),
    ] {
        let arguments = ["evaluate", "my.csv", "--format", "html", "-o", output];
        refused(&folder, &[&arguments, more].concat(), output).says("is read by this command");
    }
    // By another name as well.
    fs::hard_link(
        folder.path("lab/pumps/quay.pump-kind.yaml"),
        folder.path("hard"),
    )
    .unwrap();
    let arguments = ["evaluate", "my.csv", "--catalog", "lab", "-o", "hard"];
    refused(&folder, &arguments, "hard").says("is read by this command");
    fs::create_dir(folder.path("records")).unwrap();
    folder
        .run(&["evaluate", "my.csv", "-q", "-o", "records/a.json"])
        .exits(0);
    for records in ["records", "records/a.json"] {
        let arguments = ["evaluate", "--verify", records, "-o", "records/a.json"];
        refused(&folder, &arguments, "records/a.json").says("is read by this command");
    }
    // What verifying says may lie beside the records, where it is read and found to be none.
    for _ in 0..2 {
        let verify = [
            "evaluate",
            "--verify",
            "records",
            "-o",
            "records/verified.json",
        ];
        let said = folder.run(&verify);
        assert_ne!(said.code, Some(2), "{said:#?}");
    }
}

#[test]
fn a_name_that_a_catalog_reads_is_none_for_results() {
    let folder = lab("over-names");
    for output in [
        "lab/x.tube.yaml",
        "catalog.yaml",
        "lab/pumps/quay.pump-kind.yaml",
    ] {
        let there = fs::read(folder.path(output)).ok();
        folder
            .run(&["evaluate", "my.csv", "--format", "json", "-o", output])
            .exits(2)
            .says("is the name of a catalog's file");
        assert!(fs::read(folder.path(output)).ok() == there);
    }
}

#[test]
fn a_baseline_goes_over_a_baseline_only() {
    let folder = lab("over-baseline")
        .with("lab/pumps/lost.pump.yaml", "pump: lost\nkind: no-such\n")
        .with("notes.txt", "notes\n")
        .with("empty", "")
        .with("settings.yaml", "format: 1\nknown: nothing\n");
    for there in [
        "lab/pumps/quay.pump-kind.yaml",
        "lab/catalog.yaml",
        "my.csv",
        "round.survey.yaml",
        "notes.txt",
        "empty",
        "settings.yaml",
    ] {
        let arguments = ["check", "lab", "--write-baseline", there];
        let said = refused(&folder, &arguments, there);
        assert!(
            said.stderr.contains("is there and is no baseline")
                || said.stderr.contains("is the name of a catalog's file"),
            "{there}: {}",
            said.stderr
        );
    }
    for new in ["new.tube.yaml", "lab/new.survey.csv", "catalog.yml"] {
        folder
            .run(&["check", "lab", "--write-baseline", new])
            .exits(2)
            .says("is the name of a catalog's file");
        assert!(!fs::exists(folder.path(new)).unwrap(), "{new}");
    }
    let arguments = ["check", "lab", "--write-baseline", "lab/baseline.yaml"];
    folder.run(&arguments).exits(0).says("1 finding listed");
    folder.run(&arguments).exits(0).says("1 finding listed");
}
