//! A sheet as the rules look at it: each scale with its unit and with the ranges that belong to it.

use std::ops::Deref;

use stainbook_catalog::written::tube::{FullRange, FullRanges, MeasuringRange, Scale, TubeEntry};
use stainbook_catalog::written::{Num, Stated};
use stainbook_core::{Concentration, Quantity, Unit, unit_of};
use stainbook_document::place::Path;

use crate::points::{Placed, corrections};
use crate::printed::{Interval, same};

/// A sheet with what several rules need of it.
#[derive(Debug)]
pub struct SheetView<'a> {
    tube: &'a TubeEntry,
    full: &'a FullRanges,
    scales: Vec<ScaleView<'a>>,
    corrections: Vec<Placed<'a>>,
}

/// A scale with its unit and its ranges, as far as they were understood.
#[derive(Debug)]
pub struct ScaleView<'a> {
    /// Its position among the scales.
    pub index: usize,
    /// As written.
    pub scale: &'a Scale,
    /// Its unit, if that was understood.
    pub unit: Option<&'static Unit>,
    /// The ranges that belong to it, each with its row on the sheet and with the figures that follow filled in. A row for several
    /// stroke counts is one for each.
    pub ranges: Vec<(usize, &'a MeasuringRange)>,
    /// Rows whose multiplier is not printed, and follows.
    followed_multipliers: Vec<usize>,
    ends: Option<(f64, f64)>,
}

impl<'a> SheetView<'a> {
    /// Looks at a written sheet, with [its ranges in full](TubeEntry::ranges_in_full).
    pub fn new(tube: &'a TubeEntry, full: &'a FullRanges) -> Self {
        let written = tube.printed_scales();
        let scales = written
            .iter()
            .enumerate()
            .map(|(index, scale)| {
                let unit = scale
                    .unit
                    .as_deref()
                    .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
                let own =
                    |one: &&FullRange| belongs(one.range.scale.as_deref(), scale, written.len());
                let rows = || full.rows.iter().filter(own);
                let follows = |one: &&FullRange| one.follows("multiply_by").is_some();
                ScaleView {
                    index,
                    scale,
                    unit,
                    ranges: rows().map(|one| (one.row, &one.range)).collect(),
                    followed_multipliers: rows().filter(follows).map(|one| one.row).collect(),
                    ends: ends(scale),
                }
            })
            .collect();
        Self {
            tube,
            full,
            scales,
            corrections: corrections(tube),
        }
    }

    /// Its scales.
    pub fn scales(&self) -> &[ScaleView<'a>] {
        &self.scales
    }

    /// Its stroke counts with the figures that follow filled in, each with its row on the sheet.
    pub(crate) fn all_ranges(&self) -> impl Iterator<Item = (usize, &'a MeasuringRange)> + use<'a> {
        self.full.rows.iter().map(|one| (one.row, &one.range))
    }

    /// Its stroke counts, and what of them neither is printed nor follows.
    pub(crate) fn full_ranges(&self) -> &'a FullRanges {
        self.full
    }

    /// The lowest visible concentrations that are stated with their strokes, each with its path.
    pub(crate) fn visible_with_strokes(&self) -> Vec<(Path, &'a Stated<Concentration>, &'a Num)> {
        let Some(lowest) = self.tube.limit_of_detection() else {
            return Vec::new();
        };
        let path = Path::root().key("read").key("lowest_visible");
        let by_strokes = path.clone().key("by_strokes");
        let one = (path, &lowest.concentration, &lowest.strokes);
        let several = lowest.by_strokes.iter().enumerate();
        let several = several.map(|(row, one)| {
            (
                by_strokes.clone().index(row),
                &one.concentration,
                &one.strokes,
            )
        });
        std::iter::once(one)
            .chain(several)
            .filter_map(|(path, visible, strokes)| {
                Some((path, visible.as_ref()?, strokes.as_ref()?))
            })
            .collect()
    }

    /// Its corrections, in the order in which they stand there.
    pub(crate) fn corrections(&self) -> &[Placed<'a>] {
        &self.corrections
    }

    /// The scale that a row names; the only one if it names none.
    pub fn scale_named(&self, name: Option<&str>) -> Option<&ScaleView<'a>> {
        self.scales
            .iter()
            .find(|view| belongs(name, view.scale, self.scales.len()))
    }

    /// The path of a range.
    pub fn range_path(row: usize) -> Path {
        Path::root().key("draw").key("ranges").index(row)
    }
}

/// The first and the last mark, if the marks rise from above zero.
fn ends(scale: &Scale) -> Option<(f64, f64)> {
    let marks = &scale.marks;
    let rising = marks
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a.value() < b.value()));
    let (first, last) = (marks.first()?.value(), marks.last()?.value());
    (rising && 0.0 < first && 1 < marks.len()).then_some((first, last))
}

/// A row without a name belongs to the only scale there is; with two scales it would be a guess.
fn belongs(name: Option<&str>, scale: &Scale, scales: usize) -> bool {
    match name {
        None => scales == 1,
        Some(name) => scale.name.as_deref() == Some(name),
    }
}

impl Deref for SheetView<'_> {
    type Target = TubeEntry;

    fn deref(&self) -> &TubeEntry {
        self.tube
    }
}

impl ScaleView<'_> {
    /// The path of the scale.
    pub fn path(&self) -> Path {
        Path::root().key("read").key("scales").index(self.index)
    }

    /// The first and the last mark, if the marks rise from above zero; else another rule speaks.
    pub(crate) fn ends(&self) -> Option<(f64, f64)> {
        self.ends
    }

    /// True of a row whose multiplier is printed: one that follows has no digits of its own to compare.
    pub(crate) fn prints_multiplier(&self, row: usize) -> bool {
        !self.followed_multipliers.contains(&row)
    }

    /// Interval of a range's multiplier: exactly 1 at the strokes that the scale is printed for, else all that rounds to
    /// the printed digits.
    pub(crate) fn multiplier(&self, range: &MeasuringRange) -> Option<Interval> {
        let printed = range.multiply_by.as_deref()?;
        let strokes = range.strokes.as_deref()?.value();
        let scale_strokes = self
            .scale
            .printed_for_strokes
            .as_deref()
            .map(stainbook_core::Decimal::value);
        let is_one =
            same(printed.value(), 1.0) && scale_strokes.is_some_and(|scale| same(scale, strokes));
        let interval = if is_one {
            Interval::exactly(1.0)
        } else {
            Interval::of(printed)
        };
        // `0.5` may be 0.45, but no multiplier is zero or less.
        (0.0 < printed.value()).then(|| Interval {
            low: interval.low.max(printed.value() / 10.0),
            ..interval
        })
    }

    /// The canonical spelling of the unit; nothing if it was not understood.
    pub(crate) fn unit_text(&self) -> &'static str {
        self.unit.map_or("", Unit::canonical)
    }

    /// A number with the scale's unit.
    pub(crate) fn words(&self, number: &str) -> String {
        if self.unit_text().is_empty() {
            number.to_owned()
        } else {
            format!("{number} {}", self.unit_text())
        }
    }
}
