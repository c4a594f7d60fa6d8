//! A tube as it can be computed with.

use stainbook_core::{
    Concentration, Conditions, Humidity, Pressure, Quantity, Temperature, Unit, Volume, unit_of,
};

use super::correction::CorrectionOf;
use super::substance::reference_conditions;
use super::thresholds::without_scale;
use super::{Needed, StrokeCorrections, Substance, Thresholds, Unusable};
use crate::Book;
use crate::written::Count;
use crate::written::tube::paper_words::{Factor, Fraction, UpTo, UpToBound};
use crate::written::tube::{
    AccuracyBand, AccuracyKind, AloneEffect, Axis, Between, CorrectionStep, DeviationOf,
    FollowsFrom, InterferenceEffect, MassStated, ReadAt, ScaleRuns, StatedIn, Target, Uses,
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
    /// The greatest stroke count that may be drawn if there is no stain, if it is more than the printed ones.
    pub more_strokes_if_no_stain: Option<f64>,
    /// The scales; of a tube without one a scale of its thresholds.
    pub scales: Vec<Scale>,
    /// Of a tube without a scale what it tells.
    pub thresholds: Option<Thresholds>,
    /// The lowest concentrations that leave a visible stain, by stroke count, rising.
    pub limits_of_detection: Vec<LimitOfDetection>,
    /// Other gases that it measures.
    pub response_factors: Vec<ResponseFactor>,
    /// Other gases that it shows and does not measure, by short name.
    pub qualitative: Vec<String>,
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
    /// Half the last printed digit of the multiplier, or half of what those digits leave open from which it follows.
    pub multiplier_half_step: f64,
    /// Origin of a multiplier that is not printed.
    pub multiplier_follows_from: Option<FollowsFrom>,
    /// Origin of ends that are not printed.
    pub ends_follow_from: Option<FollowsFrom>,
    /// The lowest concentration, in the unit of the scale.
    pub from: f64,
    /// The highest concentration, in the unit of the scale.
    pub to: f64,
    /// The sampling time for all strokes that count, in seconds, with the pauses between them.
    pub sampling_seconds: f64,
    /// The time for strokes that are drawn first and do not count, in seconds.
    pub flush_seconds: f64,
    /// The lowest and the highest temperature at which this count may be drawn, where one of them is barred.
    pub usable: (Option<Temperature>, Option<Temperature>),
    /// Use of the scale: the whole of it, or an extension.
    pub uses: Uses,
    /// The index of its scale.
    pub scale: usize,
    /// The index of its row on the sheet, which a row for several counts gives to each.
    pub row: usize,
}

impl MeasuringRange {
    /// The time for all strokes, those that do not count included, in seconds.
    pub fn seconds(&self) -> f64 {
        self.flush_seconds + self.sampling_seconds
    }
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
    /// Millimetre mark of the glass at each of its marks, rising; none where the glass shows concentrations.
    pub millimetres: Vec<f64>,
    /// Number of unnumbered lines in each space between two marks; of a glass in millimetres its millimetre marks.
    pub unnumbered: Vec<u32>,
    /// Its length in millimetres from the first mark to the last, if the sheet says.
    pub length_mm: Option<f64>,
    /// True if of an uneven front the long side alone counts.
    pub reads_longest_side: bool,
    /// The stroke count it is printed for.
    pub printed_for_strokes: f64,
    /// Its course between two marks, if the sheet says.
    pub runs: Option<ScaleRuns>,
    /// Air that a mass concentration refers to.
    pub mass_stated: Option<MassStated>,
    /// Conditions that a mass concentration refers to, where the scale prints them.
    pub mass_stated_at: Option<Conditions>,
    /// Air that a volume fraction refers to.
    pub stated_in: StatedIn,
}

