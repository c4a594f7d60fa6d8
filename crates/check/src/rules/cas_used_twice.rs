//! One CAS number under two short names.

use stainbook_catalog::EntryKind;
use stainbook_catalog::written::SubstanceEntry;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "cas-used-twice",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two substances have the same CAS number.",
    family: Family::Identity,
    docs: include_str!("cas-used-twice.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let (Some(cas), Some(id)) = (substance.cas.as_deref(), substance.substance.as_deref()) else {
        return;
    };
    let Some(other) = other_of_this_number(cas, id, context) else {
        return;
    };
    let mut finding = sink
        .at(Path::root().key("cas"))
        .message(format!("`{other}` has the CAS number {cas} too"))
        .label("one number, two substances")
        .note("which of the two an instrument's list, a limit or a label means is then left to chance: limits and molar mass could be those of another substance")
        .help(help!("look both numbers up; if the two are one substance, keep one entry and put the other's names into `also_called`, or write {} under the short name that is there already", Offer::name("adds_to")))
        .fact("cas", Fact::text(cas))
        .fact("other", Fact::text(other));
    if let Some(entry) = context.book.find(EntryKind::Substance, other) {
        let place = stainbook_document::place::Place::value(entry.file, Path::root().key("cas"));
        finding = finding.related(place, "the other");
    }
    sink.report(finding);
}

/// Another substance of this number, here or in the reference. Of two in one catalog the one that is found by the number is
/// left alone, so that the pair is reported once.
pub(crate) fn other_of_this_number<'a>(
    cas: &str,
    id: &str,
    context: &Context<'a>,
) -> Option<&'a str> {
    let found = context.book.find_substance(cas).ok()?;
    let first = found.substance.as_deref().filter(|found| *found != id);
    first.or_else(|| {
        let below = context.book.reference()?.by_name(cas)?;
        // What the catalog has under that short name counts instead, whatever its number.
        let is_hidden = context.book.find(EntryKind::Substance, below).is_some();
        (below != id && !is_hidden).then_some(below)
    })
}
