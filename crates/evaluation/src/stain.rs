//! The stain as seen on the glass: its scale, its row of strokes, and its number or bound.

use stainbook_catalog::model::{MeasuringRange, Scale, Tube};
use stainbook_catalog::written::scalars::{Num, Stated};
use stainbook_catalog::written::{Observation, Reading as WrittenReading, Seen};
use stainbook_core::{Concentration, Written, print};

use crate::cell::{Cell, SAME_MARK};
use crate::evaluated::not_prepared::{BoundBesideMark, NotPrepared, OffScale, Side};
use crate::pointers;

/// The row of the sheet that a reading belongs to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DrawnRange<'t> {
    /// The scale.
    pub(crate) scale: &'t Scale,
    /// The stroke count with its multiplier.
    pub(crate) range: &'t MeasuringRange,
    /// The strokes that were drawn, where they are more than this count, as there was no stain.
    pub(crate) more_strokes: Option<f64>,
}

/// A number on the scale, or a bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Stain {
    /// The stain ends at a value.
    At {
        /// The value, in the unit of the scale; the mean of both sides of an oblique front.
        value: f64,
        /// The piece of scale that it stands for.
        cell: Cell,
    },
    /// The filling kept its colour.
    NotSeen,
    /// The stain ends before the first mark.
    BelowFirstMark,
    /// The stain ends behind the last mark.
    BeyondLastMark,
    /// A tube without a scale says that at least so much is there.
    AtLeast(f64),
    /// It says that less is there.
    LessThan(f64),
}

/// Two stroke counts that count as one: what a half or a third of a stroke loses in writing.
const SAME_STROKES: f64 = 1e-6;

/// True if two stroke counts are the same.
pub fn same_strokes(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_STROKES
}

/// A stroke count in words: `1 stroke`, `0.5 stroke`, `3 strokes`.
pub(crate) fn strokes_words(strokes: f64) -> String {
    let word = if strokes < 1.0 || same_strokes(strokes, 1.0) {
        "stroke"
    } else {
        "strokes"
    };
    format!("{} {word}", print::number(strokes))
}

/// Finds scale and stroke count of a reading on the sheet.
///
/// # Errors
///
/// [`NotPrepared`]: the sheet has no such scale or stroke count, or the reading does not say which scale.
pub(crate) fn drawn<'t>(
    tube: &'t Tube,
    reading: &WrittenReading,
) -> Result<DrawnRange<'t>, NotPrepared> {
    let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
    let strokes = strokes.ok_or(NotPrepared::StrokesMissing)?;
    let not_on_sheet = |scale: Option<usize>| NotPrepared::StrokesNotOnSheet {
        strokes,
        sheet: tube.id.clone(),
        counts: counts(tube, scale),
        of_scale: scale.is_some(),
    };
    let allowed: Vec<&MeasuringRange> = tube
        .ranges
        .iter()
        .filter(|range| same_strokes(range.strokes, strokes))
        .collect();
    if allowed.is_empty() {
        return more_strokes(tube, reading, strokes).unwrap_or_else(|| Err(not_on_sheet(None)));
    }
    let index = if let Some(name) = &reading.scale {
        let named = |scale: &Scale| scale.name.as_deref() == Some(name);
        tube.scales
            .iter()
            .position(named)
            .ok_or_else(|| NotPrepared::ScaleUnknown {
                sheet: tube.id.clone(),
                scale: name.clone(),
                scales: tube
                    .scales
                    .iter()
                    .filter_map(|scale| scale.name.clone())
                    .collect(),
            })?
    } else {
        let mut indices: Vec<usize> = allowed.iter().map(|range| range.scale).collect();
        indices.dedup();
        let [only] = indices.as_slice() else {
            return Err(NotPrepared::ScaleNotStated { strokes });
        };
        *only
    };
    let range = allowed
        .into_iter()
        .find(|range| range.scale == index)
        .ok_or_else(|| not_on_sheet(Some(index)))?;
    let scale = tube.scales.get(index);
    let scale = scale.ok_or(NotPrepared::ScaleNotOnSheet)?;
    Ok(DrawnRange {
        scale,
        range,
        more_strokes: None,
    })
}

