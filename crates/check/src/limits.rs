//! Limit values with their authority and the conditions of their mg/m³: what the rules about limits have in common.

use stainbook_catalog::written::{Limit, LimitKind, SourceEntry};
use stainbook_core::{Concentration, Conditions, Written};

use crate::Context;

/// The temperature and pressure at which a source states mg/m³.
pub(crate) fn stated_at(source: &SourceEntry) -> Option<Conditions> {
    let at = source.mass_stated_at.as_ref()?;
    Some(Conditions::new(
        at.temperature.as_ref()?.value(),
        at.pressure.as_ref()?.value(),
    ))
}

/// The source of a limit, if it is known.
pub(crate) fn source_of<'a>(limit: &Limit, context: &Context<'a>) -> Option<&'a SourceEntry> {
    context.book.source(limit.source.as_deref()?)
}

/// The values of a limit, the binding one first, each with the key that it stands under.
pub(crate) fn values(
    limit: &Limit,
) -> impl Iterator<Item = (&'static str, &Written<Concentration>)> {
    let binding = limit.at_most.as_ref().map(|value| ("at_most", &**value));
    let printed = limit
        .also_printed
        .as_ref()
        .map(|value| ("also_printed", &**value));
    binding.into_iter().chain(printed)
}

/// The kind of limit in words.
pub(crate) fn kind_words(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::EightHours => "8-hour limit",
        LimitKind::ShortTerm => "short-term limit",
        LimitKind::Ceiling => "ceiling",
        LimitKind::Danger => "danger level",
    }
}
