//! A substance by any of its names, at every place of the format where one is asked for.

#![cfg(test)]

use std::collections::BTreeSet;

use serde_json::Value;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_check::{Options, check, fix};
use stainbook_document::finding::Finding;

/// The fields that hold a substance, or a list of them.
const FIELDS: [&str; 4] = ["substance", "expressed_as", "members", "taken_for"];

const DEEPEST: usize = 7;

/// A place of the format, as a file that says nothing else: everything before the substance, and everything behind it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct FormatPlace {
    kind: EntryKind,
    pointer: String,
    before: String,
    behind: String,
}

impl FormatPlace {
    fn book(&self, written: &str) -> (Book, String) {
        let text = format!("{}{written}{}\n", self.before, self.behind);
        let file = SourceFile::new(format!("quay.{}.yaml", self.kind.name()), text.clone());
        (Book::read([file]).0, text)
    }
}

/// Every place of the schemas where a substance stands.
fn places() -> BTreeSet<FormatPlace> {
    let mut places = BTreeSet::new();
    for kind in EntryKind::ALL {
        let whole = schema(kind, Draft::Draft2020);
        let root = FormatPlace {
            kind,
            pointer: String::new(),
            before: String::new(),
            behind: String::new(),
        };
        below(&whole, &whole, root, &mut places);
    }
    places
}

fn below(whole: &Value, node: &Value, at: FormatPlace, places: &mut BTreeSet<FormatPlace>) {
    // An earlier state of a reading is told as it was written.
    if at.pointer.ends_with("/was") {
        return;
    }
    // Nothing stands deeper, and some parts of a sheet hold parts of their own kind.
    if DEEPEST < at.pointer.matches('/').count() {
        return;
    }
    if let Some(definition) = node.get("$ref").and_then(Value::as_str) {
        let pointer = definition.trim_start_matches('#');
        return below(whole, whole.pointer(pointer).unwrap(), at, places);
    }
    for alternatives in ["anyOf", "oneOf", "allOf"] {
        for one in node
            .get(alternatives)
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            below(whole, one, at.clone(), places);
        }
    }
    if let Some(items) = node.get("items") {
        let row = FormatPlace {
            pointer: format!("{}/0", at.pointer),
            before: format!("{}[", at.before),
            behind: format!("]{}", at.behind),
            kind: at.kind,
        };
        below(whole, items, row, places);
    }
    let fields = node.get("properties").and_then(Value::as_object);
    for (name, field) in fields.into_iter().flatten() {
        let inner = FormatPlace {
            pointer: format!("{}/{name}", at.pointer),
            before: format!("{}{{{name}: ", at.before),
            behind: format!("}}{}", at.behind),
            kind: at.kind,
        };
        let own_name = at.kind == EntryKind::Substance && at.pointer.is_empty();
        if FIELDS.contains(&name.as_str()) && !own_name {
            let is_list = field.get("items").is_some();
            places.insert(if is_list {
                FormatPlace {
                    pointer: format!("{}/0", inner.pointer),
                    before: format!("{}[", inner.before),
                    behind: format!("]{}", inner.behind),
                    kind: at.kind,
                }
            } else {
                inner
            });
        } else {
            below(whole, field, inner, places);
        }
    }
}

fn of_rule<'f>(findings: &'f [Finding], rule: &str) -> Vec<&'f Finding> {
    findings
        .iter()
        .filter(|finding| finding.rule() == rule)
        .collect()
}

#[test]
fn the_places_of_the_format() {
    let places: Vec<String> = places()
        .into_iter()
        .map(|place| format!("{} {}", place.kind.name(), place.pointer))
        .collect();
    assert_eq!(
        places,
        [
            "substance /names/0/taken_for",
            "group /expressed_as/0",
            "group /members/0",
            "group /names/0/taken_for",
            "tube /doubt/other_gases/0/substance",
            "tube /measures/expressed_as",
            "tube /measures/substance",
            "tube /read/also_measures/0/substance",
            "tube /worked/0/substance",
            "plan /places/0/present/0/substance",
            "plan /places/0/substance",
            "survey /readings/0/present/0/substance",
            "survey /readings/0/substance",
        ]
    );
}

