//! A sheet as the rules look at it: each scale with its unit and with the ranges that belong to it.

use std::ops::Deref;

use stainbook_catalog::written::tube::{MeasuringRange, Scale, TubeEntry};
use stainbook_core::{Concentration, Quantity, Unit, unit_of};
use stainbook_document::place::Path;

use crate::points::{Placed, corrections};
use crate::printed::{Interval, same};

/// A sheet with what several rules need of it.
#[derive(Debug)]
pub struct SheetView<'a> {
    tube: &'a TubeEntry,
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
    /// The ranges that belong to it, each with its row on the sheet.
    pub ranges: Vec<(usize, &'a MeasuringRange)>,
    ends: Option<(f64, f64)>,
}

impl<'a> SheetView<'a> {
    /// Looks at a written sheet.
    pub fn new(tube: &'a TubeEntry) -> Self {
        let written = tube.printed_scales();
        let scales = written
            .iter()
            .enumerate()
            .map(|(index, scale)| {
                let unit = scale
                    .unit
                    .as_deref()
                    .and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
                let ranges = tube
                    .ranges()
                    .iter()
                    .enumerate()
                    .filter(|(_, range)| belongs(range.scale.as_deref(), scale, written.len()))
                    .collect();
                ScaleView {
                    index,
                    scale,
                    unit,
                    ranges,
                    ends: ends(scale),
                }
            })
            .collect();
        Self {
            tube,
            scales,
            corrections: corrections(tube),
        }
    }

    /// Its scales.
    pub fn scales(&self) -> &[ScaleView<'a>] {
        &self.scales
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
