//! A multiplier other than 1 at the strokes that the scale is printed for.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::same;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "multiplier-not-one",
    level: Level::Error,
    since: "0.1.0",
    summary: "The multiplier is not 1 at the strokes that the scale is printed for.",
    family: Family::Scale,
    docs: include_str!("multiplier-not-one.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let Some(scale_strokes) = &view.scale.printed_for_strokes else {
            continue;
        };
        let mut known = false;
        let mut complete = !view.ranges.is_empty();
        for (row, range) in &view.ranges {
            let Some(strokes) = &range.strokes else {
                complete = false;
                continue;
            };
            if !same(strokes.value(), scale_strokes.value()) {
                continue;
            }
            known = true;
            let Some(multiplier) = &range.multiply_by else {
                continue;
            };
            if same(multiplier.value(), 1.0) {
                continue;
            }
            sink.report(
                sink.at(SheetView::range_path(*row).key("multiply_by"))
                    .message(format!("the scale is printed for {}, and yet it is multiplied there", words::count_of_strokes(strokes)))
                    .label(format!("{} written, must be 1", multiplier.text()))
                    .note("the marks say the concentration itself at the strokes they are printed for; with another multiplier every result is off by it")
                    .help(help!("write {}, or mend `printed_for_strokes` if the scale is printed for another count", Offer::field("multiply_by: 1")))
                    .related(sink.place(view.path().key("printed_for_strokes")), "the strokes of the scale")
                    .fact("written", words::number_fact(multiplier, "")),
            );
        }
        if complete && !known {
            sink.report(
                sink.at(view.path().key("printed_for_strokes"))
                    .message(format!("no range has the {} that the scale is printed for", words::count_of_strokes(scale_strokes)))
                    .label("no range with this count")
                    .note("at that count the marks say the concentration itself; without its row all other multipliers hang in the air")
                    .help("add its row, in which the multiplier is 1, or mend the count")
                    .fact("written", words::number_fact(scale_strokes, "strokes")),
            );
        }
    }
}
