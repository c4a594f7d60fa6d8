//! The Rust file that holds the reference catalog: its files, and its names in the order in which they are looked up.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use stainbook_catalog::EntryKind;
use stainbook_catalog::search::{folded, name_number, plain_formula, without_position};
use stainbook_catalog::written::{NameInLanguage, SubstanceEntry};
use stainbook_core::Formula;

use super::{below_catalog, texts};
use crate::output::Generated;

const HEAD: &str = "\
//! Made by `cargo xtask generate` from catalog/reference.

use super::{EmbeddedFile, SubstanceIndex, cut};

";

/// The Rust file with its tables, and the texts one behind the other.
pub(super) fn embedded_reference(files: &[String]) -> Result<[Generated; 2], String> {
    let mut entries: Vec<(EntryKind, &str, &str)> = files
        .iter()
        .filter_map(|file| EntryKind::of_file(file).map(|(kind, stem)| (kind, stem, file.as_str())))
        .collect();
    entries.sort_unstable();
    let substances: Vec<&str> = entries
        .iter()
        .filter(|(kind, ..)| *kind == EntryKind::Substance)
        .map(|(_, id, _)| *id)
        .collect();
    let texts = texts(entries.iter().map(|(.., file)| *file))?;
    let mut text = String::from(HEAD);
    text.push_str("/// The short names of all entries, in the order of kinds and short names.\n#[rustfmt::skip]\n");
    let _ = writeln!(text, "pub(super) static IDS: [&str; {}] = [", entries.len());
    for (_, id, _) in &entries {
        let _ = writeln!(text, "    {id:?},");
    }
    text.push_str("];\n\n/// Their paths below the catalog, each with the length of its text.\n#[rustfmt::skip]\n");
    let _ = writeln!(
        text,
        "pub(super) static FILES: [EmbeddedFile; {}] = cut([",
        entries.len()
    );
    for ((.., file), own) in entries.iter().zip(&texts) {
        let _ = writeln!(text, "    ({:?}, {}),", below_catalog(file), own.len());
    }
    text.push_str(
        "], include_str!(\"reference.txt\"));\n\n/// First entry of each kind.\n#[rustfmt::skip]\n",
    );
    let bounds: Vec<String> = EntryKind::ALL
        .into_iter()
        .map(|kind| {
            entries
                .iter()
                .filter(|(of, ..)| *of < kind)
                .count()
                .to_string()
        })
        .collect();
    let _ = writeln!(
        text,
        "pub(super) static BOUNDS: [usize; {}] = [{}];",
        bounds.len(),
        bounds.join(", ")
    );
    let LookUp {
        names,
        isomers,
        shared,
        groups,
        formulas,
    } = names(&entries)?;
    let place = |id: &str| {
        substances
            .iter()
            .position(|known| *known == id)
            .unwrap_or(0)
    };
    text.push_str(
        "\n/// CAS numbers and folded names, each with the place of its substance among the substances.\n#[rustfmt::skip]\n",
    );
    let _ = writeln!(
        text,
        "pub(super) static NAMES: &[(&str, SubstanceIndex)] = &["
    );
    for (name, id) in &names {
        let _ = writeln!(text, "    ({name:?}, {}),", place(id));
    }
    text.push_str("];\n\n/// The names by their numbers: the first free slot from the number on holds the position of the name, counted from one.\n#[rustfmt::skip]\n");
    let slots = slots(names.keys());
    let _ = writeln!(text, "pub(super) static SLOTS: [u16; {}] = [", slots.len());
    for line in slots.chunks(24) {
        let line: Vec<String> = line.iter().map(u16::to_string).collect();
        let _ = writeln!(text, "    {},", line.join(", "));
    }
    text.push_str(
        "];\n\n/// Folded names without what tells isomers apart, each with the places of all substances that share it.\n#[rustfmt::skip]\n",
    );
    let _ = writeln!(
        text,
        "pub(super) static ISOMERS: &[(&str, &[SubstanceIndex])] = &["
    );
    for (name, ids) in &isomers {
        let places: Vec<String> = ids.iter().map(|id| place(id).to_string()).collect();
        let _ = writeln!(text, "    ({name:?}, &[{}]),", places.join(", "));
    }
    text.push_str("];\n\n/// Folded names that several substances or groups share, with the short names of all, none of which a name means by itself.\n#[rustfmt::skip]\n");
    let _ = writeln!(text, "pub(super) static SHARED: &[(&str, &[&str])] = &[");
    for (name, ids) in &shared {
        let ids: Vec<String> = ids.iter().map(|id| format!("{id:?}")).collect();
        let _ = writeln!(text, "    ({name:?}, &[{}]),", ids.join(", "));
    }
    text.push_str("];\n\n/// Folded names of groups.\n#[rustfmt::skip]\n");
    let _ = writeln!(text, "pub(super) static GROUP_NAMES: &[(&str, &str)] = &[");
    for (name, id) in &groups {
        let _ = writeln!(text, "    ({name:?}, {id:?}),");
    }
    text.push_str("];\n\n/// Formulas in Hill's order, each with the places of all its substances.\n#[rustfmt::skip]\n");
    let _ = writeln!(
        text,
        "pub(super) static FORMULAS: &[(&str, &[SubstanceIndex])] = &["
    );
    for (formula, ids) in &formulas {
        let places: Vec<String> = ids.iter().map(|id| place(id).to_string()).collect();
        let _ = writeln!(text, "    ({formula:?}, &[{}]),", places.join(", "));
    }
    text.push_str("];\n");
    Ok([
        Generated {
            path: "crates/catalog/src/embedded/reference.rs".to_owned(),
            text,
        },
        Generated {
            path: "crates/catalog/src/embedded/reference.txt".to_owned(),
            text: texts.concat(),
        },
    ])
}

