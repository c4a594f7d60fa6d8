//! A short name that is not the file's.

use stainbook_catalog::EntryKind;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "id-not-file-name",
    level: Level::Error,
    since: "0.1.0",
    summary: "The short name in a file is not the name of the file.",
    family: Family::Identity,
    docs: include_str!("id-not-file-name.md"),
    check: Check::Any(&NAMED, check),
};

/// `catalog.yaml` is called so in every catalog; all other files are named for what they hold.
const NAMED: [EntryKind; 10] = [
    EntryKind::Source,
    EntryKind::Substance,
    EntryKind::Group,
    EntryKind::PumpKind,
    EntryKind::Pump,
    EntryKind::Tube,
    EntryKind::StockBox,
    EntryKind::BoxList,
    EntryKind::Plan,
    EntryKind::Survey,
];

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    let entry = context.entry;
    let Some(id) = entry.written.id() else { return };
    if id == entry.stem {
        return;
    }
    let kind = entry.kind.name();
    sink.report(
        sink.at(Path::root().key(entry.kind.id_key()))
            .message(format!("the file is called `{}`, and the {kind} in it `{id}`", entry.stem))
            .label("not the file's name")
            .note("a file copied as a start for the next sheet keeps the old name, and then two leaflets answer to it")
            .help(help!(
                "write {}, or rename the file to `{id}.{kind}.yaml`",
                Offer::field(format!("{}: {}", entry.kind.id_key(), entry.stem))
            ))
            .fact("written", Fact::text(id))
            .fact("file", Fact::text(entry.stem.clone())),
    );
}
