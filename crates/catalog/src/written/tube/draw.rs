//! Before use, and drawing the air.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Duration, Humidity, Temperature, Volume};

use super::paper_words::OpenRange;
use crate::written::scalars::{Num, Stated, StatedRange};
use crate::written::survey::Instruction;

/// What has to be right before the tube is opened.
#[apply(written_form)]
pub struct BeforeUse {
    /// The kinds of pump the tube is calibrated with. Others are not used with it.
    #[schemars(extend("x-required" = true, "uniqueItems" = true), example = serde_json::json!(["harbour-piston"]))]
    pub pump_kinds: Vec<String>,
    /// How the box is stored and how long it keeps.
    #[schemars(example = serde_json::json!({"below": "25 °C", "dark": true, "shelf_life": "2 years"}))]
    pub storage: Option<Box<Storage>>,
    /// The conditions in which the tube works.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"temperature": "0 to 40 °C", "humidity": "10 to 85 %RH"}))]
    pub usable: Option<Usable>,
    /// A second tube or layer before this one.
    #[schemars(example = serde_json::json!({"form": "separate tube", "name": "Drying pre-tube D", "does": "holds back water", "has_own_expiry": true}))]
    pub pre_tube: Option<Box<PreTube>>,
    /// The tubes that are joined for one reading, in the order from the inlet on, if there are several.
    #[schemars(example = serde_json::json!(["oxidising tube O", "measuring tube"]))]
    pub joined: Vec<String>,
    /// Which way the arrow on the tube points.
    #[schemars(example = &"toward the pump")]
    pub arrow: Option<String>,
    /// If the tube holds an ampoule: when it is broken.
    #[schemars(example = &"before drawing")]
    pub break_ampoule: Option<BreakAmpoule>,
    /// What else to do before drawing, in the leaflet's order.
    #[schemars(example = serde_json::json!(["break both ends", "arrow toward the pump"]))]
    pub steps: Vec<String>,
}

/// How the box is stored and how long it keeps.
#[apply(written_form)]
pub struct Storage {
    /// The lowest storage temperature.
    #[schemars(example = &"2 °C")]
    pub above: Option<Stated<Temperature>>,
    /// The highest storage temperature.
    #[schemars(example = &"25 °C")]
    pub below: Option<Stated<Temperature>>,
    /// True if it has to be kept in the dark.
    #[schemars(example = true)]
    pub dark: Option<bool>,
    /// How long it keeps from manufacture.
    #[schemars(example = &"2 years")]
    pub shelf_life: Option<Stated<Duration>>,
    /// True if the box has to stand upright.
    #[schemars(example = true)]
    pub upright: Option<bool>,
    /// True if the box keeps until the date printed on it, and the leaflet says no more.
    #[schemars(example = true)]
    pub until_date_on_box: Option<bool>,
    /// How long an opened box or tin keeps. A survey then says when it was opened.
    #[schemars(example = &"30 days")]
    pub opened_keeps: Option<Stated<Duration>>,
    /// True if a tube may be used again as long as it has not stained.
    #[schemars(example = true)]
    pub reuse_if_no_stain: Option<bool>,
    /// True if a cold box has to come to the temperature of the place before a tube is opened.
    #[schemars(example = true)]
    pub bring_to_ambient: Option<bool>,
}

/// The conditions in which the tube works at all; corrections have ranges of their own.
#[apply(written_form)]
pub struct Usable {
    /// From the lowest to the highest temperature.
    #[schemars(extend("x-required" = true), example = &"0 to 40 °C")]
    pub temperature: Option<StatedRange<Temperature>>,
    /// From the lowest to the highest humidity, relative (`10 to 85 %RH`) or absolute (`1 to 20 g/m³`).
    #[schemars(example = &"10 to 85 %RH")]
    pub humidity: Option<StatedRange<Humidity>>,
    /// The air in which it works, if the leaflet says that it needs the oxygen of air.
    #[schemars(example = &"only in air")]
    pub air: Option<UsableAir>,
}

/// The air in which a tube works.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum UsableAir {
    /// In air with its oxygen; not in an inert gas.
    #[serde(rename = "only in air")]
    OnlyInAir,
    /// In air and in inert gas alike.
    #[serde(rename = "also in inert gas")]
    AlsoInInertGas,
}

/// When an ampoule in the tube is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum BreakAmpoule {
    /// Before the air is drawn.
    #[serde(rename = "before drawing")]
    BeforeDrawing,
    /// After the last stroke.
    #[serde(rename = "after drawing")]
    AfterDrawing,
}

