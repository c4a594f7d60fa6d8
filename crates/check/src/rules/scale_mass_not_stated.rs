//! A scale in mg/m³ that does not say of which air.

use stainbook_core::Dimension;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "scale-mass-not-stated",
    level: Level::Error,
    since: "0.1.0",
    summary: "A scale is in mg/m³, and the sheet does not say of which air.",
    family: Family::Scale,
    docs: include_str!("scale-mass-not-stated.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let Some(unit) = view
            .unit
            .filter(|unit| unit.dimension() == Dimension::MassConcentration)
        else {
            continue;
        };
        if !context.is_absent(
            view.scale.mass_stated.as_ref(),
            &view.path().key("mass_stated"),
        ) {
            continue;
        }
        sink.report(
            sink.at(view.path().key("unit"))
                .message(format!("the scale is in {}, and it is not said of which air", unit.canonical()))
                .label("add `mass_stated` to this scale")
                .note("mass in the air as drawn needs no pressure factor, mass at the calibration conditions does; at 1,600 m the two differ by a fifth")
                .help(help!("write {} or {}, as the leaflet says", Offer::field("mass_stated: in the air as drawn"), Offer::field("mass_stated: at calibration conditions")))
                .fact("unit", Fact::text(unit.canonical())),
        );
    }
}
