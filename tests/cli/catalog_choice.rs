//! Choice of the catalog, and that the answer names it.

use crate::runner::Folder;

const LAB: &str = "\
catalog: quay
title: Quay
revision: 2026-03-01
format: 1
builds_on: [stainbook-reference, ../base]
reference_conditions: {temperature: 20 °C, pressure: 101.325 kPa}
";
const OWN: &str = "substance: quay-gas\nname: quay gas\nalso_called: [QG]\nformula: C2H6O\nidentified_by: quay-book\n";
const BASE: &str = "catalog: base\ntitle: Base\nrevision: 2026-01-01\nformat: 1\n";
const IN_BASE: &str =
    "substance: base-gas\nname: base gas\nformula: CH4\nidentified_by: quay-book\n";

fn lab(name: &str) -> Folder {
    Folder::new(name)
        .with("lab/catalog.yaml", LAB)
        .with("lab/substances/quay-gas.substance.yaml", OWN)
        .with("base/catalog.yaml", BASE)
        .with("base/base-gas.substance.yaml", IN_BASE)
        .with("lab/tubes/deep/.keep", "")
}

fn convert<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut all = vec!["convert", "10ppm", "--to", "mg/m3", "--format", "json"];
    all.extend(more);
    all
}

#[test]
fn the_reference_conditions_of_the_catalog_are_taken_and_said() {
    let folder = lab("choice-reference");
    let answer = folder
        .run(&convert(&["-s", "QG", "--catalog", "lab"]))
        .exits(0)
        .json();
    assert_eq!(answer["conditions"]["temperature"]["text"], "20 °C");
    assert_eq!(answer["assumptions"][0]["code"], "reference-conditions");
    assert_eq!(answer["catalog"], "quay of 2026-03-01, lab/catalog.yaml");
    // Stated conditions win.
    let stated = folder
        .run(&convert(&[
            "-s",
            "QG",
            "--catalog",
            "lab",
            "--temperature=25C",
            "--pressure=1013hPa",
        ]))
        .exits(0)
        .json();
    assert_eq!(stated["conditions"]["temperature"]["text"], "25 °C");
    // The embedded catalog states none.
    folder.run(&convert(&["-s", "CO"])).exits(2);
}

#[test]
fn own_substances_those_of_a_base_and_the_reference_are_found() {
    let folder = lab("choice-substances");
    for (name, id) in [
        ("quay gas", "quay-gas"),
        ("base-gas", "base-gas"),
        ("630-08-0", "carbon-monoxide"),
        ("Hydrogen sulphide", "hydrogen-sulfide"),
    ] {
        let answer = folder
            .run(&convert(&["-s", name, "--catalog", "lab"]))
            .exits(0)
            .json();
        assert_eq!(answer["substance"]["id"], id, "{name}");
    }
    folder
        .run(&[
            "convert",
            "1ppm",
            "--to",
            "mg/m3",
            "-s",
            "quay-gs",
            "--catalog",
            "lab",
        ])
        .exits(2)
        .says("did you mean `quay gas`?");
}

#[test]
fn a_catalog_that_is_not_there() {
    let folder = lab("choice-missing");
    folder
        .run(&["convert", "1ppm", "--to", "ppb", "--catalog", "nowhere"])
        .exits(2)
        .says("there is no such folder");
    folder
        .run(&["sheet", "--catalog", "lab/tubes"])
        .exits(2)
        .says("there is no `catalog.yaml` in it");
    let broken = Folder::new("choice-base-missing")
        .with("catalog.yaml", LAB)
        .with("a.pump.yaml", "pump: a\nkind: b\n");
    broken
        .run(&["check", "."])
        .exits(2)
        .says("builds on `../base`");
}

#[test]
fn the_nearest_one_upward_is_taken() {
    let folder = lab("choice-nearest").with(
        "lab/tubes/deep/pump-1.pump.yaml",
        "pump: pump-1\nkind: no-such-kind\n",
    );
    let said = folder
        .run(&["check", "lab/tubes/deep", "--format", "short"])
        .exits(1)
        .says("catalog: quay of 2026-03-01");
    assert!(
        said.stdout
            .starts_with("lab/tubes/deep/pump-1.pump.yaml:2:7: error[unresolved-reference]"),
        "{}",
        said.stdout
    );
}
