//! A formula that cannot be read.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::Formula;
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::{Path, Place};

use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "formula-unreadable",
    level: Level::Error,
    since: "0.1.0",
    summary: "A formula cannot be read.",
    family: Family::Substance,
    docs: include_str!("formula-unreadable.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(text) = substance.formula.as_deref() else {
        return;
    };
    let Err(error) = Formula::parse(text) else {
        return;
    };
    let path = Path::root().key("formula");
    sink.report(
        sink.at_place(Place::within(context.entry.file, path, error.span()))
            .message(format!("the formula `{text}` cannot be read"))
            .label(error.to_string())
            .note("the molar mass is computed from the formula; without it no ppm can be stated in mg/m³")
            .help(help!("write the element symbols with their counts, such as {}, {} or {}", Offer::yaml("NH3"), Offer::yaml("C6H14"), Offer::yaml("Ca(OH)2")))
            .fact("written", Fact::text(text)),
    );
}
