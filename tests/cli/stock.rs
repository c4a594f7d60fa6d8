//! Boxes in stock: read with a catalog, held against it by `check`, and standing in for an expiry that a survey does not state.

use crate::runner::{CommandOutcome, Folder};

const SURVEY: &str = "\
survey: a
title: A
by: KL
conditions: {air_temperature: 20 °C, humidity: 50 %RH, pressure: 101.3 kPa}
readings:
  - {id: r1, at: \"2026-06-16T07:15+01:00\", place: brine wash, tube: brinewash-chlorine-a, lot: 24-119, pump: pump-02, leak_test: held, strokes: 3, reading: {seen: no stain}, other_gases: none known}
";

/// A lab of its own that builds on the demo, with a table of boxes.
fn lab(name: &str, table: &str) -> Folder {
    let demo = crate::runner::repository("catalog/demo");
    Folder::new(name)
        .with(
            "lab/catalog.yaml",
            format!("catalog: lab\ntitle: Lab\nrevision: 2026-06-01\nformat: 1\nbuilds_on: [stainbook-reference, \"{demo}\"]\n"),
        )
        .with("lab/shelf.boxes.csv", table)
        .with("lab/a.survey.yaml", SURVEY)
}

fn evaluated(folder: &Folder) -> CommandOutcome {
    folder
        .run_in("lab", &["evaluate", "a.survey.yaml", "--format", "json"])
        .exits(0)
}

/// The codes of the flags, and the words beside the first verdict.
fn said(outcome: &CommandOutcome) -> (Vec<String>, Vec<String>) {
    let json = outcome.json();
    let result = &json["results"][0];
    let list = |value: &serde_json::Value, key: &str| {
        let items = value.as_array().unwrap().iter();
        items
            .map(|item| item[key].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    let against = result["against"].as_array().unwrap();
    let danger = against
        .iter()
        .find(|against| {
            against["verdict"] == "below" || !against["said_beside"].as_array().unwrap().is_empty()
        })
        .unwrap();
    (
        list(&result["flags"], "code"),
        list(&danger["said_beside"], "text"),
    )
}

#[test]
fn a_box_stands_in_for_an_expiry_and_the_verdict_says_so() {
    let folder = lab(
        "stock-stands-in",
        "box,tube,lot,expires\nb-1,brinewash-chlorine-a,24-119,2026-12\n",
    );
    let outcome = evaluated(&folder);
    let (flags, beside) = said(&outcome);
    assert!(
        flags.contains(&"expiry-as-in-stock".to_owned()),
        "{flags:?}"
    );
    assert!(!flags.contains(&"expiry-missing".to_owned()), "{flags:?}");
    assert!(
        beside.contains(&"expiry as the box in stock says".to_owned()),
        "{beside:?}"
    );
    let text = folder
        .run_in("lab", &["evaluate", "a.survey.yaml"])
        .exits(0)
        .stdout;
    assert!(text.contains("`b-1`, says 2026-12"), "{text}");
    assert!(
        text.contains("below         (expiry as the box in stock says)"),
        "{text}"
    );
}

#[test]
fn an_expired_or_contradictory_box_vouches_for_nothing() {
    let expired = lab(
        "stock-expired",
        "box;tube;lot;expires\nb-1;brinewash-chlorine-a;24-119;2026-05\n",
    );
    let (flags, beside) = said(&evaluated(&expired));
    assert!(flags.contains(&"lot-expired".to_owned()), "{flags:?}");
    assert!(beside.contains(&"tube expired".to_owned()), "{beside:?}");
    let two = lab(
        "stock-two",
        "box,tube,lot,expires\nb-1,brinewash-chlorine-a,24-119,2026-12\nb-2,brinewash-chlorine-a-r2,24-119,2027-12\n",
    );
    let (flags, _) = said(&evaluated(&two));
    assert!(flags.contains(&"expiry-missing".to_owned()), "{flags:?}");
    let checked = two.run_in(
        "lab",
        &["check", ".", "--as-of", "2026-06-20", "--format", "short"],
    );
    assert!(
        checked
            .stdout
            .contains("shelf.boxes.csv:3:36: warning[lot-with-two-expiries]"),
        "{checked:#?}"
    );
}

#[test]
fn a_record_keeps_the_box_and_says_when_it_says_something_else() {
    let folder = lab(
        "stock-record",
        "box,tube,lot,expires\nb-1,brinewash-chlorine-a,24-119,2026-12\n",
    );
    folder
        .run_in(
            "lab",
            &["evaluate", "a.survey.yaml", "--output", "kept.json"],
        )
        .exits(0);
    folder
        .run_in("lab", &["evaluate", "--verify", "kept.json"])
        .exits(0);
    let folder = folder.with(
        "lab/shelf.boxes.csv",
        "box,tube,lot,expires\nb-1,brinewash-chlorine-a,24-119,2026-05\n",
    );
    let moved = folder
        .run_in("lab", &["evaluate", "--verify", "kept.json"])
        .exits(1)
        .stdout;
    assert!(moved.contains("b-1"), "{moved}");
}

#[test]
fn broken_tables_are_told_cell_by_cell() {
    let folder = lab(
        "stock-broken",
        "box,tube,lot,expires,number\nb-1,brinewash-chlorine-a,24-119,12/2026,ten\nb-2,brinewash,24-120,2026-12,3\n,,,,\nb-3,brinewash-chlorine-a,,2026-12,3\n",
    );
    let said = folder
        .run_in(
            "lab",
            &[
                "check",
                "shelf.boxes.csv",
                "--as-of",
                "2026-06-20",
                "--format",
                "short",
            ],
        )
        .exits(1)
        .stdout;
    let places: Vec<&str> = said
        .lines()
        .filter_map(|line| line.split_once(": ").map(|(place, _)| place))
        .filter(|place| place.starts_with("shelf"))
        .collect();
    assert_eq!(
        places,
        [
            "shelf.boxes.csv:2:33",
            "shelf.boxes.csv:2:41",
            "shelf.boxes.csv:3:5",
            "shelf.boxes.csv:5:1"
        ],
        "{said}"
    );
    for header in ["box,tube,lott,expires\n", "a,b\n", ""] {
        folder_with(&format!("stock-header-{}", header.len()), header)
            .run_in("lab", &["check", ".", "--format", "short"])
            .exits(1);
    }
}

fn folder_with(name: &str, table: &str) -> Folder {
    lab(name, table)
}
