//! Ranking of names by their nearness to the typed text.

use super::{folded, is_cas, spoken};
use crate::Book;
use crate::Entry;
use stainbook_document::did_you_mean::distance;

/// Letters typed before the beginning of a name counts as a hint.
const BEGINNING: usize = 4;

/// The names that come nearest, nearest first, one for each substance, as they are written in the entries.
///
/// Slips count first; a name that begins with what was typed counts like one slip, whatever its length. At most one
/// slip in three letters is allowed.
pub(super) fn names(book: &Book, wanted: &str) -> Vec<String> {
    let key = folded(wanted);
    let mut ranked: Vec<(usize, usize, String, String)> = Vec::new();
    let mut judge = |name: &str, id: &str| {
        if let Some(slips) = slips(&key, name) {
            ranked.push((
                slips,
                name.len().abs_diff(key.len()),
                name.to_owned(),
                id.to_owned(),
            ));
        }
    };
    for entry in book.entries() {
        if let Some(substance) = entry.substance() {
            for name in spoken(substance) {
                judge(&folded(name), entry.id());
            }
        }
    }
    if let Some(reference) = book.reference() {
        for (name, place) in reference.names() {
            if !is_cas(name)
                && let Some(id) = reference.id_at(*place)
            {
                judge(name, id);
            }
        }
    }
    ranked.sort();
    let mut seen: Vec<String> = Vec::new();
    let mut found = Vec::new();
    for (fewest, _, name, id) in ranked {
        if found.len() == super::MOST_SUGGESTIONS {
            break;
        }
        if seen.contains(&id) {
            continue;
        }
        if let Some(substance) = book.substance(&id) {
            let written = spoken(substance).find(|written| folded(written) == name);
            // A name in another language is no better an answer than one that is as near in the catalog's own.
            let own = [&substance.name]
                .into_iter()
                .flatten()
                .chain(&substance.also_called);
            let own = own.filter_map(|own| Some((slips(&key, &folded(own))?, own)));
            let own = own.min_by_key(|(slips, _)| *slips);
            let own = own
                .filter(|(slips, _)| *slips <= fewest)
                .map(|(_, own)| own);
            found.extend(own.or(written).or(substance.name.as_ref()).cloned());
        }
        seen.push(id);
    }
    found
}

/// Number of slips from the typed text to a name, if it is near enough to be worth asking about.
fn slips(key: &str, name: &str) -> Option<usize> {
    let begins = BEGINNING <= key.len() && name.starts_with(key);
    let allowed = (key.len() / 3).max(1);
    if !begins && allowed < name.len().abs_diff(key.len()) {
        return None;
    }
    let slips = distance(key, name);
    let near = slips <= allowed && slips < key.len().min(name.len());
    match (begins, near) {
        (true, _) => Some(1.min(slips)),
        (false, true) => Some(slips),
        (false, false) => None,
    }
}

/// The substances whose CAS number is one slip away, by name: a name tells sooner than a number whether it is meant.
pub(super) fn cas_numbers(book: &Book, wanted: &str) -> Vec<String> {
    let own = book
        .entries()
        .iter()
        .filter_map(Entry::substance)
        .filter(|substance| {
            substance
                .cas
                .as_ref()
                .is_some_and(|cas| distance(wanted, cas) == 1)
        });
    let reference = book.reference().into_iter().flat_map(|reference| {
        reference
            .names()
            .iter()
            .filter(|(cas, _)| is_cas(cas) && distance(wanted, cas) == 1)
            .filter_map(|(_, place)| reference.substance_at(*place))
    });
    let mut names: Vec<String> = own
        .chain(reference)
        .filter_map(|substance| substance.name.clone())
        .collect();
    names.sort_unstable();
    names.dedup();
    names.truncate(super::MOST_SUGGESTIONS);
    names
}
