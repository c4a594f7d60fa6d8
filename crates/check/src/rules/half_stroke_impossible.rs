//! Half a stroke on a sheet whose pumps cannot draw one.

use crate::words;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "half-stroke-impossible",
    level: Level::Error,
    since: "0.1.0",
    summary: "A range has a part of a stroke that none of the tube's pumps can draw.",
    family: Family::Scale,
    docs: include_str!("half-stroke-impossible.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let kinds = sheet.pump_kinds();
    let known: Vec<_> = kinds
        .iter()
        .filter_map(|kind| context.book.pump_kind(kind))
        .collect();
    // A kind that is not known may be one that can.
    let none_can = !known.is_empty()
        && known.len() == kinds.len()
        && known.iter().all(|kind| kind.half_strokes == Some(false));
    for (row, range) in sheet.all_ranges() {
        let Some(strokes) = &range.strokes else {
            continue;
        };
        let halves = strokes.value() * 2.0;
        let odd_halves = (halves / 2.0 - (halves / 2.0).round()).abs() > 1e-9;
        let not_halves = (halves - halves.round()).abs() > 1e-9;
        let (label, help) = if not_halves {
            (
                "only whole and half strokes can be drawn".to_owned(),
                "look at the leaflet: write whole strokes, or 0.5 for half a stroke",
            )
        } else if odd_halves && none_can {
            (
                format!("{} whole strokes only", plural(kinds)),
                "look at the leaflet: the stroke count has a slip, or a pump kind is missing in `pump_kinds`",
            )
        } else {
            continue;
        };
        sink.report(
            sink.at(SheetView::range_path(row).key("strokes"))
                .message(format!("{} cannot be drawn", words::count_of_strokes(strokes)))
                .label(label)
                .note("a reading recorded at a count that was not drawn is worked out with the wrong multiplier")
                .help(help)
                .fact("written", words::number_fact(strokes, "strokes"))
                .fact("pump_kinds", Fact::text(kinds.join(", "))),
        );
    }
}

fn plural(kinds: &[String]) -> String {
    match kinds {
        [only] => format!("`{only}` draws"),
        several => format!(
            "{} draw",
            several
                .iter()
                .map(|kind| format!("`{kind}`"))
                .collect::<Vec<_>>()
                .join(" and ")
        ),
    }
}
