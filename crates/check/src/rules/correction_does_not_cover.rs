//! A correction that ends inside the range in which the tube is said to work.

use stainbook_catalog::written::tube::{Axis, TubeEntry};
use stainbook_core::{Quantity, Unit, WrittenRange};

use crate::points::{Placed, axis_name};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-does-not-cover",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A correction table does not cover the conditions in which the tube is said to work.",
    family: Family::Correction,
    docs: include_str!("correction-does-not-cover.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        let Some((low, high, unit)) = placed.span() else {
            continue;
        };
        let Some((usable_low, usable_high, text)) = usable(placed, sheet, unit) else {
            continue;
        };
        let below = usable_low.is_below(Interval::exactly(low));
        let above = Interval::exactly(high).is_below(usable_high);
        if !below && !above {
            continue;
        }
        let missing = match (below, above) {
            (true, true) => format!(
                "below {} and above {}",
                words::with_unit(low, unit),
                words::with_unit(high, unit)
            ),
            (true, false) => format!("below {}", words::with_unit(low, unit)),
            _ => format!("above {}", words::with_unit(high, unit)),
        };
        let axis = axis_name(placed.axis);
        sink.report(
            sink.at_key(placed.path())
                .message(format!("the {axis} correction does not cover the conditions in which the tube is said to work"))
                .label(format!("nothing {missing}, usable {text}"))
                .note("a correction is refused outside its table, so readings there would have no result although the sheet calls the tube usable")
                .help("compare both with the leaflet: a row of the table is missing, or the usable range has a slip")
                .related(sink.place(Path::root().key("before_use").key("usable").key(axis)), "the usable range")
                .fact("table_from", Fact::number(low, unit.canonical(), words::with_unit(low, unit)))
                .fact("table_to", Fact::number(high, unit.canonical(), words::with_unit(high, unit)))
                .fact("usable", Fact::text(text)),
        );
    }
}

/// The usable range in a unit of its own kind: its ends with what their digits leave open, and its text.
fn usable(
    placed: &Placed<'_>,
    tube: &TubeEntry,
    unit: &'static Unit,
) -> Option<(Interval, Interval, String)> {
    let usable = tube.usable()?;
    match placed.axis {
        Axis::Temperature => ends(usable.temperature.as_ref()?, unit),
        // Relative and absolute humidity cover each other only together with a temperature.
        Axis::Humidity => ends(usable.humidity.as_ref()?, unit),
        Axis::Pressure => None,
    }
}

fn ends<Q: Quantity + PartialOrd>(
    range: &WrittenRange<Q>,
    unit: &'static Unit,
) -> Option<(Interval, Interval, String)> {
    let end = |written: &stainbook_core::Written<Q>| {
        let half_step = written.unit().step_to_base(written.half_step()) / unit.step_to_base(1.0);
        (written.unit().dimension() == unit.dimension())
            .then(|| Interval::around(written.value().in_unit(unit), half_step))
    };
    (!range.is_reversed()).then_some(())?;
    Some((end(range.low())?, end(range.high())?, range.canonical()))
}
