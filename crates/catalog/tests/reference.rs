//! The embedded reference: every name leads to its substance, nothing is guessed, and a lab's own entries come first.

#![cfg(test)]

use stainbook_catalog::embedded::{Reference, reference_files};
use stainbook_catalog::{Book, EntryKind, SourceFile};

fn book() -> Book {
    Book::read([]).0
}

/// A lab's book with these files, building on the reference.
fn lab(files: &[(&str, &str)]) -> Book {
    let catalog = (
        "catalog.yaml",
        "catalog: quay-lab\ntitle: Quay lab\nrevision: \"2026-11-25\"\nformat: 1\nbuilds_on: [stainbook-reference]\n",
    );
    let files = [catalog]
        .iter()
        .chain(files)
        .map(|(path, text)| SourceFile::new(*path, *text))
        .collect::<Vec<_>>();
    let (book, findings) = Book::read(files);
    let said: Vec<&str> = findings
        .iter()
        .map(stainbook_document::finding::Finding::message_text)
        .collect();
    assert_eq!(said, Vec::<&str>::new());
    book
}

#[test]
fn every_embedded_file_fits_its_schema() {
    let (book, findings) = Book::read(reference_files());
    let said: Vec<&str> = findings
        .iter()
        .map(stainbook_document::finding::Finding::message_text)
        .collect();
    assert_eq!(said, Vec::<&str>::new());
    // Read without their schema, as the reference does, the files say the same.
    for (entry, with_schema) in book.substances() {
        let without = book_of_reference_alone().substance(entry.id()).unwrap();
        assert_eq!(without, with_schema, "{}", entry.id());
    }
    assert!(358 <= book.substances().count());
}

fn book_of_reference_alone() -> &'static Book {
    static BOOK: std::sync::OnceLock<Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(book)
}

#[test]
fn every_name_finds_its_substance() {
    let book = book();
    let mut names = 0;
    for id in book.ids(EntryKind::Substance) {
        let entry = book.substance(id).unwrap();
        let all = [&entry.cas, &entry.name, &entry.substance]
            .into_iter()
            .flatten()
            .chain(&entry.also_called);
        for name in all {
            let found = book
                .find_substance(name)
                .unwrap_or_else(|none| panic!("{name} of {id}: {none}"));
            assert_eq!(found.substance.as_deref(), Some(id), "{name}");
            names += 1;
        }
        let shouted = entry.name.as_ref().unwrap().to_uppercase();
        let found = book.find_substance(&shouted).unwrap();
        assert_eq!(found.substance.as_deref(), Some(id), "{shouted}");
    }
    assert!(1_500 < names, "{names}");
}

#[test]
fn what_people_type_finds_what_they_mean() {
    let book = book();
    for (typed, id) in [
        ("Hydrogen Sulphide", "hydrogen-sulfide"),
        ("h2s", "hydrogen-sulfide"),
        (" 7783-06-4 ", "hydrogen-sulfide"),
        ("NO", "nitric-oxide"),
        ("SO₂", "sulfur-dioxide"),
        ("n hexane", "n-hexane"),
        ("normal-hexane", "n-hexane"),
        ("hexane, n-", "n-hexane"),
        ("ortho-xylene", "o-xylene"),
        ("Xylene, p-", "p-xylene"),
        ("i-propanol", "isopropanol"),
        ("α-methyl styrene", "alpha-methyl-styrene"),
        ("t-butyl acetate", "tert-butyl-acetate"),
        ("tertiary butyl mercaptan", "tert-butyl-mercaptan"),
        ("PER", "tetrachloroethylene"),
        ("MEK", "2-butanone"),
        ("butan-2-one", "2-butanone"),
        ("1.1.1-trichloroethane", "1-1-1-trichloroethane"),
        ("CAS 7783-06-4", "hydrogen-sulfide"),
        ("CAS No. 7783-06-4", "hydrogen-sulfide"),
        ("7783–06–4", "hydrogen-sulfide"),
        ("propan-2-ol", "isopropanol"),
        ("xylene (mixed isomers)", "xylene-mixed-isomers"),
        ("1330-20-7", "xylene-mixed-isomers"),
    ] {
        let found = book.find_substance(typed);
        let found = found
            .as_ref()
            .map_or("", |entry| entry.substance.as_deref().unwrap());
        assert_eq!(found, id, "{typed}");
    }
}

