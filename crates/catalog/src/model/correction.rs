//! Corrections with their tables complete and in rising order.

use stainbook_core::{
    Dimension, Humidity, Pressure, Quantity, Temperature, Unit, Written, unit_of,
};

use super::factor_bands::FactorBands;
use super::humidity_grid::HumidityGrid;
use super::{Needed, Unusable};
use crate::Book;
use crate::written::TableCell;
use crate::written::tube::{Axis, Between, Correction as WrittenCorrection, Method, Target};
use stainbook_document::place::Path;

/// A correction as it can be computed.
#[derive(Clone, Debug, PartialEq)]
pub enum Correction {
    /// The leaflet says that none is needed.
    NoneNeeded,
    /// The leaflet says nothing.
    NotStated,
    /// Calibration pressure over station pressure.
    Proportional,
    /// One factor for each condition.
    Factors(FactorTable),
    /// Corrected values against reading and condition.
    Table(CorrectionTable),
    /// A formula.
    Polynomial(Polynomial),
    /// The factor or refusal of each band of conditions.
    Bands(FactorBands),
    /// One factor for temperature and humidity together; for temperature only.
    WithHumidity(HumidityGrid),
    /// In the table of the temperature; for humidity only.
    WithTemperature,
    /// The leaflet's correction does not hold for this stroke count.
    NotForStrokes,
}

/// One factor for each condition.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FactorTable {
    /// Target of the factor.
    pub target: Target,
    /// The unit of the condition.
    pub unit: &'static Unit,
    /// Condition and factor, conditions rising.
    pub points: Vec<(f64, f64)>,
    /// Interpolation between two points.
    pub between: Between,
    /// Half the last printed digit of the factors, of the one with the most: a bare `1` among `1.25` is as exact as the others.
    pub factor_half_step: f64,
    /// Half-width of reading the points off a graph, as a part of the factor.
    pub read_off_half_width: Option<f64>,
}

/// Corrected values against reading and condition.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct CorrectionTable {
    /// Target that the table replaces.
    pub target: Target,
    /// The unit of the condition.
    pub unit: &'static Unit,
    /// The conditions, rising.
    pub columns: Vec<f64>,
    /// The readings, rising, in the unit of the scale.
    pub readings: Vec<f64>,
    /// For each reading the value under each column, in the unit of the scale; not a number (NaN) where the leaflet prints
    /// nothing.
    pub values: Vec<Vec<f64>>,
    /// The same with each empty cell filled by the factor of the nearest printed cell of its row, the larger one of two: for
    /// slopes and for ends of intervals only. No result is taken from a cell that the leaflet left empty.
    pub filled: Vec<Vec<f64>>,
    /// Interpolation between two rows or columns.
    pub between: Between,
}

/// A factor by a formula.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Polynomial {
    /// Target of the factor.
    pub target: Target,
    /// The unit of the condition.
    pub unit: &'static Unit,
    /// c₀, c₁, c₂ …
    pub coefficients: Vec<f64>,
}

impl Polynomial {
    /// The factor at a condition in [`unit`](Self::unit).
    pub fn factor(&self, x: f64) -> f64 {
        self.coefficients
            .iter()
            .rev()
            .fold(0.0, |sum, c| sum * x + c)
    }
}

/// The dimension of the conditions along an axis.
pub fn axis_dimension(axis: Axis) -> Dimension {
    match axis {
        Axis::Temperature => Temperature::DIMENSION,
        Axis::Humidity => Humidity::DIMENSION,
        Axis::Pressure => Pressure::DIMENSION,
    }
}

/// The sheet of a correction, as far as its tables rest on it.
#[derive(Clone, Copy)]
pub(crate) struct CorrectionOf<'b> {
    pub(crate) axis: Axis,
    /// The unit of the first scale.
    pub(crate) scale_unit: &'static Unit,
    /// The condition at which the scale is right, in the base unit; not a number (NaN) if the sheet does not say.
    pub(crate) calibration: f64,
    pub(crate) book: &'b Book,
}

impl CorrectionOf<'_> {
    /// The calibration in the unit of a table; zero if it is not known there.
    pub(super) fn calibration_in(&self, unit: &Unit) -> f64 {
        let at = unit.from_base(self.calibration);
        if at.is_finite() { at } else { 0.0 }
    }
}

