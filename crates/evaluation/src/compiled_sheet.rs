//! A sheet made ready once for all readings that belong to it.

use std::borrow::Cow;

use stainbook_catalog::Book;
use stainbook_catalog::model::{BandDeviation, BandEnd, Scale, Tube, on_another_sheet};
use stainbook_catalog::written::tube::{Axis, Correction, Method};
use stainbook_catalog::written::{Num, TubeEntry};
use stainbook_core::Decimal;

use crate::defaults;
use crate::evaluated::not_prepared::NotPrepared;
use stainbook_uncertainty::{normal, propagation};

/// A sheet with what the results need of it beyond the model.
#[derive(Clone, Debug)]
pub struct CompiledSheet<'b> {
    /// The sheet as it can be computed with.
    pub tube: Tube,
    /// The sheet as it was written.
    pub entry: &'b TubeEntry,
    /// Half the last printed digit of each correction table: temperature, humidity, pressure.
    pub(crate) half_steps: [f64; 3],
    /// The bands as numbers, for each scale.
    bands: Vec<ScaleBands>,
}

/// The bands of a sheet as numbers on one scale: they are asked for a dozen times a reading.
#[derive(Clone, Debug)]
struct ScaleBands {
    accuracy: Bands,
    repeatability: Bands,
    /// The stretches of a scale in each of which neither changes.
    pieces: Vec<(f64, f64)>,
}

/// Bands in their order, each with the reading up to which it holds, and what holds where there are none.
#[derive(Clone, Debug)]
struct Bands {
    up_to: Vec<(f64, InBand)>,
    /// The ends of all but the last, without a tolerance.
    edges: Vec<f64>,
    silent: InBand,
}

/// A band of the scale: its figure as a standard uncertainty, and which row of the sheet it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct InBand {
    /// The relative standard uncertainty.
    pub(crate) standard: f64,
    /// The row on the sheet; nothing for a default.
    pub(crate) row: Option<usize>,
    /// The degrees of freedom of the figure; infinite where the sheet does not say on how many readings it rests.
    pub(crate) degrees_of_freedom: f64,
}

impl<'b> CompiledSheet<'b> {
    /// Makes a sheet ready.
    ///
    /// # Errors
    ///
    /// [`NotPrepared`] if there is no sheet of this short name, or it says too little to be computed with.
    pub(crate) fn new(book: &'b Book, id: &str) -> Result<Self, NotPrepared> {
        let sheet = || id.to_owned();
        let entry = book
            .tube(id)
            .ok_or_else(|| NotPrepared::SheetNotFound { sheet: sheet() })?;
        let tube = book
            .tube_model(id)
            .map_err(|why| NotPrepared::SheetUnusable {
                sheet: sheet(),
                why,
            })?;
        let correct = entry.correct.as_ref();
        let half_step = |correction: Option<&Correction>, axis| {
            let Some(correction) = correction else {
                return 0.0;
            };
            let referred = correction
                .sheet
                .as_deref()
                .and_then(|id| on_another_sheet(book, id, axis).ok());
            half_step(referred.unwrap_or(correction))
        };
        Ok(Self {
            half_steps: [
                half_step(
                    correct.and_then(|correct| correct.temperature.as_ref()),
                    Axis::Temperature,
                ),
                half_step(
                    correct.and_then(|correct| correct.humidity.as_ref()),
                    Axis::Humidity,
                ),
                half_step(
                    correct.and_then(|correct| correct.pressure.as_ref()),
                    Axis::Pressure,
                ),
            ],
            bands: tube
                .scales
                .iter()
                .map(|scale| ScaleBands::new(&tube, scale))
                .collect(),
            tube,
            entry,
        })
    }

    /// The repeatability at a reading.
    pub(crate) fn repeatability_at(&self, reading: f64, scale: &Scale) -> InBand {
        self.bands(scale).repeatability.at(reading)
    }

    /// The accuracy at a reading.
    pub(crate) fn accuracy_at(&self, reading: f64, scale: &Scale) -> InBand {
        self.bands(scale).accuracy.at(reading)
    }