/// The greatest printed count, for strokes beyond it that the sheet allows if there is no stain: nothing less follows from seeing
/// none than with that count. With a stain there is no multiplier.
fn more_strokes<'t>(
    tube: &'t Tube,
    reading: &WrittenReading,
    strokes: f64,
) -> Option<Result<DrawnRange<'t>, NotPrepared>> {
    let most = tube.more_strokes_if_no_stain?;
    let of_scale = |range: &&MeasuringRange| {
        let scale = tube.scales.get(range.scale);
        reading.scale.is_none()
            || scale.is_some_and(|scale| scale.name.is_some() && scale.name == reading.scale)
    };
    let counts = tube.ranges.iter().filter(of_scale);
    let range = counts.max_by(|a, b| a.strokes.total_cmp(&b.strokes))?;
    let scale = tube.scales.get(range.scale)?;
    let allowed = strokes <= most || same_strokes(strokes, most);
    if strokes <= range.strokes || !allowed {
        return None;
    }
    let seen = reading.reading.as_ref().and_then(|reading| reading.seen);
    if seen != Some(Observation::NoStain) {
        return Some(Err(NotPrepared::StainAtMoreStrokes {
            strokes,
            most: range.strokes,
        }));
    }
    Some(Ok(DrawnRange {
        scale,
        range,
        more_strokes: Some(strokes),
    }))
}

/// Reads what was seen against the marks, to a part of the space between them.
///
/// # Errors
///
/// [`NotPrepared`]: nothing was recorded, it contradicts itself, is in another kind of unit, or lies beside the scale.
pub(crate) fn seen(
    seen: Option<&Seen>,
    drawn: &DrawnRange<'_>,
    part: f64,
) -> Result<Stain, NotPrepared> {
    let scale = drawn.scale;
    let seen = seen.ok_or(NotPrepared::ReadingMissing)?;
    let on_scale = |written: &Written<Concentration>, field| {
        // The digits as typed where the unit is the scale's own; another unit is worked out.
        if written.unit() == scale.unit {
            Ok(written.number())
        } else if written.unit().dimension() == scale.unit.dimension() {
            let base = written.unit().to_base(written.number());
            Ok(scale.unit.from_base(base))
        } else {
            Err(NotPrepared::ReadingInAnotherUnit {
                text: written.text().to_owned(),
                unit: scale.unit,
                field,
            })
        }
    };
    let stated_uncertainty = seen
        .uncertainty
        .as_ref()
        .map(|u| on_scale(u, pointers::READING_UNCERTAINTY))
        .transpose()?;
    // On a glass in millimetres the mark, else the concentration itself.
    let read =
        |at: &Option<Stated<Concentration>>, at_mm: &Option<Num>, fields: [&'static str; 2]| {
            let [field, field_mm] = fields;
            match (at, at_mm) {
                (None, None) => Ok(None),
                (Some(at), None) => {
                    let value = on_scale(at, field)?;
                    between_marks(value, at.text(), scale, field)?;
                    Ok(Some(PlaceRead {
                        value,
                        text: at.text().to_owned(),
                    }))
                }
                (None, Some(mark)) => at_millimetre(mark, scale, field_mm).map(Some),
                (Some(_), Some(_)) => Err(NotPrepared::ReadingContradictsItself),
            }
        };
    let has = |at: bool, at_mm: bool| at || at_mm;
    let given = (
        has(seen.at.is_some(), seen.at_mm.is_some()),
        has(seen.short.is_some(), seen.short_mm.is_some()),
        has(seen.long.is_some(), seen.long_mm.is_some()),
        seen.seen,
    );
    match (&seen.less_than, &seen.more_than) {
        (None, None) => {}
        (Some(bound), None) if given == (false, false, false, None) => {
            let at = on_scale(bound, pointers::READ_LESS_THAN)?;
            let end = (scale.marks.first(), Side::Below);
            return bound_at(end, at, bound.text(), drawn);
        }
        (None, Some(bound)) if given == (false, false, false, None) => {
            let at = on_scale(bound, pointers::READ_MORE_THAN)?;
            let end = (scale.marks.last(), Side::Beyond);
            return bound_at(end, at, bound.text(), drawn);
        }
        _ => return Err(NotPrepared::ReadingContradictsItself),
    }
    match given {
        (false, false, false, Some(Observation::NoStain)) => Ok(Stain::NotSeen),
        (false, false, false, Some(Observation::BelowFirstMark)) => Ok(Stain::BelowFirstMark),
        (false, false, false, Some(Observation::BeyondLastMark)) => Ok(Stain::BeyondLastMark),
        (true, false, false, None) => {
            let fields = [pointers::READ_AT, pointers::READ_AT_MM];
            let at = read(&seen.at, &seen.at_mm, fields)?.ok_or(NotPrepared::ReadingMissing)?;
            Ok(Stain::At {
                value: at.value,
                cell: Cell::new(scale, [at.value, at.value], part, stated_uncertainty),
            })
        }
        (false, true, true, None) => {
            let fields = [pointers::READ_SHORT, pointers::READ_SHORT_MM];
            let short = read(&seen.short, &seen.short_mm, fields)?;
            let fields = [pointers::READ_LONG, pointers::READ_LONG_MM];
            let long = read(&seen.long, &seen.long_mm, fields)?;
            let (Some(short), Some(long)) = (short, long) else {
                return Err(NotPrepared::FrontHalfRead);
            };
            if long.value < short.value {
                return Err(NotPrepared::FrontReversed {
                    short: short.text,
                    long: long.text,
                });
            }
            // Where the leaflet reads at the longest side, the short one is only told.
            let b = long.value;
            let a = if scale.reads_longest_side {
                b
            } else {
                short.value
            };
            Ok(Stain::At {
                value: f64::midpoint(a, b),
                cell: Cell::new(scale, [a, b], part, stated_uncertainty),
            })
        }
        (false, false, false, Some(Observation::Colour)) => Err(NotPrepared::ColourOnAScale),
        (false, false, false, None) => Err(NotPrepared::ReadingMissing),
        (false, true, false, None) | (false, false, true, None) => Err(NotPrepared::FrontHalfRead),
        _ => Err(NotPrepared::ReadingContradictsItself),
    }
}

