//! Dates that cannot follow each other so.

use stainbook_catalog::EntryKind;

use crate::dates::in_order;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "date-order",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Something is dated before what it depends on.",
    family: Family::Provenance,
    docs: include_str!("date-order.md"),
    check: Check::Any(
        &[
            EntryKind::Tube,
            EntryKind::Pump,
            EntryKind::StockBox,
            EntryKind::BoxList,
        ],
        check,
    ),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for (earlier, later) in in_order(context.entry) {
        // A month means any of its days here: only what is impossible counts.
        if earlier.day.first() <= later.day.last() {
            continue;
        }
        sink.report(
            sink.at(later.path.clone())
                .message(format!("{} lies before {}", later.what, earlier.what))
                .label(format!("{} written, {} is {}", later.day.text(), earlier.what, earlier.day.text()))
                .note("which leaflet a lot belongs to, and which check a pump had on the day of a reading, is judged by these dates")
                .help("compare both dates with the paper: a year is wrong, or the two are swapped")
                .related(sink.place(earlier.path.clone()), earlier.what)
                .fact("earlier", Fact::text(earlier.day.text()))
                .fact("later", Fact::text(later.day.text())),
        );
    }
}
