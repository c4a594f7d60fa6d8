//! Bands of a correction that claim the same conditions.

use crate::points::axis_name;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-bands-overlap",
    level: Level::Error,
    since: "0.1.0",
    summary: "Two bands of a correction have more than an end in common.",
    family: Family::Correction,
    docs: include_str!("correction-bands-overlap.md"),
    check: Check::Tube(check),
};

/// Relative rounding between units.
const ROUNDING: f64 = 1e-9;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        let bands = placed.bands_rising();
        for pair in bands.windows(2) {
            let [(first, before), (second, after)] = pair else {
                continue;
            };
            let common = before.high - after.low;
            if common <= ROUNDING * after.low.abs().max(1.0) {
                continue;
            }
            let at = |row: usize| placed.path().key("bands").index(row).key("within");
            let unit = before.unit;
            let up_to = before.high.min(after.high);
            let both = if up_to.is_finite() {
                format!(
                    "{} to {}",
                    words::number(after.low),
                    words::with_unit(up_to, unit)
                )
            } else {
                format!("above {}", words::with_unit(after.low, unit))
            };
            sink.report(
                sink.at(at(*second))
                    .message(format!(
                        "two bands of the {} correction claim the same conditions",
                        axis_name(placed.axis)
                    ))
                    .label(format!("{both} lies in both"))
                    .note("a reading there would have two factors, and which of them the leaflet means cannot be told")
                    .help("compare the ends with the leaflet: bands may share an end, and no more")
                    .related(sink.place(at(*first)), "the other band")
                    .fact("in_both", Fact::text(both)),
            );
        }
    }
}
