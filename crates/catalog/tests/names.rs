//! A substance by any of its names: what is understood, what is refused, and that nothing lies between.

#![cfg(test)]

use std::collections::BTreeMap;

use proptest::prelude::*;
use stainbook_catalog::search::NamedBy;
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_core::Formula;

fn book() -> &'static Book {
    static BOOK: std::sync::OnceLock<Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(|| Book::read([]).0)
}

/// A lab's book with these files, building on the reference.
fn lab(files: &[(&str, &str)]) -> Book {
    let catalog = (
        "catalog.yaml",
        "catalog: quay-lab\ntitle: Quay lab\nrevision: \"2026-11-25\"\nformat: 1\nbuilds_on: [stainbook-reference]\n",
    );
    let files = std::iter::once(&catalog).chain(files);
    Book::read(files.map(|(path, text)| SourceFile::new(*path, *text))).0
}

fn id(book: &Book, typed: &str) -> Result<String, Vec<String>> {
    match book.find_substance(typed) {
        Ok(entry) => Ok(entry.substance.clone().unwrap()),
        Err(none) => Err(none.could_be),
    }
}

#[test]
fn formulas_are_told_apart_by_their_capitals() {
    for (typed, id) in [
        ("CO", "carbon-monoxide"),
        ("NO", "nitric-oxide"),
        ("NO2", "nitrogen-dioxide"),
        ("HF", "hydrogen-fluoride"),
        ("CS2", "carbon-disulfide"),
        ("Hg", "mercury"),
        ("HCl", "hydrogen-chloride"),
        ("ClH", "hydrogen-chloride"),
        ("NH3", "ammonia"),
        ("H3N", "ammonia"),
        ("HCN", "hydrogen-cyanide"),
        ("CHN", "hydrogen-cyanide"),
        ("C6H6", "benzene"),
        ("CH3OH", "methanol"),
        ("CH4O", "methanol"),
        ("C2H5OH", "ethanol"),
        ("H₂S", "hydrogen-sulfide"),
        // Letters that can be read in one way only, and are no word.
        ("h2s", "hydrogen-sulfide"),
        ("HCL", "hydrogen-chloride"),
        ("nh3", "ammonia"),
        ("HG", "mercury"),
        // Names, which have no capitals of their own.
        ("per", "tetrachloroethylene"),
        ("Carbon Monoxide", "carbon-monoxide"),
    ] {
        let found = book().find_substance(typed);
        let found = found
            .as_ref()
            .map(|entry| entry.substance.as_deref().unwrap());
        assert_eq!(found, Ok(id), "{typed}");
    }
    for (typed, near, because) in [
        ("Co", "CO", "`Co` is cobalt, and carbon monoxide is `CO`"),
        (
            "co",
            "CO",
            "formulas are written with their capitals, and carbon monoxide is `CO`",
        ),
        (
            "No",
            "NO",
            "formulas are written with their capitals, and nitric oxide is `NO`",
        ),
        (
            "no",
            "NO",
            "formulas are written with their capitals, and nitric oxide is `NO`",
        ),
        ("Hf", "HF", "`Hf` is hafnium, and hydrogen fluoride is `HF`"),
        (
            "hf",
            "HF",
            "formulas are written with their capitals, and hydrogen fluoride is `HF`",
        ),
        (
            "Cs2",
            "CS2",
            "`Cs2` is another formula, and carbon disulfide is `CS2`",
        ),
        (
            "cs2",
            "CS2",
            "formulas are written with their capitals, and carbon disulfide is `CS2`",
        ),
        (
            "co2",
            "CO2",
            "formulas are written with their capitals, and carbon dioxide is `CO2`",
        ),
    ] {
        let none = book().find_substance(typed).unwrap_err();
        assert_eq!(none.near, [near], "{typed}");
        assert_eq!(none.because(), Some(because), "{typed}");
        assert_eq!(
            none.to_string(),
            format!("no substance is called `{typed}`: {because}")
        );
        assert!(book().named_substance(typed).is_none(), "{typed}");
    }
}