impl Scale {
    /// The reading that a millimetre mark of the glass stands for, as if the scale ran evenly from one mark of the table to the next;
    /// nothing beside the table, nor of a glass that shows concentrations.
    pub fn at_millimetre(&self, millimetre: f64) -> Option<f64> {
        let places = self.millimetres.windows(2).zip(self.marks.windows(2));
        places
            .into_iter()
            .find_map(|(places, marks)| match (places, marks) {
                ([from, to], [low, high]) if *from <= millimetre && millimetre <= *to => {
                    Some(low + (high - low) * (millimetre - from) / (to - from))
                }
                _ => None,
            })
    }

    /// Number of unnumbered lines in the space at this place along the marks, counted from the first.
    pub fn unnumbered_at(&self, space: usize) -> u32 {
        let last = self.unnumbered.last().copied().unwrap_or(0);
        self.unnumbered.get(space).copied().unwrap_or(last)
    }

    /// Millimetres from one mark to the next, as far as the marks are evenly spaced along the glass.
    pub fn millimetres_of_a_space(&self) -> Option<f64> {
        let spaces = u32::try_from(self.marks.len().checked_sub(1)?).ok()?;
        Some(self.length_mm? / f64::from(spaces))
    }

    /// The concentration between the two marks about a reading; on a mark the wider of both spaces.
    pub fn space_at(&self, reading: f64) -> f64 {
        let spaces = || {
            self.marks.windows(2).filter_map(|pair| {
                let [a, b] = pair else { return None };
                Some((*a, *b))
            })
        };
        let about = spaces()
            .filter(|(a, b)| *a <= reading && reading <= *b)
            .map(|(a, b)| b - a)
            .reduce(f64::max);
        let beside = || {
            let below = self.marks.first().is_some_and(|first| reading < *first);
            let mut all = spaces().map(|(a, b)| b - a);
            if below { all.next() } else { all.next_back() }
        };
        about.or_else(beside).unwrap_or(0.0)
    }

    /// The mark that lies at a part of the way along the marks, or the next one.
    fn mark_at(&self, part: f64) -> f64 {
        let spaces = f64::from(u32::try_from(self.marks.len().saturating_sub(1)).unwrap_or(0));
        let steps = std::iter::successors(Some(0.0), |step| Some(step + 1.0));
        let mark = self
            .marks
            .iter()
            .zip(steps)
            .find(|(_, step)| part * spaces <= step + 1e-9)
            .map(|(mark, _)| *mark);
        mark.or(self.marks.last().copied()).unwrap_or(f64::NAN)
    }

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

/// The lowest concentration that leaves a visible stain with a number of strokes, and all the more with a greater one.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct LimitOfDetection {
    /// That concentration.
    pub visible: Visible,
    /// The stroke count it holds for; nothing for every count.
    pub strokes: Option<f64>,
}

/// The least that can be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Visible {
    /// A concentration.
    Concentration(Concentration),
    /// A part of the first mark on the glass.
    PartOfFirstMark(f64),
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
    /// True if an end of that range is not printed, and follows from a mark times the factor.
    pub range_follows: bool,
    /// The relative standard uncertainty of the factor, if stated.
    pub uncertainty: Option<f64>,
    /// Half the width of a printed span of factors, as a part of its middle.
    pub half_width: Option<f64>,
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

/// The reading up to which a band holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BandEnd {
    /// A reading.
    Reading(Concentration),
    /// The first or second third of the scale.
    Third(u8),
    /// The last mark.
    LastMark,
}

impl BandEnd {
    fn of(written: Option<&UpTo>) -> Self {
        match written.map(UpTo::bound) {
            Some(UpToBound::Reading(reading)) => Self::Reading(reading.value()),
            Some(UpToBound::Third(third)) => Self::Third(*third),
            Some(UpToBound::LastMark) | None => Self::LastMark,
        }
    }

    /// The reading on a scale, in its unit, as it may be meant: leaflets do not say whether a third is one of the marks or of the
    /// concentrations.
    pub fn on(self, scale: &Scale) -> [f64; 2] {
        let (Some(first), Some(last)) = (scale.marks.first(), scale.marks.last()) else {
            return [f64::NAN; 2];
        };
        match self {
            Self::Reading(reading) => [reading.in_unit(scale.unit); 2],
            Self::LastMark => [*last; 2],
            Self::Third(third) => {
                let part = f64::from(third) / 3.0;
                let by_concentration = first + part * (last - first);
                let by_marks = scale.mark_at(part);
                [
                    by_concentration.min(by_marks),
                    by_concentration.max(by_marks),
                ]
            }
        }
    }
}

