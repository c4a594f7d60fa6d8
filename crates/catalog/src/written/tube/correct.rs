//! Temperature, humidity and pressure.

use crate::written::absent::{written_fields, written_form};
use macro_rules_attribute::apply;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Serialize};
use stainbook_core::{Concentration, Humidity, Pressure, Ratio, Temperature};

use crate::written::scalars::{Num, Stated};
use crate::written::shape::by_method;

/// How the reading is corrected. What is not corrected says so: leave no line out.
#[apply(written_form)]
pub struct Correct {
    /// The conditions at which the scale is right as printed.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"temperature": "20 °C", "pressure": "101.3 kPa", "humidity": "50 %RH"}))]
    pub calibrated_at: Option<CalibratedAt>,
    /// The correction for temperature.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"method": "none needed"}))]
    pub temperature: Option<Correction>,
    /// The correction for humidity.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"method": "none needed"}))]
    pub humidity: Option<Correction>,
    /// The correction for pressure. A scale in ppm needs one: `proportional`, unless the leaflet prints a table.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"method": "proportional"}))]
    pub pressure: Option<Correction>,
    /// The order in which the leaflet wants the steps taken. Without it: strokes, temperature, humidity, pressure, other gas.
    #[schemars(example = serde_json::json!(["temperature", "strokes", "humidity", "pressure", "other gas"]))]
    pub order: Vec<CorrectionStep>,
}

/// The conditions at which the scale is right as printed.
#[apply(written_form)]
pub struct CalibratedAt {
    /// The temperature, usually 20 °C.
    #[schemars(extend("x-required" = true), example = &"20 °C")]
    pub temperature: Option<Stated<Temperature>>,
    /// The absolute pressure, usually one atmosphere.
    #[schemars(extend("x-required" = true), example = &"101.3 kPa")]
    pub pressure: Option<Stated<Pressure>>,
    /// The humidity, relative (`50 %RH`) or absolute (`8.7 g/m³`).
    #[schemars(example = &"50 %RH")]
    pub humidity: Option<Stated<Humidity>>,
}

/// A step from reading to result.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum CorrectionStep {
    /// The stroke multiplier.
    #[serde(rename = "strokes")]
    Strokes,
    /// The temperature correction.
    #[serde(rename = "temperature")]
    Temperature,
    /// The humidity correction.
    #[serde(rename = "humidity")]
    Humidity,
    /// The pressure correction.
    #[serde(rename = "pressure")]
    Pressure,
    /// The factor for another gas.
    #[serde(rename = "other gas")]
    ResponseFactor,
}

/// One correction. Which fields it has goes by its `method`.
#[apply(written_fields)]
pub struct Correction {
    /// Method by which the leaflet states it.
    pub method: Option<Method>,
    /// Target of the factor.
    pub multiply: Option<Target>,
    /// Target that the table replaces.
    pub replace: Option<Target>,
    /// Columns.
    pub columns: Vec<String>,
    /// Factor rows.
    pub rows: Vec<Vec<Num>>,
    /// Rows of a two-dimensional table.
    pub lines: Vec<TableLine>,
    /// The interpolation between two rows or columns.
    pub between: Option<Between>,
    /// Half-width of reading points off a graph.
    #[serde(rename = "read_off_within")]
    pub read_off_half_width: Option<Stated<Ratio>>,
    /// The unit of the variable of a polynomial.
    pub of: Option<String>,
    /// Coefficients of a polynomial.
    pub coefficients: Vec<Num>,
}

