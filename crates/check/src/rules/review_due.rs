//! A sheet that somebody wanted to look at again by now.

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "review-due",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The day by which a sheet was to be compared with the newest leaflet has passed.",
    family: Family::Provenance,
    docs: include_str!("review-due.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let (Some(today), Some(by)) = (context.as_of, &sheet.review_by) else {
        return;
    };
    // A sheet that is kept for old lots or old records only is not reviewed any more.
    let is_replaced = || {
        sheet
            .tube
            .as_deref()
            .is_some_and(|id| context.book.is_replaced(id))
    };
    if today <= by.last() || sheet.withdrawn.is_some() || is_replaced() {
        return;
    }
    sink.report(
        sink.at(Path::root().key("review_by"))
            .message("this sheet was to be looked at again before now")
            .label(format!("by {}, and it is {today}", by.text()))
            .note("leaflets are revised without a word to those who typed them in; a stale multiplier or table looks like any other")
            .help("compare it with the leaflet in the newest box; then move `review_by`, or enter the new leaflet as a sheet that `replaces` this one")
            .fact("review_by", Fact::text(by.text()))
            .fact("as_of", Fact::text(today.to_string())),
    );
}