#[test]
fn what_several_isomers_share_is_not_guessed() {
    let book = book();
    for (typed, candidates) in [
        (
            "xylene",
            &["m-xylene", "o-xylene", "p-xylene", "xylene-mixed-isomers"][..],
        ),
        (
            "Cresol",
            &["cresol-mixed-isomers", "m-cresol", "o-cresol", "p-cresol"][..],
        ),
        (
            "dichlorobenzene",
            &["o-dichlorobenzene", "p-dichlorobenzene"][..],
        ),
        (
            "dichloroethane",
            &["1-1-dichloroethane", "1-2-dichloroethane"][..],
        ),
        (
            "nitrotoluene",
            &[
                "m-nitrotoluene",
                "nitrotoluene-mixed-isomers",
                "o-nitrotoluene",
                "p-nitrotoluene",
            ][..],
        ),
        ("propanol", &["1-propanol", "isopropanol"][..]),
        (
            "trimethyl benzene",
            &[
                "1-2-3-trimethylbenzene",
                "1-2-4-trimethylbenzene",
                "1-3-5-trimethylbenzene",
                "trimethylbenzene-mixed-isomers",
            ][..],
        ),
    ] {
        let none = book.find_substance(typed).unwrap_err();
        assert_eq!(none.could_be, candidates, "{typed}");
        assert_eq!(none.near.len(), candidates.len(), "{typed}");
        assert!(none.to_string().contains("may be any of"), "{none}");
    }
    // An isomer that is not here is not another one.
    let none = book.find_substance("m-dichlorobenzene").unwrap_err();
    assert_eq!(none.could_be, Vec::<String>::new());
    assert!(
        none.near.contains(&"o-dichlorobenzene".to_owned()),
        "{none:?}"
    );
}

#[test]
fn a_slip_is_answered_with_what_is_near() {
    let book = book();
    for (typed, first) in [
        ("ammnia", "ammonia"),
        ("chlroine", "chlorine"),
        ("trichlorethylen", "trichloroethylene"),
        ("methyl ethyl keton", "methyl ethyl ketone"),
        ("hydrogen sulfid", "hydrogen sulfide"),
        ("formaldehide", "formaldehyde"),
        ("isopropil alcohol", "isopropyl alcohol"),
        ("tetrahydrofuran (stabilised)", ""),
        ("630-08-1", "carbon monoxide"),
        ("7664-14-7", "ammonia"),
        ("qqqqqq", ""),
        ("", ""),
    ] {
        let none = book.find_substance(typed).unwrap_err();
        let near = none.near.first().map_or("", String::as_str);
        assert_eq!(near, first, "{typed}: {:?}", none.near);
        // Whatever is suggested can be asked for.
        for name in &none.near {
            assert!(book.find_substance(name).is_ok(), "{typed}: {name}");
        }
    }
}

#[test]
fn a_group_is_not_a_substance() {
    let book = book();
    for (typed, group) in [
        ("amines", "amines"),
        ("NOx", "nitrous-fumes"),
        ("gasoline", "petrol-vapour"),
        ("Aromatic Hydrocarbons", "aromatic-hydrocarbons"),
        ("thiols", "mercaptans"),
        ("xylenes", "xylenes"),
    ] {
        let none = book.find_substance(typed).unwrap_err();
        assert_eq!(none.group.as_deref(), Some(group), "{typed}");
        assert!(!none.could_be.is_empty(), "{typed}");
        assert!(none.to_string().contains("is a group"), "{none}");
    }
}

#[test]
fn groups_are_made_of_known_substances() {
    let book = book();
    let groups = book.ids(EntryKind::Group);
    assert!(20 <= groups.len());
    for id in groups {
        let group = book.group(id).unwrap();
        for member in &group.members {
            assert!(book.knows(EntryKind::Substance, member), "{id}: {member}");
        }
        for substance in &group.expressed_as {
            assert!(group.members.contains(substance), "{id}: {substance}");
        }
        let source = group.source.as_ref().unwrap();
        assert!(book.knows(EntryKind::Source, source), "{id}: {source}");
    }
}

#[test]
fn own_entries_come_before_those_of_the_reference() {
    let (demo, _) = Book::demo();
    // The demo's amines are its own, and fewer.
    assert_eq!(demo.group("amines").unwrap().members.len(), 3);
    assert!(Reference::embedded().knows(EntryKind::Group, "amines"));

    let own = lab(&[(
        "substances/ammonia.substance.yaml",
        "substance: ammonia\nname: ammonia\nalso_called: [cold store gas]\nformula: NH3\nidentified_by: niosh-pocket-guide\nlimits:\n  - {kind: ceiling, at_most: 20 ppm, source: niosh-pocket-guide}\n",
    )]);
    let model = own.substance_model("ammonia").unwrap();
    // It stands alone: what the reference says of ammonia counts for nothing.
    assert_eq!(model.limits.len(), 1);
    assert_eq!(model.limits[0].catalog, "quay-lab");
    assert_eq!(
        own.find_substance("cold-store gas").unwrap().limits.len(),
        1
    );
    // A name that only the reference knows leads to the lab's entry all the same.
    assert_eq!(own.find_substance("7664-41-7").unwrap().limits.len(), 1);
    assert_eq!(
        own.substance_model("chlorine").unwrap().limits[0].catalog,
        "stainbook-reference"
    );
}