impl Correction {
    /// The correction itself, whichever stroke count it is for.
    pub(crate) fn from_written(
        written: &WrittenCorrection,
        of: &CorrectionOf<'_>,
        path: &Path,
    ) -> Result<Self, Unusable> {
        let (axis, scale_unit) = (of.axis, of.scale_unit);
        let at = |key: &'static str| path.clone().key(key);
        let only_for = |wanted: Axis, words: &str| {
            (axis == wanted)
                .then_some(())
                .ok_or_else(|| Unusable::new(at("method"), words.to_owned()))
        };
        let method = written.method.needed(path, "method")?;
        match method {
            Method::NoneNeeded => Ok(Self::NoneNeeded),
            Method::NotStated => Ok(Self::NotStated),
            Method::Proportional => {
                only_for(Axis::Pressure, "`proportional` is for pressure")?;
                Ok(Self::Proportional)
            }
            Method::FactorTable | Method::CurvePoints => {
                factor_table(written, axis, path).map(Self::Factors)
            }
            Method::Table => table(written, axis, scale_unit, path).map(Self::Table),
            Method::Polynomial => polynomial(written, axis, path).map(Self::Polynomial),
            Method::FactorBands => FactorBands::from_written(written, of, path).map(Self::Bands),
            Method::WithHumidity => {
                only_for(Axis::Temperature, "`with humidity` is for temperature")?;
                HumidityGrid::from_written(written, path).map(Self::WithHumidity)
            }
            Method::WithTemperature => {
                only_for(Axis::Humidity, "`with temperature` is for humidity")?;
                Ok(Self::WithTemperature)
            }
            Method::AsOnAnotherSheet => {
                let id = written.sheet.as_deref().needed(path, "sheet")?;
                let other = on_another_sheet(of.book, id, axis)
                    .map_err(|why| Unusable::new(at("sheet"), why))?;
                Self::from_written(other, of, path)
            }
            Method::ByStrokes => Err(Unusable::new(
                at("method"),
                "a table of one stroke count has no tables of its own",
            )),
        }
    }

    /// The span of conditions that the correction covers, in its own unit; `None` if it is not bounded.
    pub fn span(&self) -> Option<(f64, f64, &'static Unit)> {
        match self {
            Self::Factors(table) => {
                Some((table.points.first()?.0, table.points.last()?.0, table.unit))
            }
            Self::Table(table) => {
                Some((*table.columns.first()?, *table.columns.last()?, table.unit))
            }
            Self::Bands(bands) => bands.span(),
            Self::WithHumidity(grid) => {
                Some((*grid.columns.first()?, *grid.columns.last()?, grid.unit))
            }
            Self::NoneNeeded
            | Self::NotStated
            | Self::Proportional
            | Self::Polynomial(_)
            | Self::WithTemperature
            | Self::NotForStrokes => None,
        }
    }

    /// The unit in which its condition is looked up; `None` if there is nothing to look up.
    pub fn unit(&self) -> Option<&'static Unit> {
        match self {
            Self::Factors(table) => Some(table.unit),
            Self::Table(table) => Some(table.unit),
            Self::Polynomial(formula) => Some(formula.unit),
            Self::Bands(bands) => Some(bands.unit),
            Self::WithHumidity(grid) => Some(grid.unit),
            Self::NoneNeeded
            | Self::NotStated
            | Self::Proportional
            | Self::WithTemperature
            | Self::NotForStrokes => None,
        }
    }
}

/// The correction that a sheet's leaflet refers to: that of another sheet, which states it itself.
///
/// # Errors
///
/// In words: there is no such sheet, it has no such correction, or refers to another sheet in its turn.
pub fn on_another_sheet<'b>(
    book: &'b Book,
    id: &str,
    axis: Axis,
) -> Result<&'b WrittenCorrection, String> {
    let entry = book
        .tube(id)
        .ok_or_else(|| format!("no sheet `{id}` in the catalog"))?;
    let correct = entry.correct.as_ref();
    let correction = correct.and_then(|correct| match axis {
        Axis::Temperature => correct.temperature.as_ref(),
        Axis::Humidity => correct.humidity.as_ref(),
        Axis::Pressure => correct.pressure.as_ref(),
    });
    match correction {
        None => Err(format!("sheet `{id}` states no such correction")),
        Some(other) if other.method == Some(Method::AsOnAnotherSheet) => Err(format!(
            "sheet `{id}` refers to another sheet in its turn; name that one"
        )),
        Some(other) => Ok(other),
    }
}

