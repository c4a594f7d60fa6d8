//! Calibration conditions outside those in which the tube is said to work.

use stainbook_core::{Quantity, Written, WrittenRange};

use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "calibration-outside-usable",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The calibration conditions lie outside the conditions in which the tube is said to work.",
    family: Family::Performance,
    docs: include_str!("calibration-outside-usable.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(at) = sheet.calibrated_at() else {
        return;
    };
    let Some(usable) = sheet.usable() else {
        return;
    };
    if let (Some(at), Some(range)) = (&at.temperature, &usable.temperature) {
        one("temperature", at, range, sink);
    }
    if let (Some(at), Some(range)) = (&at.humidity, &usable.humidity) {
        one("humidity", at, range, sink);
    }
}

fn one<Q: Quantity + PartialOrd>(
    name: &'static str,
    at: &Written<Q>,
    usable: &WrittenRange<Q>,
    sink: &mut Sink<'_>,
) {
    // Relative and absolute humidity cannot be compared without a temperature; such a pair has no order and is left alone.
    let comparable = at.value().partial_cmp(&usable.low().value()).is_some()
        && at.value().partial_cmp(&usable.high().value()).is_some();
    if !comparable || usable.is_reversed() || usable.contains(at.value()) {
        return;
    }
    let path = Path::root().key("correct").key("calibrated_at").key(name);
    sink.report(
        sink.at(path)
            .message(format!("the tube is calibrated at a {name} at which it is said not to work"))
            .label(format!("{} written, usable {}", at.canonical(), usable.canonical()))
            .note("the scale is right as printed at the calibration conditions, so they are within those of use; one of the two has a slip, and corrections start from the wrong point")
            .help("compare both with the leaflet, units included")
            .related(sink.place(Path::root().key("before_use").key("usable").key(name)), "the usable range")
            .fact("written", Fact::number(at.number(), at.unit().canonical(), at.text()))
            .fact("usable", Fact::text(usable.text())),
    );
}
