//! The rows of `draw.ranges` with what follows from the rest of the sheet: never more than one thing can follow, and every
//! figure that was not printed says what it follows from.

use stainbook_core::{Decimal, print};
use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use super::{MeasuringRange, Scale, TubeEntry, Uses};
use crate::printed_digits::half_step_of_result;
use crate::written::Num;

/// Most stroke counts that one row may hold for: no hand pump is drawn so often.
const MOST_COUNTS: usize = 200;

/// Tolerance within which a computed number of strokes is a whole or half one, and two counts are the same.
const SAME_COUNT: f64 = 1e-6;

/// The stroke counts of a sheet with all their figures, and what of them does not follow.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct FullRanges {
    /// A row for each stroke count, in the order of the sheet.
    pub rows: Vec<FullRange>,
    /// Figures that are neither printed nor follow.
    pub lacking: Vec<NotFollowed>,
}

/// One stroke count with all its figures.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct FullRange {
    /// The index of its row on the sheet; a row for several counts makes several.
    pub row: usize,
    /// The row with the figures that follow filled in, as far as they do.
    pub range: MeasuringRange,
    /// Figures that follow.
    pub followed: Vec<FollowedFigure>,
    /// Half of what the digits of the multiplier leave open, or of what those leave open from which it follows.
    pub multiplier_half_step: f64,
}

/// A figure that is not printed and follows from others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct FollowedFigure {
    /// The field.
    pub key: &'static str,
    /// Origin.
    pub from: FollowsFrom,
}

/// What a figure of a row follows from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum FollowsFrom {
    /// The scale is printed for these strokes, so that the multiplier is 1.
    StrokesOfScale,
    /// The printed range over the first and the last mark.
    RangeOverMarks,
    /// The strokes of the scale over the count, of a row for several.
    StrokesOverCount,
    /// The marks times the multiplier.
    MarksTimesMultiplier,
    /// The volume in all over that of a stroke.
    VolumeOverStroke,
}

impl FollowsFrom {
    /// In words: `the printed range over the marks`.
    pub fn words(self) -> &'static str {
        match self {
            Self::StrokesOfScale => "the strokes that the scale is printed for",
            Self::RangeOverMarks => "the printed range over the marks",
            Self::StrokesOverCount => "the strokes of the scale over those drawn",
            Self::MarksTimesMultiplier => "the marks times the multiplier",
            Self::VolumeOverStroke => "the volume over that of a stroke",
        }
    }
}

/// A figure that is neither printed nor follows.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct NotFollowed {
    /// The index of the row on the sheet.
    pub row: usize,
    /// The field.
    pub key: &'static str,
    /// The reason.
    pub why: String,
    /// What to write.
    pub write: Help,
}

impl FullRange {
    /// Origin of a figure that is not printed.
    pub fn follows(&self, key: &str) -> Option<FollowsFrom> {
        let figure = self.followed.iter().find(|figure| figure.key == key);
        figure.map(|figure| figure.from)
    }
}

impl TubeEntry {
    /// The stroke counts with the figures that follow from the rest of the sheet.
    pub fn ranges_in_full(&self) -> FullRanges {
        let mut full = FullRanges::default();
        for (row, range) in self.ranges().iter().enumerate() {
            match self.counts(row, range) {
                Ok(counts) => {
                    for one in counts {
                        self.complete(one, &mut full);
                    }
                }
                Err(lacking) => full.lacking.push(lacking),
            }
        }
        full
    }

    /// The scale of a row; the only one if it names none.
    fn scale_of(&self, range: &MeasuringRange) -> Option<&Scale> {
        match (&range.scale, self.printed_scales()) {
            (None, [only]) => Some(only),
            (None, _) => None,
            (name, scales) => scales.iter().find(|scale| scale.name == *name),
        }
    }

