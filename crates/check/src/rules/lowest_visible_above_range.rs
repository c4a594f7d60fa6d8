//! A lowest visible concentration above the range that it belongs to.

use stainbook_catalog::written::{Num, Stated};
use stainbook_core::{Concentration, Quantity};

use crate::printed::{Interval, same};
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "lowest-visible-above-range",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The lowest visible concentration is above the start of the range at its strokes.",
    family: Family::Scale,
    docs: include_str!("lowest-visible-above-range.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, visible, strokes) in sheet.visible_with_strokes() {
        one(sheet, &path, (visible, strokes), sink);
    }
}

fn one(
    sheet: &SheetView<'_>,
    path: &Path,
    (visible, strokes): (&Stated<Concentration>, &Num),
    sink: &mut Sink<'_>,
) {
    let ranges = sheet.scales().iter().flat_map(|view| {
        view.ranges
            .iter()
            .map(move |(row, range)| (view, *row, *range))
    });
    let starts = ranges.filter_map(|(view, row, range)| {
        let unit = view
            .unit
            .filter(|unit| unit.dimension() == visible.value().dimension())?;
        let at_strokes = range
            .strokes
            .as_ref()
            .is_some_and(|n| same(n.value(), strokes.value()));
        at_strokes.then_some((row, range.from.as_ref()?, unit))
    });
    // With two scales the finer one tells.
    let Some((row, from, unit)) = starts.min_by(|a, b| {
        let base = |start: &(
            usize,
            &stainbook_catalog::written::Num,
            &'static stainbook_core::Unit,
        )| start.2.to_base(start.1.value());
        base(a).total_cmp(&base(b))
    }) else {
        return;
    };
    let value = visible.value().in_unit(unit);
    let half_step = visible
        .unit()
        .step_to_base(Interval::of_estimate(visible).half_width())
        / unit.step_to_base(1.0);
    if !Interval::of(from).is_below(Interval::around(value, half_step)) {
        return;
    }
    sink.report(
        sink.at(path.clone().key("concentration"))
            .message("the lowest visible concentration is above the start of the range")
            .label(format!("{} written, the range starts at {}", visible.canonical(), words::as_written(from, unit)))
            .note("what cannot be seen cannot be measured; `no stain` is taken to mean less than this figure, which then contradicts the range")
            .help("compare both with the leaflet: one has a slip, or its strokes are others")
            .related(sink.place(SheetView::range_path(row).key("from")), "the range at these strokes")
            .fact("written", words::written_fact(visible))
            .fact("range_starts", words::number_fact(from, unit.canonical())),
    );
}
