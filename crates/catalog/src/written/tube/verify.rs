//! Redundancy that the paper offers, and findings that are accepted.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Concentration, Humidity, Pressure, Temperature};

use crate::written::scalars::{Count, Day, Num, Stated};

/// An example worked out on the leaflet or by hand. What it does not state is as at calibration.
#[apply(written_form)]
pub struct Worked {
    /// Which scale, if the tube has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// The reading on the scale.
    #[schemars(extend("x-required" = true), example = &"5 ppm")]
    pub reading: Option<Stated<Concentration>>,
    /// The number of strokes.
    #[schemars(extend("x-required" = true), example = 3)]
    pub strokes: Option<Num>,
    /// The temperature, if it is not that of the calibration.
    #[schemars(example = &"0 °C")]
    pub temperature: Option<Stated<Temperature>>,
    /// The humidity, if it is not that of the calibration.
    #[schemars(example = &"80 %RH")]
    pub humidity: Option<Stated<Humidity>>,
    /// The station pressure, if it is not that of the calibration.
    #[schemars(example = &"830 hPa")]
    pub pressure: Option<Stated<Pressure>>,
    /// The gas, if it is another one that the tube measures.
    #[schemars(example = &"bromine")]
    pub substance: Option<String>,
    /// The result, with the digits that the leaflet prints.
    #[schemars(extend("x-required" = true), example = &"6.25 ppm")]
    pub gives: Option<Stated<Concentration>>,
}

/// A factor that the leaflet prints from ppm to mg/m³. The checker works it out again from the molar mass.
#[apply(written_form)]
pub struct PrintedConversion {
    /// So many ppm of the gas that is measured.
    #[schemars(extend("x-required" = true), example = 1)]
    pub ppm: Option<Num>,
    /// The mass concentration that the leaflet prints for it.
    #[schemars(extend("x-required" = true), example = &"2.95 mg/m³")]
    pub is: Option<Stated<Concentration>>,
    /// The temperature that it is printed for. Without it: that of the calibration.
    #[schemars(example = &"20 °C")]
    pub at: Option<Stated<Temperature>>,
    /// The pressure that it is printed for. Without it: 1013.25 hPa.
    #[schemars(example = &"1013 hPa")]
    pub pressure: Option<Stated<Pressure>>,
}

/// A control figure: rows counted and numbers added up from the paper.
#[apply(written_form)]
pub struct Control {
    /// Which numbers.
    #[schemars(extend("x-required" = true), example = &"marks")]
    pub of: Option<ControlOf>,
    /// Which scale, if the tube has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// Which column of a table, counted from 1 at the left of the paper. Without it, the factors of a list and the headings of a table by reading.
    #[schemars(example = 2)]
    pub column: Option<Count>,
    /// How many rows (marks, ranges) the paper has.
    #[schemars(extend("x-required" = true), example = 6)]
    pub rows: Option<Count>,
    /// The sum of the numbers, added up from the paper. Numbers of different kinds are added up as they stand, without their units.
    #[schemars(extend("x-required" = true), example = 32.2)]
    pub sum: Option<Num>,
    /// The first number once, the second twice, the third three times and so on, added up from the paper. It catches what a sum cannot: numbers that changed places.
    #[schemars(example = 155.7)]
    pub in_order: Option<Num>,
    /// The unit that the paper prints for these numbers, if it is one for all that have a unit.
    #[schemars(example = &"ppm")]
    pub unit: Option<String>,
    /// How many of these numbers are in which unit, counted on the paper, if they have several: `3 ppm`, `2 %`. The two ends of a range are two numbers; a number without a unit is not counted.
    #[schemars(example = serde_json::json!(["3 ppm", "2 %"]))]
    pub units: Vec<String>,
}

/// Which numbers a control figure is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ControlOf {
    /// The marks of a scale.
    #[serde(rename = "marks")]
    Marks,
    /// The stroke counts of the ranges.
    #[serde(rename = "strokes")]
    Strokes,
    /// The multipliers of the ranges.
    #[serde(rename = "multipliers")]
    Multipliers,
    /// The lower ends of the ranges.
    #[serde(rename = "lower ends")]
    LowerEnds,
    /// The upper ends of the ranges.
    #[serde(rename = "upper ends")]
    UpperEnds,
    /// The seconds per stroke of the ranges.
    #[serde(rename = "seconds")]
    Seconds,
    /// A column of the temperature correction; for a formula its coefficients.
    #[serde(rename = "temperature table")]
    TemperatureTable,
    /// A column of the humidity correction.
    #[serde(rename = "humidity table")]
    HumidityTable,
    /// A column of the pressure correction.
    #[serde(rename = "pressure table")]
    PressureTable,
    /// The conditions of calibration: temperature, pressure, humidity.
    #[serde(rename = "calibration")]
    Calibration,
    /// Both ends of the usable temperatures, then of the usable humidities.
    #[serde(rename = "usable range")]
    UsableRange,
    /// Storage temperatures and shelf life, as they stand.
    #[serde(rename = "storage")]
    Storage,
    /// The lowest visible concentration and its strokes.
    #[serde(rename = "lowest visible")]
    LimitOfDetection,
    /// The numbers of each other gas that the tube measures, gas by gas.
    #[serde(rename = "also measures")]
    ResponseFactors,
    /// The numbers of each band of the repeatability, band by band.
    #[serde(rename = "repeatability")]
    Repeatability,
    /// The numbers of each band of the accuracy, band by band.
    #[serde(rename = "accuracy")]
    Accuracy,
    /// The numbers of each interfering gas, gas by gas.
    #[serde(rename = "other gases")]
    Interferents,
}

/// A finding that is right to be there.
#[apply(written_form)]
pub struct Accept {
    /// The rule's name, as it stands in brackets in the finding.
    #[schemars(extend("x-required" = true), example = &"multiplier-off-the-line")]
    pub rule: Option<String>,
    /// Only where the finding points to this field or inside it; the whole file without it. Written with slashes, as in the finding's `pointer`.
    #[schemars(example = &"/draw/ranges/2")]
    pub at: Option<String>,
    /// Why the finding is right to be there.
    #[schemars(extend("x-required" = true), example = &"printed so on the leaflet")]
    pub because: Option<String>,
    /// The last day on which the exception holds; a month means its last day.
    #[schemars(example = &"2027-12")]
    pub until: Option<Day>,
}
