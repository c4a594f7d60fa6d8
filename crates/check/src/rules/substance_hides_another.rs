//! A substance's own entry that silently takes the place of the one below, with all its limits.

use stainbook_catalog::embedded::REFERENCE_NAME;
use stainbook_catalog::search::folded;
use stainbook_catalog::written::SubstanceEntry;
use stainbook_catalog::{EntryKind, WrittenEntry};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "substance-hides-another",
    level: Level::Error,
    since: "0.1.0",
    summary: "A substance is in a catalog below too, and its entry says neither that it adds to that one nor that it replaces it.",
    family: Family::Substance,
    docs: include_str!("substance-hides-another.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(id) = substance.substance.as_deref() else {
        return;
    };
    let Some((catalog, below)) = of_this_id(id, context) else {
        if let Some(below) = known_by_a_name_alone(substance, context) {
            under_another_id(id, below, substance, sink);
        }
        return;
    };
    match (&substance.adds_to, &substance.replaces_entry) {
        (None, None) if says_nothing(substance, context) => unsaid(id, catalog, below, sink),
        (Some(_), Some(_)) => sink.report(
            sink.at(Path::root().key("replaces_entry"))
                .message(format!("`{id}` cannot both add to an entry and replace it"))
                .label("and `adds_to` is given too")
                .related(sink.place(Path::root().key("adds_to")), "adds to it")
                .note("it is added to, so that limits of the entry below are judged with that were meant to go")
                .help("keep one of the two"),
        ),
        (None, Some(named)) if named != catalog => sink.report(
            sink.at(Path::root().key("replaces_entry"))
                .message(format!("the `{id}` below is of `{catalog}`, not of `{named}`"))
                .label("not the catalog that has it")
                .note("what is replaced has to be named rightly, or nobody can say which limits are gone")
                .help(help!("write {}, or {}", Offer::field(format!("replaces_entry: {catalog}")), Offer::field(format!("adds_to: {catalog}"))))
                .fact("written", Fact::text(named)),
        ),
        _ => {}
    }
}

/// True if neither field is there, not even one that could not be read.
fn says_nothing(substance: &SubstanceEntry, context: &Context<'_>) -> bool {
    let absent =
        |field: &Option<String>, key| context.is_absent(field.as_ref(), &Path::root().key(key));
    absent(&substance.adds_to, "adds_to") && absent(&substance.replaces_entry, "replaces_entry")
}

fn unsaid(id: &str, catalog: &str, below: &SubstanceEntry, sink: &mut Sink<'_>) {
    let limits = match below.limits.len() {
        0 => String::new(),
        1 => " with its limit".to_owned(),
        count => format!(" with its {count} limits"),
    };
    sink.report(
        sink.at(Path::root().key("substance"))
            .message(format!("this entry hides the `{id}` of `{catalog}`{limits}"))
            .label("there too")
            .note("nothing of the entry below counts then: readings are not judged against its limits, and no result shows that they are gone")
            .help(help!("write {} to keep what it has and add to it, or {} if this entry is meant to stand alone", Offer::field(format!("adds_to: {catalog}")), Offer::field(format!("replaces_entry: {catalog}"))))
            .fact("written", Fact::text(id))
            .fact("catalog", Fact::text(catalog)),
    );
}

fn under_another_id(id: &str, below: &str, substance: &SubstanceEntry, sink: &mut Sink<'_>) {
    let name = substance.name.as_deref().unwrap_or(id);
    sink.report(
        sink.at(Path::root().key("substance"))
            .message(format!("`{name}` is `{below}` in `{REFERENCE_NAME}`, whose limits do not count for `{id}`"))
            .label("the same substance, as far as the entry tells")
            .note("readings of this entry are not judged against those limits, and no result shows that they are gone")
            .help(help!(
                "use {} as the short name and write {}; if it is another substance, give its CAS number",
                Offer::yaml(below.to_owned()).in_part(),
                Offer::field(format!("adds_to: {REFERENCE_NAME}")).in_part()
            ))
            .fact("written", Fact::text(id))
            .fact("other", Fact::text(below)),
    );
}

/// The entry of this short name in a catalog below, with the name of that catalog.
fn of_this_id<'a>(id: &str, context: &Context<'a>) -> Option<(&'a str, &'a SubstanceEntry)> {
    let mut namesakes = context.book.all_named(EntryKind::Substance, id);
    if let Some(entry) = namesakes.find(|entry| entry.background)
        && let WrittenEntry::Substance(below) = &entry.written
    {
        return Some((catalog_of(&entry.path, context), below));
    }
    match context.book.reference()?.find(EntryKind::Substance, id)? {
        WrittenEntry::Substance(below) => Some((REFERENCE_NAME, below)),
        _ => None,
    }
}

/// The short name of the catalog below that a file lies in.
fn catalog_of<'a>(path: &str, context: &Context<'a>) -> &'a str {
    let catalogs = context
        .book
        .entries()
        .iter()
        .filter(|entry| entry.background);
    catalogs
        .filter(|entry| entry.kind == EntryKind::Catalog)
        .filter_map(|entry| Some((entry.path.strip_suffix("catalog.yaml")?, entry.id())))
        .filter(|(folder, _)| path.starts_with(folder))
        .max_by_key(|(folder, _)| folder.len())
        .map_or("the catalog below", |(_, id)| id)
}

/// The reference's substance under another short name, if the entry has a name of it and no CAS number that would tell
/// them apart. Of two that have numbers, `cas-used-twice` and `name-used-twice` speak.
pub(crate) fn known_by_a_name_alone<'a>(
    substance: &SubstanceEntry,
    context: &Context<'a>,
) -> Option<&'a str> {
    let id = substance.substance.as_deref()?;
    let has_number = !context.is_absent(substance.cas.as_ref(), &Path::root().key("cas"));
    if has_number || !says_nothing(substance, context) || of_this_id(id, context).is_some() {
        return None;
    }
    let reference = context.book.reference()?;
    let below = substance
        .name
        .iter()
        .chain(&substance.also_called)
        .find_map(|name| reference.by_name(&folded(name)))?;
    let is_hidden = context.book.find(EntryKind::Substance, below).is_some();
    let WrittenEntry::Substance(entry) = reference.find(EntryKind::Substance, below)? else {
        return None;
    };
    (!is_hidden && substance.formula == entry.formula).then_some(below)
}
