//! Repeatability, accuracy and other gases.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Concentration, Humidity, Ratio};

use super::paper_words::{Factor, Fraction, RatioSpan, UpTo};
use crate::written::scalars::{Count, Num, Stated};

/// The performance of the tube: repeatability, accuracy, and the other gases that stain it.
#[apply(written_form)]
pub struct Performance {
    /// The repeatability: the relative standard deviation of repeated readings of the same air, by band of the scale, lowest band first. Without it every result names the default that was used.
    #[schemars(example = serde_json::json!([{"up_to": "3 ppm", "rsd": "12 %"}, {"up_to": "13 ppm", "rsd": "8 %"}]))]
    pub repeatability: Vec<RepeatabilityBand>,
    /// The accuracy: the largest deviation of a reading from the true value, printed scale and lots included, by band of the scale, lowest band first. It is not the repeatability. Without it every result names the default that was used.
    #[schemars(example = serde_json::json!([{"up_to": "13 ppm", "within": "25 %", "confidence": "95 %"}]))]
    pub accuracy: Vec<AccuracyBand>,
    /// Other gases, and what they do to the stain.
    #[schemars(example = serde_json::json!([{"substance": "chlorine-dioxide", "alone": "stains", "together": "reads high", "response": 0.6}]))]
    #[serde(rename = "other_gases")]
    pub interferents: Vec<Interferent>,
}

/// The relative standard deviation of repeated readings, up to a concentration.
#[apply(written_form)]
pub struct RepeatabilityBand {
    /// The reading on the scale up to which it holds, or a part of the scale: `first third`, `second third`, `last mark`. Without it: the whole scale.
    #[schemars(example = &"3 ppm")]
    pub up_to: Option<UpTo>,
    /// The relative standard deviation; of a span such as `10 to 15 %` the larger counts.
    #[schemars(extend("x-required" = true), example = &"12 %")]
    pub rsd: Option<RatioSpan>,
    /// The least that it is as a concentration, if the leaflet prints both ("5 % or 0.1 ppm, whichever is greater").
    #[schemars(example = &"0.1 ppm")]
    pub at_least: Option<Stated<Concentration>>,
    /// How many readings of the same air it was worked out from, if the leaflet or the lab's own test says. Few readings make the result's interval wider.
    #[schemars(example = 10)]
    pub from_readings: Option<Count>,
}

/// The largest deviation of a reading from the true value, up to a concentration.
#[apply(written_form)]
pub struct AccuracyBand {
    /// The reading on the scale up to which it holds, or a part of the scale: `first third`, `second third`, `last mark`. Without it: the whole scale.
    #[schemars(example = &"13 ppm")]
    pub up_to: Option<UpTo>,
    /// The largest relative deviation, either way; of a span such as `20 to 25 %` the larger counts.
    #[schemars(example = &"25 %")]
    pub within: Option<RatioSpan>,
    /// What it is a part of, if not of the true value: the full scale, which is the last mark.
    #[schemars(example = &"full scale")]
    pub of: Option<DeviationOf>,
    /// The least that it is as a concentration, if the leaflet prints both ("± 0.2 ppm or ± 20 %, whichever is greater"), or a concentration alone.
    #[schemars(example = &"0.2 ppm")]
    pub at_least: Option<Stated<Concentration>>,
    /// Or: as a part of the space between two marks where the stain ends ("± half a mark").
    #[schemars(example = &"1/2")]
    pub within_spaces: Option<Fraction>,
    /// Or: in millimetres of the stain; the scale then says its `length_mm`.
    #[schemars(example = 2)]
    pub within_mm: Option<Num>,
    /// `not said`, if the leaflet prints a "± 25 %" and does not say what it is. It counts as the accuracy, and every result says so.
    #[schemars(example = &"not said")]
    pub kind: Option<AccuracyKind>,
    /// The fraction of all readings that keep to it. Without it: 95 %.
    #[schemars(example = &"95 %")]
    pub confidence: Option<Stated<Ratio>>,
    /// The relative uncertainty of the figure itself, if anybody says: a figure known to 25 % of itself counts like one from nine readings.
    #[schemars(example = &"25 %")]
    #[serde(rename = "known_to")]
    pub relative_uncertainty: Option<Stated<Ratio>>,
}

