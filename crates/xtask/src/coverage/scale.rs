//! A scale drawn with one stroke count, from the numbers written on its sheet: the stain that a truth shows on average, and
//! how far a tube's stain may be from that. Nothing here comes from the evaluation.

use stainbook::catalog::{Book, TubeEntry};
use stainbook_catalog::written::TableCell;
use stainbook_catalog::written::tube::paper_words::UpTo;
use stainbook_catalog::written::tube::{
    Between, Correction, MassStated, MeasuringRange, Method, Scale, StatedIn, Target,
};
use stainbook_core::elementary::{exp, ln};
use stainbook_core::{Decimal, Humidity};

use super::deviation::{Deviations, QUANTILE};

// Where sheet and survey are silent, as crates/evaluation/src/defaults.rs documents it; copied, so that a change there shows.
const ACCURACY_WITHIN: f64 = 0.25;
const REPEATABILITY: f64 = 0.10;
const TEMPERATURE_WITHIN: f64 = 1.0;
const RELATIVE_HUMIDITY_WITHIN: f64 = 5.0;
const ABSOLUTE_HUMIDITY_WITHIN: f64 = 0.10;
const STATION_PRESSURE_WITHIN: f64 = 0.005;
const MULTIPLIER_HALF_STEP: f64 = 0.05;

/// A band reaches the reading that it ends at.
const SAME: f64 = 1.0 + 1e-9;
/// The gas constant, J/(mol·K): exact since 2019.
const GAS_CONSTANT: f64 = 8.314_462_618;

/// The air at the tube, which is that of the calibration.
#[derive(Clone, Copy, Debug)]
struct Air {
    celsius: f64,
    /// As stated: %RH or g/m³.
    humidity: f64,
    kilopascals: f64,
}

/// Bands of a sheet: up to which reading, and the relative standard deviation.
type Bands = Vec<(f64, f64)>;

/// A scale with one stroke count.
#[derive(Clone, Debug)]
pub(super) struct TriedScale {
    /// Short name of the sheet.
    pub(super) sheet: String,
    /// Name of the scale, if the glass has two.
    pub(super) name: Option<String>,
    /// Number of strokes, as written.
    pub(super) strokes: String,
    /// True if the scale is printed for so many strokes.
    pub(super) home: bool,
    /// The unit, as written.
    pub(super) unit: String,
    /// The marks.
    pub(super) marks: Vec<f64>,
    /// Volume fraction of one unit of the scale, ppm.
    pub(super) ppm: f64,
    /// Fields of a survey for the air.
    pub(super) conditions: String,
    substance: String,
    multiplier: f64,
    multiplier_half_width: f64,
    volume_half_width: f64,
    air: Air,
    absolute_humidity: bool,
    corrections: [Option<Correction>; 3],
    accuracy: Bands,
    repeatability: Bands,
}

impl TriedScale {
    /// All scales of a sheet with all their stroke counts.
    ///
    /// # Errors
    ///
    /// Something that the sheet does not say, or says in a way that is not followed here.
    pub(super) fn of_sheet(book: &Book, id: &str, entry: &TubeEntry) -> Result<Vec<Self>, String> {
        let scales = entry.printed_scales();
        entry
            .ranges()
            .iter()
            .map(|range| {
                let scale = scales.iter().find(|scale| scale.name == range.scale);
                let scale = scale
                    .or(scales.first())
                    .ok_or_else(|| format!("{id}: no scale"))?;
                Self::new(book, id, entry, scale, range)
                    .ok_or_else(|| format!("{id}: a scale that coverage does not follow"))
            })
            .collect()
    }

