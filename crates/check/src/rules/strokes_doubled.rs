//! A stroke count that stands twice among the ranges of a scale.

use crate::printed::same;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "strokes-doubled",
    level: Level::Error,
    since: "0.1.0",
    summary: "A stroke count has two rows.",
    family: Family::Scale,
    docs: include_str!("strokes-doubled.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        for (position, (row, range)) in view.ranges.iter().enumerate() {
            let Some(strokes) = &range.strokes else {
                continue;
            };
            let earlier = view.ranges.iter().take(position).find(|(_, earlier)| {
                earlier
                    .strokes
                    .as_ref()
                    .is_some_and(|earlier| same(earlier.value(), strokes.value()))
            });
            let Some((first, _)) = earlier else { continue };
            sink.report(
                sink.at(SheetView::range_path(*row).key("strokes"))
                    .message(format!("{} are given twice", words::count_of_strokes(strokes)))
                    .label(format!("also in row {}", first + 1))
                    .note("a reading at this count could be worked out with either multiplier")
                    .help("compare the stroke counts with the leaflet: a row was typed twice, or one count has a slip")
                    .related(sink.place(SheetView::range_path(*first).key("strokes")), "the first row with this count")
                    .fact("written", words::number_fact(strokes, "strokes")),
            );
        }
    }
}
