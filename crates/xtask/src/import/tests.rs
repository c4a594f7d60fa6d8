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
    assert_eq!(substances.len(), 165 + 193);
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
    assert_eq!(compared, 165 + 193);
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

/// The entries by CAS number.
fn by_cas() -> BTreeMap<String, SubstanceEntry> {
    let read = |(stem, text): (String, String)| {
        let entry: SubstanceEntry =
            serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{stem}: {error}"));
        (entry.cas.clone().unwrap(), entry)
    };
    entries(EntryKind::Substance)
        .into_iter()
        .map(read)
        .collect()
}

/// The limits of an entry that an authority sets, each as its kind, the period that it says, and its figure.
fn limits_of(entry: &SubstanceEntry, authority: &str) -> Vec<String> {
    let of = |limit: &&stainbook_catalog::written::Limit| {
        limit.source.as_ref().unwrap().starts_with(authority)
    };
    let said = |limit: &stainbook_catalog::written::Limit| {
        let kind = limit.kind.as_ref().unwrap().name();
        let period = limit.averaged_over.as_ref().map_or("", |over| over.text());
        format!("{kind} {period} {}", limit.at_most.as_ref().unwrap().text())
    };
    entry.limits.iter().filter(of).map(said).collect()
}

#[test]
fn what_an_authority_prints_for_all_isomers_stands_on_each() {
    let tables = Tables::read(&reference().join("tables")).unwrap();
    let entries = by_cas();
    // Every row whose words or numbers mean more than one substance, and the substances that they mean.
    let meant: BTreeMap<&str, &[&str]> = BTreeMap::from([
        (
            "Cresol, all isomers",
            &["1319-77-3", "95-48-7", "108-39-4", "106-44-5"][..],
        ),
        (
            "Nitrotoluene (all isomers)",
            &["1321-12-6", "88-72-2", "99-08-1", "99-99-0"],
        ),
        (
            "Isomyl alcohol (primary and secondary)",
            &["123-51-3", "598-75-4"],
        ),
        ("Crotonaldehyde", &["4170-30-3", "123-73-9"]),
        // It names no homolog; those with a row of their own are not meant.
        ("Aniline and homologs", &["62-53-3"]),
    ]);
    let several = |row: &tables::OshaRow| {
        row.cas.contains(" / ")
            || ["isomer", "homolog", " and ", "mixed", "salt"]
                .iter()
                .any(|word| row.name.to_lowercase().contains(word))
    };
    let rows: Vec<_> = tables.osha_rows.iter().filter(|row| several(row)).collect();
    let named: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(
        named
            .iter()
            .copied()
            .collect::<std::collections::BTreeSet<_>>(),
        meant.keys().copied().collect()
    );
    for row in rows {
        for cas in meant[row.name.as_str()] {
            let entry = entries
                .get(*cas)
                .unwrap_or_else(|| panic!("{}: no entry for {cas}", row.name));
            let wanted = format!("{}  {} ppm", row.kind().name(), row.ppm);
            let found = limits_of(entry, "us-osha");
            assert!(found.contains(&wanted), "{}, {cas}: {found:?}", row.name);
        }
    }
    // The recommendations and the European texts name each isomer by itself, but for these; no table speaks of salts.
    let directory = reference().join("tables");
    let names = |table, column: &str| {
        let rows: Vec<BTreeMap<String, String>> = tables::rows(&directory, table).unwrap();
        let words = [
            "isomer",
            "isomère",
            "homolog",
            "mix",
            "mélange",
            "salt",
            "sels",
            "primary",
            "secondary",
        ];
        let mut names: Vec<String> = rows
            .into_iter()
            .map(|row| row[column].clone())
            .filter(|name| words.iter().any(|word| name.to_lowercase().contains(word)))
            .collect();
        names.dedup();
        names
    };
    assert_eq!(
        names("niosh_rel_pairs.csv", "name"),
        [
            // None of them is in the catalog.
            "Hexane isomers (excluding n-Hexane)",
            "Isoamyl alcohol (primary)",
            // Carried by 3-methyl-2-butanol.
            "Isoamyl alcohol (secondary)",
            "Methyl acetylene-propadiene mixture",
        ]
    );
    assert_eq!(
        names("oel_pairs_20C.csv", "name_fr"),
        ["Xylène : mélange d'isomères"]
    );
    let secondary = limits_of(&entries["598-75-4"], "niosh");
    assert_eq!(secondary, limits_of(&entries["123-51-3"], "niosh"));
    assert_eq!(secondary.len(), 2);
    // The Pocket Guide's entries for isomers together, by its own names and synonyms.
    for (together, isomers) in [
        ("540-59-0", &["156-59-2", "156-60-5"][..]),
        ("4170-30-3", &["123-73-9"]),
        ("542-75-6", &["10061-01-5", "10061-02-6"]),
    ] {
        for authority in ["us-osha", "niosh"] {
            let of_all = limits_of(&entries[together], authority);
            for cas in isomers {
                let entry = entries
                    .get(*cas)
                    .unwrap_or_else(|| panic!("no entry for {cas}"));
                assert_eq!(limits_of(entry, authority), of_all, "{cas}, {authority}");
            }
        }
    }
}

