//! Temperature, humidity and pressure.

use crate::written::absent::{written_fields, written_form};
use macro_rules_attribute::apply;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use stainbook_core::{Concentration, Humidity, Pressure, Ratio, Temperature};

use crate::written::TableCell;
use crate::written::scalars::{Num, Stated, StatedSpan};
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
    #[schemars(with = "Option<HumidityCorrection>")]
    pub humidity: Option<Correction>,
    /// The correction for pressure. A scale in ppm needs one: `proportional`, unless the leaflet prints a table.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"method": "proportional"}))]
    #[schemars(with = "Option<PressureCorrection>")]
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
    /// Stroke counts of one of several tables.
    pub for_strokes: Vec<Num>,
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
    /// Bands of conditions.
    pub bands: Vec<FactorBand>,
    /// Statement of the leaflet for conditions outside all bands.
    pub elsewhere: Option<BandSays>,
    /// Rows of a table against temperature and humidity.
    pub humidities: Vec<HumidityLine>,
    /// Tables by stroke count.
    pub tables: Vec<Correction>,
    /// Stroke counts for which it does not hold.
    pub not_for_strokes: Vec<Num>,
    /// Humidity at which alone it holds.
    pub at_humidity: Option<StatedSpan<Humidity>>,
    /// Sheet whose correction it is.
    pub sheet: Option<String>,
}

/// The fields of [`Correction`] as the schema describes them; [`by_method`] cuts it into one shape per method.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
#[allow(dead_code, reason = "read by the schema generator only")]
struct CorrectionFields {
    /// Of one of several tables: the stroke counts that it is printed for.
    #[schemars(example = serde_json::json!([3, 5]))]
    for_strokes: Vec<Num>,
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
    /// The bands of conditions, each with what the leaflet says there. An end that two bands share belongs to both.
    #[schemars(example = serde_json::json!([{"within": "30 to 60 %RH", "factor": 1.0}, {"within": "60 to 90 %RH", "factor": 0.8}]))]
    bands: Vec<FactorBand>,
    /// What the leaflet says of all other conditions, if it does. Without it a reading there is refused.
    #[schemars(example = &"none needed")]
    elsewhere: BandSays,
    /// The rows of the table, each for one humidity, with the factor under each temperature.
    #[schemars(example = serde_json::json!([{"humidity": "30 %RH", "factors": [1.2, 1.0, 0.9]}, {"humidity": "80 %RH", "factors": [1.1, 0.9, 0.8]}]))]
    humidities: Vec<HumidityLine>,
    /// The tables, each with the stroke counts that it is printed for.
    #[schemars(example = serde_json::json!([{"for_strokes": [3], "method": "none needed"}, {"for_strokes": [8], "method": "factor table", "multiply": "reading", "columns": ["°C", "factor"], "rows": [[0, 1.25], [20, 1.0]]}]))]
    tables: Vec<Correction>,
    /// The stroke counts for which the leaflet says that it does not hold. A reading with such a count is refused.
    #[schemars(example = serde_json::json!([1]))]
    not_for_strokes: Vec<Num>,
    /// The humidity at which alone the leaflet states it, if it says so: `50 %RH`, or `40 to 60 %RH`. At any other a result is in doubt and says so.
    #[schemars(example = &"50 %RH")]
    at_humidity: StatedSpan<Humidity>,
    /// The sheet, by its short name, whose leaflet prints the correction that this one refers to.
    #[schemars(example = &"brinewash-chlorine-a-r1")]
    sheet: String,
}

impl JsonSchema for Correction {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Correction".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let tables = generator.subschema_for::<Self>();
        let mut schema = correction_by_method(generator);
        set_examples(&mut schema, &tables, &of_temperature());
        schema
    }
}

/// The same with the units of humidity in its examples: an example is taken over as it stands.
struct HumidityCorrection;

impl JsonSchema for HumidityCorrection {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "HumidityCorrection".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let tables = generator.subschema_for::<Self>();
        let mut schema = correction_by_method(generator);
        set_examples(&mut schema, &tables, &of_humidity());
        schema
    }
}

/// The same with those of pressure.
struct PressureCorrection;

impl JsonSchema for PressureCorrection {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "PressureCorrection".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let tables = generator.subschema_for::<Self>();
        let mut schema = correction_by_method(generator);
        set_examples(&mut schema, &tables, &of_pressure());
        schema
    }
}

/// Examples of fields whose unit or number of columns goes by what is corrected for: of two columns, of a column for each
/// condition, of rows, of a formula's unit, and of bands.
type ExamplesOfAxis = [serde_json::Value; 5];

