//! Results of an evaluation: plain data, in the words and keys of the JSON output.
//!
//! Every key is always there; what does not apply is null. Numbers keep full precision; `text` beside a number is the
//! number with the digits that its uncertainty supports.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_catalog::written::LimitKind;
use stainbook_catalog::written::tube::Target;

use crate::outcome::{Flag, Refusal, Statement};
pub use crate::together::method::GroupMethod;

pub use crate::together::result::{
    Decision, EndsOf, GroupResult, GroupStatus, Member, NamedFigure, Period, RestTaken, SharedLine,
    Solved, Test, TogetherUncertainty,
};

mod applied_step;
mod basis;
mod effect_on_reading;
mod recorded;
mod schema;

pub use applied_step::AppliedStep;
pub use basis::Basis;
pub use effect_on_reading::EffectOnReading;
pub use recorded::Recorded;
pub use schema::schema;

/// The version of the keys. A key that goes or changes its meaning makes a new one, a further key does not.
pub const SCHEMA_VERSION: u32 = 2;

/// The software that works the results out, with its version.
pub const SOFTWARE: &str = concat!("stainbook ", env!("CARGO_PKG_VERSION"));

/// A survey evaluated: one result for each reading, in the order of the survey.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
#[non_exhaustive]
pub struct Evaluation {
    /// The version of the keys: [`SCHEMA_VERSION`].
    pub schema_version: u32,
    /// The software that worked the results out, with its version.
    pub software: String,
    /// The survey's short name.
    pub survey: Option<String>,
    /// Title of the survey.
    pub title: Option<String>,
    /// Initials of whoever drew and read.
    pub by: Option<String>,
    /// The catalog's short name.
    pub catalog: Option<String>,
    /// The revision of the catalog.
    pub catalog_revision: Option<String>,
    /// Fields typed once for the whole survey, without the readings; null for a table.
    pub inputs: serde_json::Value,
    /// The results.
    pub results: Vec<ReadingResult>,
    /// Facts that the results depend on, by digest: sheet, substances, pump and limits as they were resolved. With these a
    /// result can be worked out again without the catalog; the SHA-256 of their canonical JSON is the digest. Numbers of a
    /// sheet are text, to keep the digits that were typed.
    pub facts: BTreeMap<String, serde_json::Value>,
    /// Limits that the results are compared with, and the certainty that a verdict has to have.
    #[serde(default)]
    pub judged_by: JudgedBy,
    /// Readings together: averages, mixtures, tests of an exposure group, gases that disturb each other's
    /// tubes, repeats and blanks. Empty if the survey has none.
    #[serde(default)]
    pub together: Vec<GroupResult>,
    /// Cautions for every reader of these results.
    pub cautions: Vec<Statement>,
}

impl Evaluation {
    /// True if every reading has a result, and everything that is judged together, flagged or not.
    pub fn is_complete(&self) -> bool {
        self.results
            .iter()
            .all(|result| result.status != Status::Refused)
            && self
                .together
                .iter()
                .all(|together| together.status != GroupStatus::Refused)
    }
}

/// Limits that results are compared with, and the certainty that a verdict has to have.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct JudgedBy {
    /// Probability that the true value is below a limit, or above it, from which the result is called so.
    pub certainty: f64,
    /// `survey, judge.certainty`, or a default that is named as one.
    pub origin: String,
    /// The limits that the survey names, in words; empty if every limit of the gas is meant.
    pub limits: Vec<String>,
}