    /// The stretches of a scale in each of which accuracy and repeatability do not change.
    pub(crate) fn pieces(&self, scale: &Scale) -> Cow<'_, [(f64, f64)]> {
        match self.bands(scale) {
            Cow::Borrowed(bands) => Cow::Borrowed(&bands.pieces),
            Cow::Owned(bands) => Cow::Owned(bands.pieces),
        }
    }

    fn bands(&self, scale: &Scale) -> Cow<'_, ScaleBands> {
        let scales = self.tube.scales.iter();
        let index = scales.into_iter().position(|own| std::ptr::eq(own, scale));
        let of_scale = index.and_then(|index| self.bands.get(index));
        of_scale.map_or_else(
            || Cow::Owned(ScaleBands::new(&self.tube, scale)),
            Cow::Borrowed,
        )
    }
}

impl ScaleBands {
    fn new(tube: &Tube, scale: &Scale) -> Self {
        let silent = |standard| InBand {
            standard,
            row: None,
            degrees_of_freedom: f64::INFINITY,
        };
        let accuracy = tube.accuracy.iter().map(|band| {
            let degrees_of_freedom = band
                .relative_uncertainty
                .map_or(f64::INFINITY, propagation::degrees_of_freedom_of_inexact);
            let confidence = normal::two_sided(band.confidence);
            (band.up_to, (band.within, confidence), degrees_of_freedom)
        });
        let repeatability = tube.repeatability.iter().map(|band| {
            let degrees_of_freedom = band
                .from_readings
                .map_or(f64::INFINITY, |count| f64::from(count) - 1.0);
            (band.up_to, (band.rsd, 1.0), degrees_of_freedom)
        });
        let accuracy = Bands::new(
            scale,
            accuracy,
            silent(defaults::ACCURACY_WITHIN / normal::two_sided(defaults::CONFIDENCE)),
        );
        let repeatability = Bands::new(scale, repeatability, silent(defaults::REPEATABILITY));
        Self {
            pieces: pieces(&accuracy.edges, &repeatability.edges),
            accuracy,
            repeatability,
        }
    }
}

impl Bands {
    /// From the ends, deviations with what they are divided by, and degrees of freedom of the rows of a sheet. Ends in another kind of
    /// unit cannot be compared with a reading.
    fn new(
        scale: &Scale,
        rows: impl Iterator<Item = (BandEnd, (BandDeviation, f64), f64)>,
        silent: InBand,
    ) -> Self {
        let mut up_to = Vec::new();
        let mut edges = Vec::new();
        let mut from = 0.0;
        let mut rows = rows.enumerate().peekable();
        while let Some((row, (end, (deviation, divisor), degrees_of_freedom))) = rows.next() {
            let [low, high] = end.on(scale);
            // Of two ends that may be meant the one up to which the larger figure holds.
            let next = rows
                .peek()
                .map(|(_, (_, (deviation, divisor), _))| deviation.at(high, scale) / divisor);
            let own = deviation.at(high, scale) / divisor;
            let end = if next.is_some_and(|next| own < next) {
                low
            } else {
                high
            };
            if !end.is_finite() {
                continue;
            }
            for to in steps(&deviation, scale, from, end) {
                // Within a step the deviation at its lower end counts, which is the largest part of the value there.
                let standard =
                    deviation.at(largest_at(from, to, &deviation, scale), scale) / divisor;
                let band = InBand {
                    standard,
                    row: Some(row),
                    // Of one reading there is no spread: a count of 1 is a slip, for the checker to find.
                    degrees_of_freedom: degrees_of_freedom.max(1.0),
                };
                up_to.push((to * (1.0 + SAME_EDGE), band));
                edges.push(to);
                from = to;
            }
        }
        edges.pop();
        Self {
            up_to,
            edges,
            silent,
        }
    }

    /// The first band that reaches the reading; beyond the last one, the last.
    fn at(&self, reading: f64) -> InBand {
        self.up_to
            .iter()
            .find(|(up_to, _)| reading <= *up_to)
            .or(self.up_to.last())
            .map_or(self.silent, |(_, band)| *band)
    }
}

