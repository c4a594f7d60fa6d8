//! Thresholds of a tube without a scale that contradict each other.

use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::IndicatesRow;
use stainbook_core::{Concentration, Quantity, Unit, unit_of};
use stainbook_document::place::Path;

use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "thresholds-contradict",
    level: Level::Error,
    since: "0.1.0",
    summary: "What a colour says contradicts what none says, or more strokes show no less.",
    family: Family::Scale,
    docs: include_str!("thresholds-contradict.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(indicates) = sheet.read.as_ref().and_then(|read| read.indicates.as_ref()) else {
        return;
    };
    let unit = indicates
        .unit
        .as_deref()
        .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok())
        .map_or("", Unit::canonical);
    let at = |row: usize| {
        let read = Path::root().key("read").key("indicates");
        read.key("rows").index(row)
    };
    for (row, line) in indicates.rows.iter().enumerate() {
        if let (Some(colour), Some(none)) = (&line.colour_at_least, &line.no_colour_less_than)
            && none.value() < colour.value()
        {
            sink.report(
                sink.at(at(row).key("no_colour_less_than"))
                    .message("a colour and no colour contradict each other")
                    .label(format!(
                        "none: less than {} {unit}; a colour: at least {} {unit}",
                        none.text(),
                        colour.text()
                    ))
                    .note("of air with a concentration between the two, one of the statements is wrong whatever the tube shows")
                    .help("compare both with the leaflet: they have changed places, or a digit has slipped")
                    .related(sink.place(at(row).key("colour_at_least")), "what a colour says")
                    .fact("colour", words::number_fact(colour, unit))
                    .fact("none", words::number_fact(none, unit)),
            );
        }
    }
    for (row, pair) in indicates.rows.windows(2).enumerate() {
        let [before, after] = pair else { continue };
        let strokes = |line: &IndicatesRow| line.strokes.as_ref().map(|strokes| strokes.value());
        let (Some(a), Some(b)) = (strokes(before), strokes(after)) else {
            continue;
        };
        if !same_air(before, after) || a.total_cmp(&b).is_eq() {
            continue;
        }
        let (few, many, of_many) = if a < b {
            (before, after, row + 1)
        } else {
            (after, before, row)
        };
        for (of_few, says, key) in [
            (
                &few.colour_at_least,
                &many.colour_at_least,
                "colour_at_least",
            ),
            (
                &few.no_colour_less_than,
                &many.no_colour_less_than,
                "no_colour_less_than",
            ),
        ] {
            if let (Some(of_few), Some(says)) = (of_few, says)
                && of_few.value() <= says.value()
            {
                not_falling(at(of_many).key(key), (of_few, says), unit, sink);
            }
        }
    }
}

fn same_air(a: &IndicatesRow, b: &IndicatesRow) -> bool {
    a.temperature == b.temperature && a.pressure == b.pressure
}

fn not_falling(path: Path, (few, many): (&Num, &Num), unit: &'static str, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message("more strokes show no less than fewer")
            .label(format!(
                "{} {unit}, and {} {unit} with fewer strokes",
                many.text(),
                few.text()
            ))
            .note("more air drawn through the tube shows a lower concentration: with more strokes the threshold falls")
            .help("compare the rows with the leaflet: two of them have changed places, or a digit has slipped")
            .fact("written", words::number_fact(many, unit)),
    );
}
