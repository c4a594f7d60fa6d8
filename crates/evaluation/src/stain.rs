//! What was seen on the glass: which scale, which row of strokes, and which number or bound.

use stainbook_catalog::model::{Range, Scale, Tube};
use stainbook_catalog::written::{Observation, Reading as WrittenReading, Seen};
use stainbook_core::{Concentration, Written, print};

use crate::outcome::{Code, Refusal};
use crate::pointers;

/// The row of the sheet that a reading belongs to.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DrawnRange<'t> {
    /// The scale.
    pub(crate) scale: &'t Scale,
    /// The stroke count with its multiplier.
    pub(crate) range: &'t Range,
}

/// A number on the scale, or a bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Stain {
    /// The stain ends at a value.
    At {
        /// The value, in the unit of the scale; the mean of both sides of an oblique front.
        value: f64,
        /// Half the difference of both sides, for an oblique front.
        half_front: Option<f64>,
        /// The standard uncertainty of the reading, if the reader stated one.
        stated_uncertainty: Option<f64>,
    },
    /// The filling kept its colour.
    NotSeen,
    /// The stain ends before the first mark.
    BelowFirstMark,
    /// The stain ends behind the last mark.
    BeyondLastMark,
}

/// Two stroke counts that count as one: what a half or a third of a stroke loses in writing.
const SAME_STROKES: f64 = 1e-6;

/// How near, relative to itself, a number is to a mark that is the same.
const SAME_MARK: f64 = 1e-9;

/// Whether two stroke counts are the same.
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
/// A [`Refusal`]: the sheet has no such scale or stroke count, or the reading does not say which scale.
pub(crate) fn drawn<'t>(
    tube: &'t Tube,
    reading: &WrittenReading,
) -> Result<DrawnRange<'t>, Refusal> {
    let Some(strokes) = reading.strokes.as_ref().map(|strokes| strokes.value()) else {
        return Err(Refusal::new(
            Code::StrokesMissing,
            "the number of strokes is not stated",
            "write how many strokes were drawn; without it a stain says nothing",
        )
        .at(pointers::STROKES));
    };
    let allowed: Vec<&Range> = tube
        .ranges
        .iter()
        .filter(|range| same_strokes(range.strokes, strokes))
        .collect();
    if allowed.is_empty() {
        return Err(Refusal::new(
            Code::StrokesNotOnSheet,
            format!(
                "`{}` is not a stroke count of sheet `{}`, which has {}",
                print::number(strokes),
                tube.id,
                stroke_list(tube, None)
            ),
            "repeat with one of these counts; nothing is worked out for a count that the leaflet does not print",
        )
        .at(pointers::STROKES));
    }
    let index = if let Some(name) = &reading.scale {
        tube.scales
            .iter()
            .position(|scale| scale.name.as_deref() == Some(name))
            .ok_or_else(|| {
                let names: Vec<String> = tube
                    .scales
                    .iter()
                    .filter_map(|scale| scale.name.as_ref().map(|name| format!("`{name}`")))
                    .collect();
                let has = if names.is_empty() {
                    "one scale without a name".to_owned()
                } else {
                    names.join(" and ")
                };
                Refusal::new(
                Code::ScaleUnknown,
                format!("sheet `{}` has no scale `{name}`, it has {has}", tube.id),
                "write the scale's name as on the sheet, or leave it out where there is one only",
            )
            .at(pointers::SCALE)
            })?
    } else {
        let mut indices: Vec<usize> = allowed.iter().map(|range| range.scale).collect();
        indices.dedup();
        let [only] = indices.as_slice() else {
            return Err(Refusal::new(
                Code::ScaleNotStated,
                format!(
                    "the tube has two scales for {}, and the reading does not say which was read",
                    strokes_words(strokes)
                ),
                "write `scale:` with the name of the scale",
            )
            .at(pointers::SCALE));
        };
        *only
    };
    let range = allowed
        .into_iter()
        .find(|range| range.scale == index)
        .ok_or_else(|| {
            Refusal::new(
                Code::StrokesNotOnSheet,
                format!(
                    "`{}` is not a stroke count of sheet `{}` for this scale, which has {}",
                    print::number(strokes),
                    tube.id,
                    stroke_list(tube, Some(index))
                ),
                "look at which scale was read, or repeat with one of these counts",
            )
            .at(pointers::STROKES)
        })?;
    let scale = tube.scales.get(index).ok_or_else(|| {
        Refusal::new(
            Code::ScaleUnknown,
            "the sheet names a scale that it does not have",
            "have the sheet checked",
        )
    })?;
    Ok(DrawnRange { scale, range })
}