/// A deviation in the forms that leaflets state it in; the largest of them counts at each reading.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct BandDeviation {
    /// As a part of the value.
    pub relative: f64,
    /// As a part of the last mark.
    pub of_full_scale: f64,
    /// As a concentration.
    pub at_least: Option<Concentration>,
    /// In spaces between two marks.
    pub spaces: f64,
    /// In millimetres of the stain.
    pub millimetres: f64,
}

impl BandDeviation {
    /// True of one that is the same part of every value.
    pub fn is_relative(&self) -> bool {
        self.at_least.is_none()
            && self.of_full_scale <= 0.0
            && self.spaces <= 0.0
            && self.millimetres <= 0.0
    }

    /// The deviation at a reading on a scale, as a part of it.
    pub fn at(&self, reading: f64, scale: &Scale) -> f64 {
        let concentration = self.at_least.map_or(0.0, |least| least.in_unit(scale.unit));
        let full_scale = self.of_full_scale * scale.marks.last().copied().unwrap_or(0.0);
        let spaces = self.spaces
            + scale
                .millimetres_of_a_space()
                .map_or(0.0, |space| self.millimetres / space);
        let absolute = concentration
            .max(full_scale)
            .max(spaces * scale.space_at(reading));
        self.relative.max(absolute / reading)
    }
}

/// Repeatability in a band of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Band {
    /// The reading up to which it holds.
    pub up_to: BandEnd,
    /// The relative standard deviation, and the least that it is as a concentration.
    pub rsd: BandDeviation,
    /// Number of readings that it was worked out from, if stated.
    pub from_readings: Option<u32>,
}

/// Accuracy in a band of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Accuracy {
    /// The reading up to which it holds.
    pub up_to: BandEnd,
    /// The largest deviation.
    pub within: BandDeviation,
    /// True if the leaflet does not say what its figure is.
    pub kind_not_said: bool,
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
    /// Above which humidity it matters.
    pub only_above_humidity: Option<Humidity>,
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

        let without_scale = without_scale(read)?;
        let scales = match &without_scale {
            Some(without) => vec![without.scale.clone()],
            None => scales(read)?,
        };
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
            ranges: match &without_scale {
                Some(without) => without.ranges.clone(),
                None => ranges(entry, draw, &scales)?,
            },
            thresholds: without_scale.map(|without| without.thresholds),
            more_strokes_if_no_stain: draw
                .more_strokes_if_no_stain
                .as_ref()
                .map(|strokes| strokes.value()),
            limits_of_detection: read
                .limit_of_detection
                .as_ref()
                .map(limits_of_detection)
                .unwrap_or_default(),
            response_factors: response_factors(read, &scales, book)?,
            qualitative: read
                .response_factors
                .iter()
                .filter(|other| other.qualitatively == Some(true))
                .filter_map(|other| other.substance.clone())
                .collect(),
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
                        up_to: BandEnd::of(band.up_to.as_ref()),
                        rsd: BandDeviation {
                            relative: band.rsd.as_ref()?.larger().value().fraction(),
                            at_least: band.at_least.as_ref().map(|least| least.value()),
                            ..BandDeviation::default()
                        },
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
                        up_to: BandEnd::of(band.up_to.as_ref()),
                        within: deviation(band)?,
                        kind_not_said: band.kind == Some(AccuracyKind::NotSaid),
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
                        response: other.response.as_ref().map(Factor::value),
                        response_uncertainty: other
                            .response_uncertainty
                            .as_ref()
                            .map(|u| u.value().fraction())
                            // A span is a rectangular distribution about its middle.
                            .or_else(|| {
                                let half = other.response.as_ref()?.relative_half_width()?;
                                Some(half / 3.0_f64.sqrt())
                            }),
                        only_above_humidity: other
                            .only_above_humidity
                            .as_ref()
                            .map(|humidity| humidity.value()),
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
            let millimetres: Vec<f64> = scale.millimetres.iter().map(|at| at.value()).collect();
            let rising = |pair: &[f64]| matches!(pair, [a, b] if 0.0 <= *a && a < b);
            if !millimetres.is_empty()
                && (millimetres.len() != marks.len() || !millimetres.windows(2).all(rising))
            {
                return Err(Unusable::new(
                    path.key("millimetres"),
                    "a rising millimetre mark for each of `marks`",
                ));
            }
            let unnumbered = if millimetres.is_empty() {
                scale.unnumbered.iter().map(Count::value).collect()
            } else {
                millimetres.windows(2).map(lines_between).collect()
            };
            Ok(Scale {
                name: scale.name.clone(),
                unit,
                marks,
                millimetres,
                unnumbered,
                length_mm: scale.length_mm.as_ref().map(|length| length.value()),
                reads_longest_side: read
                    .stain
                    .as_ref()
                    .is_some_and(|stain| stain.read_at == Some(ReadAt::LongestSide)),
                printed_for_strokes: scale
                    .printed_for_strokes
                    .as_ref()
                    .needed(&path, "printed_for_strokes")?
                    .value(),
                runs: scale.runs,
                mass_stated: scale.mass_stated,
                mass_stated_at: scale
                    .mass_stated_at
                    .as_deref()
                    .and_then(reference_conditions),
                stated_in: scale.stated_in.unwrap_or(StatedIn::AirAsItIs),
            })
        })
        .collect()
}