    /// A row for each of its stroke counts.
    fn counts(&self, row: usize, range: &MeasuringRange) -> Result<Vec<FullRange>, NotFollowed> {
        let lacking = |key, why: String, write: Help| NotFollowed {
            row,
            key,
            why,
            write,
        };
        let one = |range: MeasuringRange, followed| FullRange {
            row,
            range,
            followed,
            multiplier_half_step: 0.0,
        };
        let mut range = range.clone();
        let mut followed = Vec::new();
        match (&range.strokes, &range.volume) {
            (Some(_), None) => {}
            (None, None) => {
                return Err(lacking(
                    "strokes",
                    "the row says neither strokes nor volume".to_owned(),
                    help!(
                        "write {} as the leaflet prints them, or {} if it prints the volume in all",
                        Offer::name("strokes"),
                        Offer::name("volume")
                    ),
                ));
            }
            (Some(strokes), Some(volume)) => {
                return Err(lacking(
                    "volume",
                    format!(
                        "the row says both {} strokes and {}",
                        strokes.text(),
                        volume.text()
                    ),
                    "keep the one that the leaflet prints".into(),
                ));
            }
            (None, Some(volume)) => {
                let Some(stroke) = self.stroke() else {
                    return Err(lacking(
                        "volume",
                        "without the volume of a stroke no strokes follow from it".to_owned(),
                        "write `stroke` under `draw`".into(),
                    ));
                };
                let strokes = volume.value().millilitres() / stroke.value().millilitres();
                let halves = (strokes * 2.0).round();
                if halves < 1.0 || SAME_COUNT < (strokes * 2.0 - halves).abs() {
                    return Err(lacking(
                        "volume",
                        format!(
                            "{} is {} strokes of {}, and only whole and half strokes can be drawn",
                            volume.text(),
                            print::to_significant_at_most(strokes, 4),
                            stroke.text()
                        ),
                        "compare the volume in all and that of a stroke with the leaflet".into(),
                    ));
                }
                range.strokes = number(halves / 2.0);
                followed.push(FollowedFigure {
                    key: "strokes",
                    from: FollowsFrom::VolumeOverStroke,
                });
            }
        }
        let (Some(last), Some(first)) = (range.up_to_strokes.take(), &range.strokes) else {
            return Ok(vec![one(range, followed)]);
        };
        let (first, last) = (first.value(), last.value());
        let steps = (last - first).round();
        if first < 1.0
            || SAME_COUNT < (first - first.round()).abs()
            || SAME_COUNT < (last - last.round()).abs()
            || steps < 1.0
        {
            return Err(lacking(
                "up_to_strokes",
                format!(
                    "{} to {} are no whole stroke counts, the fewest first",
                    print::number(first),
                    print::number(last)
                ),
                "write the fewest strokes under `strokes` and the most under `up_to_strokes`"
                    .into(),
            ));
        }
        if range.multiply_by.is_some() {
            return Err(lacking(
                "multiply_by",
                "one multiplier cannot hold for several stroke counts".to_owned(),
                "leave it out, if the leaflet says that the reading is divided by the strokes; else write a row for each count".into(),
            ));
        }
        if range.seconds_in_all.is_some() {
            return Err(lacking(
                "seconds_in_all",
                "one time in all cannot hold for several stroke counts".to_owned(),
                help!(
                    "write {}, or a row for each count",
                    Offer::name("seconds_per_stroke")
                ),
            ));
        }
        let scale = self.scale_of(&range);
        let counts = std::iter::successors(Some(first), |count| Some(count + 1.0));
        let counts = counts.take_while(|count| *count < last + 0.5);
        if !(range.from.is_none() && range.to.is_none()) && range.uses == Some(Uses::WholeScale) {
            ends_of_several(&range, scale, [first, last])
                .map_err(|why| lacking("from", why, "compare the range with the leaflet; `from` and `to` may also be left out: they follow from the marks".into()))?;
        }
        Ok(counts
            .take(MOST_COUNTS)
            .map(|count| {
                let mut each = range.clone();
                each.strokes = number(count);
                let mut followed = followed.clone();
                if let Some(printed) = scale.and_then(|scale| scale.printed_for_strokes.as_ref()) {
                    each.multiply_by = number(printed.value() / count);
                    followed.push(FollowedFigure {
                        key: "multiply_by",
                        from: FollowsFrom::StrokesOverCount,
                    });
                }
                if range.uses == Some(Uses::WholeScale) {
                    // The printed ends are those of all counts together.
                    (each.from, each.to) = (None, None);
                }
                one(each, followed)
            })
            .collect())
    }