/// The end of a stain in the unit of the scale, and as it was typed.
struct PlaceRead {
    value: f64,
    text: String,
}

/// The concentration beside a millimetre mark of the glass.
fn at_millimetre(mark: &Num, scale: &Scale, field: &'static str) -> Result<PlaceRead, NotPrepared> {
    let text = format!("{} mm", mark.text());
    let (first, last) = match (scale.millimetres.first(), scale.millimetres.last()) {
        (Some(first), Some(last)) => (*first, *last),
        _ => {
            return Err(NotPrepared::ReadingInAnotherUnit {
                text,
                unit: scale.unit,
                field,
            });
        }
    };
    let beside = |mark: Option<&f64>| {
        let mark = *mark.ok_or(NotPrepared::ScaleWithoutMarks { field })?;
        Ok(OffScale {
            text: text.clone(),
            mark,
            unit: scale.unit,
            field,
        })
    };
    match scale.at_millimetre(mark.value()) {
        Some(value) => Ok(PlaceRead { value, text }),
        None if mark.value() < first => Err(NotPrepared::ReadingBeforeFirstMark(beside(
            scale.marks.first(),
        )?)),
        None if last < mark.value() => Err(NotPrepared::ReadingBehindLastMark(beside(
            scale.marks.last(),
        )?)),
        None => Err(NotPrepared::ScaleWithoutMarks { field }),
    }
}

/// A bound as a stain that ends beside the scale, if it is what the mark at that end stands for with these strokes. A first
/// mark of 10 that is 5 with twice the strokes is not meant by `<10`, unless somebody forgot to multiply.
fn bound_at(
    (mark, side): (Option<&f64>, Side),
    value: f64,
    text: &str,
    drawn: &DrawnRange<'_>,
) -> Result<Stain, NotPrepared> {
    let field = match side {
        Side::Below => pointers::READ_LESS_THAN,
        Side::Beyond => pointers::READ_MORE_THAN,
    };
    let mark = *mark.ok_or(NotPrepared::ScaleWithoutMarks { field })?;
    let stands_for = mark * drawn.range.multiplier;
    if (value - stands_for).abs() <= SAME_MARK * stands_for {
        return Ok(match side {
            Side::Below => Stain::BelowFirstMark,
            Side::Beyond => Stain::BeyondLastMark,
        });
    }
    Err(NotPrepared::BoundNotAMark(BoundBesideMark {
        text: text.to_owned(),
        side,
        mark,
        stands_for,
        strokes: drawn.range.strokes,
        unit: drawn.scale.unit,
        field,
    }))
}

fn between_marks(
    value: f64,
    text: &str,
    scale: &Scale,
    field: &'static str,
) -> Result<(), NotPrepared> {
    let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last()) else {
        return Err(NotPrepared::ScaleWithoutMarks { field });
    };
    let off = |mark: &f64| OffScale {
        text: text.to_owned(),
        mark: *mark,
        unit: scale.unit,
        field,
    };
    // What a conversion between units rounds does not push a reading off the scale.
    if value < first * (1.0 - SAME_MARK) {
        Err(NotPrepared::ReadingBeforeFirstMark(off(first)))
    } else if last * (1.0 + SAME_MARK) < value {
        Err(NotPrepared::ReadingBehindLastMark(off(last)))
    } else {
        Ok(())
    }
}

/// The stroke counts of a sheet, or of one of its scales.
fn counts(tube: &Tube, scale: Option<usize>) -> Vec<f64> {
    let mut strokes: Vec<f64> = tube
        .ranges
        .iter()
        .filter(|range| scale.is_none_or(|index| range.scale == index))
        .map(|range| range.strokes)
        .collect();
    strokes.sort_by(f64::total_cmp);
    strokes.dedup_by(|a, b| same_strokes(*a, *b));
    strokes
}