/// Result of one reading: the concentration that it shows, or the refusal of one.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
#[non_exhaustive]
pub struct ReadingResult {
    /// The reading's name in the survey.
    pub id: String,
    /// Time of the reading, as typed.
    pub at: Option<String>,
    /// Place.
    pub place: Option<String>,
    /// The sheet that it was evaluated with.
    pub sheet: Option<SheetUsed>,
    /// The gas that the result is about.
    pub substance: Option<SubstanceUsed>,
    /// Measured, a bound, or refused.
    pub status: Status,
    /// The concentration, or the bound; null if refused.
    pub concentration: Option<Amount>,
    /// The same in the other unit, with the conditions it holds at.
    #[serde(rename = "also_as")]
    pub converted: Option<ConvertedAmount>,
    /// Uncertainty of that for the air that was drawn; null for a bound.
    pub uncertainty: Option<Uncertainty>,
    /// The value, or the bound, as the volume fraction in ppm that limits are compared with; null where it cannot be given.
    #[serde(default)]
    pub as_ppm: Option<f64>,
    /// For a bound: the uncertainty of a reading on it, which a verdict about the bound rests on. Null for a value.
    #[serde(default, rename = "on_the_bound")]
    pub uncertainty_at_bound: Option<Uncertainty>,
    /// The reading on the scale that the corrections start from; null if there is none.
    pub reading: Option<Amount>,
    /// Corrections of the reading, in order.
    pub corrections: Vec<CorrectionApplied>,
    /// The air that was drawn, which every verdict is about; null if refused before it was known.
    #[serde(default)]
    pub air_drawn: Option<AirDrawn>,
    /// The comparison with each limit.
    pub against: Vec<LimitComparison>,
    /// The steps before the air was drawn, as far as they are on record.
    pub before_use: Vec<StepBefore>,
    /// Flags: doubts about this measurement.
    pub flags: Vec<Flag>,
    /// Refusal, if there is no result, with its remedy.
    pub refusal: Option<Refusal>,
    /// For a bound: how to get a value.
    pub repeat_with: Option<RepeatWith>,
    /// Effects of other gases on the reading, as far as they are known.
    #[serde(rename = "other_gases")]
    pub interferents: Vec<InterferentEffect>,
    /// Statements about the result.
    pub statements: Vec<Statement>,
    /// The revision of the catalog.
    pub catalog_revision: Option<String>,
    /// SHA-256 of everything the result depends on: sheet, substance, pump and limits, as resolved.
    pub sheet_digest: Option<String>,
    /// Typed fields: `reading`, `conditions` (the survey's, overridden by the reading's) and `by`.
    pub inputs: serde_json::Value,
}

impl ReadingResult {
    /// A result about nothing yet.
    pub fn empty(id: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            ..Self::default()
        }
    }

    /// True if a number was read on a scale: a tube without one tells thresholds, which the steps then come from.
    pub fn has_scale(&self) -> bool {
        !self.corrections.iter().any(|step| {
            let pointer = &step.from.pointer;
            pointer.starts_with("/read/indicates") || pointer.starts_with("/read/counts")
        })
    }

    /// A reading that could not be taken up.
    pub fn refused(id: impl Into<String>, refusal: Refusal) -> Self {
        Self {
            refusal: Some(refusal),
            ..Self::empty(id)
        }
    }

    /// Takes back what was worked out, and says why there is none.
    pub(crate) fn refuse(&mut self, refusal: Refusal) {
        self.status = Status::Refused;
        self.concentration = None;
        self.converted = None;
        self.uncertainty = None;
        self.uncertainty_at_bound = None;
        self.as_ppm = None;
        self.against.clear();
        self.refusal = Some(refusal);
    }
}

/// Measured, a bound, or refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// There is a value.
    Measured,
    /// There is less than the concentration stated.
    LessThan,
    /// There is more than the concentration stated.
    MoreThan,
    /// No result can be given.
    #[default]
    Refused,
}

impl Status {
    /// As in the output: `measured`, `less_than`, `more_than`, `refused`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::LessThan => "less_than",
            Self::MoreThan => "more_than",
            Self::Refused => "refused",
        }
    }
}

/// The sheet that was used, and why that one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct SheetUsed {
    /// Its short name.
    pub id: String,
    /// The tube's name as printed.
    pub name: String,
    /// The revision of the leaflet.
    pub revision: String,
    /// Means by which it was found: `by name`, `by lot`, `by leaflet revision`, `only revision`.
    pub chosen: Recorded<ChosenBy>,
}

/// Means by which a sheet was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum ChosenBy {
    /// By its short name.
    #[serde(rename = "by name")]
    Name,
    /// By the lot of the box.
    #[serde(rename = "by lot")]
    Lot,
    /// By the revision of the leaflet.
    #[serde(rename = "by leaflet revision")]
    LeafletRevision,
    /// By both.
    #[serde(rename = "by lot and leaflet revision")]
    LotAndLeafletRevision,
    /// There is one only.
    #[serde(rename = "only revision")]
    OnlyRevision,
}

/// The gas that the result is about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct SubstanceUsed {
    /// Its short name.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its CAS number.
    pub cas: Option<String>,
    /// The group that was measured, if the substance only stands for it.
    pub stands_for_group: Option<String>,
}

/// A concentration with its unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Amount {
    /// The number, in full.
    pub value: f64,
    /// The unit, canonically spelt.
    pub unit: String,
    /// Air that it refers to.
    pub basis: Basis,
    /// The number with the digits that its uncertainty supports, without the unit.
    pub text: String,
}

