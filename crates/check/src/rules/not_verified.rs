//! A sheet that one person only has compared with the leaflet.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "not-verified",
    level: Level::Note,
    since: "0.1.0",
    summary: "Nobody has compared the sheet with the leaflet after it was typed in.",
    family: Family::Provenance,
    docs: include_str!("not-verified.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    if !context.is_absent(sheet.verified.as_ref(), &Path::root().key("verified")) {
        return;
    }
    let entered = Path::root().key("entered");
    let path = if context.is_absent(sheet.entered.as_ref(), &entered) {
        Path::root().key("tube")
    } else {
        entered
    };
    sink.report(
        sink.at_key(path)
            .message("only the person who typed it in has read this leaflet")
            .label("no `verified` on this sheet")
            .note("slips that make sense in themselves are found by a second pair of eyes only; every result says that there was none")
            .help(help!(
                "let somebody else compare each number with the paper and add {}",
                Offer::field("verified: {by: …, date: …}").at(sink.place(Path::root()))
            )),
    );
}
