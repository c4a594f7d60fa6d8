//! A sheet made ready once for all readings that belong to it.

use std::borrow::Cow;

use stainbook_catalog::Book;
use stainbook_catalog::model::{Tube, on_another_sheet};
use stainbook_catalog::written::tube::{Axis, Correction, Method};
use stainbook_catalog::written::{Num, TubeEntry};
use stainbook_core::{Decimal, Quantity, Unit};

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
    /// The bands as numbers, for each unit that a scale has.
    bands: Vec<UnitBands>,
}

/// The bands of a sheet as numbers in one unit: they are asked for a dozen times a reading.
#[derive(Clone, Debug)]
struct UnitBands {
    unit: &'static Unit,
    accuracy: Bands,
    repeatability: Bands,
    /// The stretches of a scale in each of which neither changes.
    pieces: Vec<(f64, f64)>,
}

/// Bands in their order, each with the reading up to which it holds, and what holds where there are none.
#[derive(Clone, Debug)]
struct Bands {
    up_to: Vec<(f64, InBand)>,
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
                .map(|scale| UnitBands::new(&tube, scale.unit))
                .collect(),
            tube,
            entry,
        })
    }

    /// The repeatability at a reading.
    pub(crate) fn repeatability_at(&self, reading: f64, unit: &'static Unit) -> InBand {
        self.bands(unit).repeatability.at(reading)
    }

    /// The accuracy at a reading.
    pub(crate) fn accuracy_at(&self, reading: f64, unit: &'static Unit) -> InBand {
        self.bands(unit).accuracy.at(reading)
    }

    /// The stretches of a scale in each of which accuracy and repeatability do not change.
    pub(crate) fn pieces(&self, unit: &'static Unit) -> Cow<'_, [(f64, f64)]> {
        match self.bands(unit) {
            Cow::Borrowed(bands) => Cow::Borrowed(&bands.pieces),
            Cow::Owned(bands) => Cow::Owned(bands.pieces),
        }
    }

    fn bands(&self, unit: &'static Unit) -> Cow<'_, UnitBands> {
        let of_scale = self.bands.iter().find(|one| std::ptr::eq(one.unit, unit));
        of_scale.map_or_else(
            || Cow::Owned(UnitBands::new(&self.tube, unit)),
            Cow::Borrowed,
        )
    }
}

impl UnitBands {
    fn new(tube: &Tube, unit: &'static Unit) -> Self {
        let silent = |standard| InBand {
            standard,
            row: None,
            degrees_of_freedom: f64::INFINITY,
        };
        let accuracy = tube.accuracy.iter().map(|band| {
            let degrees_of_freedom = band
                .relative_uncertainty
                .map_or(f64::INFINITY, propagation::degrees_of_freedom_of_inexact);
            let standard = band.within / normal::two_sided(band.confidence);
            (band.up_to.in_unit(unit), standard, degrees_of_freedom)
        });
        let repeatability = tube.repeatability.iter().map(|band| {
            let degrees_of_freedom = band
                .from_readings
                .map_or(f64::INFINITY, |count| f64::from(count) - 1.0);
            (band.up_to.in_unit(unit), band.rsd, degrees_of_freedom)
        });
        Self {
            unit,
            accuracy: Bands {
                up_to: bands(accuracy),
                silent: silent(defaults::ACCURACY_WITHIN / normal::two_sided(defaults::CONFIDENCE)),
            },
            repeatability: Bands {
                up_to: bands(repeatability),
                silent: silent(defaults::REPEATABILITY),
            },
            pieces: pieces(tube, unit),
        }
    }
}

impl Bands {
    /// The first band that reaches the reading; beyond the last one, the last.
    fn at(&self, reading: f64) -> InBand {
        self.up_to
            .iter()
            .find(|(up_to, _)| reading <= *up_to)
            .or(self.up_to.last())
            .map_or(self.silent, |(_, band)| *band)
    }
}

/// The stretches of a scale in each of which no band ends.
fn pieces(tube: &Tube, unit: &'static Unit) -> Vec<(f64, f64)> {
    // The last band of each goes on without an end.
    fn inner<B>(bands: &[B]) -> &[B] {
        bands.split_last().map_or(&[], |(_, inner)| inner)
    }
    let accuracy = inner(&tube.accuracy).iter().map(|band| band.up_to);
    let repeatability = inner(&tube.repeatability).iter().map(|band| band.up_to);
    let mut edges: Vec<f64> = accuracy
        .chain(repeatability)
        .map(|up_to| up_to.in_unit(unit))
        .filter(|edge| edge.is_finite())
        .collect();
    edges.sort_by(f64::total_cmp);
    edges.dedup();
    // The edge itself belongs to the band below it.
    let from = edges.iter().map(|edge| edge * (1.0 + 2.0 * SAME_EDGE));
    let to = edges.iter().copied().chain([f64::INFINITY]);
    std::iter::once(0.0).chain(from).zip(to).collect()
}

/// Relative tolerance within which a reading lies on the edge of a band.
const SAME_EDGE: f64 = 1e-9;

/// Bands that can be compared with a reading, from the ends, figures and degrees of freedom of the rows of a sheet.
fn bands(rows: impl Iterator<Item = (f64, f64, f64)>) -> Vec<(f64, InBand)> {
    rows.enumerate()
        .filter(|(_, (up_to, ..))| up_to.is_finite())
        .map(|(row, (up_to, standard, degrees_of_freedom))| {
            let band = InBand {
                standard,
                row: Some(row),
                // Of one reading there is no spread: a count of 1 is a slip, for the checker to find.
                degrees_of_freedom: degrees_of_freedom.max(1.0),
            };
            (up_to * (1.0 + SAME_EDGE), band)
        })
        .collect()
}

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