/// The result in the other unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct ConvertedAmount {
    /// The number, in full.
    pub value: f64,
    /// The unit.
    pub unit: String,
    /// Air that it refers to.
    pub basis: Basis,
    /// The number with the digits that its uncertainty supports.
    pub text: String,
    /// Temperature and pressure that it holds at.
    pub conditions: StatedConditions,
}

/// Temperature and pressure, and where they come from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct StatedConditions {
    /// The temperature.
    pub temperature: Figure,
    /// The pressure.
    pub pressure: Figure,
    /// `of the survey`, or `reference conditions of the catalog`.
    pub origin: Recorded<ConditionsOrigin>,
}

/// Origin of the conditions of a conversion.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum ConditionsOrigin {
    /// The survey.
    #[serde(rename = "of the survey")]
    Survey,
    /// The catalog.
    #[serde(rename = "reference conditions of the catalog")]
    Reference,
    /// The sheet.
    #[serde(rename = "calibration conditions of the sheet")]
    Calibration,
    /// The scale, which prints its own.
    #[serde(rename = "conditions that the scale states")]
    Scale,
}

/// A number with its unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Figure {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: String,
}

/// Uncertainty of the result for the air that was drawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Uncertainty {
    /// The unit of `standard`, `expanded` and `interval`: that of the concentration.
    pub unit: String,
    /// The standard uncertainty.
    pub standard: f64,
    /// The standard uncertainty as a part of the result.
    pub relative: f64,
    /// The standard uncertainty times `coverage_factor`. It is no half width of `interval`, which reaches further up than down.
    pub expanded: f64,
    /// Coverage factor of `expanded`: 1.960, or Student's t where the effective degrees of freedom are finite.
    pub coverage_factor: f64,
    /// The probability that the interval covers the true value.
    pub coverage: f64,
    /// Lower and upper end: all that would show this reading within the central 95 % of what it shows. The upper one is null
    /// where nothing is too much. Of a bound it is what it reaches with 95 % to its open side, and null on the other.
    pub interval: [Option<f64>; 2],
    /// `normal`, or `Student's t` where the effective degrees of freedom are finite: the distribution that `expanded` and
    /// `interval` are taken from. What a probability rests on is said with it, under `against`.
    pub distribution: Recorded<CoverageDistribution>,
    /// Effective degrees of freedom of the standard uncertainty, after Welch and Satterthwaite (JCGM 100:2008, G.4); null
    /// where it rests on no figure from few readings.
    pub effective_degrees_of_freedom: Option<f64>,
    /// Standard and expanded uncertainty with the digits that are worth printing.
    pub text: UncertaintyText,
    /// The sources.
    pub budget: Vec<BudgetLine>,
    /// Result of the Monte Carlo method over the distributions of all sources; null if it was not asked for.
    pub monte_carlo: Option<MonteCarlo>,
}

/// The distribution that an expanded uncertainty and its interval are taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum CoverageDistribution {
    /// The normal one.
    #[serde(rename = "normal")]
    Normal,
    /// Student's t, for finite effective degrees of freedom.
    #[serde(rename = "Student's t")]
    StudentT,
}

/// The uncertainty by a Monte Carlo method (JCGM 101:2008), in the unit of the concentration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct MonteCarlo {
    /// The standard that the method follows.
    pub method: String,
    /// The generator of the draws.
    pub generator: String,
    /// Seed: the same seed and the same number of draws give the same result again.
    pub seed: u64,
    /// Number of draws made.
    pub draws: u64,
    /// True if the number of draws was left to the software, to draw until the result stands (JCGM 101:2008, 7.9).
    pub adaptive: bool,
    /// True if it then did stand, to the second digit of the standard uncertainty; null if the number was given.
    pub settled: Option<bool>,
    /// The median of the draws. They have neither a mean nor a standard deviation.
    #[serde(default)]
    pub median: f64,
    /// The probability that the intervals cover.
    pub coverage: f64,
    /// The interval with as much probability below as above; an upper end is null where nothing is too much.
    pub interval_symmetric: [Option<f64>; 2],
    /// The shortest interval; null where each end is drawn with what holds there, and there is none.
    pub interval_shortest: [Option<f64>; 2],
    /// Number of draws outside a table or formula of the sheet, taken at its end.
    #[serde(rename = "held_at_table_end")]
    pub clamped_at_table_end: u64,
    /// Number of draws that would have come out below zero, taken as zero.
    #[serde(rename = "held_at_zero")]
    pub clamped_at_zero: u64,
    /// True if the law of propagation is borne out (JCGM 101:2008, 8): the ends of its interval lie within `tolerance` of
    /// those of the symmetric one.
    pub agrees: bool,
    /// Half the first digit of the standard uncertainty.
    pub tolerance: f64,
    /// Distances between the lower ends and between the upper ends; null where one of two is not there.
    pub apart: [Option<f64>; 2],
    /// The interval as printed: symmetric, then shortest.
    pub text: [[Option<String>; 2]; 2],
}

