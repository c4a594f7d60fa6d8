//! Two files of one kind with the same short name.

use stainbook_catalog::EntryKind;
use stainbook_document::place::{Path, Place};

use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "duplicate-id",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two files of one kind have the same short name.",
    family: Family::Identity,
    docs: include_str!("duplicate-id.md"),
    check: Check::Any(&EntryKind::ALL, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    let entry = context.entry;
    let Some(id) = entry.written.id() else { return };
    let mut namesakes = context
        .book
        .all_named(entry.kind, id)
        .filter(|other| !other.background);
    let Some(first) = namesakes.next() else {
        return;
    };
    // The first one keeps its name; each further one is told.
    if first.file == entry.file {
        return;
    }
    let key = entry.kind.id_key();
    sink.report(
        sink.at(Path::root().key(key))
            .message(format!("`{id}` is the name of another {} already", entry.kind.name()))
            .label(format!("also in `{}`", first.path))
            .related(Place::value(first.file, Path::root().key(key)), "the first of this name")
            .note("whatever refers to this name gets the first of the two; a reading would silently be worked out with the other leaflet's numbers")
            .help("give one of them a name of its own, in the file and as the file's name")
            .fact("written", Fact::text(id))
            .fact("first", Fact::text(first.path.clone())),
    );
}
