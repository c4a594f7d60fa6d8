//! Flags and statements that the numbers of a reading raise, as facts: the words are made in [`crate::words`].

use stainbook_catalog::written::tube::{Axis, InterferenceEffect, ReadAt};
use stainbook_core::{Concentration, Humidity};

use crate::outcome::{Code, MayRead};

/// A doubt that the numbers of a reading raise.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NumericFlag {
    /// The rest of the stain beside interferents lies before the first mark.
    OtherGasDominates,
    /// The sheet does not know the interferent.
    OtherGasNotOnSheet { gas: String },
    /// An interferent without effect is at more than it was tested to.
    OtherGasAboveTested { gas: String, tested_to: String },
    /// It cannot be told whether it is.
    OtherGasLevelNotComparable { gas: String, tested_to: String },
    /// An interferent whose share is not known.
    Indicative(Indicative),
    /// The leaflet states no accuracy.
    AccuracyAssumed,
    /// The leaflet does not say what the figure is that counts as the accuracy.
    AccuracyKindNotSaid,
    /// The sheet states no repeatability.
    RepeatabilityAssumed,
    /// The sheet states no uncertainty of the response to another gas.
    OtherGasResponseAssumed { gas: String },
    /// The survey states no uncertainty of the level of another gas.
    OtherGasLevelAssumed { gas: String },
    /// The leaflet states no uncertainty of the factor for another gas.
    OtherGasFactorAssumed,
    /// The standard uncertainty is above 40 % of the result.
    UncertaintyLarge,
    /// The factor for another gas is printed for another stroke count.
    OtherGasStrokesDiffer,
    /// The result without correction for the air, in the unit of the scale, lies outside the printed range.
    OutsidePrintedRange { at: f64 },
    /// The reading lies below the first row of a table, and the factor is the largest of its column.
    BelowFirstRow {
        entered: f64,
        first: f64,
        factor: f64,
        axis: Axis,
    },
    /// The result is more than the whole of the air.
    MoreThanTheWhole,
    /// The water vapour of the air is not known, and the scale is stated in dry air.
    WaterVapourUnknown,
    /// The result cannot be given in this unit without conditions.
    OtherUnitNeedsConditions { unit: &'static str },
    /// The sheet does not say at which conditions the mg/m³ of the scale are.
    MassBasisNotStated,
    /// The law of propagation and the draws disagree, and these limits lie between.
    PropagationRough(Rough),
    /// The second digit of the uncertainty still moved.
    DrawsNotSettled,
    /// The deviations are nearly as large as the stain, or larger: there is next to no upper end, or none.
    NearlyOpen { open: bool },
    /// Every reading lies on a mark, and nobody says how finely was read.
    OnMarksOnly,
}

/// An interferent whose share is not known, with the reason why not.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Indicative {
    pub(crate) gas: String,
    pub(crate) effect: InterferenceEffect,
    pub(crate) why: IndicativeWhy,
}

/// Reasons for which the share of an interferent is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum IndicativeWhy {
    /// Its level is not stated.
    LevelNotStated,
    /// Its level cannot be brought to the unit of the scale.
    LevelNotConvertible,
    /// It is above the level from which it matters.
    Above { from: Concentration },
    /// The sheet does not say how much it changes the reading.
    NotQuantified,
    /// It is at so many times the gas measured, and matters from so many times on.
    Times { at: f64, from: f64 },
    /// Its level is in a unit that cannot be compared with the result.
    LevelNotComparable,
}

/// In what the law of propagation and the draws disagree: the limits between their ends, by their place among those of the
/// gas.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rough {
    pub(crate) limits: Vec<usize>,
}

/// Statements that the numbers of a reading raise.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum NumericStatement {
    /// No stain: the bound is the lowest visible concentration.
    BoundedByLowestVisible,
    /// No stain: the bound is the first mark.
    BoundedByFirstMark,
    /// No stain with more strokes than are printed: the bound is that of the greatest printed count.
    MoreStrokesNoStain { drawn: f64, of: f64 },
    /// A bound was taken as a stain beside the mark that it names.
    SignTakenAsMark { text: String, below: bool },
    /// The amount that an interferent added was left in the bound.
    AddedLeftInBound,
    /// The amount that an interferent took away was left out of the bound.
    TakenLeftOutOfBound,
    /// The gas said to be present is the one that the tube measures.
    PresentIsMeasured { gas: String },
    /// The level of an interferent is below the level it matters from, and its share was taken off all the same.
    BelowThresholdTakenOff { gas: String, from: Concentration },
    /// The same, at or above.
    AboveThresholdTakenOff { gas: String, from: Concentration },
    /// The level of an interferent is below the level it matters from.
    BelowThreshold { gas: String, from: Concentration },
    /// An interferent is at fewer times the gas measured than it matters from.
    BelowTimes { gas: String, at: f64, from: f64 },
    /// The air is too dry for an interferent to matter.
    TooDryToMatter { gas: String, above: Humidity },
    /// The leaflet says where the end of the stain is read.
    ReadWhere(ReadAt),
    /// An interferent stains the tube by itself.
    StainsAlone { gas: String },
    /// The uncertainty of the molar mass was left out.
    MolarMassNegligible,
    /// Factors of a correction that the air may need besides the one that was taken: from the smallest to the largest.
    AirInTwoBands { axis: Axis, factors: [f64; 2] },
    /// Scope of the uncertainty.
    CoversAirDrawn,
    /// The law of propagation and the draws disagree, and no limit lies between.
    PropagationRough,
    /// So many draws lay outside a correction of the sheet.
    DrawsAtAnEnd { count: u64 },
    /// So many draws would have come out below zero.
    DrawsAtZero { count: u64 },
    /// The survey names no limit that the gas has.
    NoLimitNamed,
    /// Nobody says how finely was read.
    ReadsToAssumed,
}