fn of_temperature() -> ExamplesOfAxis {
    [
        json!(["°C", "factor"]),
        json!(["0 °C", "20 °C", "40 °C"]),
        json!([[0, 1.25], [20, 1.0], [40, 0.88]]),
        json!("°C"),
        json!([{"within": "0 to 10 °C", "factor": 1.2}, {"within": "10 to 40 °C", "factor": 1.0}]),
    ]
}

fn of_humidity() -> ExamplesOfAxis {
    [
        json!(["%RH", "factor"]),
        json!(["10 %RH", "50 %RH", "90 %RH"]),
        json!([[10, 1.08], [50, 1.0], [90, 0.93]]),
        json!("%RH"),
        json!([{"within": "30 to 60 %RH", "factor": 1.0}, {"within": "60 to 90 %RH", "factor": 0.8}]),
    ]
}

fn of_pressure() -> ExamplesOfAxis {
    [
        json!(["kPa", "factor"]),
        json!(["80 kPa", "101.3 kPa", "105 kPa"]),
        json!([[80, 1.25], [101.3, 1.0], [105, 0.96]]),
        json!("kPa"),
        json!([{"within": "80 to 90 kPa", "factor": 1.2}, {"within": "90 to 105 kPa", "factor": 1.0}]),
    ]
}

fn set_examples(schema: &mut Schema, of_tables: &Schema, axis: &ExamplesOfAxis) {
    let [two, each, rows, of, bands] = axis;
    let tables = json!([
        {"for_strokes": [3], "method": "none needed"},
        {"for_strokes": [8], "method": "factor table", "multiply": "reading", "columns": two, "rows": rows},
    ]);
    let ways = schema.get_mut("oneOf").and_then(Value::as_array_mut);
    for way in ways.into_iter().flatten() {
        let method = way
            .pointer("/properties/method/const")
            .and_then(Value::as_str);
        let columns = match method {
            Some("table") => each.clone(),
            // Of temperature and humidity together the columns are always temperatures.
            Some("with humidity") => json!(["0 °C", "20 °C", "40 °C"]),
            _ => two.clone(),
        };
        let examples = [
            ("columns", &columns),
            ("rows", rows),
            ("of", of),
            ("bands", bands),
            ("tables", &tables),
        ];
        for (name, example) in examples {
            let field = way.pointer_mut(&format!("/properties/{name}"));
            let Some(field) = field.and_then(Value::as_object_mut) else {
                continue;
            };
            field.insert("examples".to_owned(), json!([example]));
            if name == "tables" {
                field.insert("items".to_owned(), of_tables.clone().to_value());
            }
        }
    }
}