#[test]
fn a_formula_of_several_is_refused_with_all() {
    let several = book().find_substance("C2H6O").unwrap_err();
    assert_eq!(several.could_be, ["dimethyl-ether", "ethanol"]);
    assert_eq!(
        several.to_string(),
        "`C2H6O` may be any of dimethyl-ether (C2H6O), ethanol (C2H6O)"
    );
    assert_eq!(several.near, ["dimethyl ether", "ethanol"]);
    // However the atoms are ordered or put together, unless that way of writing is a name of one of them.
    assert_eq!(
        id(book(), "CH3OCH3"),
        Err(vec!["dimethyl-ether".to_owned(), "ethanol".to_owned()])
    );
    assert_eq!(id(book(), "OC2H6").unwrap_err().len(), 2);
    assert_eq!(id(book(), "C8H10").unwrap_err().len(), 5);
    let none = book().find_substance("C7H7").unwrap_err();
    assert_eq!(
        none.because(),
        Some("the catalog has no substance of this formula")
    );
}

/// Every formula of the reference is one substance's, or refused with all that have it.
#[test]
fn every_formula_is_one_or_refused() {
    let mut by_formula: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for id in book().ids(EntryKind::Substance) {
        let formula = book().substance(id).unwrap().formula.as_deref().unwrap();
        let hill = Formula::parse(formula).unwrap().to_string();
        by_formula.entry(hill).or_default().push(id.to_owned());
    }
    assert!(200 < by_formula.len(), "{}", by_formula.len());
    for (hill, ids) in by_formula {
        match (id(book(), &hill), ids.as_slice()) {
            (Ok(found), [only]) => assert_eq!(found, *only, "{hill}"),
            (Err(could_be), several) => assert_eq!(could_be, several, "{hill}"),
            (found, ids) => panic!("{hill}: {found:?} of {ids:?}"),
        }
    }
}

#[test]
fn a_slip_in_a_cas_number_is_told() {
    let none = book().find_substance("630-08-1").unwrap_err();
    assert!(none.because().unwrap().contains("check digit"), "{none}");
    assert_eq!(none.near, ["carbon monoxide"]);
    // A right number that the catalog has not.
    let none = book().find_substance("7440-48-4").unwrap_err();
    assert_eq!(none.because(), None);
}

#[test]
fn what_two_things_are_called_is_refused_with_both() {
    let own = lab(&[
        (
            "substances/quay-gas.substance.yaml",
            "substance: quay-gas\nname: quay gas\nalso_called: [CO, winter gas]\nformula: N2O\nidentified_by: niosh-pocket-guide\n",
        ),
        (
            "substances/salmiac.substance.yaml",
            "substance: salmiac\nname: salmiac\nalso_called: [ammonia gas, AMMONIA]\ncas: 7664-41-7\nformula: NH3\nidentified_by: niosh-pocket-guide\n",
        ),
        (
            "groups/winter.group.yaml",
            "group: winter\nname: winter gas\nalso_called: [toluene]\nexpressed_as: [toluene]\n",
        ),
    ]);
    // A name of the lab's that is another substance's in the reference.
    let both = own.find_substance("CO").unwrap_err();
    assert_eq!(both.could_be, ["quay-gas", "carbon-monoxide"]);
    assert_eq!(
        both.to_string(),
        "`CO` may be any of quay-gas (N2O), carbon-monoxide (CO)"
    );
    // A formula that both have.
    assert_eq!(id(&own, "N2O").unwrap_err(), ["quay-gas", "nitrous-oxide"]);
    // A substance and a group, of the lab or of the reference.
    let both = own.find_substance("winter gas").unwrap_err();
    assert_eq!(
        both.to_string(),
        "`winter gas` may be any of quay-gas (N2O), winter (a group)"
    );
    assert_eq!(both.group, None);
    assert_eq!(id(&own, "Toluene").unwrap_err(), ["winter", "toluene"]);
    // The short name is what it is all the same, and so is what only one of them has.
    assert_eq!(id(&own, "toluene").as_deref(), Ok("toluene"));
    assert_eq!(
        id(&own, "carbon monoxide").as_deref(),
        Ok("carbon-monoxide")
    );
    // One substance that was entered twice: the lab's own counts.
    assert_eq!(id(&own, "ammonia gas").as_deref(), Ok("salmiac"));
    assert_eq!(id(&own, "7664-41-7").as_deref(), Ok("salmiac"));
    assert_eq!(id(&own, "Ammonia").as_deref(), Ok("salmiac"));
    assert_eq!(id(&own, "NH3").as_deref(), Ok("salmiac"));
    assert_eq!(id(&own, "ammonia").as_deref(), Ok("ammonia"));
}