    /// Fills in what follows, and says what does not.
    fn complete(&self, mut full: FullRange, into: &mut FullRanges) {
        let scale = self.scale_of(&full.range);
        let marks = scale
            .map(|scale| scale.marks.as_slice())
            .unwrap_or_default();
        let ends = marks.first().zip(marks.last());
        let row = full.row;
        let strokes = full
            .range
            .strokes
            .as_ref()
            .map_or("?", |n| n.text())
            .to_owned();
        let lacking = |key, why: String, write: Help| NotFollowed {
            row,
            key,
            why,
            write,
        };
        if let Some(written) = &full.range.multiply_by {
            if full.follows("multiply_by").is_none() {
                full.multiplier_half_step = written.half_step();
            }
        } else {
            match followed_multiplier(&full.range, scale, &strokes) {
                Ok(Some((value, half_step, from))) => {
                    full.range.multiply_by = number(value);
                    full.multiplier_half_step = half_step;
                    full.followed.push(FollowedFigure {
                        key: "multiply_by",
                        from,
                    });
                }
                // Of marks or uses that were not understood another finding speaks.
                Ok(None) => {}
                Err((why, write)) => into.lacking.push(lacking("multiply_by", why, write)),
            }
        }
        let by = full.range.multiply_by.as_ref().map(|by| by.value());
        let whole = full.range.uses == Some(Uses::WholeScale);
        for (key, is_low) in [("from", true), ("to", false)] {
            let range = &mut full.range;
            let end = if is_low {
                &mut range.from
            } else {
                &mut range.to
            };
            if end.is_some() {
                continue;
            }
            match (ends, by) {
                (Some((first, last)), Some(by)) if whole => {
                    let mark = if is_low { first } else { last };
                    *end = number(mark.value() * by);
                    full.followed.push(FollowedFigure {
                        key,
                        from: FollowsFrom::MarksTimesMultiplier,
                    });
                }
                _ if full.range.uses == Some(Uses::Extension) => into.lacking.push(lacking(
                    key,
                    format!("the range of {strokes} strokes is a part of the scale, and of which part `{key}` would be does not follow"),
                    help!("write {} as the leaflet prints it", Offer::name(key)),
                )),
                // What it would follow from is lacking, and was said to be.
                _ => {}
            }
        }
        let range = &full.range;
        if range.seconds_per_stroke.is_none() && range.seconds_in_all.is_none() {
            into.lacking.push(lacking(
                "seconds_per_stroke",
                format!("the row of {strokes} strokes says neither the time of a stroke nor the time in all"),
                help!("write {}, or {} if the leaflet prints the time in all", Offer::name("seconds_per_stroke"), Offer::name("seconds_in_all")),
            ));
        }
        if range.seconds_per_stroke.is_some() && range.seconds_in_all.is_some() {
            into.lacking.push(lacking(
                "seconds_in_all",
                format!("the row of {strokes} strokes says both the time of a stroke and the time in all"),
                "keep the one that the leaflet prints".into(),
            ));
        }
        into.rows.push(full);
    }
}

