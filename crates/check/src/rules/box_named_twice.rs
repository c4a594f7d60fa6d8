//! Two boxes of one short name.

use stainbook_catalog::{EntryKind, ListedBox};
use stainbook_document::place::Place;

use crate::boxes::KINDS;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "box-named-twice",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two boxes in stock have the same short name.",
    family: Family::Field,
    docs: include_str!("box-named-twice.md"),
    check: Check::Any(&KINDS, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for listed in ListedBox::of(context.entry) {
        let Some(id) = listed.stock.id.as_deref() else {
            continue;
        };
        let mut namesakes = context
            .book
            .boxes_called(id)
            .filter(|other| !other.entry.background);
        let Some(first) = namesakes.next() else {
            continue;
        };
        let of_itself = first.entry.file == listed.entry.file && first.row == listed.row;
        // Of two files of one name another rule speaks.
        let both_files = [first.entry, listed.entry]
            .iter()
            .all(|entry| entry.kind == EntryKind::StockBox);
        if of_itself || both_files {
            continue;
        }
        sink.report(
            sink.at(listed.path().key("box"))
                .message(format!("`{id}` is the name of another box already"))
                .label(format!("also in `{}`", first.entry.path))
                .related(Place::value(first.entry.file, first.path().key("box")), "the first of this name")
                .note("a record that names the box does not say which of the two was meant, and one of them may have expired")
                .help("give one of them a name of its own; if it is the same box, take one of the two out")
                .fact("written", Fact::text(id)),
        );
    }
}