/// What a deviation is a part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum DeviationOf {
    /// The last mark of the scale.
    #[serde(rename = "full scale")]
    FullScale,
    /// The true value, as without it.
    #[serde(rename = "true value")]
    TrueValue,
}

/// What a leaflet says that its deviation is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum AccuracyKind {
    /// Nothing: a figure with a sign before it and no word beside it.
    #[serde(rename = "not said")]
    NotSaid,
    /// The largest deviation of a reading from the true value, as without it.
    #[serde(rename = "accuracy")]
    Accuracy,
}

/// What another gas does to the tube.
#[apply(written_form)]
#[schemars(extend("minProperties" = 1))]
pub struct Interferent {
    /// The other gas, by its short name.
    #[schemars(example = &"chlorine-dioxide")]
    pub substance: Option<String>,
    /// The formula that the leaflet prints for it. The checker compares it with the substance's own, so that a substance taken for another one shows.
    #[schemars(example = &"ClO2")]
    pub formula: Option<String>,
    /// Or a group, by its short name.
    #[schemars(example = &"amines")]
    pub group: Option<String>,
    /// What it does without the gas that is measured. Left out, the leaflet does not say.
    #[schemars(example = &"stains")]
    pub alone: Option<AloneEffect>,
    /// What it does together with the gas that is measured. Left out, the leaflet does not say.
    #[schemars(example = &"reads high")]
    pub together: Option<InterferenceEffect>,
    /// The relative response: how much one part of this gas adds to the reading; negative if it takes away. As the leaflet prints it: a number, a span such as `0.5 to 0.7`, whose middle counts, or `about 1`.
    #[schemars(example = 0.6)]
    pub response: Option<Factor>,
    /// The relative standard uncertainty of the response. Without it the result names a default.
    #[schemars(example = &"20 %")]
    pub response_uncertainty: Option<Stated<Ratio>>,
    /// The concentration of this gas from which it matters.
    #[schemars(example = &"1 ppm")]
    pub matters_from: Option<Stated<Concentration>>,
    /// Or: from how many times the concentration of the gas that is measured it matters; below 1 for a part of it.
    #[schemars(example = 2)]
    pub matters_from_times: Option<Num>,
    /// Above which humidity it matters, if only in damp air.
    #[schemars(example = &"70 %RH")]
    pub only_above_humidity: Option<Stated<Humidity>>,
    /// Up to which concentration it was tested.
    #[schemars(example = &"20 ppm")]
    pub tested_to: Option<Stated<Concentration>>,
    /// The colour it gives, if another.
    #[schemars(example = &"pale green")]
    pub colour: Option<String>,
    /// What to mind.
    #[schemars(example = &"only above 30 °C")]
    pub remark: Option<String>,
}

/// What another gas does on its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum AloneEffect {
    /// It stains the tube as the gas that is measured does.
    #[serde(rename = "stains")]
    Stains,
    /// It stains the tube faintly.
    #[serde(rename = "stains faintly")]
    StainsFaintly,
    /// It gives another colour.
    #[serde(rename = "other colour")]
    OtherColour,
    /// It leaves no stain.
    #[serde(rename = "no stain")]
    NoStain,
    /// The leaflet does not say.
    #[serde(rename = "not stated")]
    NotStated,
}

/// What another gas does together with the gas that is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum InterferenceEffect {
    /// The reading is too high.
    #[serde(rename = "reads high")]
    ReadsHigh,
    /// The reading is too low.
    #[serde(rename = "reads low")]
    ReadsLow,
    /// The reading is not changed.
    #[serde(rename = "no effect")]
    NoEffect,
    /// The stain changes its colour.
    #[serde(rename = "other colour")]
    OtherColour,
    /// The stain is washed out and may be missed.
    #[serde(rename = "washes the stain out")]
    WashesOut,
    /// The stain is bleached, and may be missed.
    #[serde(rename = "bleaches the stain")]
    Bleaches,
    /// The stain fades, and is read too short.
    #[serde(rename = "fades the stain")]
    Fades,
    /// The leaflet does not say which way.
    #[serde(rename = "not stated")]
    NotStated,
}
