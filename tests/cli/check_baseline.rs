//! `check --baseline`: an old catalog starts clean.

use crate::runner::{CommandOutcome, Folder};

const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
const KIND: &str = "pump_kind: quay-piston\nname: Quay piston pump\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
const LOST: &str = "pump: lost\nkind: no-such-kind\nserial: NO\n";

/// An old catalog with an error and two warnings, and its baseline.
fn old(name: &str) -> Folder {
    let folder = Folder::new(name)
        .with("lab/catalog.yaml", CATALOG)
        .with("lab/pumps/quay-piston.pump-kind.yaml", KIND)
        .with("lab/pumps/lost.pump.yaml", LOST)
        .with(
            "lab/pumps/Old_1.pump.yaml",
            "pump: Old_1\nkind: quay-piston\n",
        );
    folder
        .run(&["check", "lab", "--as-of", "2026-03-02"])
        .exits(1);
    folder
        .run(&[
            "check",
            "lab",
            "--as-of",
            "2026-03-02",
            "--write-baseline",
            "lab/baseline.yaml",
        ])
        .exits(0)
        .says("3 findings listed in `lab/baseline.yaml`");
    folder
}

fn check(folder: &Folder, more: &[&str]) -> CommandOutcome {
    let arguments = [
        "check",
        "lab",
        "--as-of",
        "2026-03-02",
        "--baseline",
        "lab/baseline.yaml",
        "--format",
        "short",
    ];
    folder.run(&[&arguments[..], more].concat())
}

