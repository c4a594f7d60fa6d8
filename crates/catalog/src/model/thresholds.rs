//! Statements of a tube without a scale.

use stainbook_core::{Concentration, Pressure, Quantity, Temperature, Unit, Written, unit_of};
use stainbook_document::place::Path;

use super::tube::{MeasuringRange, Scale};
use super::{Needed, Unusable};
use crate::written::tube::{Counts, Indicates, Read, StatedIn, Uses};

/// Statements of a tube without a scale.
#[derive(Clone, Debug, PartialEq)]
pub enum Thresholds {
    /// A colour or none after so many strokes.
    Indicating(Vec<Indication>),
    /// Strokes until something is seen.
    Counting(CountTable),
}

/// Statements of a colour and of none after so many strokes, in the unit of the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Indication {
    /// Number of strokes.
    pub strokes: f64,
    /// The concentration that is reached if there is a colour.
    pub at_least: Option<f64>,
    /// The concentration that is not reached if there is none.
    pub less_than: Option<f64>,
    /// The temperatures that it is for.
    pub temperature: [Option<Temperature>; 2],
    /// The pressures that it is for.
    pub pressure: [Option<Pressure>; 2],
    /// The index of its row on the sheet.
    pub row: usize,
}

/// Strokes and the concentrations at which they are needed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct CountTable {
    /// Strokes rising, concentrations falling.
    pub rows: Vec<(f64, f64)>,
    /// True if the count is multiplied by the station pressure over that of the calibration.
    pub count_by_pressure: bool,
}

/// Two counts that are one: what a half stroke, or a pressure, loses in writing.
const SAME_COUNT: f64 = 1e-6;

impl CountTable {
    /// The concentration that is reached if the end was seen by this count: that of the next greater count of the table, as between
    /// counts nothing is printed. Nothing beyond the last.
    pub fn reached_by(&self, count: f64) -> Option<f64> {
        self.rows
            .iter()
            .find(|(strokes, _)| count <= strokes + SAME_COUNT)
            .map(|(_, concentration)| *concentration)
    }

    /// The concentration that is not reached if the end was not seen by this count: that of the next smaller count of the table.
    /// Nothing before the first.
    pub fn not_reached_by(&self, count: f64) -> Option<f64> {
        self.rows
            .iter()
            .rev()
            .find(|(strokes, _)| *strokes <= count + SAME_COUNT)
            .map(|(_, concentration)| *concentration)
    }
}

/// A tube without a scale as the rest of the model knows it: what it tells, a scale of its thresholds, and its strokes.
pub(super) struct WithoutScale {
    pub(super) thresholds: Thresholds,
    pub(super) scale: Scale,
    pub(super) ranges: Vec<MeasuringRange>,
}

/// The greatest count for which a table of strokes is looked up beyond its last row.
const MOST_STROKES: u32 = 100;

/// Nothing of a tube with a scale.
pub(super) fn without_scale(read: &Read) -> Result<Option<WithoutScale>, Unusable> {
    let at = Path::root().key("read");
    match (&read.indicates, &read.counts) {
        (None, None) => Ok(None),
        (Some(_), Some(_)) => Err(Unusable::new(at, "either `indicates` or `counts`")),
        _ if !read.scales.is_empty() => Err(Unusable::new(
            at.key("scales"),
            "a tube with a scale neither `indicates` nor `counts`",
        )),
        (Some(indicates), None) => indicating(indicates, &at.key("indicates")).map(Some),
        (None, Some(counts)) => counting(counts, &at.key("counts")).map(Some),
    }
}

fn unit_at(text: Option<&str>, path: &Path) -> Result<&'static Unit, Unusable> {
    unit_of(Concentration::DIMENSION, text.needed(path, "unit")?)
        .map_err(|error| Unusable::new(path.clone().key("unit"), error.to_string()))
}