#[test]
fn the_kind_of_name_is_told() {
    for (typed, by) in [
        ("carbon-monoxide", NamedBy::ShortName),
        ("Carbon monoxide", NamedBy::Name),
        ("carbon oxide", NamedBy::OtherName),
        ("630-08-0", NamedBy::CasNumber),
        ("CAS 630-08-0", NamedBy::CasNumber),
        ("CO", NamedBy::Formula),
        ("OC", NamedBy::Formula),
    ] {
        let understood = book().understand_substance(typed).unwrap();
        assert_eq!(understood.by, by, "{typed}");
        assert_eq!(
            understood.entry.substance.as_deref(),
            Some("carbon-monoxide")
        );
    }
}

#[test]
fn names_in_other_languages() {
    for (typed, id, code) in [
        ("Kohlenmonoxid", "carbon-monoxide", "de"),
        ("KOHLENMONOXID", "carbon-monoxide", "de"),
        ("monoxyde de carbone", "carbon-monoxide", "fr"),
        ("Monossido di carbonio", "carbon-monoxide", "it"),
        ("Kulilte", "carbon-monoxide", "da"),
        ("Häkä", "carbon-monoxide", "fi"),
        ("Salzsäure", "hydrogen-chloride", "de"),
        ("salzsaure", "hydrogen-chloride", "de"),
        ("Phosgène", "phosgene", "fr"),
        ("Méthacrylate de methyle", "methyl-methacrylate", "fr"),
        ("Hidrogen sulfurat", "hydrogen-sulfide", "ro"),
        ("ammoniaca", "ammonia", "it"),
        ("Amônia", "ammonia", "pt-BR"),
        ("Dwutlenek azotu", "nitrogen-dioxide", "pl"),
    ] {
        let understood = book()
            .understand_substance(typed)
            .unwrap_or_else(|none| panic!("{none}"));
        assert_eq!(understood.entry.substance.as_deref(), Some(id), "{typed}");
        match understood.by {
            NamedBy::InLanguages(codes) => assert!(codes.contains(&code.to_owned()), "{typed}"),
            // An accent may be all that tells a name from the English one.
            by => assert_eq!(by, NamedBy::Name, "{typed}"),
        }
    }
    let understood = book().understand_substance("Kohlenmonoxid").unwrap();
    assert_eq!(understood.by.to_string(), "its name in German");
    let understood = book().understand_substance("Chlor").unwrap();
    assert_eq!(
        understood.by.to_string(),
        "its name in Czech, German and Polish"
    );
}