#[test]
fn the_file_names_rules_and_paths_and_no_lines() {
    insta::assert_snapshot!(old("baseline-file").read("lab/baseline.yaml"), @r"
    # Findings that were there when this was written; `stainbook check --baseline` passes over them.
    format: 1
    known:
      - {rule: id-not-kebab-case, file: pumps/Old_1.pump.yaml, at: /pump}
      - {rule: unresolved-reference, file: pumps/lost.pump.yaml, at: /kind}
      - {rule: yaml-1-1-word, file: pumps/lost.pump.yaml, at: /serial}
    ");
}

#[test]
fn an_old_catalog_starts_clean_and_new_findings_show() {
    let folder = old("baseline-clean");
    let said = check(&folder, &["--deny", "warnings"])
        .exits(0)
        .says("baseline: 3 known findings passed over");
    assert_eq!(said.stdout, "");
    let folder = folder.with("lab/pumps/new.pump.yaml", LOST.replace("lost", "new"));
    let said = check(&folder, &[]).exits(1);
    assert_eq!(said.stdout.lines().count(), 2, "{}", said.stdout);
    assert!(
        said.stdout
            .lines()
            .all(|line| line.starts_with("lab/pumps/new.pump.yaml:")),
        "{}",
        said.stdout
    );
}

#[test]
fn moving_lines_about_changes_nothing_and_moving_the_folder_neither() {
    let folder = old("baseline-moved").with(
        "lab/pumps/lost.pump.yaml",
        "# a remark\n\nserial: NO\nkind: no-such-kind\npump: lost\n",
    );
    check(&folder, &["--deny", "warnings"]).exits(0);
    let within = folder
        .run_in(
            "lab/pumps",
            &[
                "check",
                "..",
                "--as-of",
                "2026-03-02",
                "--baseline",
                "../baseline.yaml",
            ],
        )
        .exits(0);
    assert!(
        within.stdout.starts_with("no findings"),
        "{}",
        within.stdout
    );
    std::fs::rename(folder.path("lab"), folder.path("other")).unwrap();
    folder
        .run(&[
            "check",
            "other",
            "--as-of",
            "2026-03-02",
            "--baseline",
            "other/baseline.yaml",
            "--deny",
            "warnings",
        ])
        .exits(0);
}

#[test]
fn what_was_mended_is_told() {
    let folder = old("baseline-unused").with(
        "lab/pumps/lost.pump.yaml",
        "pump: lost\nkind: quay-piston\nserial: NO\n",
    );
    let said = check(&folder, &["--deny", "warnings"]).exits(0);
    assert_eq!(
        said.stdout,
        "lab/baseline.yaml:5:5: note[baseline-unused]: `unresolved-reference` is no longer found in `pumps/lost.pump.yaml`; \
         write the baseline again with `--write-baseline`, or take the entry out\n"
    );
    std::fs::remove_file(folder.path("lab/pumps/lost.pump.yaml")).unwrap();
    assert_eq!(
        check(&folder, &[]).exits(0).stdout.lines().count(),
        2,
        "a file that is gone"
    );
    let one = folder
        .run(&[
            "check",
            "lab/pumps/Old_1.pump.yaml",
            "--baseline",
            "lab/baseline.yaml",
        ])
        .exits(0);
    assert!(
        one.stdout.starts_with("no findings"),
        "of other files nothing is known: {}",
        one.stdout
    );
    let strict = format!(
        "{CATALOG}rules:\n  - {{rule: baseline-unused, level: error, because: we cut it back}}\n"
    );
    check(&folder.with("lab/catalog.yaml", strict), &[]).exits(1);
}

#[test]
fn every_format_shows_what_the_baseline_lists_and_is_gone() {
    let folder = old("baseline-formats").with(
        "lab/pumps/lost.pump.yaml",
        "pump: lost\nkind: quay-piston\nserial: NO\n",
    );
    for format in ["text", "json", "sarif", "github", "junit"] {
        let arguments = [
            "check",
            "lab",
            "--as-of",
            "2026-03-02",
            "--baseline",
            "lab/baseline.yaml",
            "--format",
            format,
        ];
        let said = folder.run(&arguments).exits(0);
        assert!(
            said.stdout.contains("baseline-unused") && said.stdout.contains("lab/baseline.yaml"),
            "{format}: {}",
            said.stdout
        );
    }
}

#[test]
fn the_baseline_is_no_misnamed_entry() {
    let said = check(&old("baseline-beside"), &[]).exits(0);
    assert!(!said.stderr.contains("left out"), "{}", said.stderr);
}

#[test]
fn what_cannot_be_used_is_refused() {
    let folder = old("baseline-refused");
    let with = |name: &str| folder.run(&["check", "lab", "--baseline", name]).exits(2);
    with("nowhere.yaml").says("cannot read `nowhere.yaml`: there is no such file");
    with("lab/catalog.yaml").says("`lab/catalog.yaml` cannot be used as a baseline");
    std::fs::write(folder.path("two.yaml"), "format: 2\nknown: []\n").unwrap();
    with("two.yaml").says("format `2`").says("(line 1)");
    folder
        .run(&["check", "lab", "--write-baseline", "no/such/folder/b.yaml"])
        .exits(2);
    folder
        .run(&[
            "check",
            "lab",
            "nowhere.pump.yaml",
            "--write-baseline",
            "b.yaml",
        ])
        .exits(2)
        .says("no baseline was written");
    assert!(!std::path::Path::new(&folder.path("b.yaml")).exists());
    folder
        .run(&["check", "lab", "--baseline", "lab/baseline.yaml", "--fix"])
        .exits(2);
}

#[test]
fn writing_it_again_keeps_only_what_is_there() {
    let folder = old("baseline-again").with(
        "lab/pumps/lost.pump.yaml",
        "pump: lost\nkind: quay-piston\n",
    );
    folder
        .run(&[
            "check",
            "lab",
            "--as-of",
            "2026-03-02",
            "--write-baseline",
            "lab/baseline.yaml",
        ])
        .exits(0)
        .says("1 finding listed");
    assert_eq!(check(&folder, &[]).exits(0).stdout, "");
}

#[test]
fn a_row_put_in_above_brings_nothing_back() {
    let pump = |rows: &str| format!("pump: lost\nkind: quay-piston\nvolume_checks:\n{rows}");
    let slipped = "  - {date: 2025-05-06, volume: 9.91 mL, by: KL}\n";
    let folder = Folder::new("baseline-row-above")
        .with("lab/catalog.yaml", CATALOG)
        .with("lab/pumps/quay-piston.pump-kind.yaml", KIND)
        .with("lab/pumps/lost.pump.yaml", pump(slipped));
    let write = [
        "check",
        "lab",
        "--as-of",
        "2026-03-02",
        "--write-baseline",
        "lab/baseline.yaml",
    ];
    folder.run(&write).exits(0);
    let above = format!("  - {{date: 2024-05-02, volume: 99.6 mL, by: KL}}\n{slipped}");
    let folder = folder.with("lab/pumps/lost.pump.yaml", pump(&above));
    check(&folder, &["--deny", "warnings"])
        .exits(0)
        .says("1 known finding passed over");
    let twice = format!("{above}  - {{date: 2025-11-03, volume: 9.88 mL, by: KL}}\n");
    let folder = folder.with("lab/pumps/lost.pump.yaml", pump(&twice));
    check(&folder, &["--deny", "warnings"]).exits(1);
}
