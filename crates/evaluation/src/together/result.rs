//! Results of readings together: plain data, in the words and keys of the JSON output.
//!
//! As in [`crate::result`], every key is always there, and what does not apply is null or empty.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::method::GroupMethod;
use crate::outcome::{Flag, Refusal, Statement};
use crate::result::{LimitComparison, LimitUsed, MonteCarlo, Recorded, Status, SubstanceUsed};

/// Result of readings together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct GroupResult {
    /// Its name in the survey; for repeats and blanks, which have none, the readings' names.
    pub id: String,
    /// Method.
    pub method: GroupMethod,
    /// Name in words: `8 h average of ammonia`.
    pub what: String,
    /// The readings or averages that it is made of, in the order of the survey.
    pub of: Vec<Member>,
    /// The gas; null where there are several.
    pub substance: Option<SubstanceUsed>,
    /// A value, one bound, two bounds, or refused.
    pub status: GroupStatus,
    /// The unit of value, bounds and uncertainty: `ppm`, or `1` for a sum of shares; null where there is no one figure.
    pub unit: Option<String>,
    /// The figure; null if there are only bounds.
    pub value: Option<f64>,
    /// The lowest that it can be, bounds taken at their lower ends; null if nothing is known.
    pub lowest: Option<f64>,
    /// The highest that it can be, bounds taken at their upper ends; null if there is no upper bound.
    pub highest: Option<f64>,
    /// The figure or its bounds with the digits that the uncertainty supports, without the unit.
    pub text: Option<String>,
    /// The ends less and more their expanded uncertainties: what the figure lies between with about 95 % probability, and at
    /// least that where there are bounds. Null is no bound.
    #[serde(default)]
    pub with_uncertainty: EndsOf,
    /// The uncertainty of the figure; null where there are bounds.
    pub uncertainty: Option<TogetherUncertainty>,
    /// The figure by drawing; null if that was not asked for, or where there are bounds.
    #[serde(default)]
    pub monte_carlo: Option<MonteCarlo>,
    /// The time that an average is for.
    pub period: Option<Period>,
    /// True if the figure only indicates: an average over more than 15 minutes from short-term tubes.
    pub indicative: bool,
    /// The comparison with limits; for a mixture that of the sum with 1.
    pub against: Vec<LimitComparison>,
    /// Tests of the values: EN 689, the spread of repeats, whether values are lognormal.
    pub tests: Vec<Test>,
    /// For gases that disturb each other's tubes: each gas, freed of what the others did.
    pub solved: Vec<Solved>,
    /// Flags.
    pub flags: Vec<Flag>,
    /// Statements about it.
    pub statements: Vec<Statement>,
    /// Refusal, if there is nothing, with its remedy.
    pub refusal: Option<Refusal>,
}

impl GroupResult {
    /// Readings together that could not be taken up; `what` is the row in words.
    pub fn refused(id: &str, method: GroupMethod, what: String, refusal: Refusal) -> Self {
        Self {
            what,
            refusal: Some(refusal),
            ..Self::empty(id, method)
        }
    }

    /// Nothing yet.
    pub fn empty(id: &str, method: GroupMethod) -> Self {
        Self {
            id: id.to_owned(),
            method,
            what: String::new(),
            of: Vec::new(),
            substance: None,
            status: GroupStatus::Refused,
            unit: None,
            value: None,
            lowest: None,
            highest: None,
            text: None,
            with_uncertainty: EndsOf::default(),
            uncertainty: None,
            monte_carlo: None,
            period: None,
            indicative: false,
            against: Vec::new(),
            tests: Vec::new(),
            solved: Vec::new(),
            flags: Vec::new(),
            statements: Vec::new(),
            refusal: None,
        }
    }
}

/// A value, one bound, two bounds, none, or refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum GroupStatus {
    /// There is a value (or, for a test, an answer).
    Measured,
    /// Less than `highest`.
    LessThan,
    /// More than `lowest`.
    MoreThan,
    /// From `lowest` to `highest`.
    Between,
    /// Nothing can be said.
    Refused,
}

impl GroupStatus {
    /// As in the output: `measured`, `less_than`, `more_than`, `between`, `refused`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::LessThan => "less_than",
            Self::MoreThan => "more_than",
            Self::Between => "between",
            Self::Refused => "refused",
        }
    }
}

/// A reading or an average that something is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Member {
    /// Its name in the survey.
    pub id: String,
    /// The gas, by its short name.
    pub substance: Option<String>,
    /// Measured or a bound, as of the reading; an average between two bounds is `measured` here with both `ends`.
    pub status: Status,
    /// Lowest and highest that it can be, in ppm; the same number twice for a value.
    pub ends: EndsOf,
    /// Period that it stands for, in minutes; null where time plays no part.
    pub minutes: Option<f64>,
    /// The limit whose share it takes, in a mixture.
    pub limit: Option<LimitUsed>,
    /// That share, lowest and highest; null outside a mixture.
    pub share: Option<EndsOf>,
}

/// The ends of what is known of a figure; null is no bound.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct EndsOf {
    /// The lower end.
    pub lowest: Option<f64>,
    /// The upper end.
    pub highest: Option<f64>,
}

