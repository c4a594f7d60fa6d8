//! A text that does not have the form of a CAS number.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::CasNumber;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "cas-unreadable",
    level: Level::Error,
    since: "0.1.0",
    summary: "A CAS number does not have three groups of digits with hyphens between.",
    family: Family::Substance,
    docs: include_str!("cas-unreadable.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(cas) = substance.cas.as_deref() else {
        return;
    };
    let Err(error) = CasNumber::parse(cas) else {
        return;
    };
    if error.is_check_digit() {
        return;
    }
    let place = sink.place(Path::root().key("cas"));
    let finding = sink
        .at_place(place.clone())
        .message(error.to_string())
        .label("not the form of a CAS number")
        .note("without it the substance cannot be found by its number, and nothing tells it from one of a similar name")
        .fact("written", Fact::text(cas));
    sink.report(match error.suggestion() {
        Some(better) => finding
            .help(help!("write {}", Offer::yaml(better.clone())))
            .fix(place, better),
        None => finding.help(help!("write it as in {}", Offer::yaml("7664-41-7"))),
    });
}
