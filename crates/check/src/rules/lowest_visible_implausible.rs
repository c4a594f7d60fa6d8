//! A lowest visible concentration far below everything that the sheet measures.

use stainbook_core::Quantity;

use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lowest-visible-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The lowest visible concentration is far below the lowest range.",
    family: Family::Scale,
    docs: include_str!("lowest-visible-implausible.md"),
    check: Check::Tube(check),
};

/// The lowest range begins at most so many times above what can just be seen: a maker who sees a stain prints a range for
/// it. Common practice, no source; usual are 1.5 to 5 times.
const LARGEST_RATIO: f64 = 25.0;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let lowest = sheet.limit_of_detection();
    let of_all = lowest.and_then(|lowest| lowest.concentration.as_ref());
    let path = Path::root().key("read").key("lowest_visible");
    let by_strokes = sheet.visible_with_strokes().into_iter().rev();
    let by_strokes = by_strokes.map(|(path, visible, _)| (path, visible));
    // Of several the last, which belongs to the most strokes, is the lowest.
    let Some((path, visible)) = of_all
        .map(|visible| (path, visible))
        .into_iter()
        .chain(by_strokes)
        .next()
    else {
        return;
    };
    let lowest = sheet
        .scales()
        .iter()
        .flat_map(|view| {
            view.ranges
                .iter()
                .filter_map(|(row, range)| Some((view.unit?, *row, range.from.as_ref()?)))
        })
        .min_by(|a, b| {
            a.0.to_base(a.2.value())
                .total_cmp(&b.0.to_base(b.2.value()))
        });
    let Some((unit, row, from)) = lowest else {
        return;
    };
    // In a unit of another kind nothing can be compared, and another rule speaks.
    if unit.dimension() != visible.unit().dimension() {
        return;
    }
    let seen = visible.value().in_unit(unit);
    if !(0.0 < seen && seen * LARGEST_RATIO < from.value()) {
        return;
    }
    sink.report(
        sink.at(path.key("concentration"))
            .message("the lowest visible concentration is far below the lowest range")
            .label(format!("{} times below {}", words::number(from.value() / seen), words::as_written(from, unit)))
            .note("a reading of `no stain` is reported as less than this concentration: a slip here makes air look that much cleaner")
            .help("look at the number and its unit on the leaflet")
            .related(sink.place(SheetView::range_path(row).key("from")), "the lowest range")
            .fact("written", words::written_fact(visible)),
    );
}
