//! Result of a search: plain data, in the words and keys of the JSON output. Every key is always there; what does not
//! apply is null.

use serde::Serialize;

use stainbook_catalog::written::LimitKind;
use stainbook_evaluation::outcome::{Code, Refusal, Statement};
use stainbook_evaluation::result::{LimitUsed, Recorded, Verdict};

/// The sheets of a catalog, ranked for a purpose.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Search {
    /// The gas that is sought.
    pub substance: Sought,
    /// The levels that a tube is wanted for.
    pub levels: Vec<LevelSought>,
    /// The conditions as typed; what is null was taken as at each sheet's calibration.
    pub conditions: serde_json::Value,
    /// Other gases in the air.
    pub present: Vec<PresentGas>,
    /// The time there is for drawing, in seconds.
    pub within_seconds: Option<f64>,
    /// The pump at hand.
    pub pump: Option<PumpAsked>,
    /// The sheets that can serve, the first choice first.
    pub serve: Vec<SuitableTube>,
    /// The sheets that cannot: those that measure the gas first, each part by name.
    pub cannot: Vec<Excluded>,
    /// Criteria of the order of `serve`; the first that differs counts.
    pub ranked_by: Vec<String>,
    /// Assumptions, and statements about the whole.
    pub statements: Vec<Statement>,
    /// The catalog's short name.
    pub catalog: Option<String>,
    /// Its revision.
    pub catalog_revision: Option<String>,
    /// Cautions for every reader.
    pub cautions: Vec<Statement>,
}

/// The gas or group that is sought.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Sought {
    /// Its short name.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its CAS number.
    pub cas: Option<String>,
    /// True for a group of substances.
    pub is_group: bool,
}

/// A level that a tube is wanted for.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LevelSought {
    /// As typed, or as the source of the limit prints it.
    pub text: String,
    /// The number.
    pub value: f64,
    /// Its unit: all concentrations of the ways to read this level are in it.
    pub unit: String,
    /// As a volume fraction in the air as it is, ppm: a limit at its own conditions, a level in mg/m³ at those of the
    /// place. Null for a group in mg/m³, where it depends on what the sheet expresses the group as.
    pub ppm: Option<f64>,
    /// The limit, if the level is one.
    pub limit: Option<LimitSought>,
}

/// A limit that a tube is wanted for, and what a procedure has to do there.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LimitSought {
    /// The limit.
    pub limit: LimitUsed,
    /// From and to how many times the limit a procedure should measure.
    pub should_cover: Option<[f64; 2]>,
    /// Largest relative expanded uncertainty at the limit.
    pub uncertainty_at_most: Option<f64>,
    /// Source of the two demands.
    pub demanded_by: String,
}

/// Another gas in the air.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct PresentGas {
    /// Its short name.
    pub substance: String,
    /// Its name.
    pub name: String,
    /// Its level as typed.
    pub level: Option<String>,
}

/// The pump at hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct PumpAsked {
    /// Its short name; null if only the kind was named.
    pub pump: Option<String>,
    /// The short name of its kind.
    pub kind: String,
}

/// A sheet that can serve.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SuitableTube {
    /// Its place, from 1.
    pub rank: usize,
    /// The sheet's short name.
    pub sheet: String,
    /// The tube's name as printed.
    pub name: String,
    /// The revision of the leaflet.
    pub revision: String,
    /// The lots that it belongs to.
    pub lots: Option<String>,
    /// Route from the sheet to the gas: `own scale`, `other gas` (by a response factor), `group`.
    pub by: String,
    /// Level by level, in the order of the search.
    pub levels: Vec<AtLevel>,
    /// Reasons for it.
    #[serde(rename = "for")]
    pub pro: Vec<Reason>,
    /// Reasons against it.
    pub against: Vec<Reason>,
    /// The kinds of pump that the sheet allows.
    pub pump_kinds: Vec<String>,
    /// Conditions that were not stated and were taken as at the sheet's calibration.
    pub assumed: Vec<Assumed>,
    /// Other gases of the sheet that were not said to be present, and what they would do.
    pub watch_for: Vec<Statement>,
}

