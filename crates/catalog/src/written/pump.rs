//! `*.pump-kind.yaml` and `*.pump.yaml`: what draws the air, and its checks.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Duration, Ratio, Volume};

use super::scalars::{Day, Stated};
use super::tube::Accept;

/// A kind of pump. Tubes are calibrated with one kind and must not be used with another.
#[apply(written_form)]
pub struct PumpKindEntry {
    /// The kind's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"harbour-piston")]
    pub pump_kind: Option<String>,
    /// The name as it is printed.
    #[schemars(extend("x-required" = true), example = &"Harbour piston pump")]
    pub name: Option<String>,
    /// The volume of one full stroke.
    #[schemars(extend("x-required" = true), example = &"100 mL")]
    pub stroke: Option<Stated<Volume>>,
    /// True if half a stroke can be drawn.
    #[schemars(extend("x-required" = true), example = true)]
    pub half_strokes: Option<bool>,
    /// The largest deviation of a stroke from its nominal volume; beyond it the pump has to be mended.
    #[schemars(extend("x-required" = true), example = &"5 %")]
    pub volume_tolerance: Option<Stated<Ratio>>,
    /// How often the volume has to be checked.
    #[schemars(example = &"1 year")]
    pub volume_check_every: Option<Stated<Duration>>,
    /// How often the pump has to hold in a leak test outside the surveys, on record.
    #[schemars(example = &"3 months")]
    pub leak_test_every: Option<Stated<Duration>>,
    /// How to test for leaks before use, in words.
    #[schemars(example = &"unbroken tube in place, piston drawn and locked, released after 90 s: it returns fully")]
    pub leak_test: Option<String>,
    /// What to mind.
    #[schemars(example = &"the piston needs a drop of oil every spring")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "volume-tolerance-wide", "because": "as the instructions state"}]))]
    pub accept: Vec<Accept>,
}

/// One pump, with the record of its checks.
#[apply(written_form)]
pub struct PumpEntry {
    /// The pump's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"pump-03")]
    pub pump: Option<String>,
    /// Which kind it is.
    #[schemars(extend("x-required" = true), example = &"harbour-piston")]
    pub kind: Option<String>,
    /// The serial number or inventory mark on it.
    #[schemars(example = &"H-0312")]
    pub serial: Option<String>,
    /// Since when it has been in use.
    #[schemars(example = &"2023-05-02")]
    pub in_use_since: Option<Day>,
    /// Checks of the stroke volume, oldest first. Several of one day are repeats: how far they differ is how far strokes differ.
    #[schemars(example = serde_json::json!([{"date": "2026-01-14", "volume": "98.6 mL", "by": "KL"}]))]
    pub volume_checks: Vec<VolumeCheck>,
    /// Leak tests outside the surveys, oldest first.
    #[schemars(example = serde_json::json!([{"date": "2026-01-14", "result": "held", "by": "KL"}]))]
    pub leak_tests: Vec<LeakTestRecord>,
    /// Repairs and adjustments, oldest first. What was checked before one says nothing of the pump after it.
    #[schemars(example = serde_json::json!([{"date": "2026-06-18", "what": "new outlet valve", "by": "MT"}]))]
    pub repairs: Vec<Repair>,
    /// If it is no longer used: since when.
    #[schemars(example = &"2026-06-30")]
    pub withdrawn: Option<Day>,
    /// What to mind.
    #[schemars(example = &"new seal in January 2026")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "volume-check-implausible", "because": "found so and mended the same day"}]))]
    pub accept: Vec<Accept>,
}

/// One measurement of the stroke volume.
#[apply(written_form)]
pub struct VolumeCheck {
    /// The day of the check.
    #[schemars(extend("x-required" = true), example = &"2026-01-14")]
    pub date: Option<Day>,
    /// The volume of one full stroke that was found.
    #[schemars(extend("x-required" = true), example = &"98.6 mL")]
    pub volume: Option<Stated<Volume>>,
    /// The standard uncertainty of the check itself, if known.
    #[schemars(example = &"0.5 mL")]
    pub uncertainty: Option<Stated<Volume>>,
    /// True if a repair of the same day came after it: it then says how the pump was, not how it is.
    #[schemars(example = true)]
    pub before_repair: Option<bool>,
    /// Who checked it, by initials.
    #[schemars(example = &"KL")]
    pub by: Option<String>,
}

/// One leak test.
#[apply(written_form)]
pub struct LeakTestRecord {
    /// The day of the test.
    #[schemars(extend("x-required" = true), example = &"2026-01-14")]
    pub date: Option<Day>,
    /// What was seen.
    #[schemars(extend("x-required" = true), example = &"held")]
    pub result: Option<LeakTest>,
    /// Who tested it, by initials.
    #[schemars(example = &"KL")]
    pub by: Option<String>,
}

/// One repair or adjustment.
#[apply(written_form)]
pub struct Repair {
    /// The day of the repair.
    #[schemars(extend("x-required" = true), example = &"2026-06-18")]
    pub date: Option<Day>,
    /// What was done.
    #[schemars(extend("x-required" = true), example = &"new outlet valve")]
    pub what: Option<String>,
    /// Who did it, by initials or by name.
    #[schemars(example = &"MT")]
    pub by: Option<String>,
}

/// What a leak test showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum LeakTest {
    /// The pump held for the time that its instructions ask.
    #[serde(rename = "held")]
    Held,
    /// It did not hold.
    #[serde(rename = "leaked")]
    Leaked,
    /// Nobody tested it.
    #[serde(rename = "not done")]
    NotDone,
}
