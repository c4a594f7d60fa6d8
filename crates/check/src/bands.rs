//! Bands of the scale, each up to a bound: what repeatability and accuracy have in common.

use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::paper_words::{UpTo, UpToBound};
use stainbook_catalog::written::tube::{AccuracyBand, RepeatabilityBand};
use stainbook_core::{Concentration, Quantity, Unit, Written};
use stainbook_document::place::Path;

use crate::printed::Interval;
use crate::words;
use crate::{Context, ScaleView, SheetView, Sink};

/// The bands of accuracy; none if the sheet states none.
pub(crate) fn accuracy<'a>(sheet: &'a SheetView<'_>) -> &'a [AccuracyBand] {
    let performance = sheet.performance.as_ref();
    performance
        .map(|performance| performance.accuracy.as_slice())
        .unwrap_or_default()
}

/// The bands of repeatability; none if the sheet states none.
pub(crate) fn repeatability<'a>(sheet: &'a SheetView<'_>) -> &'a [RepeatabilityBand] {
    let performance = sheet.performance.as_ref();
    performance
        .map(|performance| performance.repeatability.as_slice())
        .unwrap_or_default()
}

/// A band of `accuracy` or `repeatability`, counted from the lowest.
pub(crate) fn band(of: &'static str, row: usize) -> Path {
    Path::root().key("doubt").key(of).index(row)
}

/// Reports bands of `accuracy` or `repeatability` that do not rise, or else end below the last mark, where nothing is stated.
pub(crate) fn does_not_cover(
    sheet: &SheetView<'_>,
    context: &Context<'_>,
    of: &'static str,
    bounds: &[Option<&UpTo>],
    where_none_is_stated: &'static str,
    sink: &mut Sink<'_>,
) {
    // A bound that is there and was not understood has been blamed.
    let blamed = bounds.iter().enumerate().any(|(row, bound)| {
        bound.is_none() && !context.is_absent(None::<&()>, &band(of, row).key("up_to"))
    });
    if blamed {
        return;
    }
    if bounds
        .iter()
        .any(|bound| bound.is_none_or(|bound| bound.reading().is_none()))
    {
        parts_of_scale(of, bounds, where_none_is_stated, sink);
        return;
    }
    let bounds: Vec<&Written<Concentration>> = bounds
        .iter()
        .filter_map(|bound| bound.and_then(UpTo::reading))
        .collect();
    if let Some(row) = not_rising(&bounds)
        && let Some(above) = bounds.get(row)
    {
        sink.report(
            sink.at(band(of, row).key("up_to"))
                .message(format!("the bands of {of} do not rise"))
                .label(format!("up to {} comes too late", above.canonical()))
                .note("each band holds from the one before up to its own bound; this one holds nowhere")
                .help("write the lowest band first, and compare the bounds with the leaflet")
                .fact("written", words::written_fact(above)),
        );
        return;
    }
    let Some(last) = bounds.last() else { return };
    let Some((view, mark, unit)) = last_mark_above(sheet, last) else {
        return;
    };
    sink.report(
        sink.at(band(of, bounds.len() - 1).key("up_to"))
            .message(format!("the {of} ends below the last mark"))
            .label(format!("up to {}, the last mark is {}", last.canonical(), words::as_written(mark, unit)))
            .note(where_none_is_stated)
            .help("compare with the leaflet: the last band reaches to the end of the scale, or its bound has a slip")
            .related(sink.place(view.path().key("marks")), "the marks")
            .fact("written", words::written_fact(last))
            .fact("last_mark", words::number_fact(mark, unit.canonical())),
    );
}

