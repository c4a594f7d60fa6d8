//! A stroke that is not that of the tube's pumps.

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "stroke-volume-differs",
    level: Level::Error,
    since: "0.1.0",
    summary: "The volume of a stroke on the sheet is not that of the tube's pumps.",
    family: Family::Field,
    docs: include_str!("stroke-volume-differs.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(stroke) = sheet.stroke() else {
        return;
    };
    let kinds = sheet.pump_kinds();
    for id in kinds {
        let Some(nominal) = context
            .book
            .pump_kind(id)
            .and_then(|kind| kind.stroke.as_ref())
        else {
            continue;
        };
        let unit = stroke.unit();
        let half_step = nominal.unit().step_to_base(nominal.half_step()) / unit.step_to_base(1.0);
        let of_pump = stainbook_core::Quantity::in_unit(nominal.value(), unit);
        // One figure may be the other one rounded; two figures rounded from a third do not happen to a nominal volume.
        let of_sheet = Interval::of_written(stroke);
        if of_sheet.meets(Interval::exactly(of_pump))
            || Interval::exactly(stroke.number()).meets(Interval::around(of_pump, half_step))
        {
            continue;
        }
        sink.report(
            sink.at(Path::root().key("draw").key("stroke"))
                .message(format!("a stroke of this sheet is not a stroke of `{id}`"))
                .label(format!("{} written, the pump draws {}", stroke.canonical(), nominal.canonical()))
                .note("the stain goes with the volume of air that was drawn; at another volume every result is off by about the ratio of the two")
                .help("look at the leaflet: the volume has a slip, or the pump kind is another one")
                .fact("written", words::written_fact(stroke))
                .fact("pump", words::written_fact(nominal)),
        );
        return;
    }
}
