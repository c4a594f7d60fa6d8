//! A range that the marks times the multiplier do not give.

use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::{MeasuringRange, Uses};
use stainbook_document::finding::{Finding, Level};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::printed::{Interval, point_moved};
use crate::words;
use crate::{Check, Context, Family, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "range-beyond-scale",
    level: Level::Error,
    since: "0.1.0",
    summary: "A range is not what the marks times the multiplier give.",
    family: Family::Scale,
    docs: include_str!("range-beyond-scale.md"),
    check: Check::Tube(check),
};

/// One end of a range with the mark that bounds it.
struct RangeEnd<'a> {
    key: &'static str,
    written: &'a Num,
    mark: &'a Num,
    mark_words: &'static str,
    /// Interval of the mark times the multiplier.
    possible: Interval,
    /// The outward direction: the lower end may not lie below, the upper end not above.
    is_upper: bool,
}

impl RangeEnd<'_> {
    fn fits(&self, value: Interval, uses: Uses) -> bool {
        match uses {
            Uses::WholeScale => value.meets(self.possible),
            Uses::Extension if self.is_upper => !self.possible.is_below(value),
            Uses::Extension => !value.is_below(self.possible),
        }
    }
}

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        if view.ends().is_none() {
            continue;
        }
        for (row, range) in &view.ranges {
            one_range(view, *row, range, sink);
        }
    }
}

fn one_range(view: &ScaleView<'_>, row: usize, range: &MeasuringRange, sink: &mut Sink<'_>) {
    let (Some(multiplier), Some(uses)) = (view.multiplier(range), range.uses) else {
        return;
    };
    let (Some(from), Some(to)) = (&range.from, &range.to) else {
        return;
    };
    let (Some(first), Some(last)) = (view.scale.marks.first(), view.scale.marks.last()) else {
        return;
    };
    // A range that is upside down has a rule of its own.
    if to.value() <= from.value() {
        return;
    }
    let end = |key, written, mark: &'static str, on_glass, is_upper| {
        let on_glass: &Num = on_glass;
        let possible = multiplier.times(Interval::exactly(on_glass.value()));
        RangeEnd {
            key,
            written,
            mark: on_glass,
            mark_words: mark,
            possible,
            is_upper,
        }
    };
    let ends = [
        end("from", from, "first mark", first, false),
        end("to", to, "last mark", last, true),
    ];
    let wrong: Vec<&RangeEnd<'_>> = ends
        .iter()
        .filter(|end| !end.fits(Interval::of_result(end.written), uses))
        .collect();
    // What reaches beyond the scale is no part of it either.
    let fits_as_part = ends
        .iter()
        .all(|end| end.fits(Interval::of_result(end.written), Uses::Extension));
    match wrong.as_slice() {
        [] if uses == Uses::WholeScale => both_ends(view, row, range, multiplier, &ends, sink),
        [] => {}
        [only] => {
            let finding = about_end(view, row, range, only, (uses, fits_as_part), sink);
            sink.report(finding);
        }
        [first, ..] if uses == Uses::WholeScale && multiplier_explains(&ends) => {
            about_multiplier(view, row, range, first, &ends, sink);
        }
        [first, ..] => {
            let finding = about_end(view, row, range, first, (uses, fits_as_part), sink)
                .note("the other end does not fit either: the multiplier or the marks may be the wrong ones");
            sink.report(finding);
        }
    }
}

/// Interval of the multiplier that the two ends ask for.
fn asked_by(ends: &[RangeEnd<'_>; 2]) -> Option<Interval> {
    let [low, high] = ends;
    let asked = |end: &RangeEnd<'_>| {
        Interval::of_result(end.written).over(Interval::exactly(end.mark.value()))
    };
    asked(low).meet(asked(high))
}

