//! Marks that do not rise.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::point_moved;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "marks-not-rising",
    level: Level::Error,
    since: "0.1.0",
    summary: "The marks of a scale do not rise from above zero.",
    family: Family::Scale,
    docs: include_str!("marks-not-rising.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let marks = &view.scale.marks;
        let unit = view.unit_text();
        if let Some(first) = marks.first()
            && first.value() <= 0.0
        {
            sink.report(
                sink.at(view.path().key("marks").index(0))
                    .message("the first mark is not above zero")
                    .label(format!("{} written", view.words(first.text())))
                    .note("a stain that is seen has a length, so no mark stands for nothing; below the first mark a result is `less than`")
                    .help("write the first mark that is printed on the glass")
                    .fact("written", words::number_fact(first, unit)),
            );
            continue;
        }
        for (index, pair) in marks.windows(2).enumerate() {
            let [before, mark] = pair else { continue };
            if before.value() < mark.value() {
                continue;
            }
            let after = marks.get(index + 2);
            // Of two marks the wrong one is that which does not fit to its other neighbour either.
            let earlier = index.checked_sub(1).and_then(|earlier| marks.get(earlier));
            let blame_first = after.is_some_and(|after| after.value() <= before.value());
            let (at, wrong, low, high) = if blame_first {
                (index, before, earlier, Some(mark))
            } else {
                (index + 1, mark, Some(before), after)
            };
            let fits = |value: f64| {
                low.is_none_or(|low| low.value() < value)
                    && high.is_none_or(|high| value < high.value())
            };
            let help = point_moved(wrong)
                .into_iter()
                .find(|(value, _)| fits(*value))
                .map_or_else(
                    || "compare every mark with the glass, from the inlet on".into(),
                    |(_, text)| {
                        help!(
                            "look at the glass; if it shows {text}, write {}",
                            Offer::yaml(text.clone())
                        )
                    },
                );
            sink.report(
                sink.at(view.path().key("marks").index(at))
                    .message("the marks do not rise")
                    .label(format!("{} between {} and {}", view.words(wrong.text()), end(low), end(high)))
                    .note("a longer stain means more gas, so each mark is higher than the one before; readings beside a wrong mark are wrong by as much as the mark")
                    .help(help)
                    .fact("written", words::number_fact(wrong, unit)),
            );
            // One slip upsets two steps; the next mark is judged once this one is mended.
            break;
        }
    }
}

fn end(mark: Option<&stainbook_catalog::written::Num>) -> &str {
    mark.map_or("the end", |mark| mark.text())
}
