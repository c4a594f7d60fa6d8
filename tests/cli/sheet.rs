//! `sheet`.

use crate::runner::Folder;

#[test]
fn every_sheet_of_the_demo_fits_the_page_and_carries_the_cautions() {
    let folder = Folder::new("sheet-all");
    let list = folder.run(&["sheet"]).exits(0).stdout;
    assert!(12 <= list.lines().count());
    for line in list.lines() {
        let id = line.split_whitespace().next().unwrap();
        let sheet = folder.run(&["sheet", id]).exits(0).stdout;
        let sections = [
            "Before use",
            "Drawing",
            "Reading",
            "Correcting",
            "Doubt",
            "Afterwards",
            "Mind: ",
        ];
        let found: Vec<usize> = sections
            .iter()
            .filter_map(|section| sheet.find(&format!("\n{section}")))
            .collect();
        assert_eq!(found.len(), sections.len(), "{id}");
        assert!(found.is_sorted(), "{id}: not in the order of the work");
        assert!(sheet.contains("never clear a confined space"), "{id}");
        for line in sheet.lines() {
            assert!(line.chars().count() <= 80, "{id}: {line}");
        }
    }
}

#[test]
fn the_newest_revision_stands_for_the_series() {
    let folder = Folder::new("sheet-series");
    let said = folder
        .run(&["sheet", "brinewash-chlorine-a"])
        .exits(0)
        .says("brinewash-chlorine-a-r1");
    assert!(said.stdout.contains("sheet brinewash-chlorine-a-r2"));
    folder
        .run(&["sheet", "brinewash-clorine-a-r2"])
        .exits(2)
        .says("did you mean `brinewash-chlorine-a-r2`");
}

#[test]
fn a_draft_is_shown_with_what_could_not_be_read() {
    let text = std::fs::read_to_string(crate::runner::repository(
        "catalog/demo/tubes/brinewash-chlorine-a-r2.tube.yaml",
    ))
    .unwrap();
    let folder = Folder::new("sheet-draft").with("quay.tube.yaml", &text);
    let sheet = folder.run(&["sheet", "quay.tube.yaml"]).exits(0).stdout;
    assert!(sheet.contains("sheet brinewash-chlorine-a-r2"));
    let draft = text.replace("25 °C", "25");
    assert_ne!(draft, text);
    let said = folder
        .run_with(&["sheet", "-"], draft.as_bytes())
        .exits(0)
        .says("standard-input.tube.yaml:14:20")
        .says("is not on the sheet");
    assert!(said.stdout.contains("Drawing"));
    folder
        .run(&["sheet", "missing.tube.yaml"])
        .exits(2)
        .says("there is no such file");
}

#[test]
fn the_json_of_a_sheet_keeps_the_figures_as_typed() {
    let folder = Folder::new("sheet-json");
    let sheet = folder
        .run(&["sheet", "brinewash-chlorine-a-r2", "--format", "json"])
        .exits(0)
        .json();
    assert_eq!(sheet["draw"]["stroke"], "100 mL");
    let list = folder.run(&["sheet", "--format", "json"]).exits(0).json();
    assert!(12 <= list["sheets"].as_array().unwrap().len());
}
