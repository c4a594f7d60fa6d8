//! A tube as it can be computed with.

use stainbook_core::{
    Concentration, Humidity, Pressure, Quantity, Temperature, Unit, Volume, unit_of,
};

use super::correction::CorrectionOf;
use super::{Needed, StrokeCorrections, Substance, Unusable};
use crate::Book;
use crate::written::tube::{
    AloneEffect, Axis, Between, CorrectionStep, InterferenceEffect, MassStated, ScaleRuns,
    StatedIn, Target, Uses,
};
use crate::written::{Lots, TubeEntry};
use stainbook_document::place::Path;

/// One revision of one leaflet, ready to be computed with.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Tube {
    /// The sheet's short name.
    pub id: String,
    /// The name as printed.
    pub name: String,
    /// The name that all revisions share.
    pub series: String,
    /// The revision of the leaflet.
    pub revision: String,
    /// The lots that the leaflet belongs to.
    pub lots: Option<Lots>,
    /// The measured substance or group.
    pub measured: Measured,
    /// Kinds of pump it may be used with, by short name.
    pub pump_kinds: Vec<String>,
    /// The lowest and highest temperature at which it works.
    pub usable_temperature: (Temperature, Temperature),
    /// The lowest and highest humidity at which it works.
    pub usable_humidity: Option<(Humidity, Humidity)>,
    /// The volume of a full stroke.
    pub stroke: Volume,
    /// The allowed stroke counts.
    pub ranges: Vec<MeasuringRange>,
    /// The scales.
    pub scales: Vec<Scale>,
    /// The lowest concentration that leaves a visible stain.
    pub limit_of_detection: Option<LimitOfDetection>,
    /// Other gases that it measures.
    pub response_factors: Vec<ResponseFactor>,
    /// Conditions of calibration, at which the scale is right as printed.
    pub calibration: Calibration,
    /// The correction for temperature.
    pub temperature: StrokeCorrections,
    /// The correction for humidity.
    pub humidity: StrokeCorrections,
    /// The correction for pressure.
    pub pressure: StrokeCorrections,
    /// The order of the steps.
    pub order: Vec<CorrectionStep>,
    /// Repeatability by band of the scale, rising.
    pub repeatability: Vec<Band>,
    /// Accuracy by band of the scale, rising; empty if the leaflet is silent.
    pub accuracy: Vec<Accuracy>,
    /// Interferents.
    pub interferents: Vec<Interferent>,
}

/// Measurand of a tube.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// One substance.
    Substance(Substance),
    /// A group, with its name, and the substance as which its total is stated.
    Group {
        /// The group's name.
        name: String,
        /// The substance as which the total is stated.
        expressed_as: Substance,
    },
}

impl Measured {
    /// The substance that a mass concentration is stated as.
    pub fn substance(&self) -> &Substance {
        match self {
            Self::Substance(substance)
            | Self::Group {
                expressed_as: substance,
                ..
            } => substance,
        }
    }
}

/// A stroke count with its multiplier.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct MeasuringRange {
    /// Number of strokes.
    pub strokes: f64,
    /// Multiplier of the reading.
    pub multiplier: f64,
    /// Half the last printed digit of the multiplier.
    pub multiplier_half_step: f64,
    /// The lowest concentration, in the unit of the scale.
    pub from: f64,
    /// The highest concentration, in the unit of the scale.
    pub to: f64,
    /// The sampling time for all strokes, in seconds.
    pub sampling_seconds: f64,
    /// Use of the scale: the whole of it, or an extension.
    pub uses: Uses,
    /// The index of its scale.
    pub scale: usize,
    /// The index of its row on the sheet.
    pub row: usize,
}

/// A printed scale.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Scale {
    /// Its name, if there are two.
    pub name: Option<String>,
    /// Its unit.
    pub unit: &'static Unit,
    /// Its marks, rising.
    pub marks: Vec<f64>,
    /// The stroke count it is printed for.
    pub printed_for_strokes: f64,
    /// Its course between two marks, if the sheet says.
    pub runs: Option<ScaleRuns>,
    /// Air that a mass concentration refers to.
    pub mass_stated: Option<MassStated>,
    /// Air that a volume fraction refers to.
    pub stated_in: StatedIn,
}

