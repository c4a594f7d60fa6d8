//! The parts of the uncertainty in words: each source with its distribution and where its figure comes from.

use stainbook_catalog::written::tube::Axis;
use stainbook_core::print;

use crate::budget::{Part, Source};
use crate::defaults;
use crate::other_gases;
use crate::result::BudgetLine;

/// Where the figures of one reading come from.
#[derive(Clone, Debug)]
pub(crate) struct Origins<'r> {
    /// The unit of the scale.
    pub(crate) unit: &'r str,
    /// Whether the reader stated an uncertainty.
    pub(crate) reading_stated: bool,
    /// The row of the accuracy band, if the leaflet has one.
    pub(crate) accuracy_row: Option<usize>,
    /// The row of the repeatability band.
    pub(crate) repeatability_row: Option<usize>,
    /// Where the stroke volume's figure comes from.
    pub(crate) stroke_volume: &'r str,
    /// Where the spread of single strokes comes from.
    pub(crate) stroke_spread: &'r str,
    /// The row of the stroke count.
    pub(crate) range_row: usize,
    /// How the pressure is known, with its half width.
    pub(crate) pressure: Option<(&'static str, f64)>,
    /// Whether the humidity was stated in g/m³, and not in %RH.
    pub(crate) humidity_is_absolute: bool,
    /// For each table, whether it was read off a graph: temperature, humidity, pressure.
    pub(crate) read_off: [bool; 3],
    /// Whether the sheet states the uncertainty of the factor for another gas.
    pub(crate) other_gas_stated: bool,
    /// The gases that were subtracted.
    pub(crate) gases: &'r [other_gases::Part],
}

/// The budget, one line for each part, with its share of the variance.
pub(crate) fn lines(parts: &[Part], origins: &Origins<'_>) -> Vec<BudgetLine> {
    let variance: f64 = parts.iter().map(|part| part.relative * part.relative).sum();
    parts
        .iter()
        .map(|part| {
            let words = words(part.source, origins);
            BudgetLine {
                code: part.source.code().to_owned(),
                source: words.source,
                distribution: part.distribution.name().to_owned(),
                value: part.term.standard,
                unit: words.unit.to_owned(),
                sensitivity: part.term.sensitivity,
                degrees_of_freedom: finite(part.term.degrees_of_freedom),
                relative: part.relative,
                contribution: if variance > 0.0 {
                    100.0 * part.relative * part.relative / variance
                } else {
                    0.0
                },
                origin: words.origin,
                input: Some(part.source),
            }
        })
        .collect()
}

/// Degrees of freedom as in the output: nothing for infinite ones.
pub(crate) fn finite(degrees_of_freedom: f64) -> Option<f64> {
    degrees_of_freedom.is_finite().then_some(degrees_of_freedom)
}

struct Words<'r> {
    source: String,
    unit: &'r str,
    origin: String,
}

fn words<'r>(source: Source, origins: &Origins<'r>) -> Words<'r> {
    let line = |source: &str, unit, origin: String| Words {
        source: source.to_owned(),
        unit,
        origin,
    };
    let within =
        |figure: f64, unit: &str| format!("default: within {figure} {unit} (common practice)");
    match source {
        Source::Reading if origins.reading_stated => {
            line("reading the end of the stain", origins.unit, "survey, uncertainty of the reading".to_owned())
        }
        Source::Reading => line(
            "reading the end of the stain between the marks",
            origins.unit,
            "sheet, read.scales: the space of the marks about the reading".to_owned(),
        ),
        Source::Front => line(
            "difference of the two sides of the front",
            origins.unit,
            "survey: half the difference of short and long".to_owned(),
        ),
        Source::Accuracy => line(
            "how far scale and lot may be from the truth",
            "1",
            origins.accuracy_row.map_or_else(
                || format!("default: within {} for {} of readings (former US rule for such units), as the sheet is silent", print::percent(defaults::ACCURACY_WITHIN, 1), print::percent(defaults::CONFIDENCE, 1)),
                |row| format!("sheet, doubt.accuracy row {}", row + 1),
            ),
        ),
        Source::Repeatability => line(
            "how much repeated readings differ",
            "1",
            origins.repeatability_row.map_or_else(
                || format!("default: {} (common practice), as the sheet is silent", print::percent(defaults::REPEATABILITY, 1)),
                |row| format!("sheet, doubt.repeatability row {}", row + 1),
            ),
        ),
        Source::StrokeVolume => {
            line("volume of the strokes", "1", origins.stroke_volume.to_owned())
        }
        Source::StrokeSpread => line(
            "how much single strokes differ",
            "1",
            origins.stroke_spread.to_owned(),
        ),
        Source::Multiplier => line(
            "printed digits of the stroke multiplier",
            "1",
            format!("sheet, draw.ranges row {}", origins.range_row + 1),
        ),
        Source::Temperature => {
            line("temperature of the tube", "K", within(defaults::TEMPERATURE_WITHIN, "K"))
        }
        Source::AirTemperature => line(
            "temperature of the air, for the humidity",
            "K",
            within(defaults::TEMPERATURE_WITHIN, "K"),
        ),
        Source::Humidity if !origins.humidity_is_absolute => {
            line("humidity of the air", "%RH", within(defaults::RELATIVE_HUMIDITY_WITHIN, "%RH"))
        }
        Source::Humidity => line(
            "humidity of the air",
            "g/m³",
            format!("default: within {} of it (common practice)", print::percent(defaults::ABSOLUTE_HUMIDITY_WITHIN, 1)),
        ),
        Source::Pressure => {
            let (how, within) = origins.pressure.unwrap_or(("not stated", 0.0));
            line(
            "pressure at the place",
                "kPa",
                format!("default: within {} (common practice), {how}", print::percent(within, 1)),
            )
        }
        Source::Table(axis) => {
            let (field, read_off) = match axis {
                Axis::Temperature => ("correct.temperature", origins.read_off[0]),
                Axis::Humidity => ("correct.humidity", origins.read_off[1]),
                Axis::Pressure => ("correct.pressure", origins.read_off[2]),
            };
            let (source, origin) = if read_off {
                ("how closely the correction could be read off the graph", format!("sheet, {field}.read_off_within and printed digits"))
            } else {
                ("printed digits of the correction", format!("sheet, {field}"))
            };
            line(source, "1", origin)
        }
        Source::OtherGasFactor => line(
            "factor for another gas than the scale's",
            "1",
            if origins.other_gas_stated {
                "sheet, read.also_measures, uncertainty".to_owned()
            } else {
                format!("default: {} (common practice), as the sheet is silent", print::percent(defaults::OTHER_GAS_FACTOR, 1))
            },
        ),
        Source::OtherGas(index) => {
            let gas = origins.gases.iter().find(|gas| gas.index == index);
            Words {
                source: gas.map_or_else(|| "share of another gas".to_owned(), |gas| format!("share of {} in the reading", gas.gas)),
                unit: origins.unit,
                origin: gas.map_or_else(String::new, |gas| gas.origin.clone()),
            }
        }
    }
}