/// The uncertainty of a figure that several readings make.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct TogetherUncertainty {
    /// The standard uncertainty, in the unit of the figure.
    pub standard: f64,
    /// The standard uncertainty times `coverage_factor`.
    pub expanded: f64,
    /// Coverage factor of `expanded`: 2, or Student's t where the effective degrees of freedom are finite.
    pub coverage_factor: f64,
    /// Effective degrees of freedom of the standard uncertainty, after Welch and Satterthwaite (JCGM 100:2008, G.4), a figure
    /// that several readings share counted once; null where it rests on no figure from few readings.
    pub effective_degrees_of_freedom: Option<f64>,
    /// The probability that the interval covers the true value.
    pub coverage: f64,
    /// Lower and upper end.
    pub interval: [Option<f64>; 2],
    /// The sources, the largest first.
    pub budget: Vec<SharedLine>,
}

/// One source of uncertainty of a figure that several readings make.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct SharedLine {
    /// A word for scripts, as in the budget of a reading.
    pub code: String,
    /// In words, with what shares it.
    pub source: String,
    /// True if more than one reading has it in common: then it does not average out.
    pub shared: bool,
    /// Contribution to the figure, in its unit.
    pub standard: f64,
    /// The degrees of freedom of that, the fewest where there are several; null where they are infinite.
    pub degrees_of_freedom: Option<f64>,
    /// Its share of the variance, in percent.
    pub contribution: f64,
}

/// The time that an average is for, in minutes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Period {
    /// The period that the average is for.
    pub over: f64,
    /// Time that readings stand for.
    pub covered: f64,
    /// Time that no reading stands for.
    pub not_covered: f64,
    /// Exposure taken for that time: `without exposure`, `like the sampled time`, `unknown`, or `nothing left`.
    pub rest: Recorded<RestTaken>,
    /// The average over the covered time alone, in ppm.
    pub over_covered: EndsOf,
}

/// Exposure taken for the time that no reading stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum RestTaken {
    /// None of the gas.
    #[serde(rename = "without exposure")]
    WithoutExposure,
    /// As much as in the time that readings stand for.
    #[serde(rename = "like the sampled time")]
    LikeSampled,
    /// Anything: the survey does not say.
    #[serde(rename = "unknown")]
    Unknown,
    /// There is no such time.
    #[serde(rename = "nothing left")]
    NothingLeft,
}

/// A test of values with its figures.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Test {
    /// Name of the test: `EN 689 preliminary test`, `EN 689 group test`, `Shapiro-Wilk`, `spread of repeats`.
    pub name: String,
    /// The decision.
    pub decision: Decision,
    /// The comparison in words.
    pub text: String,
    /// The figures.
    pub figures: Vec<NamedFigure>,
}

/// Decisions of a test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Decision {
    /// EN 689: the limit is complied with.
    Compliance,
    /// EN 689: it is not.
    NonCompliance,
    /// EN 689: not enough values to say.
    NoDecision,
    /// The values are as they should be.
    AsExpected,
    /// They are not.
    NotAsExpected,
}

impl Decision {
    /// As people read it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Compliance => "compliance",
            Self::NonCompliance => "non-compliance",
            Self::NoDecision => "no decision",
            Self::AsExpected => "as expected",
            Self::NotAsExpected => "not as expected",
        }
    }
}

/// A figure with its name and unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct NamedFigure {
    /// Name of the figure: `geometric mean`.
    pub name: String,
    /// The number.
    pub value: f64,
    /// Its unit; `1` for a plain number.
    pub unit: String,
}

impl NamedFigure {
    pub(crate) fn new(name: &str, value: f64, unit: &str) -> Self {
        Self {
            name: name.to_owned(),
            value,
            unit: unit.to_owned(),
        }
    }
}

/// Coverage factor of records by versions that knew no other.
fn two() -> f64 {
    2.0
}

/// A gas whose tube another gas disturbs, freed of that.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[non_exhaustive]
pub struct Solved {
    /// The reading.
    pub reading: String,
    /// The gas.
    pub substance: Option<SubstanceUsed>,
    /// The result without taking the others into account, in `unit`.
    pub uncorrected: f64,
    /// The result that fits all readings; null where a bound among them leaves only bounds.
    pub value: Option<f64>,
    /// The lowest that it can be; the value itself where there is one.
    pub lowest: Option<f64>,
    /// The highest that it can be; null if there is no upper bound.
    pub highest: Option<f64>,
    /// The ends less and more their expanded uncertainties, as for a figure of several readings.
    #[serde(default)]
    pub with_uncertainty: EndsOf,
    /// The unit of the tube's scale.
    pub unit: String,
    /// Value and expanded uncertainty, with the digits that are worth printing: `4.2 ± 1.8`; or the bounds: `3.2 to 4.6`.
    pub text: String,
    /// The standard uncertainty, with what the other readings add to it; null for bounds.
    pub standard: Option<f64>,
    /// The standard uncertainty times `coverage_factor`, for about 95 % coverage; null for bounds.
    pub expanded: Option<f64>,
    /// 1.960, or Student's t where the effective degrees of freedom are finite; for bounds 1.645.
    #[serde(default = "two")]
    pub coverage_factor: f64,
    /// As of the uncertainty of a figure; null where they are infinite.
    pub effective_degrees_of_freedom: Option<f64>,
    /// By how much the solution still misses: the value less what this tube gives with the others as solved. Zero but for
    /// rounding; null for bounds.
    pub residual: Option<f64>,
    /// The value by drawing; null if that was not asked for, or for bounds.
    #[serde(default)]
    pub monte_carlo: Option<MonteCarlo>,
    /// Correlation of the errors of this value and the first, from −1 to 1: what makes one too high makes the other too low;
    /// null for bounds.
    pub correlation_with_first: Option<f64>,
    /// The comparison with limits.
    pub against: Vec<LimitComparison>,
}
