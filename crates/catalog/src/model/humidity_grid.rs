//! Factors for temperature and humidity together.

use stainbook_core::{Decimal, Unit};
use stainbook_document::place::Path;

use super::correction::{filled, table_columns};
use super::{Needed, Unusable};
use crate::written::TableCell;
use crate::written::tube::{Axis, Between, Correction as WrittenCorrection, Target};

/// One factor for each temperature and humidity.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct HumidityGrid {
    /// Target of the factor.
    pub target: Target,
    /// The unit of the temperatures.
    pub unit: &'static Unit,
    /// The temperatures, rising.
    pub columns: Vec<f64>,
    /// The unit of the humidities.
    pub humidity_unit: &'static Unit,
    /// The humidities, rising.
    pub humidities: Vec<f64>,
    /// For each humidity the factor under each temperature; not a number (NaN) where the leaflet prints nothing.
    pub factors: Vec<Vec<f64>>,
    /// The same with empty cells filled, for slopes and ends of intervals only.
    pub filled: Vec<Vec<f64>>,
    /// Interpolation between two rows or columns.
    pub between: Between,
    /// Half the last printed digit of the factors, of the one with the most.
    pub factor_half_step: f64,
}

impl HumidityGrid {
    pub(super) fn from_written(written: &WrittenCorrection, path: &Path) -> Result<Self, Unusable> {
        let at = |key: &'static str| path.clone().key(key);
        let (headings, unit) = table_columns(&written.columns, Axis::Temperature)
            .map_err(|(index, message)| Unusable::new(at("columns").index(index), message))?;
        let mut order: Vec<(usize, f64)> = headings.into_iter().enumerate().collect();
        order.sort_by(|a, b| a.1.total_cmp(&b.1));
        let columns: Vec<f64> = order.iter().map(|(_, column)| *column).collect();
        let mut humidity_unit = None;
        let mut half_step = f64::INFINITY;
        let mut lines = Vec::with_capacity(written.humidities.len());
        for (index, line) in written.humidities.iter().enumerate() {
            let at_line = at("humidities").index(index);
            let humidity = line.humidity.as_ref().needed(&at_line, "humidity")?;
            let unit = *humidity_unit.get_or_insert(humidity.unit());
            if unit.dimension() != humidity.unit().dimension() {
                return Err(Unusable::new(
                    at_line.key("humidity"),
                    "not of the kind of the other rows: relative or absolute",
                ));
            }
            if line.factors.len() != columns.len() {
                return Err(Unusable::new(
                    at_line.key("factors"),
                    "not one factor for each column",
                ));
            }
            let cells = line.factors.iter().filter_map(|cell| cell.number());
            half_step = cells.map(Decimal::half_step).fold(half_step, f64::min);
            let factors: Vec<f64> = order
                .iter()
                .filter_map(|(index, _)| line.factors.get(*index).map(TableCell::value))
                .collect();
            if factors.iter().any(|factor| *factor <= 0.0) {
                return Err(Unusable::new(
                    at_line.key("factors"),
                    "a factor that is not above zero",
                ));
            }
            if factors.iter().all(|factor| factor.is_nan()) {
                return Err(Unusable::new(
                    at_line.key("factors"),
                    "a row without a number",
                ));
            }
            lines.push((
                unit.from_base(humidity.unit().to_base(humidity.number())),
                factors,
            ));
        }
        let humidity_unit = humidity_unit.ok_or_else(|| Unusable::missing(at("humidities")))?;
        lines.sort_by(|a, b| a.0.total_cmp(&b.0));
        let rising = |numbers: &[f64]| {
            numbers
                .windows(2)
                .all(|pair| matches!(pair, [a, b] if a < b))
        };
        let humidities: Vec<f64> = lines.iter().map(|(humidity, _)| *humidity).collect();
        if !rising(&columns) {
            return Err(Unusable::new(at("columns"), "the same condition twice"));
        }
        if !rising(&humidities) {
            return Err(Unusable::new(at("humidities"), "the same humidity twice"));
        }
        let factors: Vec<Vec<f64>> = lines.into_iter().map(|(_, factors)| factors).collect();
        Ok(Self {
            target: written.multiply.needed(path, "multiply")?,
            unit,
            filled: factors.iter().map(|row| filled(&columns, row)).collect(),
            columns,
            humidity_unit,
            humidities,
            factors,
            between: written.between.unwrap_or_default(),
            factor_half_step: if half_step.is_finite() {
                half_step
            } else {
                0.0
            },
        })
    }
}
