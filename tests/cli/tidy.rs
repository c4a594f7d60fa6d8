//! `tidy`: the usual form, what stays as it is, and what scripts may rely on.

use crate::runner::Folder;

const CATALOG: &str = "catalog: quay\ntitle: Quay\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n";
/// Typed in the order that came to mind, with remarks about single fields.
const TYPED: &str = "# typed by KL

stroke: 100 ml   # as stamped on the barrel
# from the shelf
pump_kind: 'quay-piston'
volume_tolerance: 5 %

name: \"Quay piston pump\"
half_strokes: true  ";
const USUAL: &str = "# typed by KL

# from the shelf
pump_kind: quay-piston

name: Quay piston pump
stroke: 100 mL   # as stamped on the barrel
half_strokes: true
volume_tolerance: 5 %
";
const FILE: &str = "pumps/quay-piston.pump-kind.yaml";

fn lab(name: &str, typed: &str) -> Folder {
    Folder::new(name)
        .with("catalog.yaml", CATALOG)
        .with(FILE, typed)
}

#[test]
fn a_file_is_written_in_its_usual_form_and_then_left_alone() {
    let folder = lab("tidy-writes", TYPED);
    let said = folder.run(&["tidy", "."]).exits(0);
    assert_eq!(folder.read(FILE), USUAL);
    assert_eq!(said.stdout, "");
    assert_eq!(
        said.stderr,
        "tidied: pumps/quay-piston.pump-kind.yaml\n1 of 2 files tidied\n"
    );
    folder.run(&["tidy"]).exits(0).says("0 of 2 files tidied");
    assert_eq!(folder.read(FILE), USUAL);
    folder.run(&["check", "."]).exits(0);
}

#[test]
fn what_would_change_is_shown_or_asked() {
    let folder = lab("tidy-shows", TYPED);
    let shown = folder.run(&["tidy", ".", "--dry-run"]).exits(0);
    assert!(
        shown.stdout.contains("+pump_kind: quay-piston\n"),
        "{}",
        shown.stdout
    );
    folder
        .run(&["tidy", ".", "--check"])
        .exits(1)
        .says("not in its usual form: pumps/quay-piston.pump-kind.yaml")
        .says("1 of 2 files would be tidied");
    assert_eq!(folder.read(FILE), TYPED);
    folder.run(&["tidy", FILE]).exits(0);
    folder.run(&["tidy", ".", "--check"]).exits(0);
    folder.run(&["tidy", ".", "--check", "--dry-run"]).exits(2);
}

#[test]
fn standard_input_becomes_standard_output() {
    let folder = lab("tidy-stdin", USUAL);
    let arguments = ["tidy", "-", "--stdin-filename", FILE];
    let said = folder.run_with(&arguments, TYPED.as_bytes()).exits(0);
    assert_eq!(said.stdout, USUAL);
    folder.run_with(&["tidy", "-"], TYPED.as_bytes()).exits(2);
    // An editor that pipes gets back what it gave where nothing can be done.
    let said = folder.run_with(&arguments, b"name: [x\n").exits(1);
    assert_eq!(said.stdout, "name: [x\n");
    said.says("it cannot be read to its end; mend what `stainbook check` says first");
}

#[test]
fn nothing_is_guessed() {
    let unclear = "stroke: 100 mL\n# of the stroke, or of the kind\n\npump_kind: quay-piston\nname: Quay\nhalf_strokes: true\nvolume_tolerance: 5 %\n";
    let folder = lab("tidy-guesses", unclear).with("broken.tube.yaml", "tube: [x\n'a: 1\n");
    folder
        .run(&["tidy", "."])
        .exits(1)
        .says("note: pumps/quay-piston.pump-kind.yaml: a comment in the file as a whole may be about the field above or the one below")
        .says("note: broken.tube.yaml is left as it is");
    assert_eq!(folder.read(FILE), unclear);
    assert_eq!(folder.read("broken.tube.yaml"), "tube: [x\n'a: 1\n");
    // Latin-1: a character that would be replaced stays.
    let bytes = b"name: 'caf\xe9'\npump_kind: quay-piston\n";
    let folder = lab("tidy-latin", "").with(FILE, bytes);
    folder.run(&["tidy", "."]).exits(1).says("is left as it is");
    assert_eq!(folder.bytes(FILE), bytes);
}

#[test]
fn a_substance_gets_its_short_name() {
    let group = |member: &str| {
        format!(
            "group: fumes\nname: fumes\nmembers: [{member}, nitrogen-dioxide]   # of the engine\nsource: common-practice\n"
        )
    };
    let folder = lab("tidy-names", USUAL).with("fumes.group.yaml", group("\"NO\""));
    folder.run(&["tidy", "."]).exits(0);
    assert_eq!(folder.read("fumes.group.yaml"), group("nitric-oxide"));
}

#[test]
fn a_table_has_no_usual_form() {
    let folder = lab("tidy-table", USUAL).with("round.csv", "id,tube\nr01,x\n");
    folder
        .run(&["tidy", "round.csv"])
        .exits(2)
        .says("`round.csv` is a table, which has no usual form");
    folder.run(&["tidy", "nowhere.tube.yaml"]).exits(2);
}
