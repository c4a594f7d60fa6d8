//! The scale and the stain.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Concentration, Duration};

use super::correct::{Between, Target};
use super::paper_words::{Factor, Fraction};
use super::without_scale::{Counts, Indicates};
use crate::written::catalog::ReferenceConditions;
use crate::written::scalars::{Count, Num, Stated};

/// How the stain is read.
#[apply(written_form)]
pub struct Read {
    /// The scale on the glass; two if the glass has two. A tube without a scale has `indicates` or `counts` instead.
    #[schemars(extend("x-usual" = true), example = serde_json::json!([{"unit": "ppm", "marks": [0.7, 1.5, 3, 5, 9, 13], "printed_for_strokes": 3}]))]
    pub scales: Vec<Scale>,
    /// Of a tube without a scale: what a colour, and what no colour, says after so many strokes.
    #[schemars(example = serde_json::json!({"unit": "ppm", "rows": [{"strokes": 5, "colour_at_least": 10, "no_colour_less_than": 15, "seconds_per_stroke": 30}]}))]
    pub indicates: Option<Box<Indicates>>,
    /// Of a tube without a scale: how many strokes it takes until something is seen, and what that says.
    #[schemars(example = serde_json::json!({"unit": "ppm", "until": "the layer has turned to the ring", "seconds_per_stroke": 30, "rows": [[1, 100], [2, 50], [5, 20]]}))]
    pub counts: Option<Box<Counts>>,
    /// What the stain looks like.
    #[schemars(example = serde_json::json!({"from": "white", "to": "orange", "front": "slightly oblique"}))]
    pub stain: Option<Stain>,
    /// What happens in the tube, in words or as an equation.
    #[schemars(example = &"chlorine oxidises the dye")]
    pub reaction: Option<String>,
    /// The lowest concentration that leaves a visible stain.
    #[schemars(example = serde_json::json!({"concentration": "0.1 ppm", "strokes": 8}))]
    #[serde(rename = "lowest_visible")]
    pub limit_of_detection: Option<LimitOfDetection>,
    /// How long after the last stroke to read, in words.
    #[schemars(example = &"at once")]
    pub when: Option<String>,
    /// How long to wait after the last stroke before it is read.
    #[schemars(example = &"2 min")]
    pub wait: Option<Stated<Duration>>,
    /// Within what time after the last stroke it has to be read.
    #[schemars(example = &"5 min")]
    pub within: Option<Stated<Duration>>,
    /// After what time the colour fades.
    #[schemars(example = &"10 min")]
    pub colour_fades_after: Option<Stated<Duration>>,
    /// Other gases that the same tube measures, by a factor on the same scale.
    #[schemars(example = serde_json::json!([{"substance": "bromine", "multiply": "reading", "by": 1.6, "strokes": 3, "from": 1.2, "to": 20}]))]
    #[serde(rename = "also_measures")]
    pub response_factors: Vec<ResponseFactor>,
}

