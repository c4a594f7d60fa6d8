//! The checked model: what a sheet says once its text has been understood and its references followed.
//!
//! The written form may hold anything an author typed. What is here can be computed with: quantities are quantities,
//! tables are complete and in rising order, a substance is a substance with its molar mass. Everything is made from a
//! [`Book`](crate::Book) and handed out for reading only.

mod correction;
mod factor_bands;
mod humidity_grid;
mod pump;
mod stroke_corrections;
mod substance;
mod thresholds;
mod tube;

pub use correction::{
    Correction, CorrectionTable, FactorTable, Polynomial, axis_dimension, factor_columns,
    on_another_sheet, table_columns,
};
pub use factor_bands::{BandEnds, BandFactor, ConditionBand, FactorBands, band_ends};
pub use humidity_grid::HumidityGrid;
pub use pump::{Pump, PumpKind};
pub use stroke_corrections::{StrokeCorrection, StrokeCorrections};
pub use substance::{Limit, Substance};
pub use thresholds::{CountTable, Indication, Thresholds};
pub use tube::{
    Accuracy, Band, BandDeviation, BandEnd, Calibration, FactorValue, Interferent,
    LimitOfDetection, Measured, MeasuringRange, ResponseFactor, Scale, Tube, USUAL_ORDER, Visible,
    series_of,
};

use stainbook_document::place::Path;

/// Reason for which an entry cannot be computed with: the field, and its problem.
#[derive(Clone, Debug, PartialEq)]
pub struct Unusable {
    /// The field.
    pub path: Path,
    /// The problem.
    pub message: String,
}

impl std::fmt::Display for Unusable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} (at `{}`)", self.message, self.path)
    }
}

impl std::error::Error for Unusable {}

impl Unusable {
    pub(crate) fn new(path: Path, message: impl Into<String>) -> Self {
        Self {
            path,
            message: message.into(),
        }
    }

    pub(crate) fn missing(path: Path) -> Self {
        Self::new(path, "missing or not understood")
    }
}

/// A field that nothing can be computed without.
trait Needed<T> {
    /// The field's value.
    ///
    /// # Errors
    ///
    /// That it is missing, with its path: `key` in the group of fields at `of`.
    fn needed(self, of: &Path, key: &'static str) -> Result<T, Unusable>;
}

impl<T> Needed<T> for Option<T> {
    fn needed(self, of: &Path, key: &'static str) -> Result<T, Unusable> {
        self.ok_or_else(|| Unusable::missing(of.clone().key(key)))
    }
}
