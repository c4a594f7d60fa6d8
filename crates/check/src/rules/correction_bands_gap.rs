//! Conditions between two bands of a correction that belong to neither.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::points::axis_name;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-bands-gap",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two bands of a correction leave conditions between them to none.",
    family: Family::Correction,
    docs: include_str!("correction-bands-gap.md"),
    check: Check::Tube(check),
};

/// Relative rounding between units.
const ROUNDING: f64 = 1e-9;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        if placed.correction.elsewhere.is_some() {
            continue;
        }
        let bands = placed.bands_rising();
        let step = bands
            .iter()
            .map(|(_, ends)| 2.0 * ends.half_step)
            .fold(0.0, f64::max);
        for pair in bands.windows(2) {
            let [(first, before), (second, after)] = pair else {
                continue;
            };
            let gap = after.low - before.high;
            if gap <= step * (1.0 + ROUNDING) {
                continue;
            }
            let at = |row: usize| placed.path().key("bands").index(row).key("within");
            let between = format!(
                "{} to {}",
                words::number(before.high),
                words::with_unit(after.low, before.unit)
            );
            sink.report(
                sink.at(at(*second))
                    .message(format!(
                        "two bands of the {} correction leave a gap",
                        axis_name(placed.axis)
                    ))
                    .label(format!("{between} lies in neither"))
                    .note("a reading in the gap is refused: nothing is guessed between bands")
                    .help(help!("compare the ends with the leaflet; if it says something of all other conditions, write that under {}", Offer::name("elsewhere").at(sink.place(placed.path()))))
                    .related(sink.place(at(*first)), "the band before")
                    .fact("in_neither", Fact::text(between)),
            );
        }
    }
}
