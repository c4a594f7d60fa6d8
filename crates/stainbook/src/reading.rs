//! Results of readings: the concentration with its uncertainty, the factors applied, the limits it was held against.
//!
//! [`evaluate`] works out a survey; [`crate::evaluate_survey`] does the same for one that a checked book has. Every flag, statement
//! and refusal has a [`Code`], whose [`Definition`] says what it means, which way the result may be off, and what to do.

pub use stainbook_evaluation::outcome::{
    Code, CodeKind, Definition, Effect, Flag, InSearch, MayRead, Refusal, Statement, UnknownCode,
};
pub use stainbook_evaluation::result::{
    AirDrawn, Amount, AppliedStep, Basis, BudgetLine, ChosenBy, ConditionsOrigin, ConvertedAmount,
    CorrectionApplied, CorrectionSource, CoverageDistribution, Decision, EffectOnReading, EndsOf,
    Figure, GroupMethod, GroupResult, GroupStatus, JudgedBy, JudgedFrom, LimitComparison,
    LimitUsed, Member, MonteCarlo, NamedFigure, Period, Recorded, RestTaken, SCHEMA_VERSION,
    SOFTWARE, SharedLine, SheetUsed, Solved, StatedConditions, Status, StepBefore, StepState,
    SubstanceUsed, Test, TogetherUncertainty, Uncertainty, UncertaintyText, Verdict, schema,
};
pub use stainbook_evaluation::{
    ErrorsByFile, Evaluation, FaultyFile, FaultySheets, MonteCarloOptions, Options, ReadingResult,
    SheetErrors, evaluate,
};
