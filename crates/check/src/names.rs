//! Names that come near a name that is not known.

use stainbook_catalog::EntryKind;
use stainbook_catalog::search::{folded, nearest};

use crate::Context;

/// The short names of this kind that come nearest, nearest first.
pub(crate) fn near_entries(context: &Context<'_>, kind: EntryKind, wanted: &str) -> Vec<String> {
    let ids: Vec<String> = context
        .book
        .ids(kind)
        .into_iter()
        .map(str::to_owned)
        .collect();
    nearest(&folded(wanted), &ids)
}

/// `did you mean …` for names that come near; else what to say instead.
pub(crate) fn did_you_mean(near: &[String], otherwise: &str) -> String {
    match near {
        [] => otherwise.to_owned(),
        [only] => format!("did you mean `{only}`?"),
        [first, rest @ ..] => {
            let rest: Vec<String> = rest.iter().map(|name| format!("`{name}`")).collect();
            format!("did you mean `{first}`, or {}?", rest.join(" or "))
        }
    }
}
