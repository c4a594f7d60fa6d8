//! Another unit than the one on the paper, another substance, another entry.

use stainbook_catalog::embedded::Reference;
use stainbook_catalog::{EntryKind, search};

/// Units that are taken for each other, by what they measure. Units of one size are no slip (mL and cm³).
const SIBLINGS: [&[&str]; 7] = [
    &["ppm", "ppb", "% by volume", "mg/m³", "µg/m³"],
    &["°C", "°F", "K"],
    &["kPa", "hPa", "mmHg", "bar"],
    &["%RH", "g/m³"],
    &["mL", "L"],
    &["years", "months", "weeks", "days"],
    &["%", "‰"],
];

/// The siblings of a unit; nothing for a spelling that has none.
pub(super) fn sibling_units(unit: &str) -> Vec<&'static str> {
    let singular = |name: &str| name.trim_end_matches('s').to_owned();
    SIBLINGS
        .iter()
        .find(|family| {
            family
                .iter()
                .any(|member| singular(member) == singular(unit))
        })
        .map(|family| {
            family
                .iter()
                .copied()
                .filter(|member| singular(member) != singular(unit))
                .collect()
        })
        .unwrap_or_default()
}

/// Three substances that are not this one: the one that is spelt most alike, the next one in the alphabet, and one that
/// stands elsewhere on the sheet.
pub(super) fn other_substances(id: &str, on_the_sheet: &[String]) -> Vec<String> {
    let names: Vec<String> = Reference::embedded()
        .ids(EntryKind::Substance)
        .map(str::to_owned)
        .collect();
    let mut found = Vec::new();
    let others: Vec<String> = names.iter().filter(|name| *name != id).cloned().collect();
    found.extend(search::nearest(id, &others).into_iter().next());
    found.extend(names.iter().find(|name| id < name.as_str()).cloned());
    found.extend(on_the_sheet.iter().find(|name| *name != id).cloned());
    found.sort();
    found.dedup();
    found
}
