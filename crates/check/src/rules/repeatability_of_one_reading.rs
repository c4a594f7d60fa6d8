//! A standard deviation that rests on a single reading.

use stainbook_catalog::written::Count;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::bands;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "repeatability-of-one-reading",
    level: Level::Error,
    since: "0.1.0",
    summary: "A repeatability is said to rest on a single reading.",
    family: Family::Performance,
    docs: include_str!("repeatability-of-one-reading.md"),
    check: Check::Tube(check),
};

/// The fewest readings that differ from each other: a standard deviation has `n − 1` degrees of freedom (JCGM 100:2008, 4.2.2
/// and 4.2.6).
const FEWEST: u32 = 2;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, band) in bands::repeatability(sheet).iter().enumerate() {
        let Some(count) = band.from_readings.as_ref().map(Count::value) else {
            continue;
        };
        if FEWEST <= count {
            continue;
        }
        let path = bands::band("repeatability", row).key("from_readings");
        sink.report(
            sink.at(path)
                .message("one reading has no repeatability")
                .label("how far readings differ takes two at least")
                .note("on how many readings the figure rests says how far it can be relied on; of one reading nothing is known, and an interval that is built on it says nothing")
                .help(help!("look at the leaflet again: the count may be that of one series; if it states none, leave {} out", Offer::left_out("from_readings")))
                .fact("written", Fact::text(count.to_string())),
        );
    }
}
