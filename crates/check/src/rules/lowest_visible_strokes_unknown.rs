//! A lowest visible concentration at strokes that no range has.

use crate::printed::same;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lowest-visible-strokes-unknown",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The lowest visible concentration is stated at strokes that no range has.",
    family: Family::Scale,
    docs: include_str!("lowest-visible-strokes-unknown.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let lowest = sheet.limit_of_detection();
    let Some(strokes) = lowest.and_then(|lowest| lowest.strokes.as_ref()) else {
        return;
    };
    let ranges = sheet.ranges();
    let counts: Option<Vec<_>> = ranges.iter().map(|range| range.strokes.as_ref()).collect();
    let Some(counts) = counts.filter(|counts| !counts.is_empty()) else {
        return;
    };
    if counts
        .iter()
        .any(|count| same(count.value(), strokes.value()))
    {
        return;
    }
    let known: Vec<&str> = counts.iter().map(|count| count.text()).collect();
    sink.report(
        sink.at(Path::root().key("read").key("lowest_visible").key("strokes"))
            .message(format!("no range has {}", words::count_of_strokes(strokes)))
            .label(format!("the ranges have {}", known.join(", ")))
            .note("`no stain` is taken to mean less than this concentration at this count; at a count that cannot be drawn it says nothing")
            .help("compare the count with the leaflet; usually it is the largest one")
            .fact("written", words::number_fact(strokes, "strokes")),
    );
}
