//! The time of a half stroke that nobody says whose it is, or that cannot be the one it is said to be.

use stainbook_catalog::written::tube::{MeasuringRange, SecondsFor};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::same;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "half-stroke-time-doubtful",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The sheet does not say whose time a half stroke's is, or the time does not go with it.",
    family: Family::Scale,
    docs: include_str!("half-stroke-time-doubtful.md"),
    check: Check::Tube(check),
};

/// Part of a whole stroke's time above which half a stroke takes as long as a whole one. Common practice, no source.
const AS_LONG: f64 = 0.9;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, range) in sheet.all_ranges() {
        let (Some(strokes), Some(written), Some(seconds)) =
            (strokes(range), &range.seconds_per_stroke, seconds(range))
        else {
            continue;
        };
        if !same(strokes, 0.5) {
            continue;
        }
        // Of the whole strokes the fewest: later ones take longer.
        let whole = sheet
            .all_ranges()
            .filter(|(_, other)| other.scale == range.scale || range.scale.is_none())
            .filter_map(|(row, other)| Some((row, self::strokes(other)?, self::seconds(other)?)))
            .filter(|(_, count, _)| 1.0 <= *count)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let part = whole.map(|(_, _, of_whole)| seconds / of_whole);
        let (message, label, help) = match (range.seconds_for, part) {
            (None, _) => (
                "this half stroke does not say whose time it has",
                format!(
                    "{} s written, of the half stroke or of a whole one?",
                    written.text()
                ),
                help!(
                    "look at the leaflet: write {} if its row for half a stroke prints this time, {} if it prints one time for every stroke",
                    Offer::field("seconds_for: half stroke"),
                    Offer::field("seconds_for: whole stroke")
                ),
            ),
            (Some(SecondsFor::HalfStroke), Some(part)) if AS_LONG < part => (
                "this half stroke takes as long as a whole one",
                format!("{} s written for the half stroke", written.text()),
                help!(
                    "look at the leaflet: if it prints one time for every stroke, write {}; if it prints this time for the half stroke, accept the finding",
                    Offer::field("seconds_for: whole stroke")
                ),
            ),
            (Some(SecondsFor::WholeStroke), Some(part)) if part < AS_LONG => (
                "this half stroke's time is halved, and is no whole stroke's time",
                format!(
                    "{} s written for a whole stroke, of which half is waited",
                    written.text()
                ),
                help!(
                    "look at the leaflet: if its row for half a stroke prints this time, write {}",
                    Offer::field("seconds_for: half stroke")
                ),
            ),
            (Some(_), _) => continue,
        };
        let key = SheetView::range_path(row).key("seconds_per_stroke");
        let mut finding = sink
            .at(key)
            .message(message)
            .label(label)
            .note("who breaks the half stroke off after half of its time has drawn too little air, and reads too low")
            .help(help)
            .fact("written", words::number_fact(written, "s"));
        if let Some((whole_row, ..)) = whole {
            let place = SheetView::range_path(whole_row).key("seconds_per_stroke");
            finding = finding.related(sink.place(place), "the time of a whole stroke");
        }
        sink.report(finding);
    }
}

fn strokes(range: &MeasuringRange) -> Option<f64> {
    range.strokes.as_ref().map(|strokes| strokes.value())
}

fn seconds(range: &MeasuringRange) -> Option<f64> {
    let seconds = range.seconds_per_stroke.as_ref()?.value();
    (0.0 < seconds).then_some(seconds)
}