#[test]
fn a_mixture_of_isomers_carries_what_each_of_them_carries() {
    let entries = by_cas();
    let mut compared = 0;
    for (mixture, isomers) in [
        ("1330-20-7", &["95-47-6", "108-38-3", "106-42-3"][..]),
        ("1319-77-3", &["95-48-7", "106-44-5"]),
        ("1321-12-6", &["99-08-1", "99-99-0"]),
        ("25551-13-7", &["526-73-8", "95-63-6", "108-67-8"]),
    ] {
        let entry = entries
            .get(mixture)
            .unwrap_or_else(|| panic!("no entry for {mixture}"));
        assert_eq!(entry.formula, entries[isomers[0]].formula);
        for authority in ["us-osha", "niosh", "fr-", "eu-"] {
            let found = limits_of(entry, authority);
            for limit in limits_of(&entries[isomers[0]], authority) {
                if isomers
                    .iter()
                    .all(|cas| limits_of(&entries[*cas], authority).contains(&limit))
                {
                    assert!(found.contains(&limit), "{mixture}: {limit} of {authority}");
                    compared += 1;
                }
            }
        }
    }
    assert_eq!(compared, 6 + 2 + 2 + 2);
    // Mixed xylene, as the guide and the article print it for each of the three.
    assert_eq!(
        limits_of(&entries["1330-20-7"], "fr-"),
        ["8-hour average  50 ppm", "short-term  100 ppm"]
    );
    assert_eq!(
        limits_of(&entries["1330-20-7"], "niosh"),
        [
            "8-hour average 10 h 100 ppm",
            "short-term  150 ppm",
            "danger to life or health  900 ppm"
        ]
    );
}

/// The lines of a section of `DISAGREEMENTS.md`.
fn disagreeing(section: &str) -> Vec<String> {
    let text = &present(&reference()).unwrap()["DISAGREEMENTS.md"];
    let (_, rest) = text.split_once(&format!("## {section}\n")).unwrap();
    let own = rest.split("\n## ").next().unwrap();
    own.lines()
        .filter_map(|line| Some(line.strip_prefix("- ")?.to_owned()))
        .collect()
}

#[test]
fn pairs_that_are_printed_wrong_are_marked_and_named() {
    let mut named = disagreeing("Limits printed in ppm and in mg/m³");
    let mut ethanolamine = 0;
    for entry in by_cas().values() {
        for accept in &entry.accept {
            if accept.rule.as_deref() != Some("limit-pair-disagrees") {
                continue;
            }
            let place = accept.at.as_ref().unwrap();
            let row: usize = place.rsplit('/').next().unwrap().parse().unwrap();
            let limit = &entry.limits[row];
            let said = format!(
                "{} {}: {} beside {},",
                limit.source.as_ref().unwrap(),
                limit.kind.unwrap().name(),
                limit.at_most.as_ref().unwrap().text(),
                limit.also_printed.as_ref().unwrap().text()
            );
            let at = named
                .iter()
                .position(|line| line.contains(&said))
                .unwrap_or_else(|| panic!("{:?}: {said} is not named", entry.name));
            named.remove(at);
            ethanolamine += usize::from(entry.substance.as_deref() == Some("ethanolamine"));
        }
    }
    assert_eq!(named, Vec::<String>::new(), "named and not marked");
    // A legal limit of 3 ppm beside 6 mg/m³, where 7.5 is right.
    assert_eq!(ethanolamine, 1);
}

#[test]
fn vapour_pressures_that_cannot_be_right_are_marked_and_named() {
    let named = disagreeing("Vapour pressures of the NIOSH Pocket Guide");
    let entries = by_cas();
    let mut disputed = 0;
    for (cas, entry) in &entries {
        for (index, fact) in entry.vapour_pressure.iter().enumerate() {
            if let Some(why) = &fact.disputed {
                let line = format!("{} at", fact.pressure.as_ref().unwrap().text());
                assert!(
                    named
                        .iter()
                        .any(|named| named.contains(&line) && named.ends_with(why.as_str())),
                    "{cas}: {why}"
                );
                disputed += 1;
                continue;
            }
            for other in &entry.vapour_pressure[..index] {
                let value = |fact: &stainbook_catalog::written::VapourPressure| {
                    (
                        fact.temperature.as_ref().unwrap().value().celsius(),
                        fact.pressure.as_ref().unwrap().value().kilopascals(),
                    )
                };
                let ((at, one), (there, two)) = (value(fact), value(other));
                let same = (at - there).abs() < 0.1 && other.disputed.is_none();
                assert!(
                    !same || (0.8..=1.25).contains(&(one / two)),
                    "{cas}: {one} and {two} kPa at {at} °C"
                );
            }
        }
    }
    assert_eq!(disputed, named.len());
    let tables = Tables::read(&reference().join("tables")).unwrap();
    let by_hand = tables.vapour_pressures.iter().map(|row| row.cas.as_str());
    // Nitric oxide is a gas above its critical point at room temperature.
    for cas in by_hand.chain(["10102-43-9", "98-82-8", "108-38-3"]) {
        let marked = |fact: &stainbook_catalog::written::VapourPressure| fact.disputed.is_some();
        assert!(entries[cas].vapour_pressure.iter().any(marked), "{cas}");
    }
}
