//! The parts of the uncertainty in words: each source with its distribution and where its figure comes from.

use stainbook_catalog::written::tube::Axis;
use stainbook_core::print;

use crate::air::PressureOrigin;
use crate::budget::{Contribution, Source};
use crate::defaults;
use crate::evaluate::ReadsToUsed;
use crate::interferents::{LevelUncertainty, Share};
use crate::pump_and_lot::{PumpUsed, VolumeOrigin};
use crate::result::BudgetLine;
use crate::words::volume_found;

/// Digits of a derivative that differences leave standing.
const DERIVATIVE_DIGITS: u32 = 12;

/// Origin of the uncertainty of a reading between the marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BetweenMarks {
    /// The part of a space to which the scale was read.
    Scale,
    /// The reader's own figure.
    Stated,
    /// Two counts of a tube without a scale.
    Counted,
}

/// Origins of the figures of one reading, beyond its pump's record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Origins {
    /// The unit of the scale.
    pub(crate) unit: &'static str,
    /// Origin of the uncertainty between the marks.
    pub(crate) between_marks: BetweenMarks,
    /// The part of a space that was read to, and who says so.
    pub(crate) reads_to: ReadsToUsed,
    /// The row of the accuracy band, if the leaflet has one.
    pub(crate) accuracy_row: Option<usize>,
    /// The row of the repeatability band.
    pub(crate) repeatability_row: Option<usize>,
    /// The row of the stroke count.
    pub(crate) range_row: usize,
    /// Origin of the pressure.
    pub(crate) pressure: Option<PressureOrigin>,
    /// True if the humidity was stated in g/m³, and not in %RH.
    pub(crate) humidity_is_absolute: bool,
    /// For each table, whether it was read off a graph: temperature, humidity, pressure.
    pub(crate) read_off: [bool; 3],
    /// True if the sheet states the uncertainty of the factor for another gas.
    pub(crate) response_factor_stated: bool,
}

/// The budget, one line for each part, with its share of the variance.
pub(crate) fn lines(
    parts: &[Contribution],
    origins: &Origins,
    pump: &PumpUsed,
    gases: &[Share],
) -> Vec<BudgetLine> {
    let variance: f64 = parts.iter().map(|part| part.relative * part.relative).sum();
    parts
        .iter()
        .map(|part| BudgetLine {
            code: part.source.code().to_owned(),
            source: source(part.source, origins, gases),
            distribution: part.distribution.name().to_owned(),
            value: part.term.standard,
            unit: unit(part.source, origins).to_owned(),
            sensitivity_coefficient: print::rounded(
                part.term.sensitivity_coefficient,
                DERIVATIVE_DIGITS,
            ),
            degrees_of_freedom: finite(part.term.degrees_of_freedom),
            relative: print::rounded(part.relative, DERIVATIVE_DIGITS),
            contribution: if variance > 0.0 {
                100.0 * part.relative * part.relative / variance
            } else {
                0.0
            },
            origin: origin(part.source, origins, pump, gases),
        })
        .collect()
}

/// A number as in the output: nothing for an infinite one.
pub(crate) fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

/// The unit of the standard uncertainty of a source.
fn unit(source: Source, origins: &Origins) -> &'static str {
    match source {
        Source::Reading | Source::Front | Source::Interferent(_) => origins.unit,
        Source::Temperature | Source::AirTemperature => "K",
        Source::Humidity if origins.humidity_is_absolute => "g/m³",
        Source::Humidity => "%RH",
        Source::Pressure => "kPa",
        Source::Accuracy
        | Source::Repeatability
        | Source::StrokeVolume
        | Source::StrokeSpread
        | Source::Multiplier
        | Source::Table(_)
        | Source::ResponseFactor => "1",
    }
}

/// True if a table was read off a graph, with the field it stands in.
fn table(axis: Axis, origins: &Origins) -> (bool, &'static str) {
    match axis {
        Axis::Temperature => (origins.read_off[0], "correct.temperature"),
        Axis::Humidity => (origins.read_off[1], "correct.humidity"),
        Axis::Pressure => (origins.read_off[2], "correct.pressure"),
    }
}

/// A source in words.
pub(crate) fn source(source: Source, origins: &Origins, gases: &[Share]) -> String {
    match source {
        Source::Reading if origins.between_marks == BetweenMarks::Stated => {
            "reading the end of the stain"
        }
        Source::Reading if origins.between_marks == BetweenMarks::Counted => {
            "the interval between two counts"
        }
        Source::Reading => "reading the end of the stain between the marks",
        Source::Front => "difference of the two sides of the front",
        Source::Accuracy => "how far scale and lot may be from the truth",
        Source::Repeatability => "how much repeated readings differ",
        Source::StrokeVolume => "volume of the strokes",
        Source::StrokeSpread => "how much single strokes differ",
        Source::Multiplier => "printed digits of the stroke multiplier",
        Source::Temperature => "temperature of the tube",
        Source::AirTemperature => "temperature of the air, for the humidity",
        Source::Humidity => "humidity of the air",
        Source::Pressure => "pressure at the place",
        Source::Table(axis) if table(axis, origins).0 => {
            "how closely the correction could be read off the graph"
        }
        Source::Table(_) => "printed digits of the correction",
        Source::ResponseFactor => "factor for another gas than the scale's",
        Source::Interferent(index) => {
            return gases.iter().find(|gas| gas.index == index).map_or_else(
                || "share of another gas".to_owned(),
                |gas| format!("share of {} in the reading", gas.gas),
            );
        }
    }
    .to_owned()
}

