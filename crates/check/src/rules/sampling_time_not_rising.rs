//! More strokes that take less time than fewer.

use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::MeasuringRange;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "sampling-time-not-rising",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A stroke count takes less time in all than a smaller one.",
    family: Family::Scale,
    docs: include_str!("sampling-time-not-rising.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut rows: Vec<(usize, &MeasuringRange, Interval)> = Vec::new();
    let pause = sheet.draw.as_ref().and_then(|draw| draw.pause.as_ref());
    let pause = pause.map_or(0.0, |pause| pause.value().seconds());
    for (row, range) in sheet.all_ranges() {
        if let (Some(in_all), Some((_, seconds))) = (range.sampling_seconds(pause), printed(range))
        {
            let times = Interval::exactly(in_all / seconds.value());
            rows.push((row, range, times.times(Interval::of_result(seconds))));
        }
    }
    let strokes = |range: &MeasuringRange| {
        range
            .strokes
            .as_ref()
            .map_or(0.0, |strokes| strokes.value())
    };
    rows.sort_by(|a, b| strokes(a.1).total_cmp(&strokes(b.1)));
    for pair in rows.windows(2) {
        let [(row, fewer, short), (more_row, more, long)] = pair else {
            continue;
        };
        if strokes(more) <= strokes(fewer) || !long.is_below(*short) {
            continue;
        }
        let (Some(few), Some(many), Some((key, seconds)), Some((key_of_fewer, _))) =
            (&fewer.strokes, &more.strokes, printed(more), printed(fewer))
        else {
            continue;
        };
        sink.report(
            sink.at(SheetView::range_path(*more_row).key(key))
                .message(format!("{} {} less time than {}", words::count_of_strokes(many), if many.value() <= 1.0 { "takes" } else { "take" }, words::count_of_strokes(few)))
                .label(format!("{} s in all, {} s for {}", words::number(long.middle()), words::number(short.middle()), words::count_of_strokes(few)))
                .note(format!("{} strokes take {} s; the same pump draws the first {} of them in {} s", many.text(), words::number(long.middle()), few.text(), words::number(short.middle())))
                .note("who waits too short a time breaks the stroke off, and draws less air than the result is worked out with")
                .help("compare both rows with the leaflet: one may hold the time for all strokes, or the two are swapped")
                .related(sink.place(SheetView::range_path(*row).key(key_of_fewer)), format!("for {}", words::count_of_strokes(few)))
                .fact("written", words::number_fact(seconds, "s"))
                .fact("in_all", words::computed_fact(long.middle(), "s"))
                .fact("in_all_for_fewer", words::computed_fact(short.middle(), "s")),
        );
    }
}

/// The time that a row prints, with its field.
fn printed(range: &MeasuringRange) -> Option<(&'static str, &Num)> {
    let each = range.seconds_per_stroke.as_ref();
    let in_all = range.seconds_in_all.as_ref();
    each.map(|seconds| ("seconds_per_stroke", seconds))
        .or(in_all.map(|seconds| ("seconds_in_all", seconds)))
}
