//! A scale in mg/m³ that does not say of which air.

use stainbook_core::Dimension;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "scale-mass-not-stated",
    level: Level::Error,
    since: "0.1.0",
    summary: "A scale is in mg/m³, and the sheet does not say of which air, or says it twice.",
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
        let states = !context.is_absent(
            view.scale.mass_stated.as_ref(),
            &view.path().key("mass_stated"),
        );
        let prints = !context.is_absent(
            view.scale.mass_stated_at.as_ref(),
            &view.path().key("mass_stated_at"),
        );
        if states && prints {
            let scale = sink.place(view.path());
            sink.report(
                sink.at(view.path().key("mass_stated_at"))
                    .message("of which air the mass is said twice")
                    .label("stands beside `mass_stated`")
                    .note("it can be stated in one air only, and ppm follow from that one")
                    .help(help!("where the leaflet prints a temperature and a pressure for its mg/m³, leave out {}, else {}", Offer::left_out("mass_stated").at(scale.clone()), Offer::left_out("mass_stated_at").at(scale))),
            );
        }
        if states || prints {
            continue;
        }
        sink.report(
            sink.at(view.path().key("unit"))
                .message(format!("the scale is in {}, and it is not said of which air", unit.canonical()))
                .label("add `mass_stated` to this scale")
                .note("mass in the air as drawn needs no pressure factor, mass at the calibration conditions does; at 1,600 m the two differ by a fifth")
                .help(help!("write {} or {}, as the leaflet says; if it prints conditions of its own, {} with those", Offer::field("mass_stated: in the air as drawn"), Offer::field("mass_stated: at calibration conditions"), Offer::field("mass_stated_at: {temperature: 0 °C, pressure: 1013 hPa}")))
                .fact("unit", Fact::text(unit.canonical())),
        );
    }
}
