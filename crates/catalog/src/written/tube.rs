//! `*.tube.yaml`: one revision of one leaflet, ordered by the work.
//!
//! The parts are in files of their own: [`draw`] (before use and drawing), [`read`] (scale and stain),
//! [`correct`] (temperature, humidity, pressure), [`performance`] (repeatability, accuracy, other gases) and
//! [`verify`] (worked examples, control figures, accepted findings).

use crate::written::absent::written_form;
use macro_rules_attribute::apply;

use super::scalars::{Day, Lots, Num};
use paper_words::DaySpan;

pub mod correct;
pub mod correction_examples;
pub mod draw;
mod full_ranges;
pub mod paper_words;
pub mod performance;
pub mod read;
mod sections;
pub mod verify;
pub mod without_scale;

pub use correct::{
    Axis, BandSays, Between, CalibratedAt, Correct, Correction, CorrectionStep, FactorBand,
    HumidityLine, Method, TableLine, Target,
};
pub use draw::{
    BeforeUse, BreakAmpoule, Draw, Flush, IfNotKept, MeasuringRange, PreTube, PreTubeForm,
    ReadsIfNotKept, SecondsFor, SpentInDamp, Storage, Usable, UsableAir, Uses,
};
pub use full_ranges::{FollowedFigure, FollowsFrom, FullRange, FullRanges, NotFollowed};
pub use performance::{
    AccuracyBand, AccuracyKind, AloneEffect, DeviationOf, InterferenceEffect, Interferent,
    Performance, RepeatabilityBand,
};
pub use read::{
    Front, LimitOfDetection, MassStated, Read, ReadAt, ResponseFactor, Scale, ScaleRuns, Stain,
    StatedIn, VisibleAtStrokes,
};
pub use verify::{Accept, Control, ControlOf, PrintedConversion, Worked};
pub use without_scale::{CountByPressure, Counts, Indicates, IndicatesRow};

/// A data sheet: what one revision of one leaflet says about one kind of tube.
#[apply(written_form)]
pub struct TubeEntry {
    /// The sheet's own short name, the same as the file's: small letters, digits and hyphens. A new revision of the leaflet is a new sheet.
    #[schemars(extend("x-required" = true), example = &"brinewash-chlorine-a-r2")]
    pub tube: Option<String>,
    /// The tube's name as it is printed on sheets and results.
    #[schemars(extend("x-required" = true), example = &"Brine-wash chlorine tube A")]
    pub name: Option<String>,
    /// The name under which surveys ask for the tube, whatever the revision. Without it the short name counts, less `-r` and the revision.
    #[schemars(example = &"brinewash-chlorine-a")]
    pub series: Option<String>,
    /// The leaflet this sheet was typed from.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"title": "Sheet 14, brine wash", "revision": "2", "date": "2024-03"}))]
    pub leaflet: Option<Leaflet>,
    /// The sheet of the revision before this one.
    #[schemars(example = &"brinewash-chlorine-a-r1")]
    pub replaces: Option<String>,
    /// If the sheet must no longer be used: since when and why.
    #[schemars(example = serde_json::json!({"since": "2026-01-31", "because": "leaflet recalled"}))]
    pub withdrawn: Option<Box<Withdrawn>>,
    /// Who typed the leaflet in, and when.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"by": "KL", "date": "2026-02-11"}))]
    pub entered: Option<Signed>,
    /// Who compared the sheet with the leaflet, and when. Leave it out until somebody has: every result will say so.
    #[schemars(example = serde_json::json!({"by": "MT", "date": "2026-02-12"}))]
    pub verified: Option<Signed>,
    /// By when somebody should see whether there is a newer leaflet.
    #[schemars(example = &"2028-02")]
    pub review_by: Option<Day>,
    /// What the tube measures.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"substance": "chlorine"}))]
    pub measures: Option<Measures>,
    /// What has to be right before the tube is opened.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"pump_kinds": ["harbour-piston"], "usable": {"temperature": "0 to 40 °C", "humidity": "10 to 85 %RH"}}))]
    pub before_use: Option<BeforeUse>,
    /// How the air is drawn.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"stroke": "100 mL", "ranges": [{"strokes": 3, "multiply_by": 1, "from": 0.7, "to": 13, "seconds_per_stroke": 40, "uses": "whole scale"}]}))]
    pub draw: Option<Draw>,
    /// How the stain is read.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"scales": [{"unit": "ppm", "marks": [0.7, 1.5, 3, 5, 9, 13], "printed_for_strokes": 3}]}))]
    pub read: Option<Read>,
    /// How the reading is corrected.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"calibrated_at": {"temperature": "20 °C", "pressure": "101.3 kPa", "humidity": "50 %RH"}, "temperature": {"method": "none needed"}, "humidity": {"method": "none needed"}, "pressure": {"method": "proportional"}}))]
    pub correct: Option<Correct>,
    /// The performance of the tube: repeatability, accuracy, and the other gases that stain it.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"repeatability": [{"up_to": "13 ppm", "rsd": "8 %"}]}))]
    #[serde(rename = "doubt")]
    pub performance: Option<Performance>,
    /// What to do with the used tube.
    #[schemars(example = serde_json::json!({"hazard": "acid reagent", "dispose": "as laboratory glass with corrosive residue"}))]
    pub afterwards: Option<Box<Afterwards>>,
    /// Examples worked out on the leaflet or by hand; the checker works them out again.
    #[schemars(example = serde_json::json!([{"reading": "5 ppm", "strokes": 3, "temperature": "0 °C", "gives": "6.25 ppm"}]))]
    pub worked: Vec<Worked>,
    /// Factors that the leaflet prints from ppm to mg/m³, which the checker works out again.
    #[schemars(example = serde_json::json!([{"ppm": 1, "is": "2.95 mg/m³", "at": "20 °C"}]))]
    pub conversion: Vec<PrintedConversion>,
    /// Figures added up from the paper, not from the screen: how many rows, what they sum to. They catch what nothing else can.
    #[schemars(example = serde_json::json!([{"of": "marks", "rows": 6, "sum": 32.2}]))]
    pub control: Vec<Control>,
    /// What to mind that has no field of its own.
    #[schemars(example = &"the leaflet's drawing shows the arrow the wrong way round")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "multiplier-off-the-line", "because": "printed so on the leaflet", "until": "2027-12"}]))]
    pub accept: Vec<Accept>,
}

