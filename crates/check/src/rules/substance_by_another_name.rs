//! A substance that is named otherwise than by its short name.

use stainbook_catalog::EntryKind;
use stainbook_catalog::references::NamedOtherwise;
use stainbook_document::edit::{NewValue, set};

use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "substance-by-another-name",
    level: Level::Note,
    since: "0.1.0",
    summary: "An entry names a substance by its name, formula or CAS number, which is understood.",
    family: Family::Identity,
    docs: include_str!("substance-by-another-name.md"),
    check: Check::Any(&EntryKind::ALL, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for named in &context.entry.named_otherwise {
        told(named, context, sink);
    }
}

fn told(named: &NamedOtherwise, context: &Context<'_>, sink: &mut Sink<'_>) {
    let NamedOtherwise { written, id, .. } = named;
    let kind = match &named.by {
        Some(by) => by.to_string(),
        None => "the name of a group".to_owned(),
    };
    let finding = sink
        .at(named.path.clone())
        .message(format!("`{written}` is understood as `{id}`"))
        .label(kind)
        .note("look whether it is what you mean: limits, molar mass and what the tube does with it are taken from there")
        .help(format!("write `{id}`, by which a search finds it and two people's entries can be compared"))
        .fact("written", Fact::text(written))
        .fact("understood", Fact::text(id));
    let document = &context.entry.document;
    // Cells are left as their keeper wrote them.
    let edits = if document.is_of_cells() {
        Vec::new()
    } else {
        set(document, &named.path, &NewValue::text(id)).unwrap_or_default()
    };
    let finding = edits.into_iter().fold(finding, |finding, edit| {
        finding.safe_fix(edit.place, edit.replacement)
    });
    sink.report(finding);
}