impl Scale {
    /// A value on this scale as a quantity.
    ///
    /// # Errors
    ///
    /// If there can be no such concentration.
    pub fn concentration(
        &self,
        value: f64,
    ) -> Result<Concentration, stainbook_core::QuantityError> {
        Concentration::from_unit(value, self.unit)
    }
}

/// The lowest concentration that leaves a visible stain.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct LimitOfDetection {
    /// That concentration.
    pub concentration: Concentration,
    /// The stroke count it holds for.
    pub strokes: f64,
}

/// Another gas that the tube measures.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct ResponseFactor {
    /// That gas.
    pub substance: Substance,
    /// Target of the factor.
    pub target: Target,
    /// The factor.
    pub factor: FactorValue,
    /// The stroke count that its range is printed for.
    pub strokes: f64,
    /// The lowest concentration, in the unit of the scale.
    pub from: f64,
    /// The highest concentration, in the unit of the scale.
    pub to: f64,
    /// The relative standard uncertainty of the factor, if stated.
    pub uncertainty: Option<f64>,
    /// The index of its scale.
    pub scale: usize,
    /// The index of its row on the sheet.
    pub row: usize,
}

/// The factor for another gas.
#[derive(Clone, Debug, PartialEq)]
pub enum FactorValue {
    /// One for the whole scale.
    Single(f64),
    /// By scale reading, rising.
    ByReading(Vec<(f64, f64)>, Between),
}

/// Conditions of calibration, at which the scale is right as printed.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Calibration {
    /// The temperature.
    pub temperature: Temperature,
    /// The pressure.
    pub pressure: Pressure,
    /// The humidity, if the leaflet says.
    pub humidity: Option<Humidity>,
}

/// Repeatability in a band of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Band {
    /// The reading up to which it holds.
    pub up_to: Concentration,
    /// The relative standard deviation.
    pub rsd: f64,
    /// Number of readings that it was worked out from, if stated.
    pub from_readings: Option<u32>,
}

/// Accuracy in a band of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Accuracy {
    /// The reading up to which it holds.
    pub up_to: Concentration,
    /// The largest relative deviation.
    pub within: f64,
    /// Fraction of all readings that keep to it.
    pub confidence: f64,
    /// Relative uncertainty of `within` itself, if stated.
    pub relative_uncertainty: Option<f64>,
}

/// An interferent.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Interferent {
    /// The short name of the substance or group.
    pub gas: String,
    /// True if it is a group.
    pub is_group: bool,
    /// On its own.
    pub alone: AloneEffect,
    /// With the gas measured.
    pub together: InterferenceEffect,
    /// Response factor: the amount that one part of it adds to the reading.
    pub response: Option<f64>,
    /// The relative standard uncertainty of the response.
    pub response_uncertainty: Option<f64>,
    /// From which concentration it matters.
    pub matters_from: Option<Concentration>,
    /// From how many times the gas measured it matters.
    pub matters_from_times: Option<f64>,
    /// The index of its row on the sheet.
    pub row: usize,
}

/// The order of the steps where the leaflet states none.
pub const USUAL_ORDER: [CorrectionStep; 5] = [
    CorrectionStep::Strokes,
    CorrectionStep::Temperature,
    CorrectionStep::Humidity,
    CorrectionStep::Pressure,
    CorrectionStep::ResponseFactor,
];

/// Fraction of readings that keep to a stated accuracy where the leaflet does not say.
const USUAL_CONFIDENCE: f64 = 0.95;

