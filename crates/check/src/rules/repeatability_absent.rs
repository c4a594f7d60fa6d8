//! A sheet that does not say how much repeated readings differ.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "repeatability-absent",
    level: Level::Note,
    since: "0.1.0",
    summary: "The sheet states no repeatability, so that every result names a default in its place.",
    family: Family::Performance,
    docs: include_str!("repeatability-absent.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let stated = sheet.performance.as_ref();
    let repeatability = stated.and_then(|performance| performance.repeatability.first());
    let performance = Path::root().key("doubt");
    if context.is_absent(stated, &performance)
        || !context.is_absent(repeatability, &performance.clone().key("repeatability"))
    {
        return;
    }
    sink.report(
        sink.at_key(performance)
            .message("this sheet does not say how much repeated readings differ")
            .label("no `repeatability`")
            .note("a relative standard deviation of 10 % stands in for it (common practice, no source), and every result says so")
            .help(help!("look whether the leaflet states it, and add {} with its figure; if it is silent, nothing is to be done", Offer::field("repeatability: [{up_to: last mark, rsd: 10 %}]"))),
    );
}