/// The multiplier of a row that prints none, half of what is left open of it, and what it follows from; nothing if what it would
/// follow from was not understood.
#[allow(clippy::type_complexity, reason = "three figures of one caller")]
fn followed_multiplier(
    range: &MeasuringRange,
    scale: Option<&Scale>,
    strokes: &str,
) -> Result<Option<(f64, f64, FollowsFrom)>, (String, Help)> {
    let (Some(scale), Some(uses), Some(count)) = (scale, range.uses, &range.strokes) else {
        return Ok(None);
    };
    if let Some(printed) = &scale.printed_for_strokes
        && (printed.value() - count.value()).abs() <= SAME_COUNT
    {
        return Ok(Some((1.0, 0.0, FollowsFrom::StrokesOfScale)));
    }
    if uses == Uses::Extension {
        return Err((
            format!(
                "the range of {strokes} strokes extends the scale, and from a part of the scale no multiplier follows"
            ),
            help!(
                "write {} as the leaflet prints it for {strokes} strokes",
                Offer::name("multiply_by")
            ),
        ));
    }
    let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last()) else {
        return Ok(None);
    };
    if !(0.0 < first.value() && first.value() < last.value()) {
        return Ok(None);
    }
    let over = |end: &Num, mark: &Num| {
        let half = half_step_of_result(end);
        [
            (end.value() - half) / mark.value(),
            (end.value() + half) / mark.value(),
        ]
    };
    let [low, high] = match (&range.from, &range.to) {
        (Some(from), Some(to)) => {
            let (a, b) = (over(from, first), over(to, last));
            let both = [a[0].max(b[0]), a[1].min(b[1])];
            if both[1] < both[0] * (1.0 - 1e-9) {
                let by = |end: &Num, mark: &Num| {
                    print::to_significant_at_most(end.value() / mark.value(), 3)
                };
                return Err((
                    format!(
                        "{} over the first mark, {}, is {}; {} over the last mark, {}, is {}: no multiplier of {strokes} strokes gives both",
                        from.text(),
                        first.text(),
                        by(from, first),
                        to.text(),
                        last.text(),
                        by(to, last)
                    ),
                    help!(
                        "compare both ends and the marks with the leaflet; if the range is a part of the scale only, write {} and its multiplier",
                        Offer::field("uses: extension").in_part()
                    ),
                ));
            }
            both
        }
        (Some(from), None) => over(from, first),
        (None, Some(to)) => over(to, last),
        (None, None) => {
            return Err((
                format!("the row of {strokes} strokes has neither a multiplier nor a range"),
                help!(
                    "write {} or {} and {}, as the leaflet prints them",
                    Offer::name("multiply_by"),
                    Offer::name("from"),
                    Offer::name("to")
                ),
            ));
        }
    };
    let value = f64::midpoint(low, high);
    Ok((0.0 < value).then_some((value, (high - low).abs() / 2.0, FollowsFrom::RangeOverMarks)))
}

/// Checks the printed ends of a row for several counts: the lower one belongs to the most strokes, the upper one to the fewest.
fn ends_of_several(
    range: &MeasuringRange,
    scale: Option<&Scale>,
    [first, last]: [f64; 2],
) -> Result<(), String> {
    let Some(scale) = scale else { return Ok(()) };
    let (Some(printed), Some(low), Some(high)) = (
        &scale.printed_for_strokes,
        scale.marks.first(),
        scale.marks.last(),
    ) else {
        return Ok(());
    };
    let off = |end: &Option<Num>, mark: &Num, count: f64| {
        let end = end.as_ref()?;
        let expected = mark.value() * printed.value() / count;
        let off = half_step_of_result(end) * (1.0 + 1e-9) < (end.value() - expected).abs();
        off.then(|| {
            format!(
                "{} written, and the mark {} with {} strokes is {}",
                end.text(),
                mark.text(),
                print::number(count),
                print::to_significant_at_most(expected, 4)
            )
        })
    };
    match off(&range.from, low, last).or_else(|| off(&range.to, high, first)) {
        Some(why) => Err(why),
        None => Ok(()),
    }
}

/// A computed number as if it had been written.
fn number(value: f64) -> Option<Num> {
    let text = print::number(print::without_noise(value));
    Decimal::parse(&text).ok().map(Num::new)
}