fn polynomial(
    written: &WrittenCorrection,
    axis: Axis,
    path: &Path,
) -> Result<Polynomial, Unusable> {
    let at = |key: &'static str| path.clone().key(key);
    let of = written.of.as_deref().needed(path, "of")?;
    let unit = unit_of(axis_dimension(axis), of)
        .map_err(|error| Unusable::new(at("of"), error.to_string()))?;
    if written.coefficients.is_empty() {
        return Err(Unusable::missing(at("coefficients")));
    }
    Ok(Polynomial {
        target: written.multiply.needed(path, "multiply")?,
        unit,
        coefficients: written.coefficients.iter().map(|c| c.value()).collect(),
    })
}

/// Index of the factor's column in a factor table, and the unit of the other column.
///
/// # Errors
///
/// If there are not two columns, none is called `factor`, or the other is no unit of the axis.
pub fn factor_columns(
    columns: &[String],
    axis: Axis,
) -> Result<(usize, usize, &'static Unit), String> {
    let [first, second] = columns else {
        return Err(
            "a factor table has two columns: the condition's unit, and `factor`".to_owned(),
        );
    };
    let (condition, factor, unit_text) = match (first.as_str(), second.as_str()) {
        (unit, "factor") => (0, 1, unit),
        ("factor", unit) => (1, 0, unit),
        _ => return Err("one of the two columns has to be called `factor`".to_owned()),
    };
    let unit = unit_of(axis_dimension(axis), unit_text).map_err(|error| error.to_string())?;
    Ok((condition, factor, unit))
}

fn factor_table(
    written: &WrittenCorrection,
    axis: Axis,
    path: &Path,
) -> Result<FactorTable, Unusable> {
    let at = |key: &'static str| path.clone().key(key);
    let (condition, factor, unit) = factor_columns(&written.columns, axis)
        .map_err(|message| Unusable::new(at("columns"), message))?;
    let mut half_step = f64::INFINITY;
    let mut points = written
        .rows
        .iter()
        .enumerate()
        .map(
            |(index, row)| match (row.len(), row.get(condition), row.get(factor)) {
                (2, Some(condition), Some(factor)) => {
                    half_step = half_step.min(factor.half_step());
                    Ok((condition.value(), factor.value()))
                }
                _ => Err(Unusable::new(
                    at("rows").index(index),
                    "a row has a condition and a factor",
                )),
            },
        )
        .collect::<Result<Vec<_>, _>>()?;
    if points.is_empty() {
        return Err(Unusable::missing(at("rows")));
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    if points
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if a.0 >= b.0))
    {
        return Err(Unusable::new(at("rows"), "the same condition twice"));
    }
    if points.iter().any(|(_, factor)| *factor <= 0.0) {
        return Err(Unusable::new(at("rows"), "a factor that is not above zero"));
    }
    Ok(FactorTable {
        target: written.multiply.needed(path, "multiply")?,
        unit,
        points,
        between: written.between.unwrap_or_default(),
        factor_half_step: half_step,
        read_off_half_width: written
            .read_off_half_width
            .as_ref()
            .map(|within| within.value().fraction()),
    })
}

/// The conditions that head the columns of a two-dimensional table, with the unit of the first.
///
/// # Errors
///
/// The index of the column that cannot be read, and why.
pub fn table_columns(
    columns: &[String],
    axis: Axis,
) -> Result<(Vec<f64>, &'static Unit), (usize, String)> {
    fn read<Q: Quantity>(columns: &[String]) -> Result<(Vec<f64>, &'static Unit), (usize, String)> {
        let mut unit = None;
        let values = columns
            .iter()
            .enumerate()
            .map(|(index, text)| {
                let written =
                    Written::<Q>::parse(text).map_err(|error| (index, error.to_string()))?;
                let unit = *unit.get_or_insert(written.unit());
                if unit.dimension() == written.unit().dimension() {
                    Ok(written.value().in_unit(unit))
                } else {
                    Err((
                        index,
                        "the columns have units of different kinds".to_owned(),
                    ))
                }
            })
            .collect::<Result<Vec<_>, _>>()?;
        unit.map(|unit| (values, unit))
            .ok_or_else(|| (0, "a table needs columns".to_owned()))
    }
    match axis {
        Axis::Temperature => read::<Temperature>(columns),
        Axis::Humidity => read::<Humidity>(columns),
        Axis::Pressure => read::<Pressure>(columns),
    }
}

