//! `catalog/reference/INDEX.md`: what the reference catalog holds, to be read by people.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use stainbook_catalog::model::{Limit, Substance};
use stainbook_catalog::written::{LimitKind, Obtained};
use stainbook_catalog::{Book, EntryKind};

use crate::output::Generated;

/// The columns of limits: whose they are, by the authority that the sources name.
const AUTHORITIES: [&str; 4] = ["US OSHA", "US NIOSH", "France", "European Union"];

const HEAD: &str = "\
# The reference catalog at a glance

Made by `cargo xtask generate` from the entries; change those, not this.

Limits are in ppm unless a unit stands beside them: **8 h** average of a shift, **15 min** short-term, **C** ceiling, **IDLH** the
level immediately dangerous to life or health. Another averaging period stands in brackets. A dash means that this
catalog has no such limit, not that there is none. Each entry names document, edition and reference conditions; check
what is in force before use. Molar masses in g/mol, computed from the formula with the weights of 2021.

";

/// The index.
pub(super) fn index(book: &Book) -> Result<Generated, String> {
    let mut substances = Vec::new();
    let mut by_source: BTreeMap<String, usize> = BTreeMap::new();
    for (entry, written) in book.substances() {
        let model = book
            .substance_model(entry.id())
            .map_err(|error| format!("{}: {error}", entry.path))?;
        let mut values: Vec<&Option<String>> = vec![
            &written.identified_by,
            &written.inchikey_source,
            &written.molar_mass_source,
        ];
        values.extend(written.boils_at.iter().map(|fact| &fact.source));
        values.extend(written.vapour_pressure.iter().map(|fact| &fact.source));
        values.extend(written.explosive_limits.iter().map(|fact| &fact.source));
        values.extend(written.limits.iter().map(|fact| &fact.source));
        values.extend(written.names.iter().map(|name| &name.source));
        for source in values.into_iter().flatten() {
            *by_source.entry(source.clone()).or_default() += 1;
        }
        substances.push(model);
    }
    substances.sort_by_key(|substance| alphabetical(&substance.name));
    let limits: usize = substances
        .iter()
        .map(|substance| substance.limits.len())
        .sum();
    let mut text = HEAD.to_owned();
    let _ = writeln!(
        text,
        "{} substances, {limits} limits, {} groups, {} sources.\n",
        substances.len(),
        book.groups().count(),
        book.sources().count(),
    );
    text.push_str("## Substances\n\n| substance | CAS | formula | g/mol |");
    for authority in AUTHORITIES {
        let _ = write!(text, " {authority} |");
    }
    text.push_str("\n| --- | --- | --- | ---: | --- | --- | --- | --- |\n");
    for substance in &substances {
        let cas = substance
            .cas
            .as_ref()
            .map_or_else(String::new, ToString::to_string);
        let _ = write!(
            text,
            "| [{}](substances/{}.substance.yaml) | {cas} | {} | {:.3} |",
            substance.name,
            substance.id,
            substance.formula,
            substance.molar_mass.g_per_mol(),
        );
        for authority in AUTHORITIES {
            let _ = write!(text, " {} |", cell(substance, authority));
        }
        text.push('\n');
    }
    text.push_str("\n## Groups\n\nA tube that answers to a group expresses the total as one substance.\n\n| group | may be expressed as | members |\n| --- | --- | --- |\n");
    for (entry, group) in book.groups() {
        let _ = writeln!(
            text,
            "| [{}](groups/{}.group.yaml) | {} | {} |",
            group.name.as_deref().unwrap_or_default(),
            entry.id(),
            group.expressed_as.join(", "),
            group.members.join(", "),
        );
    }
    text.push_str("\n## Sources\n\n| source | title | edition | obtained | values |\n| --- | --- | --- | --- | ---: |\n");
    for (entry, source) in book.sources() {
        let obtained = match source.obtained {
            Some(Obtained::LookedUp) => "looked up",
            Some(Obtained::Computed) => "computed",
            Some(Obtained::FromMemory) => "from memory",
            None => "",
        };
        let of_groups = book
            .groups()
            .filter(|(_, group)| group.source.as_deref() == Some(entry.id()))
            .count();
        let _ = writeln!(
            text,
            "| [{0}](sources/{0}.source.yaml) | {1} | {2} | {obtained} | {3} |",
            entry.id(),
            source.title.as_deref().unwrap_or_default(),
            source.edition.as_deref().unwrap_or_default(),
            by_source.get(entry.id()).copied().unwrap_or_default() + of_groups,
        );
    }
    debug_assert!(book.knows(EntryKind::Catalog, "stainbook-reference"));
    Ok(Generated {
        path: "catalog/reference/INDEX.md".to_owned(),
        text,
    })
}

/// Names are sorted by their first letter, not by numbers and `n-` before it.
fn alphabetical(name: &str) -> (String, String) {
    (
        stainbook_catalog::search::without_position(name),
        name.to_owned(),
    )
}

fn cell(substance: &Substance, authority: &str) -> String {
    let limits: Vec<String> = substance
        .limits
        .iter()
        .filter(|limit| limit.authority == authority)
        .map(short)
        .collect();
    if limits.is_empty() {
        return "–".to_owned();
    }
    limits.join(", ")
}

/// A limit in a few letters: `8 h 25`, `C 5`, `15 min 35`.
fn short(limit: &Limit) -> String {
    let kind = match limit.kind {
        LimitKind::EightHours => "8 h",
        LimitKind::ShortTerm => "15 min",
        LimitKind::Ceiling => "C",
        LimitKind::Danger => "IDLH",
    };
    let value = limit.at_most.canonical();
    let value = value.strip_suffix(" ppm").unwrap_or(&value);
    let usual = limit
        .averaged_over
        .as_ref()
        .filter(|period| !(limit.kind == LimitKind::EightHours && period.text() == "10 h"));
    match usual {
        Some(period) => format!("{kind} {value} ({})", period.text()),
        None => format!("{kind} {value}"),
    }
}