/// A printed scale.
#[apply(written_form)]
pub struct Scale {
    /// A name for it, if the glass has two.
    #[schemars(example = &"fine")]
    pub name: Option<String>,
    /// The unit printed beside it.
    #[schemars(extend("x-required" = true), example = &"ppm")]
    pub unit: Option<String>,
    /// The printed marks, from the inlet on.
    #[schemars(extend("x-required" = true), example = serde_json::json!([0.7, 1.5, 3.0, 5.0, 9.0, 13.0]))]
    pub marks: Vec<Num>,
    /// For a glass that is marked in millimetres, with a table or a curve on the paper: the millimetre mark that the paper puts beside each of `marks`. A reading is then written as it stands on the glass, `at_mm: 17`.
    #[schemars(example = serde_json::json!([6, 12, 20, 27, 38, 46]))]
    pub millimetres: Vec<Num>,
    /// How many unnumbered lines stand between two numbered marks: the same number everywhere, or one for each space from the inlet on. What is read to "half" or to "the nearest mark" is then read between the finest lines.
    #[schemars(example = serde_json::json!([4]))]
    pub unnumbered: Vec<Count>,
    /// The length of the scale in millimetres, from the first mark to the last, if a deviation is stated in millimetres.
    #[schemars(example = 60)]
    pub length_mm: Option<Num>,
    /// The number of strokes that the scale is printed for.
    #[schemars(extend("x-required" = true), example = 3)]
    pub printed_for_strokes: Option<Num>,
    /// How the concentration runs between two marks, if the leaflet says. Without it a result allows for both: its upper end as if the scale ran evenly, its lower end as if it ran logarithmically.
    #[schemars(example = &"evenly")]
    pub runs: Option<ScaleRuns>,
    /// For a scale in mg/m³: whether it states the mass in the air as drawn or at the calibration conditions.
    #[schemars(example = &"at calibration conditions")]
    pub mass_stated: Option<MassStated>,
    /// For a scale in mg/m³ at conditions that the leaflet prints and that are not those of the calibration: which. The pressure factor then applies as at calibration conditions, and ppm follow from these.
    #[schemars(example = serde_json::json!({"temperature": "0 °C", "pressure": "1013 hPa"}))]
    pub mass_stated_at: Option<Box<ReferenceConditions>>,
    /// Whether a volume fraction is stated in dry air or in the air as it is. Without it: the air as it is.
    #[schemars(example = &"air as it is")]
    pub stated_in: Option<StatedIn>,
}

/// How the concentration runs along the glass between two marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ScaleRuns {
    /// Half the way is half the difference.
    #[serde(rename = "evenly")]
    Evenly,
    /// Half the way is the square root of the ratio.
    #[serde(rename = "logarithmically")]
    Logarithmically,
}

/// Which air a mass concentration on the scale refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum MassStated {
    /// Mass in a cubic metre of the air that was drawn: no pressure factor.
    #[serde(rename = "in the air as drawn")]
    AsDrawn,
    /// Mass in a cubic metre at the calibration conditions: the pressure factor applies.
    #[serde(rename = "at calibration conditions")]
    AtCalibration,
}

/// Which air a volume fraction refers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum StatedIn {
    /// The air without its water vapour.
    #[serde(rename = "dry air")]
    DryAir,
    /// The air with its water vapour.
    #[serde(rename = "air as it is")]
    AirAsItIs,
}

/// The look of the stain.
#[apply(written_form)]
pub struct Stain {
    /// The colour before, if the leaflet says.
    #[schemars(example = &"white")]
    pub from: Option<String>,
    /// The colour after.
    #[schemars(extend("x-required" = true), example = &"orange")]
    pub to: Option<String>,
    /// Where the end of the stain is read, as the leaflet says.
    #[schemars(example = &"end of the faintest colour")]
    pub read_at: Option<ReadAt>,
    /// How sharp its front is.
    #[schemars(example = &"slightly oblique")]
    pub front: Option<Front>,
}

/// Where the end of a stain is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ReadAt {
    /// Where the last trace of colour ends.
    #[serde(rename = "end of the faintest colour")]
    FaintestColour,
    /// In the middle of a front that fades.
    #[serde(rename = "middle of the faded front")]
    MiddleOfFront,
    /// On the side where the stain is longest; of an uneven front the long side alone counts.
    #[serde(rename = "longest side")]
    LongestSide,
    /// Where a second colour ends.
    #[serde(rename = "second colour")]
    SecondColour,
}

/// How sharp the front of the stain is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Front {
    /// A clear line.
    #[serde(rename = "sharp")]
    Sharp,
    /// A little longer on one side.
    #[serde(rename = "slightly oblique")]
    SlightlyOblique,
    /// Clearly longer on one side: both sides are read.
    #[serde(rename = "oblique")]
    Oblique,
    /// The colour fades out.
    #[serde(rename = "diffuse")]
    Diffuse,
}