fn indicating(written: &Indicates, path: &Path) -> Result<WithoutScale, Unusable> {
    let unit = unit_at(written.unit.as_deref(), path)?;
    let at = path.clone().key("rows");
    if written.rows.is_empty() {
        return Err(Unusable::missing(at));
    }
    let mut indications = Vec::new();
    let mut ranges: Vec<MeasuringRange> = Vec::new();
    for (row, line) in written.rows.iter().enumerate() {
        let at_row = at.clone().index(row);
        let strokes = line.strokes.as_ref().needed(&at_row, "strokes")?.value();
        let seconds = line
            .seconds_per_stroke
            .as_ref()
            .needed(&at_row, "seconds_per_stroke")?
            .value();
        let indication = Indication {
            strokes,
            at_least: line.colour_at_least.as_ref().map(|number| number.value()),
            less_than: line
                .no_colour_less_than
                .as_ref()
                .map(|number| number.value()),
            temperature: line.temperature.as_ref().map_or([None; 2], |span| {
                [span.low(), span.high()].map(|end| end.map(Written::value))
            }),
            pressure: line.pressure.as_ref().map_or([None; 2], |span| {
                [span.low(), span.high()].map(|end| end.map(Written::value))
            }),
            row,
        };
        let stated = [indication.at_least, indication.less_than];
        if stated.iter().flatten().any(|number| *number <= 0.0) || stated == [None, None] {
            return Err(Unusable::new(
                at_row,
                "a concentration above zero for a colour, for none, or for both",
            ));
        }
        indications.push(indication);
        if !ranges
            .iter()
            .any(|range| (range.strokes - strokes).abs() < SAME_COUNT)
        {
            ranges.push(drawn(strokes, seconds, row));
        }
    }
    let marks = indications
        .iter()
        .flat_map(|one| [one.at_least, one.less_than])
        .flatten();
    Ok(WithoutScale {
        scale: scale(unit, marks.collect()),
        thresholds: Thresholds::Indicating(indications),
        ranges,
    })
}

fn counting(written: &Counts, path: &Path) -> Result<WithoutScale, Unusable> {
    let unit = unit_at(written.unit.as_deref(), path)?;
    let at = path.clone().key("rows");
    let seconds = written
        .seconds_per_stroke
        .as_ref()
        .needed(path, "seconds_per_stroke")?
        .value();
    let mut rows = written
        .rows
        .iter()
        .enumerate()
        .map(|(row, cells)| match cells.as_slice() {
            [strokes, concentration] if 0.0 < concentration.value() => {
                Ok((strokes.value(), concentration.value()))
            }
            _ => Err(Unusable::new(
                at.clone().index(row),
                "a row has strokes and a concentration above zero",
            )),
        })
        .collect::<Result<Vec<_>, _>>()?;
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let falls = rows
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a.0 < b.0 && b.1 < a.1));
    let last = rows.last().map_or(0.0, |(strokes, _)| *strokes);
    if rows.is_empty() || !falls || f64::from(MOST_STROKES) < last {
        return Err(Unusable::new(
            at,
            "rows with more strokes for less, at most 100 strokes",
        ));
    }
    // Every whole count may be met, also between two rows and beyond the last one.
    let ranges = (1..=MOST_STROKES)
        .map(|count| drawn(f64::from(count), seconds, 0))
        .collect();
    Ok(WithoutScale {
        scale: scale(
            unit,
            rows.iter()
                .map(|(_, concentration)| *concentration)
                .collect(),
        ),
        thresholds: Thresholds::Counting(CountTable {
            rows,
            count_by_pressure: written.count_by_pressure.is_some(),
        }),
        ranges,
    })
}

fn scale(unit: &'static Unit, mut marks: Vec<f64>) -> Scale {
    marks.sort_by(f64::total_cmp);
    marks.dedup();
    Scale {
        name: None,
        unit,
        marks,
        millimetres: Vec::new(),
        unnumbered: Vec::new(),
        length_mm: None,
        reads_longest_side: false,
        printed_for_strokes: 1.0,
        runs: None,
        mass_stated: None,
        mass_stated_at: None,
        stated_in: StatedIn::AirAsItIs,
    }
}

fn drawn(strokes: f64, seconds: f64, row: usize) -> MeasuringRange {
    MeasuringRange {
        strokes,
        multiplier: 1.0,
        multiplier_half_step: 0.0,
        multiplier_follows_from: None,
        ends_follow_from: None,
        from: 0.0,
        to: f64::INFINITY,
        sampling_seconds: strokes * seconds,
        flush_seconds: 0.0,
        usable: (None, None),
        uses: Uses::WholeScale,
        scale: 0,
        row,
    }
}