    fn new(
        book: &Book,
        id: &str,
        entry: &TubeEntry,
        scale: &Scale,
        range: &MeasuringRange,
    ) -> Option<Self> {
        let calibrated = entry.calibrated_at()?;
        let temperature = calibrated.temperature.as_ref()?;
        let pressure = calibrated.pressure.as_ref()?;
        let humidity = calibrated.humidity.as_ref();
        let absolute =
            humidity.is_some_and(|stated| matches!(stated.value(), Humidity::Absolute(_)));
        let air = Air {
            celsius: temperature.value().celsius(),
            humidity: humidity.map_or(50.0, |stated| stated.number()),
            kilopascals: pressure.value().kilopascals(),
        };
        let humid = humidity.map_or("50 %RH", |stated| stated.text());
        let substance = entry.measures.as_ref()?.substance.clone()?;
        let multiplier = range.multiply_by.as_ref()?;
        let own = scale.printed_for_strokes.as_ref()?.value();
        let home = (range.strokes.as_ref()?.value() - own).abs() < SAME - 1.0;
        let kind = book.pump_kind(entry.pump_kinds().first()?)?;
        let correct = entry.correct.as_ref()?;
        let doubt = entry.performance.as_ref()?;
        let number = |up_to: &UpTo| Some(up_to.reading()?.number());
        let accuracy = doubt.accuracy.iter().map(|band| {
            let exact = band.relative_uncertainty.is_none()
                && band
                    .confidence
                    .as_ref()
                    .is_none_or(|it| (it.value().fraction() - 0.95).abs() < 1e-9);
            exact.then_some(())?;
            // A deviation in another form than a part of the value is not followed here.
            let relative = band.of.is_none()
                && band.at_least.is_none()
                && band.within_spaces.is_none()
                && band.within_mm.is_none();
            relative.then_some(())?;
            Some((
                number(band.up_to.as_ref()?)?,
                band.within.as_ref()?.larger().value().fraction() / QUANTILE,
            ))
        });
        let repeatability = doubt.repeatability.iter().map(|band| {
            (band.from_readings.is_none() && band.at_least.is_none()).then_some(())?;
            Some((
                number(band.up_to.as_ref()?)?,
                band.rsd.as_ref()?.larger().value().fraction(),
            ))
        });
        Some(Self {
            sheet: id.to_owned(),
            name: scale.name.clone(),
            strokes: range.strokes.as_ref()?.text().to_owned(),
            home,
            unit: scale.unit.clone()?,
            marks: scale.marks.iter().map(|mark| mark.value()).collect(),
            ppm: ppm(book, &substance, scale, air)?,
            conditions: format!(
                "air_temperature: {}, humidity: {humid}, pressure: {}",
                temperature.text(),
                pressure.text()
            ),
            substance,
            multiplier: multiplier.value(),
            multiplier_half_width: if home {
                0.0
            } else {
                multiplier.half_step().min(MULTIPLIER_HALF_STEP) / multiplier.value()
            },
            volume_half_width: kind.volume_tolerance.as_ref()?.value().fraction(),
            air,
            absolute_humidity: absolute,
            corrections: [&correct.temperature, &correct.humidity, &correct.pressure]
                .map(Clone::clone),
            accuracy: accuracy.collect::<Option<_>>()?,
            repeatability: repeatability.collect::<Option<_>>()?,
        })
        // Corrections by bands and by stroke count are not followed: no reader here knows them.
        .filter(|it| it.corrections.iter().flatten().all(is_followed))
        // A scale in mg/m³ as drawn needs no pressure correction, and a sheet with one is not followed.
        .filter(|it| {
            scale.mass_stated != Some(MassStated::AsDrawn)
                || it.corrections[2]
                    .as_ref()
                    .is_none_or(|one| one.method == Some(Method::NoneNeeded))
        })
    }

    /// The gas.
    pub(super) fn substance(&self) -> &str {
        &self.substance
    }

    /// For people.
    pub(super) fn words(&self) -> String {
        let name = self
            .name
            .as_ref()
            .map(|name| format!(" {name}"))
            .unwrap_or_default();
        format!("{}{name} × {}", self.sheet, self.strokes)
    }

    /// First and last mark as concentrations.
    pub(super) fn ends(&self) -> (f64, f64) {
        let mark = |mark: Option<&f64>| self.concentration(mark.copied().unwrap_or(f64::NAN));
        (mark(self.marks.first()), mark(self.marks.last()))
    }

    /// The concentration that a stain means.
    pub(super) fn concentration(&self, stain: f64) -> f64 {
        self.in_air(stain, self.air)
    }

    /// The stain that a concentration shows on average.
    pub(super) fn stain(&self, concentration: f64) -> f64 {
        let (mut low, mut high) = (ln(concentration) - 12.0, ln(concentration) + 12.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.concentration(exp(middle)) < concentration {
                low = middle;
            } else {
                high = middle;
            }
        }
        exp(low)
    }

    fn in_air(&self, stain: f64, air: Air) -> f64 {
        let [temperature, humidity, pressure] = &self.corrections;
        let value = corrected(stain, self.multiplier, temperature.as_ref(), air.celsius);
        let value = corrected(value, self.multiplier, humidity.as_ref(), air.humidity);
        let value = match pressure {
            Some(one) if one.method == Some(Method::Proportional) => {
                value * self.air.kilopascals / air.kilopascals
            }
            one => corrected(value, self.multiplier, one.as_ref(), air.kilopascals),
        };
        value * self.multiplier
    }

