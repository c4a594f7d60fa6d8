//! `*.plan.yaml`: a round before it is made, place by place, with the tube that was chosen for each.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use stainbook_core::{Concentration, Duration};

use super::scalars::{Count, Day, Num, Stated};
use super::survey::judge::LimitChoice;
use super::survey::{Conditions, OtherGases, Present};
use super::tube::Accept;

/// A plan of a round: where, for which gas and limit, in what air, with which tube. `stainbook plan` chooses the tubes, `stainbook new survey --plan` prepares the rows for the readings.
#[apply(written_form)]
pub struct PlanEntry {
    /// The plan's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"quay-2026-12-02")]
    pub plan: Option<String>,
    /// What is to be surveyed and why.
    #[schemars(extend("x-required" = true), example = &"Brine wash before the winter season")]
    pub title: Option<String>,
    /// The day for which it is planned.
    #[schemars(extend("x-required" = true), example = &"2026-12-02")]
    pub day: Option<Day>,
    /// Who is to draw and read, by initials.
    #[schemars(example = &"KL")]
    pub by: Option<String>,
    /// The conditions that are expected wherever nothing else is said.
    #[schemars(example = serde_json::json!({"air_temperature": "6 °C", "humidity": "88 %RH", "pressure": "1009 hPa"}))]
    pub conditions: Conditions,
    /// The places in the order of the round: one row for each gas.
    #[schemars(extend("x-required" = true), example = serde_json::json!([{"id": "p01", "place": "brine wash at the dosing valve", "substance": "chlorine", "limits": [{"authority": "US NIOSH", "kind": "ceiling"}]}]))]
    pub places: Vec<PlannedReading>,
    /// What to mind.
    #[schemars(example = &"key to the pit from the gate")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "plan-tube-not-in-stock", "because": "the box comes the day before"}]))]
    pub accept: Vec<Accept>,
}

/// One place and gas of a plan.
#[apply(written_form)]
pub struct PlannedReading {
    /// A name for this row that is used once in the plan; the reading of the survey has it, too.
    #[schemars(extend("x-required" = true), example = &"p01")]
    pub id: Option<String>,
    /// Where in the plant, so that somebody else finds the place.
    #[schemars(extend("x-required" = true), example = &"brine wash at the dosing valve")]
    pub place: Option<String>,
    /// The gas, by its short name; or the name of a group.
    #[schemars(extend("x-required" = true), example = &"chlorine")]
    pub substance: Option<String>,
    /// The limits that the result is to be compared with; the tube has to read them. Without them: `level`.
    #[schemars(example = serde_json::json!([{"authority": "US NIOSH", "kind": "ceiling"}]))]
    pub limits: Vec<LimitChoice>,
    /// The level that is expected, where it is not the limits that have to be read.
    #[schemars(example = &"3 ppm")]
    pub level: Option<Stated<Concentration>>,
    /// `none known`, if no other gas is known or suspected in this air beside those under `present`.
    #[serde(rename = "other_gases")]
    #[schemars(example = &"none known")]
    pub interferents: Option<OtherGases>,
    /// Other gases known or suspected to be in this air.
    #[schemars(example = serde_json::json!([{"substance": "chlorine-dioxide", "level": "0.5 ppm"}]))]
    pub present: Vec<Present>,
    /// The time there is for drawing.
    #[schemars(example = &"5 min")]
    pub within: Option<Stated<Duration>>,
    /// The chosen tube: the name of a sheet, or the name without its revision. `stainbook plan` fills it in.
    #[schemars(example = &"brinewash-chlorine-a-r2")]
    pub tube: Option<String>,
    /// The lot that is to be taken.
    #[schemars(example = &"24-131")]
    pub lot: Option<String>,
    /// How many strokes are to be drawn; 0.5 is half a stroke.
    #[schemars(example = 8)]
    pub strokes: Option<Num>,
    /// Which of the tube's scales is to be read, if it has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// The pump, by its short name.
    #[schemars(example = &"pump-02")]
    pub pump: Option<String>,
    /// How many tubes are to be drawn here. Without it: one.
    #[schemars(example = 2)]
    pub tubes: Option<Count>,
    /// Conditions that differ from the plan's.
    #[schemars(example = serde_json::json!({"air_temperature": "-4 °C"}))]
    pub conditions: Conditions,
    /// What to mind.
    #[schemars(example = &"from the gangway, nobody goes in")]
    pub remark: Option<String>,
}