impl Tube {
    pub(crate) fn from_written(entry: &TubeEntry, book: &Book) -> Result<Self, Unusable> {
        let root = Path::root();
        let at = |key: &'static str| root.clone().key(key);
        let id = entry.tube.clone().needed(&root, "tube")?;
        let leaflet = entry.leaflet.as_ref().needed(&root, "leaflet")?;
        let before = entry.before_use.as_ref().needed(&root, "before_use")?;
        let draw = entry.draw.as_ref().needed(&root, "draw")?;
        let read = entry.read.as_ref().needed(&root, "read")?;
        let correct = entry.correct.as_ref().needed(&root, "correct")?;
        let performance = entry.performance.as_ref().needed(&root, "doubt")?;
        let usable = before.usable.as_ref().needed(&at("before_use"), "usable")?;
        let usable_temperature = usable
            .temperature
            .as_ref()
            .needed(&at("before_use").key("usable"), "temperature")?;

        let scales = scales(read)?;
        let first_unit = scales
            .first()
            .map(|scale| scale.unit)
            .needed(&at("read"), "scales")?;
        let correction = |written: &Option<_>, axis, key: &'static str| {
            let written: &crate::written::tube::Correction =
                written.as_ref().needed(&at("correct"), key)?;
            let of = CorrectionOf {
                axis,
                scale_unit: first_unit,
                calibration: calibration_of(correct, axis).unwrap_or(f64::NAN),
                book,
            };
            StrokeCorrections::from_written(written, &of, &at("correct").key(key))
        };
        let calibrated_path = at("correct").key("calibrated_at");
        let calibrated = correct
            .calibrated_at
            .as_ref()
            .needed(&at("correct"), "calibrated_at")?;

        Ok(Self {
            name: entry.name.clone().unwrap_or_else(|| id.clone()),
            series: series_of(entry),
            revision: leaflet
                .revision
                .clone()
                .needed(&at("leaflet"), "revision")?,
            lots: leaflet.lots.clone(),
            measured: measured(entry, book)?,
            pump_kinds: before.pump_kinds.clone(),
            usable_temperature: (
                usable_temperature.low().value(),
                usable_temperature.high().value(),
            ),
            usable_humidity: usable
                .humidity
                .as_ref()
                .map(|range| (range.low().value(), range.high().value())),
            stroke: draw.stroke.as_ref().needed(&at("draw"), "stroke")?.value(),
            ranges: ranges(draw, &scales)?,
            limit_of_detection: read.limit_of_detection.as_ref().and_then(|lowest| {
                Some(LimitOfDetection {
                    concentration: lowest.concentration.as_ref()?.value(),
                    strokes: lowest.strokes.as_ref()?.value(),
                })
            }),
            response_factors: response_factors(read, &scales, book)?,
            calibration: Calibration {
                temperature: calibrated
                    .temperature
                    .as_ref()
                    .needed(&calibrated_path, "temperature")?
                    .value(),
                pressure: calibrated
                    .pressure
                    .as_ref()
                    .needed(&calibrated_path, "pressure")?
                    .value(),
                humidity: calibrated
                    .humidity
                    .as_ref()
                    .map(|humidity| humidity.value()),
            },
            temperature: correction(&correct.temperature, Axis::Temperature, "temperature")?,
            humidity: correction(&correct.humidity, Axis::Humidity, "humidity")?,
            pressure: correction(&correct.pressure, Axis::Pressure, "pressure")?,
            order: if correct.order.is_empty() {
                USUAL_ORDER.to_vec()
            } else {
                correct.order.clone()
            },
            repeatability: performance
                .repeatability
                .iter()
                .filter_map(|band| {
                    Some(Band {
                        up_to: band.up_to.as_ref()?.value(),
                        rsd: band.rsd.as_ref()?.value().fraction(),
                        from_readings: band
                            .from_readings
                            .as_ref()
                            .map(crate::written::Count::value),
                    })
                })
                .collect(),
            accuracy: performance
                .accuracy
                .iter()
                .filter_map(|band| {
                    Some(Accuracy {
                        up_to: band.up_to.as_ref()?.value(),
                        within: band.within.as_ref()?.value().fraction(),
                        confidence: band
                            .confidence
                            .as_ref()
                            .map_or(USUAL_CONFIDENCE, |c| c.value().fraction()),
                        relative_uncertainty: band
                            .relative_uncertainty
                            .as_ref()
                            .map(|part| part.value().fraction()),
                    })
                })
                .collect(),
            interferents: performance
                .interferents
                .iter()
                .enumerate()
                .filter_map(|(row, other)| {
                    Some(Interferent {
                        gas: other.substance.clone().or_else(|| other.group.clone())?,
                        is_group: other.substance.is_none(),
                        alone: other.alone.unwrap_or(AloneEffect::NotStated),
                        together: other.together.unwrap_or(InterferenceEffect::NotStated),
                        response: other.response.as_ref().map(|response| response.value()),
                        response_uncertainty: other
                            .response_uncertainty
                            .as_ref()
                            .map(|u| u.value().fraction()),
                        matters_from: other.matters_from.as_ref().map(|from| from.value()),
                        matters_from_times: other
                            .matters_from_times
                            .as_ref()
                            .map(|times| times.value()),
                        row,
                    })
                })
                .collect(),
            scales,
            id,
        })
    }
}

