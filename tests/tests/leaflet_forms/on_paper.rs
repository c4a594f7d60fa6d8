//! Which invented leaflet has which form: every row of the bench stands on paper, in words that are quoted, and was typed.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use crate::bench::{Checked, Form};

/// The forms of one fact.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfFact {
    fact: String,
    forms: Vec<OnPaper>,
}

/// A form with the leaflet that has it, or with the form that is at fault where `check` finds something wrong.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OnPaper {
    form: String,
    leaflet: Option<String>,
    words: Option<String>,
    typed: Option<String>,
    at_fault: Option<String>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("leaflets")
}

/// One line: where paper breaks a line says nothing.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of a leaflet's file on one line; nothing if there is none.
fn text(leaflet: &str, end: &str) -> Option<String> {
    let path = folder().join(format!("{leaflet}{end}"));
    fs::read_to_string(path).ok().map(|text| joined(&text))
}

fn listed() -> Vec<OfFact> {
    let text = fs::read_to_string(folder().join("forms.yaml")).unwrap();
    serde_yaml::from_str(&text).unwrap()
}

/// What is wrong with one listed form.
fn wrong(one: &OnPaper) -> Option<String> {
    let (Some(leaflet), Some(words), Some(typed)) = (&one.leaflet, &one.words, &one.typed) else {
        return Some("it has no leaflet, no words or nothing typed".to_owned());
    };
    let Some((paper, sheet)) = text(leaflet, ".txt").zip(text(leaflet, ".tube.yaml")) else {
        return Some(format!("there is no leaflet {leaflet}"));
    };
    if !paper.contains(&joined(words)) {
        return Some(format!("`{words}` does not stand on {leaflet}"));
    }
    (!sheet.contains(&joined(typed))).then(|| format!("`{typed}` is not typed in {leaflet}"))
}

#[test]
fn every_form_stands_on_a_leaflet() {
    let listed = listed();
    let mut faults = Vec::new();
    let mut known: BTreeMap<(&str, &str), &OnPaper> = BTreeMap::new();
    for of in &listed {
        for one in &of.forms {
            let fact = of.fact.as_str();
            if known.insert((fact, &one.form), one).is_some() {
                faults.push(format!("{fact}, {}: twice", one.form));
            }
            let wrong = match &one.at_fault {
                None => wrong(one),
                Some(form) => {
                    let has_leaflet =
                        |other: &OnPaper| other.form == *form && other.leaflet.is_some();
                    (one.leaflet.is_some() || !of.forms.iter().any(has_leaflet))
                        .then(|| format!("`{form}` has no leaflet"))
                }
            };
            faults.extend(wrong.map(|wrong| format!("{fact}, {}: {wrong}", one.form)));
        }
    }
    for Form {
        fact,
        on_paper,
        seen,
        ..
    } in crate::forms()
    {
        match known.get(&(*fact, *on_paper)) {
            None => faults.push(format!("{fact}, {on_paper}: not in forms.yaml")),
            Some(one) if one.at_fault.is_some() && !matches!(seen, Checked(..)) => {
                faults.push(format!(
                    "{fact}, {on_paper}: `check` finds nothing wrong with it"
                ));
            }
            Some(_) => {}
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// No leaflet is there for nothing.
#[test]
fn every_leaflet_has_a_form() {
    let listed = listed();
    let named = |leaflet: &str| {
        let mut forms = listed.iter().flat_map(|of| &of.forms);
        forms.any(|one| one.leaflet.as_deref() == Some(leaflet))
    };
    for entry in fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap();
        if let Some(leaflet) = name.strip_suffix(".txt") {
            assert!(named(leaflet), "{leaflet} has no form of its own");
        }
    }
}