/// Size of the steps in which a deviation is taken that is not the same part of every value. Our own choice: the deviation is
/// overstated by this part of itself at most.
const STEP: f64 = 1.04;

/// Part of the first mark below which such a deviation is not followed any more: no stain is so short.
const SHORTEST: f64 = 0.02;

/// The ends of the steps from one end of a band to the other: one step for a deviation that is the same part of every value.
fn steps(deviation: &BandDeviation, scale: &Scale, from: f64, to: f64) -> Vec<f64> {
    let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last()) else {
        return vec![to];
    };
    if deviation.is_relative() {
        return vec![to];
    }
    let mut ends: Vec<f64> = scale.marks.clone();
    let mut at = from.max(first * SHORTEST);
    while at < last * STEP && at < to {
        ends.push(at);
        at *= STEP;
    }
    ends.retain(|end| from * (1.0 + SAME_EDGE) < *end && *end * (1.0 + SAME_EDGE) < to);
    ends.push(to);
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() <= SAME_EDGE * b.abs());
    ends
}

/// The stain of a step at which its deviation is taken: its lower end, or the shortest one that is followed.
fn largest_at(from: f64, to: f64, deviation: &BandDeviation, scale: &Scale) -> f64 {
    if deviation.is_relative() {
        return to;
    }
    let shortest = scale.marks.first().map_or(to, |first| first * SHORTEST);
    // A stain just above a mark lies in the space above it.
    (from * (1.0 + 2.0 * SAME_EDGE)).max(shortest).min(to)
}

/// The stretches of a scale in each of which no band ends.
fn pieces(accuracy: &[f64], repeatability: &[f64]) -> Vec<(f64, f64)> {
    // The last band of each goes on without an end.
    let mut edges: Vec<f64> = [accuracy, repeatability].concat();
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    // The edge itself belongs to the band below it.
    let from = edges.iter().map(|edge| edge * (1.0 + 2.0 * SAME_EDGE));
    let to = edges.iter().copied().chain([f64::INFINITY]);
    std::iter::once(0.0).chain(from).zip(to).collect()
}

/// Relative tolerance within which a reading lies on the edge of a band.
const SAME_EDGE: f64 = 1e-9;

/// Half the last printed digit of a table. The finest of its numbers counts: an author who writes `1` beside `1.10` has
/// left out the zeros.
fn half_step(correction: &Correction) -> f64 {
    let finest = |numbers: &mut dyn Iterator<Item = &Num>| {
        numbers
            .map(|number| number.half_step())
            .reduce(f64::min)
            .unwrap_or(0.0)
    };
    match correction.method {
        Some(Method::FactorTable | Method::CurvePoints) => {
            let Some(column) = correction
                .columns
                .iter()
                .position(|column| column == "factor")
            else {
                return 0.0;
            };
            finest(&mut correction.rows.iter().filter_map(|row| row.get(column)))
        }
        // Of a row of factors the step of what comes out: the factor's, times the row's reading.
        Some(Method::Table) => {
            let cells = correction.lines.iter().flat_map(|line| {
                let of_factors = line.becomes.is_empty();
                let times = line
                    .reading
                    .as_ref()
                    .filter(|_| of_factors)
                    .map_or(1.0, |reading| reading.number());
                line.cells()
                    .iter()
                    .filter_map(move |cell| Some(cell.number()?.half_step() * times))
            });
            cells.reduce(f64::min).unwrap_or(0.0)
        }
        Some(Method::FactorBands) => finest(
            &mut correction
                .bands
                .iter()
                .filter_map(|band| band.factor.as_ref()),
        ),
        Some(Method::WithHumidity) => correction
            .humidities
            .iter()
            .flat_map(|line| &line.factors)
            .filter_map(|cell| cell.number().map(Decimal::half_step))
            .reduce(f64::min)
            .unwrap_or(0.0),
        Some(Method::ByStrokes) => correction
            .tables
            .iter()
            .map(half_step)
            .filter(|step| 0.0 < *step)
            .reduce(f64::min)
            .unwrap_or(0.0),
        _ => 0.0,
    }
}