/// The fields of [`Correction`] as the schema describes them; [`by_method`] cuts it into one shape per method.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(dead_code, reason = "read by the schema generator only")]
struct CorrectionFields {
    /// How the leaflet states the correction.
    #[schemars(example = &"factor table")]
    method: Method,
    /// What the factor multiplies: `reading` is the reading on the scale, `concentration` what comes after the stroke multiplier.
    #[schemars(example = &"reading")]
    multiply: Target,
    /// What the table replaces: `reading` is the reading on the scale, `concentration` what comes after the stroke multiplier.
    #[schemars(example = &"reading")]
    replace: Target,
    /// The columns, each with its unit. A factor table has two, the condition and the factor: `[°C, factor]`. A table has one for each condition: `[0 °C, 20 °C, 40 °C]`. The unit of humidity says whether it is relative (`%RH`) or absolute (`g/m³`).
    #[schemars(example = serde_json::json!(["°C", "factor"]))]
    columns: Vec<String>,
    /// The rows, each with a number for each column.
    #[schemars(example = serde_json::json!([[0, 1.25], [20, 1.00], [40, 0.88]]))]
    rows: Vec<Vec<Num>>,
    /// The rows of the table, each for one reading, with the corrected value under each column.
    #[schemars(example = serde_json::json!([{"reading": "5 ppm", "becomes": [6.5, 5, 4.5]}]))]
    lines: Vec<TableLine>,
    /// The interpolation between two rows or columns. Without it: `linear`.
    #[schemars(example = &"linear")]
    between: Between,
    /// The half-width of reading the points off the printed graph, as a part of the factor.
    #[schemars(example = &"2 %")]
    #[schemars(rename = "read_off_within")]
    read_off_half_width: Stated<Ratio>,
    /// The unit of the variable: `°C` for temperature, `%RH` or `g/m³` for humidity, `kPa` or `hPa` for pressure.
    #[schemars(example = &"°C")]
    of: String,
    /// The factor is c₀ + c₁·x + c₂·x² …, with x in that unit; write [c₀, c₁, c₂].
    #[schemars(example = serde_json::json!([1.24, -0.012]))]
    coefficients: Vec<Num>,
}

impl JsonSchema for Correction {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Correction".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        by_method(
            &CorrectionFields::json_schema(generator),
            "One correction; which fields it has goes by its `method`.",
            &[
                (
                    "none needed",
                    "The leaflet says that none is needed in the usable range.",
                    &[],
                    &[],
                ),
                (
                    "not stated",
                    "The leaflet says nothing. Results are marked.",
                    &[],
                    &[],
                ),
                (
                    "proportional",
                    "For pressure: calibration pressure divided by station pressure.",
                    &[],
                    &[],
                ),
                (
                    "factor table",
                    "One factor for each condition.",
                    &["multiply", "columns", "rows"],
                    &["between"],
                ),
                (
                    "curve points",
                    "Points read off a printed graph.",
                    &["multiply", "columns", "rows"],
                    &["between", "read_off_within"],
                ),
                (
                    "table",
                    "Corrected values against reading and condition.",
                    &["replace", "columns", "lines"],
                    &["between"],
                ),
                (
                    "polynomial",
                    "A printed formula.",
                    &["multiply", "of", "coefficients"],
                    &[],
                ),
            ],
        )
    }
}

/// How a leaflet states a correction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Method {
    /// The leaflet says that none is needed in the usable range.
    #[serde(rename = "none needed")]
    NoneNeeded,
    /// The leaflet says nothing.
    #[serde(rename = "not stated")]
    NotStated,
    /// Calibration pressure over station pressure.
    #[serde(rename = "proportional")]
    Proportional,
    /// One factor for each condition.
    #[serde(rename = "factor table")]
    FactorTable,
    /// Points read off a printed graph.
    #[serde(rename = "curve points")]
    CurvePoints,
    /// Corrected values against reading and condition.
    #[serde(rename = "table")]
    Table,
    /// A printed formula.
    #[serde(rename = "polynomial")]
    Polynomial,
}

/// What a factor or table applies to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Target {
    /// The reading on the scale.
    Reading,
    /// The concentration after the stroke multiplier.
    Concentration,
}

/// The interpolation between two rows or columns of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Between {
    /// In a straight line.
    #[default]
    Linear,
    /// In a straight line of the factor's logarithm (for a table: of the logarithms of reading and value).
    Logarithmic,
    /// Not at all: only the printed rows may be used.
    #[serde(rename = "not allowed")]
    NotAllowed,
}

/// One row of a two-dimensional table.
#[apply(written_form)]
pub struct TableLine {
    /// The reading that the row is for, in the unit of the scale.
    #[schemars(extend("x-required" = true), example = &"5 ppm")]
    pub reading: Option<Stated<Concentration>>,
    /// What it becomes under each column, in the same unit.
    #[schemars(extend("x-required" = true), example = serde_json::json!([6.5, 5.0, 4.5]))]
    pub becomes: Vec<Num>,
}

/// The condition along which a correction is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Axis {
    /// Temperature.
    Temperature,
    /// Humidity.
    Humidity,
    /// Pressure.
    Pressure,
}