#[test]
fn every_name_is_understood_at_every_place() {
    for place in places() {
        for (written, id) in [
            ("carbon monoxide", "carbon-monoxide"),
            ("Carbon-Monoxide", "carbon-monoxide"),
            ("carbon oxide", "carbon-monoxide"),
            ("CO", "carbon-monoxide"),
            ("\"CO\"", "carbon-monoxide"),
            ("630-08-0", "carbon-monoxide"),
            ("Kohlenmonoxid", "carbon-monoxide"),
            ("monoxyde de carbone", "carbon-monoxide"),
            ("NO", "nitric-oxide"),
            ("'NO'", "nitric-oxide"),
            ("ClH", "hydrogen-chloride"),
        ] {
            let (book, text) = place.book(written);
            let entry = &book.entries()[0];
            let bare = written.trim_matches(['"', '\'']);
            let [named] = entry.named_otherwise.as_slice() else {
                panic!("{place:?}: {written}: {:?}", entry.named_otherwise);
            };
            assert_eq!(
                (named.written.as_str(), named.id.as_str()),
                (bare, id),
                "{place:?}"
            );
            assert_eq!(named.path.to_string(), place.pointer, "{place:?}");
            // What is behind the book sees the short name, and no rule finds fault with it.
            let findings = check(&book, &Options::default());
            let rest = ["unresolved-reference", "ambiguous-reference"];
            for rule in rest {
                for finding in of_rule(&findings, rule) {
                    let told = finding.message_text();
                    assert!(
                        !told.contains(bare) && !told.contains(id),
                        "{place:?}: {told}"
                    );
                }
            }
            let told = of_rule(&findings, "substance-by-another-name");
            let [told] = told.as_slice() else {
                panic!("{place:?}: {told:?}");
            };
            assert_eq!(
                told.message_text(),
                format!("`{bare}` is understood as `{id}`")
            );
            // The usual form is put in its place, and is understood as itself.
            let fixed = fix(&entry.document, text.as_bytes(), [*told])
                .unwrap()
                .unwrap();
            let fixed = String::from_utf8(fixed.bytes).unwrap();
            assert!(fixed.contains(id), "{fixed}");
            let again = Book::read([SourceFile::new(entry.path.clone(), fixed)]).0;
            assert_eq!(again.entries()[0].named_otherwise, []);
            assert_eq!(again.entries()[0].written, entry.written, "{place:?}");
        }
    }
}

#[test]
fn nothing_is_guessed_at_any_place() {
    for place in places() {
        for (written, rule, said) in [
            (
                "C2H6O",
                "ambiguous-reference",
                "`C2H6O` may be any of several substances",
            ),
            (
                "xylene",
                "ambiguous-reference",
                "`xylene` may be any of several substances",
            ),
            (
                "Benzin",
                "ambiguous-reference",
                "`Benzin` may be any of several substances",
            ),
            (
                "benzina",
                "ambiguous-reference",
                "`benzina` may be any of several substances",
            ),
            (
                "Co",
                "unresolved-reference",
                "there is no substance `Co`: `Co` is cobalt, and carbon monoxide is `CO`",
            ),
            (
                "no",
                "unresolved-reference",
                "there is no substance `no`: formulas are written with their capitals, and nitric oxide is `NO`",
            ),
            (
                "630-08-1",
                "unresolved-reference",
                "there is no substance `630-08-1`: `630-08-1` has the check digit `1` where",
            ),
        ] {
            let (book, _) = place.book(written);
            assert_eq!(book.entries()[0].named_otherwise, [], "{place:?}");
            let findings = check(&book, &Options::default());
            let told = of_rule(&findings, rule);
            let told = told
                .iter()
                .find(|finding| finding.message_text().starts_with(said));
            assert!(told.is_some(), "{place:?}: {written}: {findings:?}");
            assert_eq!(told.unwrap().level().name(), "error");
        }
    }
}

#[test]
fn a_group_is_understood_where_one_may_stand() {
    for place in places() {
        let may = place.pointer.contains("present") || place.pointer == "/places/0/substance";
        let (book, _) = place.book("Petrol vapour");
        let named = &book.entries()[0].named_otherwise;
        let ids: Vec<&str> = named.iter().map(|named| named.id.as_str()).collect();
        let expected: &[&str] = if may { &["petrol-vapour"] } else { &[] };
        assert_eq!(ids, expected, "{place:?}");
        let findings = check(&book, &Options::default());
        assert_eq!(
            of_rule(&findings, "ambiguous-reference").is_empty(),
            may,
            "{place:?}"
        );
    }
}

/// A book that is put together again understands the names with what is in it then.
#[test]
fn names_are_understood_anew_in_another_book() {
    let sheet = SourceFile::new(
        "quay.tube.yaml",
        "tube: quay\nmeasures: {substance: winter gas}\n",
    );
    let own = SourceFile::new(
        "quay-gas.substance.yaml",
        "substance: quay-gas\nname: winter gas\nformula: CO\n",
    );
    let other = SourceFile::new(
        "pit-gas.substance.yaml",
        "substance: pit-gas\nname: winter gas\nformula: CO2\n",
    );
    let with = |files: Vec<SourceFile<'static>>| Book::read(files).0;
    let measured = |book: &Book| {
        let tube = book.tube("quay").unwrap();
        tube.measures.as_ref().unwrap().substance.clone().unwrap()
    };
    let first = with(vec![sheet.clone(), own.clone()]);
    assert_eq!(measured(&first), "quay-gas");
    let mut entries = first.into_entries();
    entries.extend(with(vec![other]).into_entries());
    let both = Book::assemble(entries);
    assert_eq!(measured(&both), "winter gas");
    let mut entries = both.into_entries();
    entries.remove(1);
    assert_eq!(measured(&Book::assemble(entries)), "pit-gas");
}
