//! A table for temperature and humidity together of which only one of the two knows.

use stainbook_catalog::written::tube::{Axis, Method};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Path;

use crate::points::axis_name;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-together-half-stated",
    level: Level::Error,
    since: "0.1.0",
    summary: "A table for temperature and humidity together is stated for one of them only.",
    family: Family::Correction,
    docs: include_str!("correction-together-half-stated.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let has = |axis: Axis, method: Method| {
        let mut of_axis = sheet
            .corrections()
            .iter()
            .filter(|placed| placed.axis == axis);
        of_axis.any(|placed| placed.correction.method == Some(method))
    };
    let stated = |axis: Axis| {
        let mut of_axis = sheet
            .corrections()
            .iter()
            .filter(|placed| placed.axis == axis);
        of_axis.any(|placed| placed.correction.method.is_some())
    };
    if !stated(Axis::Temperature) || !stated(Axis::Humidity) {
        return;
    }
    let grid = has(Axis::Temperature, Method::WithHumidity);
    let refers = has(Axis::Humidity, Method::WithTemperature);
    let (wrong, other, help) = match (grid, refers) {
        (true, false) => (
            Axis::Humidity,
            Axis::Temperature,
            help!(
                "write {}",
                Offer::field("humidity: {method: with temperature}")
            ),
        ),
        (false, true) => (
            Axis::Humidity,
            Axis::Temperature,
            help!(
                "type the table that the leaflet prints for both under `temperature`, with {}; or say here what it prints for humidity alone",
                Offer::field("method: with humidity").in_part()
            ),
        ),
        _ => return,
    };
    let at = |axis: Axis| Path::root().key("correct").key(axis_name(axis));
    let (label, note) = if grid {
        (
            "the table of the temperature is for both",
            "a correction for humidity beside that table would be counted twice",
        )
    } else {
        (
            "no such table under `temperature`",
            "the humidity would not be corrected for at all",
        )
    };
    sink.report(
        sink.at_key(at(wrong))
            .message("a table for temperature and humidity together is half stated")
            .label(label)
            .note(note)
            .help(help)
            .related(sink.place(at(other)), "the correction for temperature"),
    );
}