fn table(
    written: &WrittenCorrection,
    axis: Axis,
    scale_unit: &'static Unit,
    path: &Path,
) -> Result<CorrectionTable, Unusable> {
    let at = |key: &'static str| path.clone().key(key);
    let (columns, unit) = table_columns(&written.columns, axis)
        .map_err(|(index, message)| Unusable::new(at("columns").index(index), message))?;
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by(|a, b| {
        columns
            .get(*a)
            .unwrap_or(&0.0)
            .total_cmp(columns.get(*b).unwrap_or(&0.0))
    });
    let in_order = |row: &[f64]| -> Vec<f64> {
        order
            .iter()
            .filter_map(|index| row.get(*index).copied())
            .collect()
    };
    let mut lines = written
        .lines
        .iter()
        .enumerate()
        .map(|(index, line)| {
            let at_line = at("lines").index(index);
            let reading = line.reading.as_ref().needed(&at_line, "reading")?;
            if reading.unit().dimension() != scale_unit.dimension() {
                return Err(Unusable::new(
                    at_line.key("reading"),
                    "not in a unit of the scale's kind",
                ));
            }
            let cells: Vec<f64> = line.cells().iter().map(TableCell::value).collect();
            let key = line.cells_key();
            if cells.len() != columns.len() {
                return Err(Unusable::new(
                    at_line.key(key),
                    "not one value for each column",
                ));
            }
            if !line.becomes.is_empty() && !line.factors.is_empty() {
                return Err(Unusable::new(
                    at_line.key("factors"),
                    "either `becomes` or `factors`",
                ));
            }
            if !cells.iter().any(|cell| cell.is_finite()) {
                return Err(Unusable::new(at_line.key(key), "a row without a number"));
            }
            let to_scale = |value: f64| scale_unit.from_base(reading.unit().to_base(value));
            let number = to_scale(reading.number());
            let values: Vec<f64> = cells
                .into_iter()
                .map(|cell| match key {
                    "factors" => number * cell,
                    _ => to_scale(cell),
                })
                .collect();
            Ok((number, in_order(&values)))
        })
        .collect::<Result<Vec<_>, _>>()?;
    if lines.is_empty() {
        return Err(Unusable::missing(at("lines")));
    }
    lines.sort_by(|a, b| a.0.total_cmp(&b.0));
    let columns = in_order(&columns);
    let rising = |values: &[f64]| {
        values
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if a < b))
    };
    let readings: Vec<f64> = lines.iter().map(|(reading, _)| *reading).collect();
    if !rising(&columns) {
        return Err(Unusable::new(at("columns"), "the same condition twice"));
    }
    if !rising(&readings) {
        return Err(Unusable::new(at("lines"), "the same reading twice"));
    }
    let values: Vec<Vec<f64>> = lines.into_iter().map(|(_, values)| values).collect();
    Ok(CorrectionTable {
        target: written.replace.needed(path, "replace")?,
        unit,
        filled: values.iter().map(|row| filled(&columns, row)).collect(),
        columns,
        readings,
        values,
        between: written.between.unwrap_or_default(),
    })
}

/// A row with its empty cells filled from the nearest printed one; of two that are as near the larger.
pub(super) fn filled(columns: &[f64], row: &[f64]) -> Vec<f64> {
    let printed = |at: f64| {
        let cells = columns.iter().zip(row).filter(|(_, cell)| cell.is_finite());
        let nearest = cells
            .clone()
            .map(|(column, _)| (column - at).abs())
            .fold(f64::INFINITY, f64::min);
        cells
            .filter(|(column, _)| (*column - at).abs() <= nearest)
            .map(|(_, cell)| *cell)
            .fold(f64::NAN, f64::max)
    };
    row.iter()
        .zip(columns)
        .map(|(cell, column)| {
            if cell.is_finite() {
                *cell
            } else {
                printed(*column)
            }
        })
        .collect()
}