/// The uncertainty as printed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct UncertaintyText {
    /// The standard uncertainty.
    pub standard: String,
    /// The expanded uncertainty.
    pub expanded: String,
    /// Lower and upper end, rounded outwards; null as in `interval`.
    pub interval: [Option<String>; 2],
}

/// One source of uncertainty.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct BudgetLine {
    /// A word for scripts: `reading`, `front`, `accuracy`, `repeatability`, `stroke-volume`, `temperature` …
    pub code: String,
    /// The source, in words.
    pub source: String,
    /// `normal`, `Student's t`, `rectangular` or `trapezoid`.
    pub distribution: String,
    /// The standard uncertainty of the input.
    pub value: f64,
    /// The unit of `value`: `1` for a part of the quantity itself.
    pub unit: String,
    /// Sensitivity coefficient: the slope of the result along the input, in the unit of the result for one `unit`.
    #[serde(rename = "sensitivity")]
    pub sensitivity_coefficient: f64,
    /// The degrees of freedom of `value`; null where they are infinite.
    pub degrees_of_freedom: Option<f64>,
    /// Contribution to the result, as a part of it.
    pub relative: f64,
    /// Its share of the variance, in percent; all lines add up to 100.
    pub contribution: f64,
    /// Origin of the figure: a field of the sheet, the pump's record, the survey, or a default.
    pub origin: String,
}

/// A step from reading to result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct CorrectionApplied {
    /// The step.
    pub step: AppliedStep,
    /// Factor that the value was multiplied by; for a table or a subtraction, the factor that it came to.
    pub factor: f64,
    /// Target of the factor.
    pub argument: Target,
    /// The value before and after the step, in the unit of the scale.
    pub before: f64,
    /// See `before`.
    pub after: f64,
    /// Source of the factor.
    pub from: CorrectionSource,
}

/// Source of a factor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct CorrectionSource {
    /// The sheet.
    pub sheet: String,
    /// The field, as a JSON Pointer.
    pub pointer: String,
    /// In words: `rows 2 and 3 of correct.temperature, linear, at 6 °C`.
    pub words: String,
}

/// The comparison with one limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct LimitComparison {
    /// The limit.
    pub limit: LimitUsed,
    /// The short name of its source.
    pub source: String,
    /// True if a tube that draws for seconds to minutes speaks to this limit at all.
    pub directly_comparable: bool,
    /// The probability that the air that was drawn was above the limit; null where it cannot be given.
    pub probability_above: Option<f64>,
    /// Basis of probability and verdict: `student t` or `normal`; null where nothing was compared.
    pub by: Option<Recorded<JudgedFrom>>,
    /// `below`, `above` or `cannot_tell`; null where the limit is not compared with.
    pub verdict: Option<Verdict>,
    /// Reason for no verdict, or its basis.
    pub reason: Option<String>,
    /// `above` where the figure is above the limit and a flag keeps that from being relied on: whoever has to act acts as if it
    /// were so. Null elsewhere.
    #[serde(default)]
    pub act_as_if: Option<Verdict>,
    /// Flags in few words that are said in the same breath as the verdict: those that withhold it, or those that one which stands
    /// rests on.
    #[serde(default)]
    pub said_beside: Vec<Flag>,
    /// Difference of the air that was drawn, where the limit is over another time: `not a 15-minute average`. Null where the times
    /// are the same, and where nothing was compared.
    #[serde(default)]
    pub other_period: Option<String>,
}

/// The air that a reading is about.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct AirDrawn {
    /// When the draw began: the time of the reading less the time that the strokes take; null where no time is recorded.
    pub from: Option<String>,
    /// When it was read, by the clock of the place.
    pub to: Option<String>,
    /// Strokes times the seconds for each that the sheet states.
    pub seconds: f64,
}

