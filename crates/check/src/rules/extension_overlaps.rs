//! An extension that reaches far into the range that it extends.

use stainbook_catalog::written::tube::{MeasuringRange, Uses};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::words;
use crate::{Check, Context, Family, Level, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "extension-overlaps",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A range that extends the scale reaches far into the range that it extends.",
    family: Family::Scale,
    docs: include_str!("extension-overlaps.md"),
    check: Check::Tube(check),
};

/// Printed bands adjoin, or overlap a little; this is how many times the overlap's end may lie beyond its start. Common
/// practice, no source.
const OVERLAP: f64 = 3.0;
/// Amount by which rounding may put an end beyond the scale; that rule itself goes by the digits.
const ROUNDING: f64 = 0.01;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let Some(home) = home(view) else { continue };
        let (Some(home_from), Some(home_to)) =
            (ends(home.1).map(|e| e.0), ends(home.1).map(|e| e.1))
        else {
            continue;
        };
        for (row, range) in &view.ranges {
            let Some((from, to)) = ends(range) else {
                continue;
            };
            if *row == home.0 || range.uses != Some(Uses::Extension) {
                continue;
            }
            // Downward it ends where the scale's own range starts, upward it starts where that ends.
            let (key, written, limit) = if from < home_from && home_from * OVERLAP < to {
                ("to", &range.to, home_from)
            } else if home_to < to && from * OVERLAP < home_to {
                ("from", &range.from, home_to)
            } else {
                continue;
            };
            let Some(written) = written else {
                continue;
            };
            if off_the_scale(view, range) {
                continue;
            }
            let start = if key == "to" { "starts" } else { "ends" };
            let strokes = range
                .strokes
                .as_ref()
                .map_or_else(String::new, |strokes| words::strokes(strokes));
            sink.report(
                sink.at(SheetView::range_path(*row).key(key))
                    .message(format!("the {strokes} range overlaps the one that it extends by far"))
                    .label(format!("{} written, that range {start} at {}", view.words(written.text()), view.words(&words::number(limit))))
                    .note("an extension carries the neighbouring range on, so the two adjoin; a slipped digit would let readings be taken where the leaflet does not vouch for them")
                    .help(help!("compare both ends with the leaflet; if the range is the whole scale times the multiplier, write {}", Offer::field("uses: whole scale")))
                    .related(sink.place(SheetView::range_path(home.0)), "the range that it extends")
                    .fact("written", words::number_fact(written, view.unit_text()))
                    .fact("extended", words::computed_fact(limit, view.unit_text())),
            );
        }
    }
}

/// True if an end lies beyond the scale, of which another rule speaks.
fn off_the_scale(view: &ScaleView<'_>, range: &MeasuringRange) -> bool {
    let bounds = view.ends().zip(view.multiplier(range)).zip(ends(range));
    bounds.is_some_and(|(((first, last), multiplier), (from, to))| {
        from < first * multiplier.low * (1.0 - ROUNDING)
            || last * multiplier.high * (1.0 + ROUNDING) < to
    })
}

/// The range of the scale's own stroke count.
fn home<'a>(view: &ScaleView<'a>) -> Option<(usize, &'a MeasuringRange)> {
    let strokes = view.scale.printed_for_strokes.as_ref()?.value();
    let mut ranges = view.ranges.iter();
    ranges
        .find(|(_, range)| {
            range
                .strokes
                .as_ref()
                .is_some_and(|n| crate::printed::same(n.value(), strokes))
        })
        .copied()
}

/// Both ends of a range that is the right way up.
fn ends(range: &MeasuringRange) -> Option<(f64, f64)> {
    let (from, to) = (range.from.as_ref()?.value(), range.to.as_ref()?.value());
    (from < to).then_some((from, to))
}
