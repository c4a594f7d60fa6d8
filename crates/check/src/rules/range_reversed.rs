//! A range that starts at or above its end.

use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "range-reversed",
    level: Level::Error,
    since: "0.1.0",
    summary: "A range does not start below its end.",
    family: Family::Scale,
    docs: include_str!("range-reversed.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, range) in sheet.all_ranges() {
        let (Some(from), Some(to)) = (&range.from, &range.to) else {
            continue;
        };
        if from.value() < to.value() {
            continue;
        }
        let unit = sheet
            .scale_named(range.scale.as_deref())
            .map_or("", crate::ScaleView::unit_text);
        let path = SheetView::range_path(row);
        sink.report(
            sink.at(path.clone().key("from"))
                .message("the range does not start below its end")
                .label(format!("from {} to {}", from.text(), to.text()))
                .note("nothing lies in such a range, so every reading at this stroke count would be refused")
                .help("write the lower concentration after `from` and the higher one after `to`")
                .related(sink.place(path.key("to")), "the end")
                .fact("from", words::number_fact(from, unit))
                .fact("to", words::number_fact(to, unit)),
        );
    }
}