/// The millimetre marks between two of them, rounded down: fewer lines leave more open.
fn lines_between(pair: &[f64]) -> u32 {
    let [from, to] = pair else { return 0 };
    let mut lines = 0;
    // A part of a millimetre beside the last line is none.
    while f64::from(lines + 2) <= to - from + 1e-9 && lines < MOST_LINES {
        lines += 1;
    }
    lines
}

/// Millimetres from one mark to the next that are told apart; a glass is not as long.
const MOST_LINES: u32 = 1000;

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
    entry: &TubeEntry,
    draw: &crate::written::tube::Draw,
    scales: &[Scale],
) -> Result<Vec<MeasuringRange>, Unusable> {
    let at = Path::root().key("draw").key("ranges");
    if draw.ranges.is_empty() {
        return Err(Unusable::missing(at));
    }
    let full = entry.ranges_in_full();
    if let Some(lacking) = full.lacking.first() {
        let path = at.index(lacking.row).key(lacking.key);
        return Err(Unusable::new(path, lacking.why.clone()));
    }
    let pause = draw
        .pause
        .as_ref()
        .map_or(0.0, |pause| pause.value().seconds());
    let flush = draw
        .flush
        .as_ref()
        .and_then(|flush| flush.strokes.as_ref())
        .map_or(0.0, |strokes| strokes.value());
    full.rows
        .iter()
        .map(|full| {
            let range = &full.range;
            let path = at.clone().index(full.row);
            let number = |field: &Option<crate::written::Num>, key: &'static str| {
                field.as_ref().map(|n| n.value()).needed(&path, key)
            };
            let strokes = number(&range.strokes, "strokes")?;
            let sampling_seconds = range
                .sampling_seconds(pause)
                .needed(&path, "seconds_per_stroke")?;
            // Strokes of a row that prints the time in all take an even share of it.
            let each = match &range.seconds_per_stroke {
                Some(seconds) => seconds.value(),
                None => sampling_seconds / strokes,
            };
            Ok(MeasuringRange {
                strokes,
                multiplier: number(&range.multiply_by, "multiply_by")?,
                multiplier_half_step: full.multiplier_half_step,
                multiplier_follows_from: full.follows("multiply_by"),
                ends_follow_from: full.follows("from").or(full.follows("to")),
                from: number(&range.from, "from")?,
                to: number(&range.to, "to")?,
                sampling_seconds,
                flush_seconds: flush * (each + pause),
                usable: range
                    .usable
                    .as_ref()
                    .map_or((None, None), |usable| (usable.low(), usable.high())),
                uses: range.uses.needed(&path, "uses")?,
                scale: scale_index(range.scale.as_deref(), scales, &path)?,
                row: full.row,
            })
        })
        .collect()
}

