//! A lowest visible concentration at strokes that no range has.

use stainbook_catalog::written::Num;

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
    let part = sheet
        .limit_of_detection()
        .filter(|lowest| lowest.part_of_first_mark.is_some());
    let of_part = part.and_then(|lowest| lowest.strokes.as_ref());
    let of_part = of_part.map(|strokes| (Path::root().key("read").key("lowest_visible"), strokes));
    let stated = sheet.visible_with_strokes().into_iter();
    for (path, strokes) in stated
        .map(|(path, _, strokes)| (path, strokes))
        .chain(of_part)
    {
        one(sheet, path, strokes, sink);
    }
}

fn one(sheet: &SheetView<'_>, path: Path, strokes: &Num, sink: &mut Sink<'_>) {
    let ranges = sheet.all_ranges();
    let counts: Option<Vec<_>> = ranges.map(|(_, range)| range.strokes.as_ref()).collect();
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
        sink.at(path.key("strokes"))
            .message(format!("no range has {}", words::count_of_strokes(strokes)))
            .label(format!("the ranges have {}", known.join(", ")))
            .note("`no stain` is taken to mean less than this concentration at this count; at a count that cannot be drawn it says nothing")
            .help("compare the count with the leaflet; usually it is the largest one")
            .fact("written", words::number_fact(strokes, "strokes")),
    );
}
