//! The committed catalog is what the tables give, and every file reads as the written form and fits its schema.

use super::*;
use stainbook_catalog::schema::{Draft, schema};
use stainbook_catalog::search::folded;
use stainbook_catalog::written::{CatalogEntry, SourceEntry, SubstanceEntry};
use stainbook_catalog::{Book, EntryKind, SourceFile, WrittenEntry};

fn entries(kind: EntryKind) -> Vec<(String, String)> {
    let files = present(&reference()).unwrap();
    files
        .into_iter()
        .filter_map(|(path, text)| match EntryKind::of_file(&path) {
            Some((found, stem)) if found == kind => Some((stem.to_owned(), text)),
            _ => None,
        })
        .collect()
}

#[test]
fn the_committed_files_are_what_the_tables_give() {
    let drift = drift(
        &generate(&reference()).unwrap(),
        &present(&reference()).unwrap(),
    );
    assert_eq!(drift, Vec::<String>::new(), "run `cargo xtask import`");
}

#[test]
fn drift_names_missing_changed_and_extra_files() {
    let files = |names: &[(&str, &str)]| -> Files {
        names
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect()
    };
    let made = files(&[("a", "1"), ("b", "1"), ("c", "1")]);
    let old = files(&[("a", "1"), ("b", "2"), ("d", "1")]);
    assert_eq!(
        drift(&made, &old),
        [
            "b differs from what the tables give",
            "c is missing",
            "d is not made from the tables"
        ]
    );
}

#[test]
fn every_file_fits_its_schema() {
    let mut counted = 0;
    for kind in [EntryKind::Catalog, EntryKind::Source, EntryKind::Substance] {
        for draft in Draft::ALL {
            let validator = jsonschema::validator_for(&schema(kind, draft)).unwrap();
            for (stem, text) in entries(kind) {
                let value: serde_json::Value = serde_yaml::from_str(&text).unwrap();
                let errors: Vec<String> = validator
                    .iter_errors(&value)
                    .map(|e| e.to_string())
                    .collect();
                assert_eq!(errors, Vec::<String>::new(), "{stem}");
                counted += 1;
            }
        }
    }
    assert!(counted > 2 * 165, "{counted}");
}

#[test]
fn every_substance_reads_and_refers_to_sources_that_are_there() {
    let sources: BTreeMap<String, SourceEntry> = entries(EntryKind::Source)
        .into_iter()
        .map(|(stem, text)| (stem, serde_yaml::from_str(&text).unwrap()))
        .collect();
    for (stem, source) in &sources {
        assert_eq!(source.source.as_ref(), Some(stem));
    }
    let substances = entries(EntryKind::Substance);
    assert_eq!(substances.len(), 165 + 184);
    for (stem, text) in substances {
        let entry: SubstanceEntry =
            serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{stem}: {error}"));
        assert_eq!(entry.substance.as_ref(), Some(&stem));
        let facts = entry.boils_at.iter().map(|fact| &fact.source);
        let referred = facts
            .chain(entry.vapour_pressure.iter().map(|fact| &fact.source))
            .chain(entry.explosive_limits.iter().map(|fact| &fact.source))
            .chain(entry.limits.iter().map(|fact| &fact.source))
            .chain([&entry.identified_by])
            .chain(entry.inchikey.iter().map(|_| &entry.inchikey_source))
            .chain(entry.molar_mass.iter().map(|_| &entry.molar_mass_source));
        for source in referred {
            let source = source
                .as_ref()
                .unwrap_or_else(|| panic!("{stem}: a value without a source"));
            assert!(sources.contains_key(source), "{stem}: {source}");
        }
        for limit in &entry.limits {
            let source = &sources[limit.source.as_ref().unwrap()];
            assert!(
                source.authority.is_some() && source.mass_stated_at.is_some(),
                "{stem}"
            );
        }
    }
}

#[test]
fn our_own_reader_has_nothing_to_say_and_reads_the_same() {
    let files = present(&reference()).unwrap();
    let yaml = files
        .into_iter()
        .filter(|(path, _)| EntryKind::of_file(path).is_some());
    let (book, findings) = Book::read(yaml.map(|(path, text)| SourceFile::new(path, text)));
    let said: Vec<&str> = findings
        .iter()
        .map(stainbook_document::finding::Finding::message_text)
        .collect();
    assert_eq!(said, Vec::<&str>::new());
    let other: BTreeMap<_, _> = entries(EntryKind::Substance).into_iter().collect();
    let mut compared = 0;
    for entry in book.own() {
        if let WrittenEntry::Substance(ours) = &entry.written {
            let theirs: SubstanceEntry = serde_yaml::from_str(&other[&entry.stem]).unwrap();
            assert_eq!(**ours, theirs, "{}", entry.stem);
            compared += 1;
        }
    }
    assert_eq!(compared, 165 + 184);
}

#[test]
fn the_catalog_reads() {
    let [(_, text)] = entries(EntryKind::Catalog).try_into().unwrap();
    let catalog: CatalogEntry = serde_yaml::from_str(&text).unwrap();
    assert_eq!(catalog.catalog.as_deref(), Some("stainbook-reference"));
    // Every conversion has to name its conditions.
    assert!(catalog.reference_conditions.is_none());
}

#[test]
fn one_name_leads_to_one_substance() {
    let mut answers: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (stem, text) in entries(EntryKind::Substance) {
        let entry: SubstanceEntry = serde_yaml::from_str(&text).unwrap();
        let mut names: Vec<String> = entry.also_called.iter().map(|name| folded(name)).collect();
        names.extend([
            folded(entry.name.as_ref().unwrap()),
            folded(&stem),
            folded(&entry.cas.unwrap()),
        ]);
        names.sort();
        names.dedup();
        for name in names {
            answers.entry(name).or_default().push(stem.clone());
        }
    }
    answers.retain(|_, stems| stems.len() > 1);
    assert_eq!(answers, BTreeMap::new());
}

#[test]
fn values_are_carried_digit_for_digit() {
    // Each row as the publication prints it: NIOSH Pocket Guide, 29 CFR 1910.1000, Code du travail R4412-149.
    for (stem, lines) in [
        (
            "ammonia",
            vec![
                "molar_mass: 17.0 g/mol",
                "at_most: 35 ppm",
                "also_printed: 27 mg/m³",
                "at_most: 300 ppm",
            ],
        ),
        (
            "carbon-monoxide",
            vec![
                "molar_mass: 28.0 g/mol",
                "at_most: 200 ppm",
                "at_most: 1200 ppm",
            ],
        ),
        ("nitric-oxide", vec!["  - \"NO\"", "formula: \"NO\""]),
        (
            "hydrogen-sulfide",
            vec![
                "  - hydrogen sulphide",
                "source: us-osha-z2",
                "averaged_over: 10 min",
            ],
        ),
        ("mercury", vec!["at_most: 0.05 mg/m³", "at_most: 10 mg/m³"]),
        ("carbon-dioxide", vec!["at_most: 30000 ppm"]),
    ] {
        let (_, text) = entries(EntryKind::Substance)
            .into_iter()
            .find(|(name, _)| name == stem)
            .unwrap();
        for line in lines {
            assert!(text.contains(line), "{stem}: {line}\n{text}");
        }
    }
}