/// A tube or layer that oxidises, dries or removes something before the air reaches the reagent.
#[apply(written_form)]
pub struct PreTube {
    /// Whether it is a tube of its own or a layer inside.
    #[schemars(extend("x-required" = true), example = &"separate tube")]
    pub form: Option<PreTubeForm>,
    /// The name on it.
    #[schemars(example = &"Drying pre-tube D")]
    pub name: Option<String>,
    /// What it does to the air.
    #[schemars(extend("x-required" = true), example = &"holds back water")]
    pub does: Option<String>,
    /// True if it has an expiry of its own that a survey must state.
    #[schemars(example = true)]
    pub has_own_expiry: Option<bool>,
    /// After how many strokes it is spent, earlier ones counted.
    #[schemars(example = 10)]
    pub spent_after: Option<Num>,
    /// After how many strokes it is spent in damp air.
    #[schemars(example = serde_json::json!({"strokes": 5, "above": "80 %RH"}))]
    pub spent_after_in_damp: Option<Box<SpentInDamp>>,
}

/// The strokes after which a pre-tube is spent in damp air.
#[apply(written_form)]
pub struct SpentInDamp {
    /// How many strokes.
    #[schemars(extend("x-required" = true), example = 5)]
    pub strokes: Option<Num>,
    /// The humidity above which that holds.
    #[schemars(extend("x-required" = true), example = &"80 %RH")]
    pub above: Option<Stated<Humidity>>,
}

/// Whether a pre-tube is a tube of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum PreTubeForm {
    /// A tube of its own, joined before the measuring tube.
    #[serde(rename = "separate tube")]
    SeparateTube,
    /// A layer in the measuring tube.
    #[serde(rename = "layer inside")]
    LayerInside,
}

/// How the air is drawn.
#[apply(written_form)]
pub struct Draw {
    /// The volume of one full stroke.
    #[schemars(extend("x-required" = true), example = &"100 mL")]
    pub stroke: Option<Stated<Volume>>,
    /// How to see that a stroke is finished, in words.
    #[schemars(example = &"the handle, let go, no longer creeps back")]
    pub stroke_ends: Option<String>,
    /// The strokes to draw before those that count, if the leaflet wants some: through a long hose, say.
    #[schemars(example = serde_json::json!({"strokes": 1, "because": "hose of 3 m"}))]
    pub flush: Option<Box<Flush>>,
    /// The pause between two strokes, if the leaflet wants one. It counts into the time in all.
    #[schemars(example = &"30 s")]
    pub pause: Option<Stated<Duration>>,
    /// How many strokes may be drawn beyond the printed counts if there is no stain. All that follows from still none is that there is less than with the last printed count.
    #[schemars(example = 10)]
    pub more_strokes_if_no_stain: Option<Num>,
    /// The stroke counts that the leaflet allows, a row each, as printed. A tube without a scale has them under `read`.
    #[schemars(extend("x-usual" = true), example = serde_json::json!([{"strokes": 3, "multiply_by": 1, "from": 0.7, "to": 13, "seconds_per_stroke": 40, "uses": "whole scale"}]))]
    pub ranges: Vec<MeasuringRange>,
    /// How the tube reads where an instruction was not kept, if the leaflet says: a stain read late that has grown, a stroke cut short. Without a row a result may read too low.
    #[schemars(example = serde_json::json!([{"instruction": "time to read", "reads": "too high"}]))]
    pub if_not_kept: Vec<IfNotKept>,
}

/// Strokes that are drawn first and do not count.
#[apply(written_form)]
pub struct Flush {
    /// How many strokes.
    #[schemars(extend("x-required" = true), example = 1)]
    pub strokes: Option<Num>,
    /// What they are for.
    #[schemars(example = &"hose of 3 m")]
    pub because: Option<String>,
}

/// What the leaflet says of an instruction that was not kept.
#[apply(written_form)]
pub struct IfNotKept {
    /// The instruction, as a reading names it under `not_kept`.
    #[schemars(extend("x-required" = true), example = &"time to read")]
    pub instruction: Option<Instruction>,
    /// How the tube then reads, against how it would have.
    #[schemars(extend("x-required" = true), example = &"too high")]
    pub reads: Option<ReadsIfNotKept>,
}

/// How a tube reads where an instruction was not kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ReadsIfNotKept {
    /// Less than is there, as for every instruction of which the leaflet says nothing.
    #[serde(rename = "too low")]
    TooLow,
    /// More than is there.
    #[serde(rename = "too high")]
    TooHigh,
    /// Less or more.
    #[serde(rename = "either way")]
    EitherWay,
    /// As it should.
    #[serde(rename = "as it should")]
    AsItShould,
}