    /// Deviations of a tube's stain from that of the average tube.
    pub(super) fn deviations(&self, stain: f64) -> Deviations {
        let by = |change: fn(&mut Air, f64), half: f64| {
            let [less, more] = [-half, half].map(|off| {
                let mut air = self.air;
                change(&mut air, off);
                self.in_air(stain, air)
            });
            (more / less - 1.0).abs() / 2.0
        };
        let humidity = if self.absolute_humidity {
            self.air.humidity * ABSOLUTE_HUMIDITY_WITHIN
        } else {
            RELATIVE_HUMIDITY_WITHIN
        };
        let mut rectangular = vec![
            self.volume_half_width,
            self.multiplier_half_width,
            by(|air, off| air.celsius += off, TEMPERATURE_WITHIN),
            by(|air, off| air.humidity += off, humidity),
            by(
                |air, off| air.kilopascals *= 1.0 + off,
                STATION_PRESSURE_WITHIN,
            ),
        ];
        let [temperature, humidity, pressure] = &self.corrections;
        let conditions = [self.air.celsius, self.air.humidity, self.air.kilopascals];
        for (one, condition) in [temperature, humidity, pressure]
            .into_iter()
            .zip(conditions)
        {
            rectangular.extend(
                one.iter()
                    .flat_map(|one| printed(one, self.multiplier, stain, condition)),
            );
        }
        rectangular.retain(|half| 1e-6 < *half);
        Deviations {
            accuracy: in_band(&self.accuracy, stain, ACCURACY_WITHIN / QUANTILE),
            repeatability: in_band(&self.repeatability, stain, REPEATABILITY),
            rectangular,
        }
    }
}

/// The first band that reaches a stain; beyond the last one, the last.
fn in_band(bands: &Bands, stain: f64, silent: f64) -> f64 {
    let reaches = bands.iter().find(|(up_to, _)| stain <= up_to * SAME);
    reaches
        .or(bands.last())
        .map_or(silent, |(_, figure)| *figure)
}

fn is_followed(one: &Correction) -> bool {
    let by_lines = one.lines.iter().all(|line| line.factors.is_empty());
    by_lines
        && !matches!(
            one.method,
            Some(
                Method::FactorBands
                    | Method::WithHumidity
                    | Method::WithTemperature
                    | Method::ByStrokes
                    | Method::AsOnAnotherSheet
            )
        )
}

/// A value with one correction at a condition. What is tabulated against the concentration is entered with the strokes.
fn corrected(value: f64, multiplier: f64, one: Option<&Correction>, condition: f64) -> f64 {
    let Some(one) = one else { return value };
    match one.method {
        Some(Method::FactorTable | Method::CurvePoints) => {
            value * along(&factors(one), condition, one.between)
        }
        Some(Method::Polynomial) => {
            value
                * one
                    .coefficients
                    .iter()
                    .rev()
                    .fold(0.0, |sum, c| sum * condition + c.value())
        }
        Some(Method::Table) => {
            let strokes = if one.replace == Some(Target::Concentration) {
                multiplier
            } else {
                1.0
            };
            let entered = value * strokes;
            let lines = table(one, condition);
            let ends = lines.first().zip(lines.last());
            let held = ends.map_or(entered, |(first, last)| entered.clamp(first.0, last.0));
            along_logarithms(&lines, held, one.between) / held * value
        }
        Some(
            Method::NoneNeeded
            | Method::NotStated
            | Method::Proportional
            | Method::FactorBands
            | Method::WithHumidity
            | Method::WithTemperature
            | Method::ByStrokes
            | Method::AsOnAnotherSheet,
        )
        | None => value,
    }
}

/// Half-widths that printed digits, and reading points off a graph, leave a table's factor.
fn printed(one: &Correction, multiplier: f64, stain: f64, condition: f64) -> Vec<f64> {
    let finest =
        |half_steps: &mut dyn Iterator<Item = f64>| half_steps.reduce(f64::min).unwrap_or(0.0);
    match one.method {
        Some(Method::FactorTable | Method::CurvePoints) => {
            let column = factor_column(one);
            let mut half_steps = one
                .rows
                .iter()
                .filter_map(|row| Some(row.get(column)?.half_step()));
            let digits = finest(&mut half_steps) / along(&factors(one), condition, one.between);
            let read_off = one
                .read_off_half_width
                .as_ref()
                .map_or(0.0, |it| it.value().fraction());
            vec![digits, read_off]
        }
        Some(Method::Table) => {
            let mut half_steps = one
                .lines
                .iter()
                .flat_map(|line| &line.becomes)
                .filter_map(|it| it.number().map(Decimal::half_step));
            let strokes = if one.replace == Some(Target::Concentration) {
                multiplier
            } else {
                1.0
            };
            vec![finest(&mut half_steps) / (stain * strokes)]
        }
        _ => Vec::new(),
    }
}

fn factor_column(one: &Correction) -> usize {
    one.columns
        .iter()
        .position(|column| column == "factor")
        .unwrap_or(1)
}

/// Rows of a factor table by rising condition, a pressure in kPa.
fn factors(one: &Correction) -> Vec<(f64, f64)> {
    let column = factor_column(one);
    let unit = if one.columns.iter().any(|column| column == "hPa") {
        0.1
    } else {
        1.0
    };
    let mut rows: Vec<(f64, f64)> = one
        .rows
        .iter()
        .filter_map(|row| {
            Some((
                row.get(1 - column)?.value() * unit,
                row.get(column)?.value(),
            ))
        })
        .collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows
}