impl NumericFlag {
    /// Its word for scripts.
    pub(crate) fn code(&self) -> Code {
        match self {
            Self::OtherGasDominates => Code::OtherGasDominates,
            Self::OtherGasNotOnSheet { .. } => Code::OtherGasNotOnSheet,
            Self::OtherGasAboveTested { .. } => Code::OtherGasAboveTested,
            Self::OtherGasLevelNotComparable { .. } => Code::OtherGasLevelNotComparable,
            Self::Indicative(one) => match one.effect {
                InterferenceEffect::ReadsHigh => Code::IndicativeReadsHigh,
                InterferenceEffect::ReadsLow | InterferenceEffect::Fades => {
                    Code::IndicativeReadsLow
                }
                InterferenceEffect::WashesOut | InterferenceEffect::Bleaches => {
                    Code::IndicativeStainMayBeMissed
                }
                InterferenceEffect::OtherColour => Code::IndicativeOtherColour,
                InterferenceEffect::NotStated | InterferenceEffect::NoEffect => {
                    Code::IndicativeDirectionUnknown
                }
            },
            Self::AccuracyAssumed => Code::AccuracyAssumed,
            Self::AccuracyKindNotSaid => Code::AccuracyKindNotSaid,
            Self::RepeatabilityAssumed => Code::RepeatabilityAssumed,
            Self::OtherGasResponseAssumed { .. } => Code::OtherGasResponseAssumed,
            Self::OtherGasLevelAssumed { .. } => Code::OtherGasLevelAssumed,
            Self::OtherGasFactorAssumed => Code::OtherGasFactorAssumed,
            Self::UncertaintyLarge => Code::UncertaintyLarge,
            Self::OtherGasStrokesDiffer => Code::OtherGasStrokesDiffer,
            Self::OutsidePrintedRange { .. } => Code::OutsidePrintedRange,
            Self::BelowFirstRow { .. } => Code::BelowFirstRow,
            Self::MoreThanTheWhole => Code::MoreThanTheWhole,
            Self::WaterVapourUnknown => Code::WaterVapourUnknown,
            Self::OtherUnitNeedsConditions { .. } => Code::OtherUnitNeedsConditions,
            Self::MassBasisNotStated => Code::MassBasisNotStated,
            Self::PropagationRough(_) => Code::PropagationRough,
            Self::DrawsNotSettled => Code::DrawsNotSettled,
            Self::NearlyOpen { .. } => Code::UpperEndOpen,
            Self::OnMarksOnly => Code::ReadOnMarksOnly,
        }
    }

    /// True of an interferent that may have hidden a stain, by how much nobody knows.
    pub(crate) fn hides_stain(&self) -> bool {
        matches!(self, Self::Indicative(_)) && self.may_read() == MayRead::TooLow
    }

    /// The side on which the reading may be wrong.
    pub(crate) fn may_read(&self) -> MayRead {
        self.code().may_read()
    }
}

impl NumericStatement {
    /// Its word for scripts.
    pub(crate) fn code(&self) -> Code {
        match self {
            Self::BoundedByLowestVisible => Code::BoundedByLowestVisible,
            Self::BoundedByFirstMark => Code::BoundedByFirstMark,
            Self::MoreStrokesNoStain { .. } => Code::MoreStrokesNoStain,
            Self::SignTakenAsMark { .. } => Code::SignTakenAsMark,
            Self::AddedLeftInBound | Self::TakenLeftOutOfBound => Code::OtherGasLeftInBound,
            Self::PresentIsMeasured { .. } => Code::PresentIsMeasured,
            Self::BelowThresholdTakenOff { .. }
            | Self::BelowThreshold { .. }
            | Self::BelowTimes { .. }
            | Self::TooDryToMatter { .. } => Code::OtherGasBelowThreshold,
            Self::AboveThresholdTakenOff { .. } => Code::OtherGasAboveThreshold,
            Self::ReadWhere(_) => Code::ReadWhere,
            Self::StainsAlone { .. } => Code::OtherGasStainsAlone,
            Self::MolarMassNegligible => Code::MolarMassNegligible,
            Self::AirInTwoBands { .. } => Code::AirInTwoBands,
            Self::CoversAirDrawn => Code::CoversAirDrawn,
            Self::PropagationRough => Code::PropagationRough,
            Self::DrawsAtAnEnd { .. } | Self::DrawsAtZero { .. } => Code::DrawsHeld,
            Self::NoLimitNamed => Code::NoLimitNamed,
            Self::ReadsToAssumed => Code::ReadsToAssumed,
        }
    }
}

/// Reasons for which the numbers of a reading lead to no concentration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum NoConcentration {
    /// The scale has no marks.
    ScaleWithoutMarks,
    /// The interferents could make most of a stain that ran beyond the last mark.
    OtherGasHidesResult,
    /// Little or no stain was seen, and an interferent may have hidden more.
    OtherGasHidesStain,
    /// A step of the chain has no value.
    Step(crate::chain::StepFailed),
    /// The chain gives something that is no concentration.
    Impossible,
    /// The deviations are so large that the stain could come from any concentration.
    NothingCanBeTold,
}
