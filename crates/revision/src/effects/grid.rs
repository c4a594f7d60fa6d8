//! The readings and conditions at which the two states of a sheet are worked out.

use stainbook_catalog::model::{Correction, Scale, StrokeCorrections, Tube};
use stainbook_core::{Dimension, Humidity, Quantity, Unit, print, unit};

use super::outcome::GridAir;
use stainbook_evaluation::stain::same_strokes;

/// The pressure that stands for a place at altitude, kPa: about 1,450 m in the standard atmosphere.
const AT_ALTITUDE: f64 = 85.0;

/// A scale that one of the two states has.
#[derive(Clone, Debug)]
pub(super) struct ScaleGrid {
    pub(super) name: Option<String>,
    pub(super) unit: &'static Unit,
    /// The marks of both, rising.
    pub(super) readings: Vec<f64>,
    /// The stroke counts of both, rising.
    pub(super) strokes: Vec<f64>,
    /// The count that the new scale is printed for.
    pub(super) printed_for: f64,
}

/// The scales of both states; one of the same name in another kind of unit is told by its name in `Err`.
pub(super) fn scales(old: &Tube, new: &Tube) -> Result<Vec<ScaleGrid>, String> {
    let mut grids: Vec<ScaleGrid> = Vec::new();
    // Where each state has one scale, a name that was given or taken away does not make it another.
    let lone = old.scales.len() == 1 && new.scales.len() == 1;
    for (tube, scale, index) in [old, new].into_iter().flat_map(|tube| {
        tube.scales
            .iter()
            .enumerate()
            .map(move |(i, s)| (tube, s, i))
    }) {
        let strokes = tube
            .ranges
            .iter()
            .filter(|range| range.scale == index)
            .map(|range| range.strokes);
        let known = grids
            .iter()
            .position(|grid| lone || grid.name == scale.name);
        let at = known.unwrap_or_else(|| {
            grids.push(empty(scale));
            grids.len() - 1
        });
        let Some(grid) = grids.get_mut(at) else {
            continue;
        };
        if grid.unit.dimension() != scale.unit.dimension() {
            return Err(format!(
                "the scale was in {} and is in {}",
                grid.unit, scale.unit
            ));
        }
        let to_grid = |mark: &f64| grid.unit.from_base(scale.unit.to_base(*mark));
        grid.readings.extend(scale.marks.iter().map(to_grid));
        grid.strokes.extend(strokes);
        grid.printed_for = scale.printed_for_strokes;
    }
    for grid in &mut grids {
        rising(&mut grid.readings, |a, b| (a - b).abs() <= 1e-9 * b.abs());
        rising(&mut grid.strokes, same_strokes);
        if lone {
            // The only scale need not be named.
            grid.name = None;
        }
    }
    Ok(grids)
}

fn empty(scale: &Scale) -> ScaleGrid {
    ScaleGrid {
        name: scale.name.clone(),
        unit: scale.unit,
        readings: Vec::new(),
        strokes: Vec::new(),
        printed_for: scale.printed_for_strokes,
    }
}

fn rising(values: &mut Vec<f64>, same: fn(f64, f64) -> bool) {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| same(*a, *b));
}

/// Reference point, at which both states are compared before any condition is moved: the old calibration conditions.
pub(super) fn reference(old: &Tube, new: &Tube) -> GridAir {
    let humidity = old.calibration.humidity.or(new.calibration.humidity);
    GridAir {
        celsius: old.calibration.temperature.celsius(),
        humidity: humidity.map(in_words),
        kilopascals: old.calibration.pressure.kilopascals(),
    }
}

/// Temperatures: the rows of both tables, both calibrations, the ends of both usable ranges; in °C.
pub(super) fn temperatures(old: &Tube, new: &Tube) -> Vec<f64> {
    let mut values = Vec::new();
    for tube in [old, new] {
        let (low, high) = tube.usable_temperature;
        values.extend([
            low.celsius(),
            high.celsius(),
            tube.calibration.temperature.celsius(),
        ]);
        values.extend(nodes(&tube.temperature));
    }
    rising(&mut values, near);
    values
}

