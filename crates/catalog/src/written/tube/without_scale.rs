//! Tubes without a scale: those that show a colour or none, and those whose strokes are counted.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Pressure, Temperature};

use crate::written::scalars::{Num, StatedSpan};

/// A tube that shows a colour, or none, after so many strokes. It tells that at least about so much is there, or less than so much, and nothing more.
#[apply(written_form)]
pub struct Indicates {
    /// The unit of the concentrations.
    #[schemars(extend("x-required" = true), example = &"ppm")]
    pub unit: Option<String>,
    /// For each stroke count what a colour and what no colour says.
    #[schemars(extend("x-required" = true), example = serde_json::json!([{"strokes": 5, "colour_at_least": 10, "no_colour_less_than": 15, "seconds_per_stroke": 30}]))]
    pub rows: Vec<IndicatesRow>,
}

/// What a colour and what no colour says after so many strokes.
#[apply(written_form)]
pub struct IndicatesRow {
    /// The number of strokes.
    #[schemars(extend("x-required" = true), example = 5)]
    pub strokes: Option<Num>,
    /// What is there at least if there is a colour. Left out, a colour says nothing.
    #[schemars(example = 10)]
    pub colour_at_least: Option<Num>,
    /// What there is less than if there is no colour. Left out, no colour says nothing ("white means nothing").
    #[schemars(example = 15)]
    pub no_colour_less_than: Option<Num>,
    /// How long one stroke takes, in seconds.
    #[schemars(extend("x-required" = true), example = 30)]
    pub seconds_per_stroke: Option<Num>,
    /// The temperatures that the row is for, if the leaflet prints several.
    #[schemars(example = &"10 to 30 °C")]
    pub temperature: Option<StatedSpan<Temperature>>,
    /// The pressures that the row is for, if the leaflet asks for more strokes where it is lower.
    #[schemars(example = &"below 900 hPa")]
    pub pressure: Option<StatedSpan<Pressure>>,
}

/// A tube through which strokes are drawn until it shows something, and the count says how much is there.
#[apply(written_form)]
pub struct Counts {
    /// The unit of the concentrations.
    #[schemars(extend("x-required" = true), example = &"ppm")]
    pub unit: Option<String>,
    /// What is waited for.
    #[schemars(extend("x-required" = true), example = &"the layer has turned to the ring")]
    pub until: Option<String>,
    /// How long one stroke takes, in seconds.
    #[schemars(extend("x-required" = true), example = 30)]
    pub seconds_per_stroke: Option<Num>,
    /// The table of the leaflet: strokes, and the concentration at which they are needed.
    #[schemars(extend("x-required" = true), example = serde_json::json!([[1, 100], [2, 50], [5, 20], [10, 10]]))]
    pub rows: Vec<Vec<Num>>,
    /// How the leaflet corrects the count for pressure, if it does. A table for the concentration stands under `correct`.
    #[schemars(example = &"times station pressure over calibration pressure")]
    pub count_by_pressure: Option<CountByPressure>,
}

/// A leaflet's correction of a count for pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum CountByPressure {
    /// The count is multiplied by the station pressure and divided by that of the calibration, before it is looked up.
    #[serde(rename = "times station pressure over calibration pressure")]
    Proportional,
}