/// The lowest visible concentrations, by rising stroke count.
fn limits_of_detection(lowest: &crate::written::tube::LimitOfDetection) -> Vec<LimitOfDetection> {
    let mut all = Vec::new();
    let strokes = lowest.strokes.as_ref().map(|strokes| strokes.value());
    if let Some(part) = &lowest.part_of_first_mark {
        all.push(LimitOfDetection {
            visible: Visible::PartOfFirstMark(part.value()),
            strokes,
        });
    }
    if let (Some(concentration), Some(_)) = (&lowest.concentration, strokes) {
        all.push(LimitOfDetection {
            visible: Visible::Concentration(concentration.value()),
            strokes,
        });
    }
    all.extend(lowest.by_strokes.iter().filter_map(|row| {
        Some(LimitOfDetection {
            visible: Visible::Concentration(row.concentration.as_ref()?.value()),
            strokes: Some(row.strokes.as_ref()?.value()),
        })
    }));
    all.sort_by(|a, b| {
        let count = |one: &LimitOfDetection| one.strokes.unwrap_or(0.0);
        count(a).total_cmp(&count(b))
    });
    all
}

/// The deviation of a band of accuracy; nothing if it states none.
fn deviation(band: &AccuracyBand) -> Option<BandDeviation> {
    let share = band
        .within
        .as_ref()
        .map(|within| within.larger().value().fraction());
    let full_scale = band.of == Some(DeviationOf::FullScale);
    let deviation = BandDeviation {
        relative: share.filter(|_| !full_scale).unwrap_or(0.0),
        of_full_scale: share.filter(|_| full_scale).unwrap_or(0.0),
        at_least: band.at_least.as_ref().map(|least| least.value()),
        spaces: band.within_spaces.as_ref().map_or(0.0, Fraction::value),
        millimetres: band.within_mm.as_ref().map_or(0.0, |mm| mm.value()),
    };
    (deviation != BandDeviation::default()).then_some(deviation)
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
        .filter(|(_, other)| other.qualitatively != Some(true))
        .map(|(row, other)| {
            let path = at.clone().index(row);
            let number = |field: &Option<crate::written::Num>| field.as_ref().map(|n| n.value());
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
            let scale = scale_index(other.scale.as_deref(), scales, &path)?;
            let of_scale = scales.get(scale).needed(&path, "scale")?;
            let ends = of_scale.marks.first().zip(of_scale.marks.last());
            let (first, last) = ends.needed(&path, "scale")?;
            let at = |mark: f64| match &factor {
                FactorValue::Single(by) => mark * by,
                FactorValue::ByReading(points, _) => {
                    // The factor of the row that is nearest on the scale.
                    let distance = |point: &&(f64, f64)| (point.0 - mark).abs();
                    let nearest = points
                        .iter()
                        .min_by(|a, b| distance(a).total_cmp(&distance(b)));
                    nearest.map_or(mark, |(_, by)| mark * by)
                }
            };
            Ok(ResponseFactor {
                substance: substance_of(book, gas, &path.clone().key("substance"))?,
                target: other.multiply.unwrap_or(Target::Reading),
                strokes: number(&other.strokes).unwrap_or(of_scale.printed_for_strokes),
                from: number(&other.from).unwrap_or_else(|| at(*first)),
                to: number(&other.to).unwrap_or_else(|| at(*last)),
                range_follows: other.from.is_none() || other.to.is_none(),
                half_width: other.by.as_ref().and_then(Factor::relative_half_width),
                factor,
                uncertainty: other.uncertainty.as_ref().map(|u| u.value().fraction()),
                scale,
                row,
            })
        })
        .collect()
}
