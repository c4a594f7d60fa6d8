//! Corrections as points: what the rules about tables have in common.

use stainbook_catalog::model::{BandEnds, band_ends, factor_columns, table_columns};
use stainbook_catalog::written::tube::{Axis, Correction, Method, TubeEntry};
use stainbook_core::{Humidity, Pressure, Quantity, Temperature, Unit};
use stainbook_document::place::Path;

use crate::printed::Interval;

/// A correction of a sheet with its place, its table understood once for all rules.
#[derive(Clone, Debug)]
pub(crate) struct Placed<'a> {
    pub(crate) axis: Axis,
    /// Its place among the tables by stroke count, if it is one of them.
    table: Option<usize>,
    pub(crate) correction: &'a Correction,
    points: Option<(Vec<Point<'a>>, &'static Unit)>,
    columns: Option<(Vec<f64>, &'static Unit)>,
}

/// The corrections of a sheet, in the order in which they stand there.
pub(crate) fn corrections(tube: &TubeEntry) -> Vec<Placed<'_>> {
    let Some(correct) = &tube.correct else {
        return Vec::new();
    };
    let axes = [
        (Axis::Temperature, &correct.temperature),
        (Axis::Humidity, &correct.humidity),
        (Axis::Pressure, &correct.pressure),
    ];
    axes.into_iter()
        .filter_map(|(axis, correction)| Some((axis, correction.as_ref()?)))
        .flat_map(|(axis, correction)| {
            let of_counts = correction.tables.iter().enumerate();
            std::iter::once(Placed::new(axis, None, correction)).chain(
                of_counts
                    .map(move |(table, correction)| Placed::new(axis, Some(table), correction)),
            )
        })
        .collect()
}

/// The key of an axis, which is also its word.
pub(crate) fn axis_name(axis: Axis) -> &'static str {
    axis.name()
}

/// One row of a factor table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point<'a> {
    /// Its row on the sheet.
    pub(crate) row: usize,
    pub(crate) condition: &'a stainbook_core::Decimal,
    pub(crate) factor: &'a stainbook_core::Decimal,
    /// Index of the factor's column.
    pub(crate) factor_column: usize,
}

/// The points of a factor table; nothing if its shape is not right.
fn points_of(correction: &Correction, axis: Axis) -> Option<(Vec<Point<'_>>, &'static Unit)> {
    let (condition, factor_column, unit) = factor_columns(&correction.columns, axis).ok()?;
    let points = correction.rows.iter().enumerate().map(|(row, numbers)| {
        let (condition, factor) = (numbers.get(condition)?, numbers.get(factor_column)?);
        let point = Point {
            row,
            condition,
            factor,
            factor_column,
        };
        (numbers.len() == 2).then_some(point)
    });
    let points = points.collect::<Option<Vec<_>>>()?;
    (!points.is_empty()).then_some((points, unit))
}

impl<'a> Placed<'a> {
    fn new(axis: Axis, table: Option<usize>, correction: &'a Correction) -> Self {
        let mut placed = Self {
            axis,
            table,
            correction,
            points: None,
            columns: None,
        };
        if placed.is_factors() {
            placed.points = points_of(correction, axis);
        } else if placed.is_table() || placed.is_grid() {
            placed.columns = table_columns(&correction.columns, axis).ok();
        }
        placed
    }

    /// The path of the correction.
    pub(crate) fn path(&self) -> Path {
        let path = Path::root().key("correct").key(axis_name(self.axis));
        match self.table {
            Some(table) => path.key("tables").index(table),
            None => path,
        }
    }

    /// True if it states factors for bands of conditions.
    pub(crate) fn is_bands(&self) -> bool {
        self.correction.method == Some(Method::FactorBands)
    }

    /// True if it is a table of factors against temperature and humidity.
    pub(crate) fn is_grid(&self) -> bool {
        self.correction.method == Some(Method::WithHumidity)
    }

    /// The ends of its bands, each with its row; those that cannot be read are left out, of which another rule speaks.
    pub(crate) fn bands(&self) -> Vec<(usize, BandEnds)> {
        let bands = self.correction.bands.iter().enumerate();
        bands
            .filter_map(|(row, band)| {
                let ends = band_ends(band.within.as_deref()?, self.axis).ok()?;
                (ends.low <= ends.high).then_some((row, ends))
            })
            .collect()
    }

    /// The same from the lowest to the highest, in the unit of the first.
    pub(crate) fn bands_rising(&self) -> Vec<(usize, BandEnds)> {
        let mut bands = self.bands();
        let Some(unit) = bands.first().map(|(_, ends)| ends.unit) else {
            return bands;
        };
        for (_, ends) in &mut bands {
            *ends = ends.converted(unit);
        }
        bands.sort_by(|(_, a), (_, b)| a.low.total_cmp(&b.low).then(a.high.total_cmp(&b.high)));
        bands
    }

    /// True if it is a list of factors by condition.
    pub(crate) fn is_factors(&self) -> bool {
        matches!(
            self.correction.method,
            Some(Method::FactorTable | Method::CurvePoints)
        )
    }

    /// True if it is a table of values by reading and condition.
    pub(crate) fn is_table(&self) -> bool {
        self.correction.method == Some(Method::Table)
    }