fn correction_by_method(generator: &mut SchemaGenerator) -> Schema {
    by_method(
        &CorrectionFields::json_schema(generator),
        "One correction; which fields it has goes by its `method`.",
        &[
            (
                "none needed",
                "The leaflet says that none is needed in the usable range.",
                &[],
                &["for_strokes"],
            ),
            (
                "not stated",
                "The leaflet says nothing. Results are marked.",
                &[],
                &["for_strokes"],
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
                &["between", "for_strokes", "not_for_strokes", "at_humidity"],
            ),
            (
                "curve points",
                "Points read off a printed graph.",
                &["multiply", "columns", "rows"],
                &[
                    "between",
                    "read_off_within",
                    "for_strokes",
                    "not_for_strokes",
                    "at_humidity",
                ],
            ),
            (
                "table",
                "Corrected values against reading and condition.",
                &["replace", "columns", "lines"],
                &["between", "for_strokes", "not_for_strokes", "at_humidity"],
            ),
            (
                "polynomial",
                "A printed formula.",
                &["multiply", "of", "coefficients"],
                &["for_strokes", "not_for_strokes", "at_humidity"],
            ),
            (
                "factor bands",
                "One factor for each band of conditions, or what the leaflet says there: none needed, do not use.",
                &["bands"],
                &[
                    "multiply",
                    "elsewhere",
                    "for_strokes",
                    "not_for_strokes",
                    "at_humidity",
                ],
            ),
            (
                "with humidity",
                "For temperature: one factor for temperature and humidity together.",
                &["multiply", "columns", "humidities"],
                &["between", "for_strokes", "not_for_strokes"],
            ),
            (
                "with temperature",
                "For humidity: its factor is in the table of the temperature.",
                &[],
                &[],
            ),
            (
                "by strokes",
                "A table of its own for each stroke count.",
                &["tables"],
                &[],
            ),
            (
                "as on another sheet",
                "The leaflet refers to the correction of another one.",
                &["sheet"],
                &["for_strokes", "not_for_strokes"],
            ),
        ],
    )
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
    /// One factor for each band of conditions.
    #[serde(rename = "factor bands")]
    FactorBands,
    /// Factors against temperature and humidity together.
    #[serde(rename = "with humidity")]
    WithHumidity,
    /// In the table of the temperature.
    #[serde(rename = "with temperature")]
    WithTemperature,
    /// A table for each stroke count.
    #[serde(rename = "by strokes")]
    ByStrokes,
    /// The correction of another sheet.
    #[serde(rename = "as on another sheet")]
    AsOnAnotherSheet,
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

/// One row of a two-dimensional table: what the reading becomes, or, where the leaflet prints factors in this row, the factors.
#[apply(written_form)]
pub struct TableLine {
    /// The reading that the row is for, in the unit of the scale.
    #[schemars(extend("x-required" = true), example = &"5 ppm")]
    pub reading: Option<Stated<Concentration>>,
    /// What it becomes under each column, in the same unit. A cell in which the leaflet prints nothing is `none`; there the table has no value, and nothing is put in for it.
    #[schemars(example = serde_json::json!([6.5, 5.0, "none"]))]
    pub becomes: Vec<TableCell>,
    /// Or, if the leaflet prints factors in this row: what the reading is multiplied by under each column.
    #[schemars(example = serde_json::json!([1.3, 1.0, "none"]))]
    pub factors: Vec<TableCell>,
}

impl TableLine {
    /// The cells as they are printed, whichever they are.
    pub fn cells(&self) -> &[TableCell] {
        if self.becomes.is_empty() {
            &self.factors
        } else {
            &self.becomes
        }
    }

    /// The field that the cells are in.
    pub fn cells_key(&self) -> &'static str {
        if self.becomes.is_empty() && !self.factors.is_empty() {
            "factors"
        } else {
            "becomes"
        }
    }

    /// The factor in a cell: of a row of concentrations what it becomes, divided by its reading. Nothing of an empty cell.
    pub fn factor(&self, column: usize) -> Option<f64> {
        let cell = self.cells().get(column)?.number()?.value();
        if self.cells_key() == "factors" {
            return Some(cell);
        }
        Some(cell / self.reading.as_ref()?.number())
    }
}

/// One row of a table against temperature and humidity.
#[apply(written_form)]
pub struct HumidityLine {
    /// The humidity that the row is for.
    #[schemars(extend("x-required" = true), example = &"80 %RH")]
    pub humidity: Option<Stated<Humidity>>,
    /// The factor under each temperature; `none` where the leaflet prints nothing.
    #[schemars(extend("x-required" = true), example = serde_json::json!([1.1, 0.9, "none"]))]
    pub factors: Vec<TableCell>,
}

/// What the leaflet says within one band of conditions: a factor, a change with each unit, or words.
#[apply(written_form)]
#[schemars(extend("minProperties" = 2))]
pub struct FactorBand {
    /// The conditions, with their unit: `30 to 60 %RH`, `above 30 °C`, `below 900 hPa`.
    #[schemars(extend("x-required" = true), example = &"60 to 90 %RH")]
    pub within: Option<String>,
    /// The factor there.
    #[schemars(example = 0.8)]
    pub factor: Option<Num>,
    /// Or: by how much the factor changes with each unit of the condition, counted from the end of the band that is nearer to the calibration. `1 %` above 20 °C is a factor of 1.05 at 25 °C.
    #[schemars(example = &"1 %")]
    pub per_unit: Option<Stated<Ratio>>,
    /// Or what the leaflet says in words.
    #[schemars(example = &"do not use")]
    pub says: Option<BandSays>,
}

/// Words of a leaflet for a band of conditions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum BandSays {
    /// No correction is needed there.
    #[serde(rename = "none needed")]
    NoneNeeded,
    /// The tube must not be used there: a reading is refused.
    #[serde(rename = "do not use")]
    DoNotUse,
    /// The leaflet says nothing: no factor, and results are marked.
    #[serde(rename = "not stated")]
    NotStated,
    /// For pressure: calibration pressure divided by station pressure.
    #[serde(rename = "proportional")]
    Proportional,
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

impl Axis {
    /// Its word, which is also its key on a sheet.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Temperature => "temperature",
            Self::Humidity => "humidity",
            Self::Pressure => "pressure",
        }
    }
}