/// The lowest concentration that leaves a visible stain: a number, a part of the first mark, or one for each of several stroke counts.
#[apply(written_form)]
pub struct LimitOfDetection {
    /// The lowest concentration that can be seen, in the unit of the scale.
    #[schemars(example = &"0.1 ppm")]
    pub concentration: Option<Stated<Concentration>>,
    /// Or: the part of the way to the first mark at which a stain can be seen, as a part of the first mark: `1/2` or `0.5`.
    #[schemars(example = &"1/2")]
    pub part_of_first_mark: Option<Fraction>,
    /// The number of strokes it holds for, and all the more for a greater number. A part of the first mark holds for every number, unless this says otherwise.
    #[schemars(example = 8)]
    pub strokes: Option<Num>,
    /// Or: one for each of several stroke counts. That of the greatest count that was drawn counts.
    #[schemars(example = serde_json::json!([{"strokes": 3, "concentration": "0.3 ppm"}, {"strokes": 8, "concentration": "0.1 ppm"}]))]
    pub by_strokes: Vec<VisibleAtStrokes>,
}

/// The lowest visible concentration with a number of strokes.
#[apply(written_form)]
pub struct VisibleAtStrokes {
    /// The number of strokes.
    #[schemars(extend("x-required" = true), example = 3)]
    pub strokes: Option<Num>,
    /// The lowest concentration that can be seen with them, in the unit of the scale.
    #[schemars(extend("x-required" = true), example = &"0.3 ppm")]
    pub concentration: Option<Stated<Concentration>>,
}

/// Another gas measured with the same tube. Give one factor with `by`, or a table of factors by reading with `rows`.
#[apply(written_form)]
pub struct ResponseFactor {
    /// The other gas that is measured, by its short name.
    #[schemars(extend("x-required" = true), example = &"bromine")]
    pub substance: Option<String>,
    /// The formula that the leaflet prints for it. The checker compares it with the substance's own, so that a substance taken for another one shows.
    #[schemars(example = &"Br2")]
    pub formula: Option<String>,
    /// What the factor multiplies: the scale reading, or the concentration after the stroke multiplier. Without it: the reading.
    #[schemars(example = &"reading")]
    pub multiply: Option<Target>,
    /// The factor, if it is the same over the whole scale, as the leaflet prints it: a number, a span such as `0.5 to 0.7`, whose middle counts, or `about 1.2`.
    #[schemars(example = 1.6)]
    pub by: Option<Factor>,
    /// True if the leaflet says that the gas is shown but not measured ("qualitatively only"): no concentration of it is then worked out.
    #[schemars(example = true)]
    pub qualitatively: Option<bool>,
    /// Factors by reading: each row a scale reading, in the unit of the scale, and the factor there.
    #[schemars(example = serde_json::json!([[0.7, 1.5], [13, 1.7]]))]
    pub rows: Vec<Vec<Num>>,
    /// The interpolation between two rows.
    #[schemars(example = &"linear")]
    pub between: Option<Between>,
    /// The number of strokes its range is printed for. If the leaflet prints the factor alone, leave it out: the scale's own strokes follow.
    #[schemars(example = 3)]
    pub strokes: Option<Num>,
    /// The lowest concentration of the other gas, in the unit of the scale. If the leaflet prints the factor alone, leave it out: it follows from the first mark.
    #[schemars(example = 1.2)]
    pub from: Option<Num>,
    /// The highest concentration of the other gas, in the unit of the scale. If the leaflet prints the factor alone, leave it out: it follows from the last mark.
    #[schemars(example = 20)]
    pub to: Option<Num>,
    /// The relative standard uncertainty of the factor, if the leaflet states one.
    #[schemars(example = &"10 %")]
    pub uncertainty: Option<Stated<stainbook_core::Ratio>>,
    /// Which scale, if the tube has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
}