/// A condition that was not stated.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Assumed {
    /// The condition.
    pub condition: Condition,
    /// The assumed value: `20 °C`.
    pub value: String,
}

/// A condition of the air that a search may leave out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Condition {
    /// The temperature of the air.
    AirTemperature,
    /// The humidity.
    Humidity,
    /// The station pressure.
    Pressure,
}

impl Condition {
    /// In words: `the temperature`.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::AirTemperature => "the temperature",
            Self::Humidity => "the humidity",
            Self::Pressure => "the pressure",
        }
    }
}

/// A sheet at one level.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct AtLevel {
    /// The place of the level in the search, from 0.
    pub level: usize,
    /// The stroke count to draw; null if there is none.
    pub best: Option<Way>,
    /// Other stroke counts that read this level as well, the better first.
    pub others: Vec<Way>,
    /// For a limit: how much around it all stroke counts together measure.
    pub coverage: Option<Coverage>,
    /// Refusal where there is no stroke count, with its remedy.
    pub why_not: Option<Refusal>,
}

/// One stroke count at one level. Concentrations are in the unit of the level.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Way {
    /// Number of strokes.
    pub strokes: f64,
    /// Name of the scale, if the tube has two.
    pub scale: Option<String>,
    /// Sampling time in seconds.
    pub seconds: f64,
    /// The reading on the scale that comes out as the level.
    pub reading: f64,
    /// The unit of the scale.
    pub reading_unit: String,
    /// The marks it lies between; the same mark twice where it lies on one.
    pub between_marks: [f64; 2],
    /// The lowest concentration of this stroke count, corrected for the conditions.
    pub lowest: f64,
    /// The highest.
    pub highest: f64,
    /// Position of the level between them, by ratio: 0 the lowest, 1 the highest.
    pub position: f64,
    /// The expanded uncertainty at the level.
    pub expanded: f64,
    /// The same as a part of the level.
    pub relative_expanded: f64,
    /// The probability that the interval of `expanded` covers the true value.
    pub coverage: f64,
    /// Attainable judgement against each limit that was named; against all that it speaks to, if none was.
    pub judged: Vec<JudgedHere>,
}

/// Attainable judgement of one stroke count against a limit. Concentrations are in the unit of the level.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct JudgedHere {
    /// The limit: authority, kind and value.
    pub limit: String,
    /// Its kind, as in `limit`.
    pub kind: Recorded<LimitKind>,
    /// The limit in the unit of the level.
    pub value: Option<f64>,
    /// Verdict of a reading at the level.
    pub verdict: Option<Verdict>,
    /// The probability that the air is above the limit when the tube reads the level.
    pub probability_above: Option<f64>,
    /// The highest concentration read that still says `below`; null if none does.
    pub below_up_to: Option<f64>,
    /// The lowest concentration read that says `above`; null if none does.
    pub above_from: Option<f64>,
    /// True if no stain at all says `below`.
    pub no_stain_says_below: bool,
    /// Reason for no verdict, or basis of the verdict.
    pub reason: Option<String>,
}

/// Coverage of the range around a limit by all stroke counts of a tube together.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Coverage {
    /// The lowest concentration, as so many times the limit.
    pub from_times: f64,
    /// The highest.
    pub to_times: f64,
    /// The stroke counts that it takes.
    pub strokes: Vec<f64>,
    /// True if the whole of `should_cover` is measured, without a gap; null where nothing is demanded.
    pub whole: Option<bool>,
}

/// A reason for or against a tube.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Reason {
    /// The word for scripts, kebab-case.
    pub code: Code,
    /// The words.
    pub text: String,
    /// Severity.
    pub weight: Weight,
}

/// Weight of a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weight {
    /// It puts the tube behind those without such a reason: the result would not be relied on.
    Heavy,
    /// It is to be known.
    Light,
}

/// A sheet that cannot serve.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[non_exhaustive]
pub struct Excluded {
    /// The sheet's short name.
    pub sheet: String,
    /// The tube's name as printed.
    pub name: String,
    /// True if it measures the gas at all.
    pub measures_it: bool,
    /// Refusals, each with its remedy.
    pub why: Vec<Refusal>,
}