/// The same where bounds are parts of the scale in words, or left out for the whole of it.
fn parts_of_scale(
    of: &'static str,
    bounds: &[Option<&UpTo>],
    where_none_is_stated: &'static str,
    sink: &mut Sink<'_>,
) {
    let place = |bound: &Option<&UpTo>| match bound.map(UpTo::bound) {
        Some(UpToBound::Reading(_)) => None,
        Some(UpToBound::Third(third)) => Some(*third),
        Some(UpToBound::LastMark) | None => Some(3),
    };
    let text = |bound: &Option<&UpTo>| bound.map_or("the whole scale", UpTo::text).to_owned();
    for (row, pair) in bounds.windows(2).enumerate() {
        let [below, above] = pair else { continue };
        let rises = match (place(below), place(above)) {
            (Some(below), Some(above)) => below < above,
            // A reading may lie in any third; behind the last mark there is no band.
            (below, _) => below != Some(3),
        };
        if rises {
            continue;
        }
        let path = band(of, row + 1);
        let path = if above.is_some() {
            path.key("up_to")
        } else {
            path
        };
        sink.report(
            sink.at(path)
                .message(format!("the bands of {of} do not rise"))
                .label(format!("{} comes after {}", text(above), text(below)))
                .note("each band holds from the one before up to its own bound; this one holds nowhere")
                .help("write the lowest band first, and compare the bounds with the leaflet"),
        );
        return;
    }
    if let Some(Some(last)) = bounds.last()
        && let UpToBound::Third(_) = last.bound()
    {
        sink.report(
            sink.at(band(of, bounds.len() - 1).key("up_to"))
                .message(format!("the {of} ends below the last mark"))
                .label(format!("up to the {}", last.text()))
                .note(where_none_is_stated)
                .help("compare with the leaflet: the last band reaches to the `last mark`, or there is a band above it"),
        );
    }
}

/// The first bound that is not above the one before. Bounds of the two kinds of concentration cannot be compared.
pub(crate) fn not_rising(bounds: &[&Written<Concentration>]) -> Option<usize> {
    let broken = bounds.windows(2).position(|pair| match pair {
        [below, above] => below
            .value()
            .partial_cmp(&above.value())
            .is_some_and(std::cmp::Ordering::is_ge),
        _ => false,
    });
    broken.map(|index| index + 1)
}

/// The last mark of the tube, if a bound ends below it; of two scales the one that reaches further.
pub(crate) fn last_mark_above<'a>(
    sheet: &'a SheetView<'_>,
    bound: &Written<Concentration>,
) -> Option<(&'a ScaleView<'a>, &'a Num, &'static Unit)> {
    let (view, mark, unit) = last_mark(sheet, bound)?;
    in_unit(bound, unit)
        .is_below(Interval::exactly(mark.value()))
        .then_some((view, mark, unit))
}

/// The highest mark of the scales that are of the same kind of concentration.
pub(crate) fn last_mark<'a>(
    sheet: &'a SheetView<'_>,
    bound: &Written<Concentration>,
) -> Option<(&'a ScaleView<'a>, &'a Num, &'static Unit)> {
    of_kind(sheet, bound)
        .filter_map(|(view, unit)| Some((view, view.scale.marks.last()?, unit)))
        .max_by(|a, b| {
            a.2.to_base(a.1.value())
                .total_cmp(&b.2.to_base(b.1.value()))
        })
}

/// The lowest mark of the scales that are of the same kind of concentration.
pub(crate) fn first_mark<'a>(
    sheet: &'a SheetView<'_>,
    bound: &Written<Concentration>,
) -> Option<(&'a ScaleView<'a>, &'a Num, &'static Unit)> {
    of_kind(sheet, bound)
        .filter_map(|(view, unit)| Some((view, view.scale.marks.first()?, unit)))
        .min_by(|a, b| {
            a.2.to_base(a.1.value())
                .total_cmp(&b.2.to_base(b.1.value()))
        })
}

fn of_kind<'a>(
    sheet: &'a SheetView<'_>,
    bound: &Written<Concentration>,
) -> impl Iterator<Item = (&'a ScaleView<'a>, &'static Unit)> {
    let dimension = bound.value().dimension();
    sheet.scales().iter().filter_map(move |view| {
        let unit = view.unit.filter(|unit| unit.dimension() == dimension)?;
        // Marks that do not rise have a rule of their own.
        view.ends()?;
        Some((view, unit))
    })
}

/// A bound in the unit of a scale, with what its digits leave open.
pub(crate) fn in_unit(bound: &Written<Concentration>, unit: &'static Unit) -> Interval {
    let half_step = bound.unit().step_to_base(bound.half_step()) / unit.step_to_base(1.0);
    Interval::around(bound.value().in_unit(unit), half_step)
}
