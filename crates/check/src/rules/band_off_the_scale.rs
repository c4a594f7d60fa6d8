//! A bound of repeatability or accuracy that is nowhere on the scale.

use stainbook_catalog::written::tube::paper_words::UpTo;
use stainbook_core::{Concentration, Written};

use crate::bands::{first_mark, in_unit, last_mark};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "band-off-the-scale",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A band of repeatability or accuracy ends below the first mark or far above the last.",
    family: Family::Performance,
    docs: include_str!("band-off-the-scale.md"),
    check: Check::Tube(check),
};

/// The last band may be printed to the end of the largest range instead of the scale: few strokes carry a scale up to about so
/// many times further. Common practice, no source.
const FAR_ABOVE: f64 = 5.0;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(performance) = &sheet.performance else {
        return;
    };
    let repeatability = performance
        .repeatability
        .iter()
        .map(|band| band.up_to.as_ref().and_then(UpTo::reading))
        .collect();
    let accuracy = performance
        .accuracy
        .iter()
        .map(|band| band.up_to.as_ref().and_then(UpTo::reading))
        .collect();
    bands("repeatability", repeatability, sheet, sink);
    bands("accuracy", accuracy, sheet, sink);
}

fn bands(
    key: &'static str,
    bounds: Vec<Option<&Written<Concentration>>>,
    sheet: &SheetView<'_>,
    sink: &mut Sink<'_>,
) {
    let count = bounds.len();
    for (row, bound) in bounds.into_iter().enumerate() {
        let Some(bound) = bound else { continue };
        let (Some((view, first, unit)), Some((_, last, last_unit))) =
            (first_mark(sheet, bound), last_mark(sheet, bound))
        else {
            continue;
        };
        let below = in_unit(bound, unit).is_below(Interval::exactly(first.value()));
        let above = Interval::exactly(last.value() * FAR_ABOVE).is_below(in_unit(bound, last_unit));
        // That the last band ends too early is for the rules about covering the scale.
        let (label, mark) = if below && row + 1 < count {
            (
                format!("the first mark is {}", words::as_written(first, unit)),
                first,
            )
        } else if above {
            (
                format!("the last mark is {}", words::as_written(last, last_unit)),
                last,
            )
        } else {
            continue;
        };
        sink.report(
            sink.at(Path::root().key("doubt").key(key).index(row).key("up_to"))
                .message(format!("this band of {key} ends nowhere on the scale"))
                .label(format!("up to {}, {label}", bound.canonical()))
                .note("a band is stated by readings on the scale; with a bound off the scale, readings get the figure of another band")
                .help("compare the bound with the leaflet: its decimal point has moved, or it is in another unit")
                .related(sink.place(view.path().key("marks")), "the marks")
                .fact("written", words::written_fact(bound))
                .fact("mark", words::number_fact(mark, unit.canonical())),
        );
    }
}
