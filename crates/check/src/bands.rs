//! Bands of the scale, each up to a bound: what repeatability and accuracy have in common.

use stainbook_catalog::written::Num;
use stainbook_core::{Concentration, Quantity, Unit, Written};

use crate::printed::Interval;
use crate::{ScaleView, Sheet};

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
    sheet: &'a Sheet<'_>,
    bound: &Written<Concentration>,
) -> Option<(&'a ScaleView<'a>, &'a Num, &'static Unit)> {
    let (view, mark, unit) = last_mark(sheet, bound)?;
    in_unit(bound, unit)
        .is_below(Interval::exactly(mark.value()))
        .then_some((view, mark, unit))
}

/// The highest mark of the scales that are of the same kind of concentration.
pub(crate) fn last_mark<'a>(
    sheet: &'a Sheet<'_>,
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
    sheet: &'a Sheet<'_>,
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
    sheet: &'a Sheet<'_>,
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