    /// The points of a factor table as they stand, and the unit of their conditions; nothing if its shape is not right,
    /// of which another rule speaks.
    pub(crate) fn points(&self) -> Option<(&[Point<'a>], &'static Unit)> {
        self.points
            .as_ref()
            .map(|(points, unit)| (points.as_slice(), *unit))
    }

    /// The same with the conditions rising, whichever way they are written; nothing if they do not go one way, of which
    /// another rule speaks.
    pub(crate) fn rising_points(&self) -> Option<(Vec<Point<'a>>, &'static Unit)> {
        let (mut points, unit) = self.points.clone()?;
        if let (Some(first), Some(last)) = (points.first(), points.last())
            && last.condition.value() < first.condition.value()
        {
            points.reverse();
        }
        let apart = points
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if a.condition.value() < b.condition.value()));
        apart.then_some((points, unit))
    }

    /// The conditions that head the columns of a table, with their unit; nothing if they cannot be read.
    pub(crate) fn columns(&self) -> Option<(&[f64], &'static Unit)> {
        self.columns
            .as_ref()
            .map(|(columns, unit)| (columns.as_slice(), *unit))
    }

    /// The heading of a column, as written.
    pub(crate) fn heading(&self, column: usize) -> &'a str {
        let heading = self.correction.columns.get(column);
        heading.map_or("", String::as_str)
    }

    /// Half-width of a value that was read off a curve, as a part of it; zero where nothing was.
    pub(crate) fn read_off_half_width(&self) -> f64 {
        let within = self.correction.read_off_half_width.as_ref();
        within.map_or(0.0, |within| within.value().fraction())
    }

    /// The lowest and the highest condition that the table covers.
    pub(crate) fn span(&self) -> Option<(f64, f64, &'static Unit)> {
        let of_points = || {
            let (points, unit) = self.points()?;
            let conditions = points.iter().map(|point| point.condition.value());
            Some((conditions.collect::<Vec<f64>>(), unit))
        };
        let of_columns = || {
            self.columns()
                .map(|(columns, unit)| (columns.to_vec(), unit))
        };
        let of_bands = || {
            let bands = self.bands();
            let (_, first) = bands.first()?;
            let in_unit = |end: f64, of: &BandEnds| {
                if end.is_finite() {
                    first.unit.from_base(of.unit.to_base(end))
                } else {
                    end
                }
            };
            let ends = bands
                .iter()
                .flat_map(|(_, of)| [in_unit(of.low, of), in_unit(of.high, of)]);
            (self.correction.elsewhere.is_none()).then(|| (ends.collect::<Vec<f64>>(), first.unit))
        };
        let (values, unit) = of_columns().or_else(of_points).or_else(of_bands)?;
        let low = values.iter().copied().reduce(f64::min)?;
        let high = values.iter().copied().reduce(f64::max)?;
        Some((low, high, unit))
    }

    /// The condition at which the scale is right, in this unit, with what its digits leave open; nothing if it is not
    /// stated or cannot be brought to the unit.
    pub(crate) fn calibration(&self, tube: &TubeEntry, unit: &'static Unit) -> Option<Interval> {
        let at = tube.calibrated_at()?;
        match self.axis {
            Axis::Temperature => {
                let written = at.temperature.as_ref()?;
                Some(in_unit::<Temperature>(
                    written.value(),
                    written.unit(),
                    written.half_step(),
                    unit,
                ))
            }
            Axis::Pressure => {
                let written = at.pressure.as_ref()?;
                Some(in_unit::<Pressure>(
                    written.value(),
                    written.unit(),
                    written.half_step(),
                    unit,
                ))
            }
            Axis::Humidity => {
                let written = at.humidity.as_ref()?;
                if written.unit().dimension() == unit.dimension() {
                    return Some(in_unit::<Humidity>(
                        written.value(),
                        written.unit(),
                        written.half_step(),
                        unit,
                    ));
                }
                // Relative and absolute humidity are the same air only at one temperature.
                let temperature = at.temperature.as_ref()?.value();
                let humidity = written.value();
                let brought = match humidity {
                    Humidity::Relative(_) => {
                        Humidity::Absolute(humidity.to_absolute(temperature).ok()?)
                    }
                    Humidity::Absolute(_) => {
                        Humidity::Relative(humidity.to_relative(temperature).ok()?)
                    }
                };
                let value = brought.in_unit(unit);
                let part = written.half_step() / written.number().abs().max(f64::MIN_POSITIVE);
                value
                    .is_finite()
                    .then(|| Interval::around(value, value * part))
            }
        }
    }
}

/// A written quantity with the half step of its digits, in another unit of its kind.
fn in_unit<Q: Quantity>(
    value: Q,
    written_in: &Unit,
    half_step: f64,
    unit: &'static Unit,
) -> Interval {
    let one = unit.step_to_base(1.0);
    Interval::around(
        value.in_unit(unit),
        written_in.step_to_base(half_step) / one,
    )
}

/// The value between two points, in a straight line; outside of them nothing.
pub(crate) fn between(x: f64, a: (f64, f64), b: (f64, f64)) -> Option<f64> {
    let inside = a.0 <= x && x <= b.0 && a.0 < b.0;
    inside.then(|| a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0))
}
