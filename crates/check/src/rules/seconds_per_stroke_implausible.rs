//! A time for a stroke that no pump takes, or that its siblings do not.

use stainbook_catalog::written::tube::MeasuringRange;

use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "seconds-per-stroke-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The time for a stroke is implausible, or far from that of the other ranges.",
    family: Family::Scale,
    docs: include_str!("seconds-per-stroke-implausible.md"),
    check: Check::Tube(check),
};

/// From a stroke through an almost open tube to one through a tightly packed tube with a pre-tube. Common practice, no source.
const PLAUSIBLE: (f64, f64) = (3.0, 600.0);
/// The same pump draws through the same tube, so a stroke takes about the same time whatever the count; later ones take a
/// little longer, half strokes less. Common practice, no source.
const LARGEST_RATIO: f64 = 4.0;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut times: Vec<f64> = sheet
        .all_ranges()
        .filter_map(|(_, range)| seconds(range))
        .collect();
    times.sort_by(f64::total_cmp);
    let usual = times.get(times.len() / 2).copied();
    for (row, range) in sheet.all_ranges() {
        let (Some(time), Some(written), Some(usual)) =
            (seconds(range), &range.seconds_per_stroke, usual)
        else {
            continue;
        };
        let finding = sink
            .at(SheetView::range_path(row).key("seconds_per_stroke"))
            .note("a stroke that is broken off early has drawn less air than the result is worked out with; who waits for a time that is too short reads too little")
            .help("compare the time with the leaflet: it may be the time for all strokes, or the decimal point has moved")
            .fact("written", words::number_fact(written, "s"));
        if time < PLAUSIBLE.0 || PLAUSIBLE.1 < time {
            sink.report(
                finding
                    .message("this time for a stroke is implausible")
                    .label(format!(
                        "{} s written, {} to {} s plausible",
                        written.text(),
                        words::number(PLAUSIBLE.0),
                        words::number(PLAUSIBLE.1)
                    )),
            );
        } else if 2 < times.len() && (time * LARGEST_RATIO < usual || usual * LARGEST_RATIO < time)
        {
            sink.report(
                finding
                    .message("this time for a stroke is far from that of the other ranges")
                    .label(format!(
                        "{} s written, {} s elsewhere",
                        written.text(),
                        words::number(usual)
                    )),
            );
        }
    }
}

fn seconds(range: &MeasuringRange) -> Option<f64> {
    range
        .seconds_per_stroke
        .as_ref()
        .map(|seconds| seconds.value())
}
