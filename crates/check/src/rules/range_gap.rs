//! Concentrations between two ranges that no stroke count measures.

use stainbook_catalog::written::tube::MeasuringRange;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "range-gap",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Between two ranges lie concentrations that no stroke count measures.",
    family: Family::Scale,
    docs: include_str!("range-gap.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let mut bands: Vec<(usize, &MeasuringRange, f64)> = view
            .ranges
            .iter()
            .filter_map(|(row, range)| {
                let (from, to) = (range.from.as_ref()?.value(), range.to.as_ref()?.value());
                (from < to).then_some((*row, *range, from))
            })
            .collect();
        // A range that could not be understood may be the one that fills the gap.
        if bands.len() != view.ranges.len() {
            continue;
        }
        bands.sort_by(|a, b| a.2.total_cmp(&b.2));
        let mut highest: Option<(usize, &MeasuringRange)> = None;
        for (row, range, _) in bands {
            if let Some((below_row, below)) = highest {
                gap(view, (below_row, below), (row, range), sink);
            }
            let reaches = |range: &MeasuringRange| range.to.as_ref().map_or(0.0, |to| to.value());
            if highest.is_none_or(|(_, below)| reaches(below) < reaches(range)) {
                highest = Some((row, range));
            }
        }
    }
}

fn gap(
    view: &ScaleView<'_>,
    below: (usize, &MeasuringRange),
    above: (usize, &MeasuringRange),
    sink: &mut Sink<'_>,
) {
    let (Some(ends), Some(starts)) = (&below.1.to, &above.1.from) else {
        return;
    };
    if !Interval::of_result(ends).is_below(Interval::of_result(starts)) {
        return;
    }
    let strokes = |range: &MeasuringRange| {
        range
            .strokes
            .as_ref()
            .map_or_else(String::new, |n| words::count_of_strokes(n))
    };
    let (below_at, above_at) = (
        SheetView::range_path(below.0).key("to"),
        SheetView::range_path(above.0).key("from"),
    );
    sink.report(
        sink.at(above_at)
            .message(format!(
                "no stroke count measures from {} to {}",
                ends.text(),
                view.words(starts.text())
            ))
            .label(format!("{} starts here, {} ends at {}", strokes(above.1), strokes(below.1), view.words(ends.text())))
            .note("leaflets print ranges that adjoin or overlap; a gap usually is a slipped digit, and readings in it would be refused")
            .help("compare the ends of both ranges with the leaflet")
            .related(sink.place(below_at), "the range below ends here")
            .fact("below_ends", words::number_fact(ends, view.unit_text()))
            .fact("above_starts", words::number_fact(starts, view.unit_text())),
    );
}