fn multiplier_explains(ends: &[RangeEnd<'_>; 2]) -> bool {
    asked_by(ends).is_some()
}

fn about_multiplier(
    view: &ScaleView<'_>,
    row: usize,
    range: &MeasuringRange,
    end: &RangeEnd<'_>,
    ends: &[RangeEnd<'_>; 2],
    sink: &mut Sink<'_>,
) {
    let (Some(strokes), Some(printed), Some(asked)) =
        (&range.strokes, &range.multiply_by, asked_by(ends))
    else {
        return;
    };
    let help = point_moved(printed)
        .into_iter()
        .find(|(value, _)| asked.meets(Interval::around(*value, *value * 0.05)))
        .map_or_else(
            || {
                "look at the leaflet: the multiplier and the range do not belong to the same row"
                    .into()
            },
            |(_, text)| {
                help!(
                    "look at the leaflet; if it prints {text}, write {}",
                    Offer::field(format!("multiply_by: {text}"))
                )
            },
        );
    let path = SheetView::range_path(row);
    sink.report(
        sink.at(path.clone().key("multiply_by"))
            .message(format!("the multiplier does not give the {} range", words::strokes(strokes)))
            .label(format!("{} written, the range asks for {}", printed.text(), words::number(asked.middle())))
            .note(format!(
                "both ends of the range are the scale, {} to {}, times {}; rounding explains {} to {}",
                ends.first().map_or("", |end| end.mark.text()),
                view.words(ends.last().map_or("", |end| end.mark.text())),
                words::number(asked.middle()),
                words::number(end.possible.low / end.mark.value()),
                words::number(end.possible.high / end.mark.value()),
            ))
            .note("every result at this stroke count is multiplied by it")
            .help(help)
            .related(sink.place(path.key("to")), "the printed range")
            .fact("written", words::number_fact(printed, ""))
            .fact("computed", words::computed_fact(asked.middle(), "")),
    );
}

fn about_end(
    view: &ScaleView<'_>,
    row: usize,
    range: &MeasuringRange,
    end: &RangeEnd<'_>,
    (uses, fits_as_part): (Uses, bool),
    sink: &Sink<'_>,
) -> Finding {
    let unit = view.unit_text();
    let computed = end.mark.value()
        * range
            .multiply_by
            .as_ref()
            .map_or(1.0, |multiplier| multiplier.value());
    let strokes = range
        .strokes
        .as_ref()
        .map_or_else(String::new, |strokes| words::strokes(strokes));
    let printed = Interval::of_result(end.written);
    let tolerance = end.possible.half_width() + printed.half_width();
    let bound = match (uses, end.is_upper) {
        (Uses::WholeScale, _) => {
            format!("the scale gives {}", view.words(&words::number(computed)))
        }
        (Uses::Extension, true) => format!(
            "at most {} possible",
            view.words(&words::number(end.possible.high))
        ),
        (Uses::Extension, false) => format!(
            "at least {} possible",
            view.words(&words::number(end.possible.low))
        ),
    };
    let multiplier = range
        .multiply_by
        .as_ref()
        .map_or("1", |multiplier| multiplier.text());
    let moved = point_moved(end.written).into_iter().find(|(value, _)| {
        end.fits(
            Interval::around(*value, printed.half_width().min(*value * 0.05)),
            uses,
        ) && inside(*value, range, end)
    });
    let help = moved.map_or_else(
        || {
            let mark = end.mark_words;
            if uses == Uses::WholeScale && fits_as_part {
                help!(
                    "look at the leaflet: the range, the multiplier or the {mark} has a slip; if the range is only a part of the scale, write {}",
                    Offer::field("uses: extension")
                )
            } else {
                format!("look at the leaflet: the range, the multiplier or the {mark} has a slip").into()
            }
        },
        |(_, text)| {
            help!(
                "look at the leaflet; if it prints {text}, write {}",
                Offer::field(format!("{}: {text}", end.key))
            )
        },
    );
    sink.at(SheetView::range_path(row).key(end.key))
        .message(format!("the {strokes} range does not fit on the scale"))
        .label(format!("{} written, {bound}", view.words(end.written.text())))
        .note(format!(
            "the {}, {}, times {multiplier} is {}; rounding on the leaflet explains at most {}",
            end.mark_words,
            view.words(end.mark.text()),
            view.words(&words::number(computed)),
            view.words(&words::tolerance(tolerance)),
        ))
        .note("readings that the leaflet does not vouch for would be taken as measured, or good ones refused")
        .help(help)
        .fact("written", words::number_fact(end.written, unit))
        .fact("computed", words::computed_fact(computed, unit))
        .fact("tolerance", words::tolerance_fact(tolerance, unit))
}

/// True if the end with another value still leaves the range the right way up.
fn inside(value: f64, range: &MeasuringRange, end: &RangeEnd<'_>) -> bool {
    let other = if end.is_upper { &range.from } else { &range.to };
    other.as_ref().is_some_and(|other| {
        if end.is_upper {
            other.value() < value
        } else {
            value < other.value()
        }
    })
}

/// Both ends fit the printed multiplier, but no one multiplier gives both of them: a slip too small for one end alone.
fn both_ends(
    view: &ScaleView<'_>,
    row: usize,
    range: &MeasuringRange,
    multiplier: Interval,
    ends: &[RangeEnd<'_>; 2],
    sink: &mut Sink<'_>,
) {
    let one_for_all = asked_by(ends).and_then(|asked| asked.meet(multiplier));
    if one_for_all.is_some() {
        return;
    }
    let [low, high] = ends;
    let Some(strokes) = &range.strokes else {
        return;
    };
    let asked = |end: &RangeEnd<'_>| words::number(end.written.value() / end.mark.value());
    sink.report(
        sink.at(SheetView::range_path(row).key(high.key))
            .message(format!("the two ends of the {} range do not belong to one multiplier", words::strokes(strokes)))
            .label(format!("{} written", view.words(high.written.text())))
            .note(format!(
                "{} over the first mark, {}, is {}; {} over the last mark, {}, is {}; rounding on the leaflet does not explain that",
                low.written.text(),
                low.mark.text(),
                asked(low),
                high.written.text(),
                high.mark.text(),
                asked(high),
            ))
            .note("one of the two ends is wrong, and readings near it are refused or taken beyond what the leaflet vouches for")
            .help(help!("compare both ends with the leaflet; if the range is only a part of the scale, write {}", Offer::field("uses: extension")))
            .related(sink.place(SheetView::range_path(row).key(low.key)), "the other end")
            .fact("from", words::number_fact(low.written, view.unit_text()))
            .fact("to", words::number_fact(high.written, view.unit_text())),
    );
}
