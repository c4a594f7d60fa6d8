//! A rule's name that no rule has.

use stainbook_catalog::{EntryKind, WrittenEntry};

use crate::exceptions::accepted;
use crate::names::{did_you_mean, nearest_only};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink, find_rule, registry};

pub(crate) const RULE: Rule = Rule {
    name: "rule-unknown",
    level: Level::Warning,
    since: "0.1.0",
    summary: "An exception or a level is set for a rule that there is not.",
    family: Family::Exception,
    docs: include_str!("rule-unknown.md"),
    check: Check::Any(&KINDS, check),
};

/// The kinds of entry that can name a rule.
const KINDS: [EntryKind; 8] = [
    EntryKind::Catalog,
    EntryKind::Substance,
    EntryKind::PumpKind,
    EntryKind::Pump,
    EntryKind::Tube,
    EntryKind::StockBox,
    EntryKind::BoxList,
    EntryKind::Plan,
];

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for accepted in accepted(context.entry) {
        one(
            accepted.accept.rule.as_deref(),
            accepted.path.key("rule"),
            sink,
        );
    }
    if let WrittenEntry::Catalog(catalog) = &context.entry.written {
        for (index, level) in catalog.rules.iter().enumerate() {
            one(
                level.rule.as_deref(),
                Path::root().key("rules").index(index).key("rule"),
                sink,
            );
        }
    }
}

fn one(name: Option<&str>, path: Path, sink: &mut Sink<'_>) {
    let Some(name) = name.filter(|name| find_rule(name).is_none()) else {
        return;
    };
    sink.report(
        sink.at(path)
            .message(format!("there is no rule `{name}`"))
            .label("nothing of this name")
            .note("what was meant to be accepted or changed stays as it was")
            .help(did_you_mean(
                &near(name),
                "copy the name from the brackets of the finding",
            ))
            .fact("written", Fact::text(name)),
    );
}

/// The rules' names that come nearest, nearest first.
fn near(name: &str) -> Vec<String> {
    let names: Vec<String> = registry().iter().map(|rule| rule.name.to_owned()).collect();
    nearest_only(name, &names)
}