impl ReadsIfNotKept {
    /// As written in a sheet.
    pub fn name(self) -> &'static str {
        match self {
            Self::TooLow => "too low",
            Self::TooHigh => "too high",
            Self::EitherWay => "either way",
            Self::AsItShould => "as it should",
        }
    }
}

/// One stroke count with its multiplier and the range it measures. `from` and `to` are in the unit of the scale. What the
/// leaflet does not print is left out: where it follows from the rest, it is shown as followed.
#[apply(written_form)]
pub struct MeasuringRange {
    /// Which scale, if the tube has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// How many strokes; 0.5 is half a stroke, which also needs `seconds_for`.
    #[schemars(extend("x-usual" = true), example = 3)]
    pub strokes: Option<Num>,
    /// For a row that holds for several stroke counts ("n = 2 to 5"): the last of them. The multiplier is then left out: for each count it follows as the scale's own strokes over that count.
    #[schemars(example = 5)]
    pub up_to_strokes: Option<Num>,
    /// Or: the volume in all, if the leaflet prints that and no number of strokes. It has to come to whole or half strokes.
    #[schemars(example = &"300 mL")]
    pub volume: Option<Stated<Volume>>,
    /// What the reading on the scale is multiplied by. If the leaflet prints a range alone, leave it out: of a range that is the whole scale it follows.
    #[schemars(extend("x-usual" = true), example = 1)]
    pub multiply_by: Option<Num>,
    /// The lowest concentration of this range, in the unit of the scale. If the leaflet prints a multiplier alone, leave it out: of a range that is the whole scale it follows.
    #[schemars(extend("x-usual" = true), example = 0.7)]
    pub from: Option<Num>,
    /// The highest concentration of this range, in the unit of the scale. If the leaflet prints a multiplier alone, leave it out.
    #[schemars(extend("x-usual" = true), example = 13)]
    pub to: Option<Num>,
    /// How long one stroke takes, in seconds, as the leaflet prints it in this row.
    #[schemars(extend("x-usual" = true), example = 40)]
    pub seconds_per_stroke: Option<Num>,
    /// Or: how long all strokes of this row take, in seconds, pauses included, if the leaflet prints the time in all.
    #[schemars(example = 120)]
    pub seconds_in_all: Option<Num>,
    /// For half a stroke: is `seconds_per_stroke` the time of the half stroke as it is drawn, or that of a whole stroke, of
    /// which half is waited? A leaflet's row for half a stroke prints the time of the half stroke.
    #[schemars(example = &"half stroke")]
    pub seconds_for: Option<SecondsFor>,
    /// Whether the range is the whole scale times the multiplier, or extends the scale at one end, so that the printed bands adjoin.
    #[schemars(extend("x-required" = true), example = &"whole scale")]
    pub uses: Option<Uses>,
    /// If this stroke count is barred below or above a temperature: where it may be used, such as `above 10 °C`, `below 30 °C` or `10 to 30 °C`. Readings elsewhere are refused.
    #[schemars(example = &"above 10 °C")]
    pub usable: Option<OpenRange<Temperature>>,
}

impl MeasuringRange {
    /// The sampling time in seconds: strokes times the time for one, with a pause of so many seconds between two. Half a stroke takes
    /// the printed time as it stands, unless the sheet says that it is that of a whole stroke: who waits too short a time draws too
    /// little air and reads too low. A time in all stands as it is printed.
    pub fn sampling_seconds(&self, pause: f64) -> Option<f64> {
        if let Some(in_all) = &self.seconds_in_all {
            return Some(in_all.value());
        }
        let (strokes, seconds) = (self.strokes.as_ref()?, self.seconds_per_stroke.as_ref()?);
        let times = match self.seconds_for {
            None | Some(SecondsFor::HalfStroke) if strokes.value() < 1.0 => 1.0,
            _ => strokes.value(),
        };
        Some(times * seconds.value() + pauses(strokes.value()) * pause)
    }
}

/// Number of pauses between so many strokes; a half one at the end is one more.
pub(crate) fn pauses(strokes: f64) -> f64 {
    (strokes.ceil() - 1.0).max(0.0)
}

/// The stroke whose time is printed in a row for half a stroke.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum SecondsFor {
    /// The half stroke as it is drawn.
    #[serde(rename = "half stroke")]
    HalfStroke,
    /// A whole stroke, of which half is waited.
    #[serde(rename = "whole stroke")]
    WholeStroke,
}

/// How a printed range relates to the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Uses {
    /// From the first mark to the last, times the multiplier.
    #[serde(rename = "whole scale")]
    WholeScale,
    /// A part of the scale, which carries the neighbouring range further down or up.
    #[serde(rename = "extension")]
    Extension,
}
