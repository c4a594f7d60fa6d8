//! One name for two substances.

use stainbook_catalog::EntryKind;
use stainbook_catalog::search::folded;
use stainbook_catalog::written::SubstanceEntry;

use super::cas_used_twice::other_of_this_number;
use super::substance_hides_another::known_by_a_name_alone;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "name-used-twice",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two substances go by the same name.",
    family: Family::Identity,
    docs: include_str!("name-used-twice.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(id) = substance.substance.as_deref() else {
        return;
    };
    // One substance that was entered twice is known by its number.
    let number = substance.cas.as_deref();
    if number.is_some_and(|cas| other_of_this_number(cas, id, context).is_some()) {
        return;
    }
    if known_by_a_name_alone(substance, context).is_some() {
        return;
    }
    let root = Path::root;
    let name = substance.name.iter().map(|name| (name, root().key("name")));
    let others = substance.also_called.iter().enumerate();
    let others = others.map(|(row, name)| (name, root().key("also_called").index(row)));
    let in_languages = substance.names.iter().enumerate();
    let in_languages = in_languages.filter_map(|(row, named)| {
        // A word that is asked about is meant for neither.
        let name = named.name.as_ref().filter(|_| named.taken_for.is_none())?;
        Some((name, root().key("names").index(row).key("name")))
    });
    for (name, path) in name.chain(others).chain(in_languages) {
        let Some(other) = other_of_this_name(name, id, context) else {
            continue;
        };
        sink.report(
            sink.at(path)
                .message(format!("`{other}` goes by the name `{name}` too"))
                .label("one name, two substances")
                .note("who asks for this name gets the one or the other, with its limits and molar mass")
                .help("leave the name with the substance that it is usual for, and take it out of the other's `also_called`")
                .fact("written", Fact::text(name))
                .fact("other", Fact::text(other)),
        );
    }
}

fn other_of_this_name<'a>(name: &str, id: &str, context: &Context<'a>) -> Option<&'a str> {
    let book = context.book;
    let other = match book.find_substance(name) {
        Ok(found) => found.substance.as_deref().filter(|found| *found != id),
        Err(several) => several
            .could_be
            .iter()
            .filter(|_| several.group.is_none())
            .filter_map(|other| book.substance(other)?.substance.as_deref())
            .find(|other| *other != id),
    };
    other.or_else(|| {
        let below = book.reference()?.by_name(&folded(name))?;
        let is_hidden = book.find(EntryKind::Substance, below).is_some();
        (below != id && !is_hidden).then_some(below)
    })
}
