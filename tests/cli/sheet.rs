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
