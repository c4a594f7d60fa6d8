//! Sheets as text: nothing that a file says is left out.

#![cfg(test)]

use std::collections::BTreeSet;

use serde_json::Value;
use stainbook_catalog::Book;
use stainbook_present::{Colour, sheet_text};

/// Fields about the entry and not about the work at the bench.
const NOT_SHOWN: [&str; 5] = ["worked", "control", "accept", "review_by", "series"];

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every text and number below a value, with the field it stands in.
fn leaves(field: &str, value: &Value, into: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(fields) => fields
            .iter()
            .filter(|(name, _)| !NOT_SHOWN.contains(&name.as_str()))
            .for_each(|(name, value)| leaves(name, value, into)),
        Value::Array(items) => items.iter().for_each(|item| leaves(field, item, into)),
        Value::Null => {}
        leaf => into.push((field.to_owned(), leaf.clone())),
    }
}

#[test]
fn every_fact_of_every_demo_sheet_is_on_its_page() {
    let (book, _) = Book::demo();
    let mut fields = BTreeSet::new();
    for (entry, sheet) in book.tubes() {
        let text = flat(&sheet_text::render(sheet, &book, Colour::Plain));
        let numbers: Vec<f64> = text
            .split(|c: char| c.is_whitespace() || "·,(×".contains(c))
            .filter_map(|word| word.replace('−', "-").trim_matches([';', ')']).parse().ok())
            .collect();
        let mut facts = Vec::new();
        leaves("", &serde_json::to_value(sheet).unwrap(), &mut facts);
        for (field, fact) in facts {
            let shown = match &fact {
                Value::Number(number) => {
                    let number = number.as_f64().unwrap();
                    numbers
                        .iter()
                        .any(|shown| (shown.abs() - number.abs()).abs() <= 1e-9 * number.abs())
                }
                Value::String(words) => {
                    let name = book.substance(words).and_then(|entry| entry.name.clone());
                    let group = book.group(words).and_then(|entry| entry.name.clone());
                    let pump = book.pump_kind(words).and_then(|entry| entry.name.clone());
                    let named = [name, group, pump]
                        .into_iter()
                        .flatten()
                        .any(|name| text.contains(&name));
                    named || text.contains(&flat(words)) || METHODS.contains(&words.as_str())
                }
                // Said in words of its own: `in the dark`.
                _ => true,
            };
            assert!(
                shown,
                "{}: `{field}: {fact}` is not on the page:\n{text}",
                entry.id()
            );
            fields.insert(field);
        }
    }
    assert!(
        60 < fields.len(),
        "the demo uses fewer fields than it did: {}",
        fields.len()
    );
}

/// Words of the written form that the page says in its own: the table itself shows that it is one.
const METHODS: [&str; 12] = [
    "separate tube",
    "layer inside",
    "factor table",
    "curve points",
    "table",
    "polynomial",
    "proportional",
    "not stated",
    "whole scale",
    "extension",
    "linear",
    "not allowed",
];
