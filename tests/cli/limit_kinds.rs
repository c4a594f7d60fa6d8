//! Kinds of limits, by the names that authorities print for them.

use serde_json::Value;

use crate::runner::{Folder, repository};

/// The usual form of each kind, its abbreviation and its long form, as people vary them.
const KINDS: [[&str; 4]; 4] = [
    ["8-hour average", "TWA", "twa", "Time-weighted average"],
    ["short-term", "STEL", "Stel", "short-term exposure limit"],
    ["ceiling", "C", "c", "Ceiling"],
    [
        "danger to life or health",
        "IDLH",
        "idlh",
        "Immediately dangerous to life or health",
    ],
];

fn survey(judged: &str) -> String {
    format!(
        "survey: quay\ntitle: Quay\nby: KL\nconditions: {{air_temperature: 20 °C, humidity: 50 %RH, pressure: 1009 hPa}}\njudge: {{limits: [{{kind: {judged}}}]}}\nreadings:\n  - {{id: r1, at: \"2026-06-16T06:22+01:00\", place: quay, tube: plantroom-ammonia-c, lot: 24-071, expires: 2027-09, pump: pump-02, leak_test: held, strokes: 1, reading: {{at: 22 ppm}}, other_gases: none known}}\n"
    )
}

#[test]
fn a_survey_asks_for_a_kind_by_any_of_its_names() {
    let demo = repository("catalog/demo");
    let against = |name: &str, kind: &str| -> Value {
        let folder = Folder::new(name).with("quay.survey.yaml", survey(kind));
        let arguments = [
            "evaluate",
            "quay.survey.yaml",
            "--catalog",
            &demo,
            "--format",
            "json",
        ];
        let said = folder.run(&arguments).exits(0).json();
        serde_json::json!([said["judged_by"], said["results"][0]["against"]])
    };
    for (number, names) in KINDS.iter().enumerate() {
        let usual = against(&format!("kind-{number}-usual"), names[0]);
        assert_eq!(usual[0]["limits"][0], names[0]);
        for (other, name) in names.iter().enumerate().skip(1) {
            let found = against(&format!("kind-{number}-{other}"), name);
            assert_eq!(found, usual, "{name}");
        }
    }
}

fn catalog(name: &str, kinds: [&str; 4]) -> Folder {
    let limits = kinds
        .iter()
        .zip(["10", "20", "30", "400"])
        .map(|(kind, ppm)| {
            let over = if ppm == "10" {
                ", averaged_over: 10 h"
            } else {
                ""
            };
            format!("  - {{kind: {kind}, at_most: {ppm} ppm{over}, source: house-rules}}\n")
        });
    let limits: Vec<String> = limits.collect();
    let limits = limits.concat();
    Folder::new(name)
        .with("catalog.yaml", "catalog: quay-lab\ntitle: Quay lab\nrevision: \"2026-11-25\"\nformat: 1\nbuilds_on: [stainbook-reference]\n")
        .with(
            "house-rules.source.yaml",
            "source: house-rules\ntitle: House rule 4\npublisher: Quay works\nedition: \"2026\"\nauthority: Quay works\nmass_stated_at: {temperature: 20 °C, pressure: 101.3 kPa}\nlicence: own\nobtained: looked up\n",
        )
        .with(
            "ammonia.substance.yaml",
            format!("substance: ammonia\nadds_to: stainbook-reference\nlimits:\n{limits}"),
        )
}

#[test]
fn a_substance_file_has_its_limits_by_any_of_their_names() {
    let of = |at: usize| [0, 1, 2, 3].map(|kind: usize| KINDS[kind][at]);
    let listed = |name: &str, kinds: [&str; 4]| {
        let folder = catalog(name, kinds);
        let checked = folder.run(&["check", "."]);
        assert!(!checked.stdout.contains("error["), "{}", checked.stdout);
        folder
            .run(&["find", "-s", "ammonia", "--limit", "Quay works all words"])
            .stderr
    };
    let usual = listed("limits-usual", of(0));
    for kind in of(0) {
        assert!(usual.contains(&format!("Quay works {kind}")), "{usual}");
    }
    // The hours stay those of the authority.
    assert!(
        usual.contains("Quay works 8-hour average over 10 h 10 ppm"),
        "{usual}"
    );
    for at in 1..4 {
        assert_eq!(listed(&format!("limits-{at}"), of(at)), usual);
    }
}

#[test]
fn a_limit_is_found_by_any_name_of_its_kind() {
    let folder = catalog(
        "limits-found",
        [0, 1, 2, 3].map(|kind: usize| KINDS[kind][0]),
    );
    for names in KINDS {
        for name in names {
            let words = format!("Quay works {name}");
            let said = folder.run(&["find", "-s", "ammonia", "--limit", &words]);
            assert!(
                said.stdout.contains(&format!("Quay works {}", names[0])),
                "{words}: {}{}",
                said.stdout,
                said.stderr
            );
        }
    }
}

#[test]
fn what_is_no_kind_is_answered_with_what_is() {
    let folder = catalog("limits-unknown", ["MAC", "STEL", "C", "IDLH"]);
    let said = folder.run(&["check", "."]).exits(1);
    for words in [
        "error[not-allowed-value]: `MAC` is no kind of limit",
        "`8-hour average` (TWA), `short-term` (STEL), `ceiling` (C), `danger to life or health` (IDLH)",
    ] {
        let flat = said.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(words), "{words}\n{}", said.stdout);
    }
}