/// The leaflet in the box.
#[apply(written_form)]
pub struct Leaflet {
    /// The title printed on it.
    #[schemars(extend("x-required" = true), example = &"Sheet 14, brine wash")]
    pub title: Option<String>,
    /// The maker's own designation of the tube, as free text.
    #[schemars(example = &"brine wash A")]
    pub designation: Option<String>,
    /// The revision printed on it, in quotation marks; if it has a printing date or an edition instead, that.
    #[schemars(extend("x-required" = true), example = &"2")]
    pub revision: Option<String>,
    /// The date printed on it; a month means its last day.
    #[schemars(extend("x-required" = true), example = &"2024-03")]
    pub date: Option<Day>,
    /// The page, if it is part of a handbook.
    #[schemars(example = 1)]
    pub page: Option<Num>,
    /// The lots it belongs to: `from 24-100`, `24-100 to 24-220`, `up to 24-099`, or single lots with commas between them.
    #[schemars(example = &"from 24-100")]
    pub lots: Option<Lots>,
    /// The days of manufacture it belongs to, if it says that and no lots: `from 2024-03`, `up to 2024-02`, `2024-03 to 2025-01`.
    #[schemars(example = &"from 2024-03")]
    pub manufactured: Option<DaySpan>,
    /// Errata of the maker that hold for some lots only. A result of such a lot is flagged.
    #[schemars(example = serde_json::json!([{"lots": "24-150 to 24-160", "says": "multiply by 1.1 above 30 °C"}]))]
    pub errata: Vec<Erratum>,
}

/// A correction of the leaflet for some lots.
#[apply(written_form)]
pub struct Erratum {
    /// The lots it holds for.
    #[schemars(extend("x-required" = true), example = &"24-150 to 24-160")]
    pub lots: Option<Lots>,
    /// What it says.
    #[schemars(extend("x-required" = true), example = &"multiply by 1.1 above 30 °C")]
    pub says: Option<String>,
}

/// Initials and a date.
#[apply(written_form)]
pub struct Signed {
    /// Who it was, by initials.
    #[schemars(extend("x-required" = true), example = &"KL")]
    pub by: Option<String>,
    /// The day on which it was done.
    #[schemars(extend("x-required" = true), example = &"2026-02-11")]
    pub date: Option<Day>,
}

/// Since when and why a sheet must no longer be used.
#[apply(written_form)]
pub struct Withdrawn {
    /// From which day on the sheet must not be used.
    #[schemars(extend("x-required" = true), example = &"2026-01-31")]
    pub since: Option<Day>,
    /// Why it must not be used any more.
    #[schemars(extend("x-required" = true), example = &"leaflet recalled")]
    pub because: Option<String>,
}

/// What the tube measures: one substance, or a group expressed as one substance.
#[apply(written_form)]
#[schemars(extend("minProperties" = 1))]
pub struct Measures {
    /// The substance, by its short name.
    #[schemars(example = &"chlorine")]
    pub substance: Option<String>,
    /// The formula that the leaflet prints for it. The checker compares it with the substance's own, so that a substance taken for another one shows.
    #[schemars(example = &"Cl2")]
    pub formula: Option<String>,
    /// The group it answers to, by its short name.
    #[schemars(example = &"amines")]
    pub group: Option<String>,
    /// The substance as which the scale states the group's total.
    #[schemars(example = &"methylamine")]
    pub expressed_as: Option<String>,
}

/// What to do with the used tube.
#[apply(written_form)]
pub struct Afterwards {
    /// What is hazardous in it.
    #[schemars(example = &"acid reagent")]
    pub hazard: Option<String>,
    /// How it is disposed of.
    #[schemars(example = &"as laboratory glass with corrosive residue")]
    pub dispose: Option<String>,
    /// How long the stain can be compared afterwards, in words.
    #[schemars(example = &"the stain fades within an hour")]
    pub stain_keeps: Option<String>,
}