/// Slot of each name, from the slot of its number on.
fn slots<'a>(names: impl ExactSizeIterator<Item = &'a String>) -> Vec<u16> {
    // A power of two, so that the number's lowest bits are the slot; a quarter full at most.
    let count = (4 * names.len()).next_power_of_two();
    let mut slots = vec![0_u16; count];
    for (position, name) in (1_u16..).zip(names) {
        let first = usize::try_from(name_number(name) & (count as u64 - 1)).unwrap_or(0);
        let (before, from) = slots.split_at_mut(first);
        if let Some(free) = from.iter_mut().chain(before).find(|slot| **slot == 0) {
            *free = position;
        }
    }
    slots
}

type ByName = BTreeMap<String, BTreeSet<String>>;

/// Names and formulas that the reference is looked up by.
struct LookUp {
    /// CAS numbers and folded names that mean one substance.
    names: BTreeMap<String, String>,
    /// Names without position.
    isomers: ByName,
    /// Names that several share.
    shared: ByName,
    groups: BTreeMap<String, String>,
    formulas: ByName,
}

/// A name that two substances share, or a substance and a group, means neither by itself; nor does one that is the formula of
/// another substance.
fn names(entries: &[(EntryKind, &str, &str)]) -> Result<LookUp, String> {
    let files: Vec<String> = entries
        .iter()
        .map(|(_, _, file)| (*file).to_owned())
        .collect();
    let book = super::book(&files)?;
    let mut owners = ByName::new();
    let mut isomers = ByName::new();
    let mut formulas = ByName::new();
    for (entry, substance) in book.substances() {
        let mut own = |key: String| {
            owners.entry(key).or_default().insert(entry.id().to_owned());
        };
        if let Some(cas) = &substance.cas {
            own(cas.clone());
        }
        for name in spoken(substance) {
            own(folded(name));
            let bare = without_position(name);
            if bare.len() > 2 && bare != folded(name) {
                isomers
                    .entry(bare)
                    .or_default()
                    .insert(entry.id().to_owned());
            }
        }
        if let Some(formula) = substance.formula.as_deref().map(Formula::parse) {
            let hill = formula.map_err(|error| format!("{}: {error}", entry.id()))?;
            formulas
                .entry(hill.to_string())
                .or_default()
                .insert(entry.id().to_owned());
        }
    }
    for (_, substance) in book.substances() {
        for name in spoken(substance) {
            let sharing = plain_formula(name).map(|formula| formula.to_string());
            let sharing = sharing.and_then(|hill| formulas.get(&hill));
            owners
                .entry(folded(name))
                .or_default()
                .extend(sharing.into_iter().flatten().cloned());
        }
    }
    let substances = book.substances().map(|(_, substance)| &substance.names);
    for row in substances
        .chain(book.groups().map(|(_, group)| &group.names))
        .flatten()
    {
        if let (Some(name), Some(other)) = (&row.name, &row.taken_for) {
            owners
                .entry(folded(name))
                .or_default()
                .insert(other.clone());
        }
    }
    let mut groups = BTreeMap::new();
    for (entry, group) in book.groups() {
        let spoken = [&group.group, &group.name].into_iter().flatten();
        for name in spoken
            .chain(&group.also_called)
            .chain(in_languages(&group.names))
        {
            let name = folded(name);
            if let Some(other) = groups.insert(name.clone(), entry.id().to_owned())
                && other != entry.id()
            {
                return Err(format!(
                    "{other} and {} are both called `{name}`",
                    entry.id()
                ));
            }
            if let Some(ids) = owners.get_mut(&name) {
                ids.insert(entry.id().to_owned());
            }
        }
    }
    let (alone, shared): (ByName, ByName) = owners.into_iter().partition(|(_, ids)| ids.len() == 1);
    let names = alone
        .into_iter()
        .filter_map(|(name, ids)| ids.into_iter().next().map(|id| (name, id)))
        .collect();
    Ok(LookUp {
        names,
        isomers,
        shared,
        groups,
        formulas,
    })
}

fn spoken(substance: &SubstanceEntry) -> impl Iterator<Item = &String> {
    [&substance.substance, &substance.name]
        .into_iter()
        .flatten()
        .chain(&substance.also_called)
        .chain(in_languages(&substance.names))
}

fn in_languages(names: &[NameInLanguage]) -> impl Iterator<Item = &String> {
    names.iter().filter_map(|row| row.name.as_ref())
}