/// Reads what was seen against the marks.
///
/// # Errors
///
/// A [`Refusal`]: nothing was recorded, it contradicts itself, is in another kind of unit, or lies beside the scale.
pub(crate) fn seen(seen: Option<&Seen>, scale: &Scale) -> Result<Stain, Refusal> {
    let missing = || {
        Refusal::new(
            Code::ReadingMissing,
            "no reading is recorded",
            "write `{at: 5 ppm}`, `{short: 4 ppm, long: 5 ppm}`, or `{seen: no stain}`, `below first mark`, `beyond last mark`",
        )
        .at(pointers::READING)
    };
    let seen = seen.ok_or_else(missing)?;
    let on_scale = |written: &Written<Concentration>, field: &str| -> Result<f64, Refusal> {
        if written.unit().dimension() == scale.unit.dimension() {
            // The digits as typed where the unit is the scale's own; another unit is worked out.
            return Ok(if written.unit() == scale.unit {
                written.number()
            } else {
                scale
                    .unit
                    .from_base(written.unit().to_base(written.number()))
            });
        }
        Err(Refusal::new(
            Code::ReadingInAnotherUnit,
            format!(
                "`{}` is read on a scale in {}",
                written.text(),
                scale.unit.canonical()
            ),
            format!(
                "write the number that stands on the glass, in {}; the result is given in both units",
                scale.unit.canonical()
            ),
        )
        .at(field))
    };
    let stated_uncertainty = seen
        .uncertainty
        .as_ref()
        .map(|u| on_scale(u, pointers::READING_UNCERTAINTY))
        .transpose()?;
    match (&seen.at, &seen.short, &seen.long, seen.seen) {
        (None, None, None, Some(Observation::NoStain)) => Ok(Stain::NotSeen),
        (None, None, None, Some(Observation::BelowFirstMark)) => Ok(Stain::BelowFirstMark),
        (None, None, None, Some(Observation::BeyondLastMark)) => Ok(Stain::BeyondLastMark),
        (Some(at), None, None, None) => {
            let value = on_scale(at, pointers::READ_AT)?;
            between_marks(value, at.text(), scale)
                .map_err(|refusal| refusal.at(pointers::READ_AT))?;
            Ok(Stain::At {
                value,
                half_front: None,
                stated_uncertainty,
            })
        }
        (None, Some(short), Some(long), None) => {
            let (a, b) = (
                on_scale(short, pointers::READ_SHORT)?,
                on_scale(long, pointers::READ_LONG)?,
            );
            if b < a {
                return Err(Refusal::new(
                    Code::FrontReversed,
                    format!(
                        "the short side `{}` is longer than the long side `{}`",
                        short.text(),
                        long.text()
                    ),
                    "look at which is which",
                )
                .at(pointers::READ_SHORT));
            }
            between_marks(a, short.text(), scale)
                .map_err(|refusal| refusal.at(pointers::READ_SHORT))?;
            between_marks(b, long.text(), scale)
                .map_err(|refusal| refusal.at(pointers::READ_LONG))?;
            Ok(Stain::At {
                value: f64::midpoint(a, b),
                half_front: Some((b - a) / 2.0),
                stated_uncertainty,
            })
        }
        (None, None, None, None) => Err(missing()),
        (None, Some(_), None, None) | (None, None, Some(_), None) => Err(Refusal::new(
            Code::FrontHalfRead,
            "one side only of an uneven front is recorded",
            "write both, `short` and `long`; or `at`, if the front was even",
        )
        .at(pointers::READING)),
        _ => Err(Refusal::new(
            Code::ReadingContradictsItself,
            "the reading is recorded in two ways at once",
            "keep one of `at`, `short` with `long`, and `seen`",
        )
        .at(pointers::READING)),
    }
}

fn between_marks(value: f64, text: &str, scale: &Scale) -> Result<(), Refusal> {
    let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last()) else {
        return Err(Refusal::new(
            Code::SheetUnusable,
            "the scale has no marks",
            "have the sheet checked",
        ));
    };
    let unit = scale.unit.canonical();
    // What a conversion between units rounds does not push a reading off the scale.
    let (side, record) = if value < first * (1.0 - SAME_MARK) {
        (
            format!("before the first mark, {} {unit}", print::number(*first)),
            "below first mark",
        )
    } else if last * (1.0 + SAME_MARK) < value {
        (
            format!("behind the last mark, {} {unit}", print::number(*last)),
            "beyond last mark",
        )
    } else {
        return Ok(());
    };
    Err(Refusal::new(
        Code::ReadingOffScale,
        format!("`{text}` is {side}: there is no scale to read it from"),
        format!(
            "record `reading: {{seen: {record}}}`, which gives a bound, and repeat with another stroke count"
        ),
    ))
}

fn stroke_list(tube: &Tube, scale: Option<usize>) -> String {
    let mut strokes: Vec<f64> = tube
        .ranges
        .iter()
        .filter(|range| scale.is_none_or(|index| range.scale == index))
        .map(|range| range.strokes)
        .collect();
    strokes.sort_by(f64::total_cmp);
    strokes.dedup_by(|a, b| same_strokes(*a, *b));
    strokes
        .iter()
        .map(|count| print::number(*count))
        .collect::<Vec<_>>()
        .join(", ")
}

/// The width of scale that a reading stands for: from one mark to the next about it. On a mark it is from the middle of
/// the space before to the middle of the space behind; at either end of the scale the one space there is.
pub(crate) fn space_about(marks: &[f64], reading: f64) -> f64 {
    let mut spaces = marks.windows(2).filter_map(|pair| match pair {
        [a, b] if *a <= reading && reading <= *b => Some(b - a),
        _ => None,
    });
    match (spaces.next(), spaces.next()) {
        (Some(before), Some(after)) => f64::midpoint(before, after),
        (Some(only), None) => only,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_space_about_a_reading() {
        let marks = [0.7, 1.5, 3.0, 5.0, 9.0, 13.0];
        for (reading, space) in [
            (0.7, 0.8),
            (1.0, 0.8),
            (4.0, 2.0),
            (5.0, 3.0),
            (13.0, 4.0),
            (20.0, 0.0),
        ] {
            assert!(
                (space_about(&marks, reading) - space).abs() < 1e-12,
                "{reading}"
            );
        }
    }
}
