//! Names that come near a name that is not known.

use stainbook_catalog::EntryKind;
use stainbook_catalog::search::{folded, nearest};
use stainbook_document::did_you_mean::distance;
use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use crate::Context;

/// The names that come nearest: those that need the fewest letters changed, and no others.
pub(crate) fn nearest_only(wanted: &str, names: &[String]) -> Vec<String> {
    let wanted = folded(wanted);
    let mut near = nearest(&wanted, names);
    let slips = |name: &String| distance(&wanted, &folded(name));
    let fewest = near.iter().map(slips).min();
    near.retain(|name| Some(slips(name)) == fewest);
    near
}

/// The short names of this kind that come nearest.
pub(crate) fn near_entries(context: &Context<'_>, kind: EntryKind, wanted: &str) -> Vec<String> {
    let ids: Vec<String> = context
        .book
        .ids(kind)
        .into_iter()
        .map(str::to_owned)
        .collect();
    nearest_only(wanted, &ids)
}

/// `did you mean …` for names that come near; else what to say instead.
pub(crate) fn did_you_mean(near: &[String], otherwise: impl Into<Help>) -> Help {
    let named = |name: &String| Offer::yaml(name.clone());
    match near {
        [] => otherwise.into(),
        [only] => help!("did you mean {}?", named(only)),
        [first, rest @ ..] => {
            let rest: Vec<Offer> = rest.iter().map(named).collect();
            help!("did you mean {}, or {}?", named(first), rest)
        }
    }
}

/// Names in quotation marks, the last two with `or` between them.
pub(crate) fn quoted_or(names: &[String]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., end] => format!("{} or {end}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_nearest_are_named() {
        let names =
            ["hydrogen-chloride", "hydrogen-fluoride", "hydrogen-bromide"].map(str::to_owned);
        assert_eq!(
            nearest_only("hydrogen-cloride", &names),
            ["hydrogen-chloride"]
        );
        assert_eq!(nearest_only("sulfur-dioxide", &names), Vec::<String>::new());
    }

    #[test]
    fn questions() {
        let names = ["a", "b"].map(str::to_owned);
        assert_eq!(
            did_you_mean(&names, "").words(),
            "did you mean `a`, or `b`?"
        );
        assert_eq!(did_you_mean(&[], "add it").words(), "add it");
        let three = ["a", "b", "c"].map(str::to_owned);
        assert_eq!(quoted_or(&three), "`a`, `b` or `c`");
    }
}