/// The condition at which the scale is right as printed, in the base unit.
fn calibration_of(correct: &crate::written::tube::Correct, axis: Axis) -> Option<f64> {
    let at = correct.calibrated_at.as_ref()?;
    match axis {
        Axis::Temperature => at.temperature.as_ref().map(|at| at.value().celsius()),
        Axis::Humidity => at
            .humidity
            .as_ref()
            .map(|at| at.value().in_unit(at.value().base_unit())),
        Axis::Pressure => at.pressure.as_ref().map(|at| at.value().kilopascals()),
    }
}

/// The name that all revisions of a leaflet share.
pub fn series_of(entry: &TubeEntry) -> String {
    if let Some(series) = &entry.series {
        return series.clone();
    }
    let id = entry.tube.as_deref().unwrap_or_default();
    match id.rsplit_once("-r") {
        Some((series, revision))
            if !revision.is_empty() && revision.bytes().all(|b| b.is_ascii_digit()) =>
        {
            series.to_owned()
        }
        _ => id.to_owned(),
    }
}

fn measured(entry: &TubeEntry, book: &Book) -> Result<Measured, Unusable> {
    let path = Path::root().key("measures");
    let measures = entry.measures.as_ref().needed(&Path::root(), "measures")?;
    match (&measures.substance, &measures.group, &measures.expressed_as) {
        (Some(substance), None, None) => {
            substance_of(book, substance, &path.key("substance")).map(Measured::Substance)
        }
        (None, Some(group), Some(as_substance)) => {
            let entry = book.group(group).ok_or_else(|| {
                Unusable::new(path.clone().key("group"), format!("no group `{group}`"))
            })?;
            Ok(Measured::Group {
                name: entry.name.clone().unwrap_or_else(|| group.clone()),
                expressed_as: substance_of(book, as_substance, &path.key("expressed_as"))?,
            })
        }
        _ => Err(Unusable::new(
            path,
            "either `substance`, or `group` with `expressed_as`",
        )),
    }
}

fn substance_of(book: &Book, id: &str, path: &Path) -> Result<Substance, Unusable> {
    let entry = book
        .substance(id)
        .ok_or_else(|| Unusable::new(path.clone(), format!("no substance `{id}`")))?;
    Substance::from_written(entry, book)
}

fn scales(read: &crate::written::tube::Read) -> Result<Vec<Scale>, Unusable> {
    let at = Path::root().key("read").key("scales");
    read.scales
        .iter()
        .enumerate()
        .map(|(index, scale)| {
            let path = at.clone().index(index);
            let unit_text = scale.unit.as_deref().needed(&path, "unit")?;
            let unit = unit_of(Concentration::DIMENSION, unit_text)
                .map_err(|error| Unusable::new(path.clone().key("unit"), error.to_string()))?;
            let marks: Vec<f64> = scale.marks.iter().map(|mark| mark.value()).collect();
            if marks.len() < 2
                || !marks
                    .windows(2)
                    .all(|pair| matches!(pair, [a, b] if 0.0 < *a && a < b))
            {
                return Err(Unusable::new(
                    path.key("marks"),
                    "at least two marks, rising from above zero",
                ));
            }
            Ok(Scale {
                name: scale.name.clone(),
                unit,
                marks,
                printed_for_strokes: scale
                    .printed_for_strokes
                    .as_ref()
                    .needed(&path, "printed_for_strokes")?
                    .value(),
                runs: scale.runs,
                mass_stated: scale.mass_stated,
                stated_in: scale.stated_in.unwrap_or(StatedIn::AirAsItIs),
            })
        })
        .collect()
}