#[test]
fn a_word_for_petrol_is_not_benzene() {
    for typed in ["Benzin", "benzina", "BENZÍN", "bensin", "Benzina"] {
        let both = book().find_substance(typed).unwrap_err();
        assert_eq!(both.could_be, ["benzene", "petrol-vapour"], "{typed}");
        assert_eq!(both.group, None, "{typed}");
        assert_eq!(
            both.to_string(),
            format!("`{typed}` may be any of benzene (C6H6), petrol-vapour (a group)")
        );
    }
    // Words that nobody takes for benzene are the group's.
    for typed in ["Gasolina", "Essence", "gasoline"] {
        let none = book().find_substance(typed).unwrap_err();
        assert_eq!(none.group.as_deref(), Some("petrol-vapour"), "{typed}");
    }
    for typed in [
        "Benzol", "Benceno", "Benzeen", "Bensen", "benzolo", "Benzen",
    ] {
        assert_eq!(id(book(), typed).as_deref(), Ok("benzene"), "{typed}");
    }
    // A lab's own word is asked about in the same way.
    let own = lab(&[(
        "groups/bencina.group.yaml",
        "group: bencina\nname: petrol\nnames:\n  - {language: es, name: Bencina, source: common-practice, taken_for: benzene}\nexpressed_as: [n-hexane]\n",
    )]);
    assert_eq!(id(&own, "bencina").unwrap_err(), ["bencina", "benzene"]);
}

/// The entries have the names of the table, each with its source, and no other.
#[test]
fn names_are_those_of_the_table() {
    let table = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../catalog/reference/tables/names.csv");
    let table = std::fs::read_to_string(table).unwrap();
    let mut listed: Vec<String> = Vec::new();
    for line in table
        .lines()
        .filter(|line| !line.starts_with(['#']))
        .skip(1)
    {
        // Commas stand in quoted cells only.
        let mut quoted = false;
        let mut cells = vec![String::new()];
        for c in line.chars() {
            match c {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                c => cells.last_mut().unwrap().push(c),
            }
        }
        let owner = if cells[0].is_empty() {
            cells[1].clone()
        } else {
            id(book(), &cells[0]).unwrap()
        };
        listed.push([owner.as_str(), &cells[2], &cells[3], &cells[4], &cells[7]].join(" | "));
    }
    let mut kept: Vec<String> = Vec::new();
    let mut take = |owner: &str, names: &[stainbook_catalog::written::NameInLanguage]| {
        for row in names {
            let text = |value: &Option<String>| value.clone().unwrap_or_default();
            kept.push(
                [
                    owner,
                    &text(&row.language),
                    &text(&row.name),
                    &text(&row.source),
                    &text(&row.taken_for),
                ]
                .join(" | "),
            );
            assert!(book().source(row.source.as_deref().unwrap()).is_some());
        }
    };
    for id in book().ids(EntryKind::Substance) {
        take(id, &book().substance(id).unwrap().names);
    }
    for id in book().ids(EntryKind::Group) {
        take(id, &book().group(id).unwrap().names);
    }
    listed.sort();
    kept.sort();
    assert_eq!(kept, listed);
    assert!(400 < kept.len());
}

/// What is understood has a usual form, and that is understood as itself.
fn is_settled(book: &Book, typed: &str) {
    if let Ok(entry) = book.find_substance(typed) {
        let usual = entry.substance.as_deref().unwrap();
        let again = book.understand_substance(usual).unwrap();
        assert_eq!(again.by, NamedBy::ShortName, "{typed}");
        assert_eq!(again.entry, entry, "{typed}");
    }
}

#[test]
fn the_usual_form_is_itself() {
    for book in [book(), &Book::demo().0] {
        for id in book.ids(EntryKind::Substance) {
            let entry = book.substance(id).unwrap();
            assert_eq!(book.find_substance(id).unwrap(), entry);
            let names = [&entry.name, &entry.cas, &entry.formula]
                .into_iter()
                .flatten();
            for name in names
                .chain(&entry.also_called)
                .chain(entry.names.iter().filter_map(|row| row.name.as_ref()))
            {
                is_settled(book, name);
                is_settled(book, &name.to_uppercase());
                is_settled(book, &name.to_lowercase());
            }
        }
    }
}

proptest! {
    #[test]
    fn whatever_is_typed_is_settled(typed in "\\PC{0,12}|[CHNOSFclnoe0-9]{1,6}|[a-z -]{1,16}") {
        is_settled(book(), &typed);
    }
}
