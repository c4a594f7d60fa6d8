//! Finding a substance by what people call it.

use std::fmt;

use crate::Book;
use crate::EntryKind;
use crate::did_you_mean::distance;
use crate::written::SubstanceEntry;

/// No substance goes by that name; the names that come nearest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSuchSubstance {
    /// What was looked for.
    pub wanted: String,
    /// Names that come near, nearest first.
    pub near: Vec<String>,
}

impl fmt::Display for NoSuchSubstance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no substance is called `{}`", self.wanted)
    }
}

impl std::error::Error for NoSuchSubstance {}

/// A name as it is compared: small letters, British spelling as American, Greek letters spelt out, no spaces and hyphens.
pub fn folded(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for c in name.trim().chars() {
        match c {
            'α' => folded.push_str("alpha"),
            'β' => folded.push_str("beta"),
            'γ' => folded.push_str("gamma"),
            '₀'..='₉' => folded.extend(char::from_digit(u32::from(c) - u32::from('₀'), 10)),
            c if c.is_whitespace()
                || matches!(c, '-' | '‐' | '‑' | '–' | '_' | '\'' | ',' | '(' | ')') => {}
            c => folded.extend(c.to_lowercase()),
        }
    }
    folded
        .replace("sulph", "sulf")
        .replace("aluminium", "aluminum")
}

pub(crate) fn substance<'b>(
    book: &'b Book,
    wanted: &str,
) -> Result<&'b SubstanceEntry, NoSuchSubstance> {
    let wanted = wanted.trim();
    if let Some(entry) = book.substance(wanted) {
        return Ok(entry);
    }
    let key = folded(wanted);
    let own = book
        .entries()
        .iter()
        .filter_map(|entry| match &entry.written {
            crate::WrittenEntry::Substance(substance) => Some(substance),
            _ => None,
        });
    let mut names: Vec<String> = Vec::new();
    for substance in own {
        let all = [&substance.substance, &substance.name, &substance.cas]
            .into_iter()
            .flatten();
        for name in all.chain(&substance.also_called) {
            // A CAS number is told apart by its hyphens: `630-08-0` and `63008-0` are not the same.
            if name == wanted || (folded(name) == key && !is_cas(wanted)) {
                return Ok(substance);
            }
        }
        names.extend(substance.name.clone());
        names.extend(substance.also_called.iter().cloned());
    }
    if let Some(reference) = book.reference() {
        let found = if is_cas(wanted) {
            reference.by_name(wanted)
        } else {
            reference.by_name(&key)
        };
        if let Some(id) = found
            && let Some(entry) = book.substance(id)
        {
            return Ok(entry);
        }
        names.extend(
            reference
                .ids(EntryKind::Substance)
                .map(|id| id.replace('-', " ")),
        );
    }
    Err(NoSuchSubstance {
        wanted: wanted.to_owned(),
        near: nearest(&key, &names),
    })
}

fn is_cas(text: &str) -> bool {
    text.contains('-') && text.bytes().all(|b| b.is_ascii_digit() || b == b'-')
}

/// Up to three of the names, nearest first, that are at most a third of their length away.
pub fn nearest(key: &str, names: &[String]) -> Vec<String> {
    let mut ranked: Vec<(usize, &String)> = names
        .iter()
        .map(|name| (distance(key, &folded(name)), name))
        .filter(|(distance, name)| *distance * 3 <= folded(name).chars().count().max(3))
        .collect();
    ranked.sort();
    ranked.dedup_by(|a, b| a.1 == b.1);
    ranked
        .into_iter()
        .take(3)
        .map(|(_, name)| name.clone())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_compared_as_people_type_them() {
        for (a, b) in [
            ("Hydrogen sulphide", "hydrogen-sulfide"),
            ("n-Hexane", "n hexane"),
            ("α-pinene", "alpha-Pinene"),
            ("SO₂", "so2"),
        ] {
            assert_eq!(folded(a), folded(b));
        }
    }
}