/// Lines of a table at a temperature: reading, and what it becomes.
fn table(one: &Correction, condition: f64) -> Vec<(f64, f64)> {
    let columns = one
        .columns
        .iter()
        .filter_map(|head| head.split(' ').next()?.parse().ok());
    let columns: Vec<f64> = columns.collect();
    one.lines
        .iter()
        .filter_map(|line| {
            let becomes = line.becomes.iter().map(TableCell::value);
            let along_line: Vec<(f64, f64)> = columns.iter().copied().zip(becomes).collect();
            Some((
                line.reading.as_ref()?.number(),
                along(&along_line, condition, one.between),
            ))
        })
        .collect()
}

/// Between two points: in a straight line of the value, or of its logarithm; outside, the end.
fn along(points: &[(f64, f64)], at: f64, between: Option<Between>) -> f64 {
    for pair in points.windows(2) {
        if let [(a, low), (b, high)] = *pair
            && at <= b
        {
            let part = ((at - a) / (b - a)).max(0.0);
            return if between == Some(Between::Logarithmic) {
                exp(ln(low) + (ln(high) - ln(low)) * part)
            } else {
                low + (high - low) * part
            };
        }
    }
    points.last().map_or(f64::NAN, |(_, last)| *last)
}

/// The same, with both in logarithms where the sheet says so: lines of a table.
fn along_logarithms(points: &[(f64, f64)], at: f64, between: Option<Between>) -> f64 {
    if between != Some(Between::Logarithmic) {
        return along(points, at, between);
    }
    let points: Vec<(f64, f64)> = points.iter().map(|(a, value)| (ln(*a), *value)).collect();
    along(&points, ln(at), between)
}

/// Volume fraction in the air as it is of one unit of the scale, ppm.
fn ppm(book: &Book, substance: &str, scale: &Scale, air: Air) -> Option<f64> {
    let fraction = match scale.unit.as_deref()? {
        "ppm" => 1.0,
        "ppb" => 1e-3,
        "%" | "% by volume" => 1e4,
        "mg/m³" => {
            let litres = GAS_CONSTANT * (air.celsius + 273.15) / air.kilopascals;
            litres / book.substance_model(substance).ok()?.molar_mass.g_per_mol()
        }
        _ => return None,
    };
    let dry = scale.stated_in == Some(StatedIn::DryAir);
    // Saturation pressure by the formula of Magnus, kPa, with constants from memory; the humidity here is relative.
    let saturated = 0.610_94 * exp(17.625 * air.celsius / (air.celsius + 243.04));
    let wet = if dry {
        air.humidity / 100.0 * saturated / air.kilopascals
    } else {
        0.0
    };
    Some(fraction * (1.0 - wet))
}

#[cfg(test)]
mod tests {
    use crate::coverage::asked::Shelf;

    /// Everywhere on every scale the stain of a concentration means that concentration.
    #[test]
    fn stain_and_concentration_undo_each_other() {
        for scale in Shelf::demo().scales().unwrap() {
            for pair in scale.marks.windows(2) {
                let stain = f64::midpoint(pair[0], pair[1]);
                let back = scale.stain(scale.concentration(stain));
                assert!(
                    (back / stain - 1.0).abs() < 1e-9,
                    "{} {stain} {back}",
                    scale.words()
                );
            }
        }
    }

    /// Slope of 1.5 % a kelvin, ten strokes of 5 %, a multiplier of 0.35 printed to 0.005, a station pressure known to 0.5 %,
    /// and factors printed to 0.005: by hand from the demo's chlorine sheet.
    #[test]
    fn deviations_are_those_of_the_sheet() {
        let scales = Shelf::demo().scales().unwrap();
        let of = |strokes: &str| {
            let it = scales
                .iter()
                .find(|it| it.sheet == "brinewash-chlorine-a-r2" && it.strokes == strokes);
            it.unwrap()
        };
        let at = of("8").deviations(2.0);
        assert!(
            (at.accuracy - 0.25 / 1.959_964).abs() < 1e-9 && (at.repeatability - 0.12).abs() < 1e-9
        );
        let expected = [0.05, 0.005 / 0.35, 0.01 * 0.85, 0.005, 0.005];
        assert_eq!(at.rectangular.len(), expected.len(), "{at:?}");
        for (half, expected) in at.rectangular.iter().zip(expected) {
            assert!((half - expected).abs() < 2e-4, "{at:?}");
        }
        assert!((of("3").deviations(4.0).repeatability - 0.08).abs() < 1e-9);
        assert_eq!(of("3").deviations(4.0).rectangular.len(), 4);
    }
}