const HOUSE_SOURCE: (&str, &str) = (
    "sources/house-rule.source.yaml",
    "source: house-rule\ntitle: House rule 4\npublisher: Quay lab\nedition: \"2026\"\nauthority: Quay lab\nmass_stated_at: {temperature: 20 °C, pressure: 101.3 kPa}\nlicence: own\nobtained: looked up\n",
);

#[test]
fn an_entry_may_add_to_the_reference() {
    let own = lab(&[
        HOUSE_SOURCE,
        (
            "substances/ammonia.substance.yaml",
            "substance: ammonia\nadds_to: stainbook-reference\nalso_called: [cold store gas]\nlimits:\n  - {kind: ceiling, at_most: 20 ppm, source: house-rule}\n  - {kind: short-term, at_most: 30 ppm, source: niosh-pocket-guide}\n",
        ),
    ]);
    let below = book().substance_model("ammonia").unwrap();
    let model = own.substance_model("ammonia").unwrap();
    assert_eq!(model.molar_mass, below.molar_mass);
    assert_eq!(model.cas, below.cas);
    // One is new, one stands in place of another.
    assert_eq!(model.limits.len(), below.limits.len() + 1);
    let [house, replaced, kept, ..] = model.limits.as_slice() else {
        panic!("{model:?}");
    };
    assert_eq!(
        (
            house.at_most.text(),
            house.catalog.as_str(),
            house.replaces.as_deref()
        ),
        ("20 ppm", "quay-lab", None)
    );
    assert_eq!(
        (
            replaced.at_most.text(),
            replaced.catalog.as_str(),
            replaced.replaces.as_deref()
        ),
        ("30 ppm", "quay-lab", Some("35 ppm"))
    );
    assert_eq!(
        (
            kept.at_most.text(),
            kept.catalog.as_str(),
            kept.replaces.as_deref()
        ),
        ("50 ppm", "stainbook-reference", None)
    );
    assert!(
        !model
            .limits
            .iter()
            .any(|limit| limit.at_most.text() == "35 ppm")
    );
    for name in ["cold store gas", "NH3", "7664-41-7", "azane"] {
        let found = own.find_substance(name).unwrap();
        assert_eq!(found.limits.len(), model.limits.len(), "{name}");
    }
}

#[test]
fn an_addition_says_when_it_cannot_be_one() {
    for (path, text, expected) in [
        (
            "substances/ammonia.substance.yaml",
            "substance: ammonia\nadds_to: stainbook-reference\nformula: PH3\n",
            "its formula `PH3` is not the `NH3`",
        ),
        (
            "substances/ammonia.substance.yaml",
            "substance: ammonia\nadds_to: stainbook-reference\ncas: \"7803-51-2\"\n",
            "its CAS number",
        ),
        (
            "substances/brine-gas.substance.yaml",
            "substance: brine-gas\nadds_to: stainbook-reference\n",
            "`stainbook-reference` has no substance `brine-gas` to add to",
        ),
    ] {
        let own = lab(&[(path, text)]);
        let id = own.substances().next().unwrap().0.id().to_owned();
        let why = own.substance_model(&id).unwrap_err();
        assert!(why.message.contains(expected), "{why}");
    }
}

#[test]
fn what_an_addition_may_leave_out_an_entry_of_its_own_must_have() {
    let (_, findings) = Book::read([SourceFile::new(
        "brine-gas.substance.yaml",
        "substance: brine-gas\n",
    )]);
    let said: Vec<&str> = findings
        .iter()
        .map(stainbook_document::finding::Finding::message_text)
        .collect();
    for field in ["name", "formula", "identified_by"] {
        assert!(
            said.iter()
                .any(|words| words.contains(&format!("`{field}`"))),
            "{field}: {said:?}"
        );
    }
}

#[test]
fn an_unknown_substance_of_a_sheet_is_answered_with_what_is_near() {
    let why = book().substance_model("amonia").unwrap_err();
    assert!(why.message.contains("near it: ammonia"), "{why}");
}