impl LimitComparison {
    /// The verdict with what is said beside it: `below (sheet not verified)`, `cannot tell (no leak test recorded)`,
    /// `cannot tell; reads above: act as if above (pump of another kind)`.
    pub fn in_words(&self) -> String {
        let Some(verdict) = self.verdict else {
            return "not compared".to_owned();
        };
        let mut words = verdict.name().replace('_', " ");
        if self.act_as_if.is_some() {
            words.push_str(ACT_AS_IF_ABOVE);
        }
        let beside = self.beside_in_words();
        if beside.is_empty() {
            return words;
        }
        format!("{words} ({beside})")
    }

    /// Words beside the verdict, without brackets: of one that cannot be told at least the reason, without its figures.
    pub fn beside_in_words(&self) -> String {
        let beside: Vec<&str> = self
            .said_beside
            .iter()
            .map(|flag| flag.text.as_str())
            .collect();
        match (&self.reason, self.verdict) {
            (Some(reason), Some(Verdict::CannotTell)) if beside.is_empty() => {
                reason.split(": ").next().unwrap_or_default().to_owned()
            }
            _ => beside.join("; "),
        }
    }
}

/// Words behind "cannot tell" where the figure is above the limit and that is not relied on.
pub const ACT_AS_IF_ABOVE: &str = "; reads above: act as if above";

/// Basis of a probability.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum JudgedFrom {
    /// Student's t about the limit, with the effective degrees of freedom there (JCGM 101:2008, 6.4.9).
    #[serde(rename = "student t")]
    StudentT,
    /// A normal distribution about the limit (JCGM 106:2012, 7.2).
    #[serde(rename = "normal")]
    Normal,
}

impl JudgedFrom {
    /// As in the output: `student t`, `normal`.
    pub fn name(self) -> &'static str {
        match self {
            Self::StudentT => "student t",
            Self::Normal => "normal",
        }
    }
}

/// A limit value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct LimitUsed {
    /// The value as its source prints it.
    pub text: String,
    /// The number in the unit that binds.
    pub value: f64,
    /// That unit.
    pub unit: String,
    /// Kind of limit: `8-hour average`, `short-term`, `ceiling`, `danger to life or health`.
    pub kind: Recorded<LimitKind>,
    /// The averaging period, where it is not the usual one.
    pub averaged_over: Option<String>,
    /// Whose limit.
    pub authority: String,
    /// Edition.
    pub edition: String,
    /// The catalog that states it.
    pub catalog: String,
    /// The value of the catalog below that it stands in place of, if the lab's own entry replaces one.
    pub replaces: Option<String>,
    /// The volume fraction it was compared as, in ppm, at the limit's own conditions.
    pub as_ppm: Option<f64>,
}

/// Verdicts about a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Below the limit, with the certainty that the survey asks for.
    Below,
    /// Above the limit, with the certainty that the survey asks for.
    Above,
    /// Neither.
    CannotTell,
}

impl Verdict {
    /// As in the output: `below`, `above`, `cannot_tell`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Below => "below",
            Self::Above => "above",
            Self::CannotTell => "cannot_tell",
        }
    }
}

/// A step before the air is drawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct StepBefore {
    /// The word for scripts: `date`, `pre-tube`, `ambient`, `leak-test`, `volume-check`.
    pub code: String,
    /// The step, in words.
    pub step: String,
    /// State of the step: done, not done, or not on record.
    pub state: StepState,
    /// Record of the step, as typed.
    pub on_record: Option<String>,
}

/// States of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum StepState {
    /// It was done, and well.
    Done,
    /// It was done, and what was found is not well: a flag says what.
    NotWell,
    /// Nothing, or not enough, is on record.
    NotOnRecord,
}

/// Repetition that gives a value where there is only a bound.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct RepeatWith {
    /// The stroke count to repeat with; null if this tube has none.
    pub strokes: Option<f64>,
    /// The scale to read, if it is another one.
    pub scale: Option<String>,
    /// In words.
    pub text: String,
}

/// Effect of another gas on the reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct InterferentEffect {
    /// The gas, by its short name.
    pub substance: String,
    /// Its level as typed.
    pub level: Option<String>,
    /// Its effect.
    pub effect: EffectOnReading,
    /// Share of the reading on the scale that it added (negative if it took away), where that is known.
    pub share_on_scale: Option<f64>,
    /// The unit of the scale.
    pub unit: Option<String>,
    /// The result if nothing were subtracted, in the unit of the concentration.
    pub uncorrected: Option<f64>,
}
