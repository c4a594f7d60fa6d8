//! `new`.

use crate::runner::Folder;

const KINDS: [&str; 11] = [
    "catalog",
    "source",
    "substance",
    "group",
    "pump-kind",
    "pump",
    "tube",
    "box",
    "boxes",
    "plan",
    "survey",
];

#[test]
fn every_kind_begins_with_the_modeline_and_is_refused_until_it_is_filled_in() {
    let folder = Folder::new("new-kinds");
    folder
        .run(&["new", "catalog", "quay", "--in", "lab"])
        .exits(0);
    folder.run(&["schema", "--all", "lab/schemas"]).exits(0);
    for kind in KINDS.into_iter().skip(1) {
        let path = folder
            .run(&["new", kind, "quay-1", "--in", "lab/entries"])
            .exits(0)
            .stdout
            .trim()
            .to_owned();
        let text = folder.read(&path);
        let modeline = text.lines().next().unwrap();
        let schema = modeline
            .strip_prefix("# yaml-language-server: $schema=")
            .unwrap();
        assert_eq!(schema, format!("../schemas/{kind}.draft-07.schema.json"));
        assert!(
            folder
                .read(&format!("lab/entries/{schema}"))
                .starts_with('{')
        );
        let said = folder.run(&["check", &path, "--format", "short"]).exits(1);
        assert!(said.stdout.contains("is empty"), "{kind}: {}", said.stdout);
        assert!(!said.stdout.contains("fault of stainbook"), "{kind}");
    }
}

#[test]
fn nothing_is_overwritten() {
    let folder = Folder::new("new-twice").with("quay-1.tube.yaml", "tube: quay-1\n");
    folder
        .run(&["new", "tube", "quay-1"])
        .exits(2)
        .says("nothing is overwritten");
    assert_eq!(folder.read("quay-1.tube.yaml"), "tube: quay-1\n");
}

#[test]
fn names_that_cannot_be_file_names_are_refused() {
    let folder = Folder::new("new-names");
    for (name, help) in [
        ("Quay CO", "write `quay-co`"),
        ("../x", "write `x`"),
        ("a--b", "write `a-b`"),
    ] {
        folder.run(&["new", "tube", name]).exits(2).says(help);
    }
    folder
        .run(&["new", "lamp", "x"])
        .exits(2)
        .says("possible values");
}

#[test]
fn a_substance_of_the_reference_is_added_to() {
    let folder = Folder::new("new-ammonia");
    folder
        .run(&["new", "catalog", "quay", "--in", "lab"])
        .exits(0);
    let path = "lab/ammonia.substance.yaml";
    folder
        .run(&["new", "substance", "ammonia", "--in", "lab"])
        .exits(0)
        .says("has `ammonia` with its limits: the new file adds to it");
    let text = folder.read(path);
    assert!(text.contains("\nadds_to: stainbook-reference\n"), "{text}");
    folder.run(&["check", path]).exits(0);
    // The line taken out, the limits would be gone.
    let alone = "substance: ammonia\nname: ammonia\nformula: NH3\nidentified_by: common-practice\n";
    let folder = folder.with(path, alone);
    let said = folder.run(&["check", path, "--format", "short"]).exits(1);
    assert!(
        said.stdout.contains("error[substance-hides-another]"),
        "{}",
        said.stdout
    );
    let folder = folder.with(
        path,
        format!("{alone}replaces_entry: stainbook-reference\n"),
    );
    let said = folder.run(&["check", path, "--format", "short"]);
    assert!(
        !said.stdout.contains("substance-hides-another"),
        "{}",
        said.stdout
    );
    folder
        .run(&["new", "substance", "azane", "--in", "lab"])
        .exits(0);
}

#[test]
fn the_template_of_a_sheet_asks_whose_time_a_half_stroke_has() {
    let folder = Folder::new("new-half-stroke");
    folder.run(&["new", "tube", "quay-1"]).exits(0);
    let text = folder.read("quay-1.tube.yaml");
    let (above, _) = text.split_once("# seconds_for: half stroke").unwrap();
    let asked = above.lines().rev().take(4).collect::<Vec<_>>().join(" ");
    assert!(
        asked.contains("For half a stroke: is `seconds_per_stroke`"),
        "{asked}"
    );
}