/// Humidities, each in the kind in which a sheet states it.
pub(super) fn humidities(old: &Tube, new: &Tube) -> Vec<String> {
    let (mut relative, mut absolute) = (Vec::new(), Vec::new());
    for tube in [old, new] {
        let ends = tube
            .usable_humidity
            .into_iter()
            .flat_map(|(low, high)| [low, high]);
        for humidity in ends.chain(tube.calibration.humidity) {
            match humidity {
                Humidity::Relative(humidity) => relative.push(humidity.percent()),
                Humidity::Absolute(humidity) => absolute.push(humidity.g_per_m3()),
            }
        }
        match unit_of_nodes(&tube.humidity).map(Unit::dimension) {
            Some(Dimension::RelativeHumidity) => relative.extend(nodes(&tube.humidity)),
            Some(Dimension::AbsoluteHumidity) => absolute.extend(nodes(&tube.humidity)),
            _ => {}
        }
        for (unit, humidity) in grid_humidities(tube) {
            if unit.dimension() == Dimension::RelativeHumidity {
                relative.push(humidity);
            } else {
                absolute.push(humidity);
            }
        }
    }
    rising(&mut relative, near);
    rising(&mut absolute, near);
    let text = |unit: &'static str| move |value: f64| format!("{} {unit}", print::number(value));
    let relative = relative.into_iter().map(text("%RH"));
    relative
        .chain(absolute.into_iter().map(text("g/m³")))
        .collect()
}

/// Pressures in kPa: both calibrations, a place at altitude, the rows of both tables.
pub(super) fn pressures(old: &Tube, new: &Tube) -> Vec<f64> {
    let mut values = vec![AT_ALTITUDE];
    for tube in [old, new] {
        values.push(tube.calibration.pressure.kilopascals());
        values.extend(nodes(&tube.pressure));
    }
    rising(&mut values, near);
    values
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6
}

fn in_words(humidity: Humidity) -> String {
    let unit = match humidity {
        Humidity::Relative(_) => unit("%RH"),
        Humidity::Absolute(_) => unit("g/m³"),
    };
    unit.map_or_else(
        |_| humidity.to_string(),
        |unit| {
            format!(
                "{} {}",
                print::number(humidity.in_unit(unit)),
                unit.canonical()
            )
        },
    )
}

/// The conditions of the rows, columns or bands of all tables, in the base unit. Of a band the ends and a condition inside, as its
/// factor jumps at its ends.
fn nodes(of: &StrokeCorrections) -> Vec<f64> {
    let mut nodes = Vec::new();
    for correction in of.all() {
        match correction {
            Correction::Factors(table) => {
                nodes.extend(table.points.iter().map(|(x, _)| table.unit.to_base(*x)));
            }
            Correction::Table(table) => {
                nodes.extend(table.columns.iter().map(|x| table.unit.to_base(*x)));
            }
            Correction::WithHumidity(grid) => {
                nodes.extend(grid.columns.iter().map(|x| grid.unit.to_base(*x)));
            }
            Correction::Bands(bands) => {
                for band in &bands.bands {
                    let inside = match (band.low.is_finite(), band.high.is_finite()) {
                        (true, true) => f64::midpoint(band.low, band.high),
                        (true, false) => band.low + INTO_AN_OPEN_BAND * band.low.abs().max(1.0),
                        (false, _) => band.high - INTO_AN_OPEN_BAND * band.high.abs().max(1.0),
                    };
                    let ends = [band.low, inside, band.high].into_iter();
                    nodes.extend(
                        ends.filter(|end| end.is_finite())
                            .map(|end| bands.unit.to_base(end)),
                    );
                }
            }
            _ => {}
        }
    }
    nodes
}

/// Part of its end by which a condition lies in a band that has no other end.
const INTO_AN_OPEN_BAND: f64 = 0.05;

/// The humidities of tables for temperature and humidity together, in the base unit, and their unit.
fn grid_humidities(tube: &Tube) -> impl Iterator<Item = (&'static Unit, f64)> {
    tube.temperature.all().flat_map(|correction| {
        let grid = match correction {
            Correction::WithHumidity(grid) => Some(grid),
            _ => None,
        };
        grid.into_iter().flat_map(|grid| {
            let unit = grid.humidity_unit;
            grid.humidities
                .iter()
                .map(move |x| (unit, unit.to_base(*x)))
        })
    })
}

fn unit_of_nodes(of: &StrokeCorrections) -> Option<&'static Unit> {
    of.all().find_map(Correction::unit)
}