/// The index of the scale that a row names; the only one if it names none.
fn scale_index(name: Option<&str>, scales: &[Scale], path: &Path) -> Result<usize, Unusable> {
    match name {
        None if scales.len() == 1 => Ok(0),
        None => Err(Unusable::new(
            path.clone(),
            "the tube has two scales: say which",
        )),
        Some(name) => scales
            .iter()
            .position(|scale| scale.name.as_deref() == Some(name))
            .ok_or_else(|| Unusable::new(path.clone().key("scale"), format!("no scale `{name}`"))),
    }
}

fn ranges(
    draw: &crate::written::tube::Draw,
    scales: &[Scale],
) -> Result<Vec<MeasuringRange>, Unusable> {
    let at = Path::root().key("draw").key("ranges");
    if draw.ranges.is_empty() {
        return Err(Unusable::missing(at));
    }
    draw.ranges
        .iter()
        .enumerate()
        .map(|(row, range)| {
            let path = at.clone().index(row);
            let number = |field: &Option<crate::written::Num>, key: &'static str| {
                field.as_ref().map(|n| n.value()).needed(&path, key)
            };
            Ok(MeasuringRange {
                strokes: number(&range.strokes, "strokes")?,
                multiplier: number(&range.multiply_by, "multiply_by")?,
                multiplier_half_step: range.multiply_by.as_ref().map_or(0.0, |n| n.half_step()),
                from: number(&range.from, "from")?,
                to: number(&range.to, "to")?,
                sampling_seconds: range
                    .sampling_seconds()
                    .needed(&path, "seconds_per_stroke")?,
                uses: range.uses.needed(&path, "uses")?,
                scale: scale_index(range.scale.as_deref(), scales, &path)?,
                row,
            })
        })
        .collect()
}

fn response_factors(
    read: &crate::written::tube::Read,
    scales: &[Scale],
    book: &Book,
) -> Result<Vec<ResponseFactor>, Unusable> {
    let at = Path::root().key("read").key("also_measures");
    read.response_factors
        .iter()
        .enumerate()
        .map(|(row, other)| {
            let path = at.clone().index(row);
            let number = |field: &Option<crate::written::Num>, key: &'static str| {
                field.as_ref().map(|n| n.value()).needed(&path, key)
            };
            let gas = other.substance.as_deref().needed(&path, "substance")?;
            let factor = match (&other.by, other.rows.as_slice()) {
                (Some(by), []) => FactorValue::Single(by.value()),
                (None, [_, ..]) => {
                    let mut points = other
                        .rows
                        .iter()
                        .map(|row| match row.as_slice() {
                            [reading, factor] => Ok((reading.value(), factor.value())),
                            _ => Err(Unusable::new(
                                path.clone().key("rows"),
                                "a row has a reading and a factor",
                            )),
                        })
                        .collect::<Result<Vec<_>, _>>()?;
                    points.sort_by(|a, b| a.0.total_cmp(&b.0));
                    FactorValue::ByReading(points, other.between.unwrap_or_default())
                }
                _ => {
                    return Err(Unusable::new(
                        path,
                        "either one factor with `by`, or `rows`",
                    ));
                }
            };
            Ok(ResponseFactor {
                substance: substance_of(book, gas, &path.clone().key("substance"))?,
                target: other.multiply.needed(&path, "multiply")?,
                factor,
                strokes: number(&other.strokes, "strokes")?,
                from: number(&other.from, "from")?,
                to: number(&other.to, "to")?,
                uncertainty: other.uncertainty.as_ref().map(|u| u.value().fraction()),
                scale: scale_index(other.scale.as_deref(), scales, &path)?,
                row,
            })
        })
        .collect()
}