/// Origin of a source's figure: a field of the sheet, the pump's record, the survey, or a default.
fn origin(source: Source, origins: &Origins, pump: &PumpUsed, gases: &[Share]) -> String {
    let within =
        |figure: f64, unit: &str| format!("default: within {figure} {unit} (common practice)");
    let silent = |figure: f64| {
        format!(
            "default: {} (common practice), as the sheet is silent",
            print::percent(figure, 1)
        )
    };
    match source {
        Source::Reading if origins.between_marks == BetweenMarks::Stated => {
            "survey, uncertainty of the reading".to_owned()
        }
        Source::Reading if origins.between_marks == BetweenMarks::Counted => "sheet, read.counts: between two counts".to_owned(),
        Source::Reading => match origins.reads_to {
            ReadsToUsed::Stated(reads_to) => format!("survey: read to {}", reads_to.words()),
            ReadsToUsed::Assumed => format!(
                "default: read to {}, as nobody says",
                defaults::READS_TO.words()
            ),
            ReadsToUsed::OnMarksOnly => "every reading lies on a mark: read to the nearest".to_owned(),
        },
        Source::Front => "survey: half the difference of short and long".to_owned(),
        Source::Accuracy => origins.accuracy_row.map_or_else(
            || {
                format!(
                    "default: within {} for {} of readings (former US rule for such units), as the sheet is silent",
                    print::percent(defaults::ACCURACY_WITHIN, 1),
                    print::percent(defaults::CONFIDENCE, 1)
                )
            },
            |row| format!("sheet, doubt.accuracy row {}", row + 1),
        ),
        Source::Repeatability => origins.repeatability_row.map_or_else(
            || silent(defaults::REPEATABILITY),
            |row| format!("sheet, doubt.repeatability row {}", row + 1),
        ),
        Source::StrokeVolume => stroke_volume(pump),
        Source::StrokeSpread => stroke_spread(pump),
        Source::Multiplier => format!("sheet, draw.ranges row {}", origins.range_row + 1),
        Source::Temperature | Source::AirTemperature => within(defaults::TEMPERATURE_WITHIN, "K"),
        Source::Humidity if origins.humidity_is_absolute => format!(
            "default: within {} of it (common practice)",
            print::percent(defaults::ABSOLUTE_HUMIDITY_WITHIN, 1)
        ),
        Source::Humidity => within(defaults::RELATIVE_HUMIDITY_WITHIN, "%RH"),
        Source::Pressure => {
            let (how, within) = origins
                .pressure
                .map_or(("not stated", 0.0), |origin| (origin.words(), origin.within()));
            format!(
                "default: within {} (common practice), {how}",
                print::percent(within, 1)
            )
        }
        Source::Table(axis) => match table(axis, origins) {
            (true, field) => format!("sheet, {field}.read_off_within and printed digits"),
            (false, field) => format!("sheet, {field}"),
        },
        Source::ResponseFactor if origins.response_factor_stated => {
            "sheet, read.also_measures, uncertainty".to_owned()
        }
        Source::ResponseFactor => silent(defaults::OTHER_GAS_FACTOR),
        Source::Interferent(index) => gases
            .iter()
            .find(|gas| gas.index == index)
            .map_or_else(String::new, of_share),
    }
}

/// Origin of the half-width of a stroke's volume.
fn stroke_volume(pump: &PumpUsed) -> String {
    let default = |why| {
        format!(
            "default: {} (common practice), {why}",
            print::percent(defaults::VOLUME_TOLERANCE, 1)
        )
    };
    match (&pump.origin, &pump.pump) {
        (VolumeOrigin::PumpKind, Some(pump)) => format!(
            "pump kind `{}`, volume_tolerance {}",
            pump.kind.id,
            print::percent(pump.kind.volume_tolerance, 1)
        ),
        (VolumeOrigin::PumpKindTwice, Some(pump)) => format!(
            "pump kind `{}`, twice the volume_tolerance {}, as no volume check in time is on record",
            pump.kind.id,
            print::percent(pump.kind.volume_tolerance, 1)
        ),
        (VolumeOrigin::VolumeCheck(found), Some(pump)) => {
            format!("pump `{}`, volume check: {}", pump.id, volume_found(found))
        }
        (VolumeOrigin::NoPumpRecorded, _) => default("as no pump is recorded"),
        _ => default("as the pump is not in the catalog"),
    }
}

/// Origin of the spread of single strokes.
fn stroke_spread(pump: &PumpUsed) -> String {
    match (&pump.pump, pump.spread, pump.spread_checked) {
        (Some(pump), Some(spread), Some(checked)) => format!(
            "pump `{}`, {} volume checks on {checked}: standard deviation {} of a stroke",
            pump.id,
            print::number(spread.degrees_of_freedom + 1.0),
            print::percent(spread.of_one, 1)
        ),
        _ => String::new(),
    }
}

/// Origins of the uncertainties of the response to an interferent and of its level; what was assumed stands first.
fn of_share(share: &Share) -> String {
    let level = match share.level {
        LevelUncertainty::Stated => "survey, uncertainty of the level".to_owned(),
        LevelUncertainty::StatedOfNothing | LevelUncertainty::Assumed => format!(
            "default for the level: {}",
            print::percent(defaults::LEVEL, 1)
        ),
    };
    if !share.response_stated {
        let response = print::percent(defaults::RESPONSE, 1);
        return format!("default for the response: {response}; {level}");
    }
    let response = format!(
        "sheet, doubt.other_gases row {}, response_uncertainty",
        share.row + 1
    );
    if share.level == LevelUncertainty::Assumed {
        format!("{level}; {response}")
    } else {
        format!("{response}; {level}")
    }
}
