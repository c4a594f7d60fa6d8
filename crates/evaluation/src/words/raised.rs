//! Flags and statements that the numbers of a reading raise, in words.

use stainbook_catalog::written::tube::{InterferenceEffect, ReadAt};
use stainbook_core::{Concentration, Dimension, Quantity, Unit, print};

use crate::defaults;
use crate::draws_words::{self, TwoMethods};
use crate::evaluated::raised::{Indicative, IndicativeWhy, NumericFlag, NumericStatement};
use crate::evaluated::{Equipment, WorkedOut};
use crate::outcome::{Flag, Statement};
use crate::stain::{self, strokes_words};

/// Inputs of the words.
#[derive(Clone, Copy)]
pub(super) struct Told<'w> {
    pub(super) equipment: &'w Equipment<'w>,
    pub(super) unit: &'static Unit,
    pub(super) out: Option<&'w WorkedOut>,
}

/// A doubt in words.
pub(super) fn flag(raised: &NumericFlag, told: Told<'_>) -> Flag {
    Flag::new(raised.code(), flag_words(raised, told))
}

fn flag_words(raised: &NumericFlag, told: Told<'_>) -> String {
    match raised {
        NumericFlag::OtherGasDominates => "the other gases as stated make most of the stain: what is left lies before the first mark, and the result is a bound".to_owned(),
        NumericFlag::OtherGasNotOnSheet { gas } => format!("{gas} is present, and the sheet does not say what it does to this tube: the result is indicative"),
        NumericFlag::OtherGasAboveTested { gas, tested_to } => format!("{gas} has no effect up to {tested_to}; at the level stated it was not tested"),
        NumericFlag::OtherGasLevelNotComparable { gas, tested_to } => format!("{gas} has no effect up to {tested_to}; the level stated is in a unit that cannot be compared with that"),
        NumericFlag::Indicative(one) => indicative(one, told.unit),
        NumericFlag::AccuracyKindNotSaid => "the leaflet prints a deviation and does not say what it is; it was taken as the accuracy, which 95 % of all readings keep to".to_owned(),
        NumericFlag::AccuracyAssumed => format!(
            "the leaflet states no accuracy; within {} for {} of readings was assumed, which the former United States rule for such units asked for",
            print::percent(defaults::ACCURACY_WITHIN, 1),
            print::percent(defaults::CONFIDENCE, 1)
        ),
        NumericFlag::RepeatabilityAssumed => format!(
            "the sheet states no repeatability; {} was assumed (common practice)",
            print::percent(defaults::REPEATABILITY, 1)
        ),
        NumericFlag::OtherGasResponseAssumed { gas } => format!(
            "the sheet states no uncertainty of the response to {gas}; {} was assumed (common practice)",
            print::percent(defaults::RESPONSE, 1)
        ),
        NumericFlag::OtherGasLevelAssumed { gas } => format!(
            "no uncertainty of the level of {gas} is stated; {} was assumed (common practice)",
            print::percent(defaults::LEVEL, 1)
        ),
        NumericFlag::OtherGasFactorAssumed => format!("the leaflet states no uncertainty of the factor for this gas; {} was assumed (common practice)", print::percent(defaults::OTHER_GAS_FACTOR, 1)),
        NumericFlag::UncertaintyLarge => "the standard uncertainty is above 40 % of the result: the interval and the probabilities are rough, the lower end most of all".to_owned(),
        NumericFlag::OtherGasStrokesDiffer => strokes_differ(told.equipment),
        NumericFlag::OutsidePrintedRange { at } => outside_printed_range(*at, told),
        NumericFlag::BelowFirstRow {
            entered,
            first,
            factor,
            axis,
        } => format!(
            "{} {unit} lies below the first row of the {} table, {} {unit}: only a bound is known there, worked out with {}, the largest factor of that column",
            print::to_significant_at_most(*entered, 3),
            axis.name(),
            print::number(*first),
            print::to_significant(*factor, 3),
            unit = told.unit
        ),
        NumericFlag::MoreThanTheWhole => "the result is more than the whole of the air: look at the reading again".to_owned(),
        NumericFlag::WaterVapourUnknown => "the scale is stated in dry air, and humidity, temperature or pressure are not known to say how much that is in the air as it is; the difference is up to a few percent in warm, damp air".to_owned(),
        NumericFlag::OtherUnitNeedsConditions { unit } => format!(
            "the result is not given in {unit}: that needs the air temperature and the station pressure (an altitude is enough)"
        ),
        NumericFlag::MassBasisNotStated => "the sheet does not say whether the scale's mg/m³ are in the air as drawn or at the calibration conditions; it was taken from its pressure correction".to_owned(),
        NumericFlag::PropagationRough(rough) => disagreement(&rough.limits, told),
        NumericFlag::NearlyOpen { open: true } => "the figures of the sheet leave more open than the stain is long: there is no upper end, and only a lower one is given".to_owned(),
        NumericFlag::NearlyOpen { open: false } => "the figures of the sheet leave nearly as much open as the stain is long: the upper end of the interval lies far away".to_owned(),
        NumericFlag::OnMarksOnly => "every reading of this survey lies on a mark, and nobody says how finely was read: it is taken as read to the nearest mark".to_owned(),
        NumericFlag::DrawsNotSettled => draws_words::not_settled(draws(told)),
    }
}

/// Something to be known in words.
pub(super) fn statement(stated: &NumericStatement, told: Told<'_>) -> Statement {
    Statement::new(stated.code(), statement_words(stated, told))
}

fn statement_words(stated: &NumericStatement, told: Told<'_>) -> String {
    match stated {
        NumericStatement::BoundedByLowestVisible => "No stain: the bound is the lowest concentration that the sheet says leaves a visible one.".to_owned(),
        NumericStatement::BoundedByFirstMark => "No stain: the bound is the first mark, as the sheet states no lowest visible concentration for this stroke count (or none that its tables reach).".to_owned(),
        NumericStatement::SignTakenAsMark { text, below: true } => format!("`<{text}` is what the first mark stands for, and was taken as `below first mark`: a stain may have been there."),
        NumericStatement::SignTakenAsMark { text, below: false } => format!("`>{text}` is what the last mark stands for, and was taken as `beyond last mark`."),
        NumericStatement::AddedLeftInBound => "What the other gas added was left in the bound, which holds all the more without it.".to_owned(),
        NumericStatement::MoreStrokesNoStain { drawn, of } => format!(
            "No stain with {}: the leaflet allows so many without one, and prints no multiplier for them. The bound is that with {}; nothing lower follows.",
            strokes_words(*drawn),
            strokes_words(*of)
        ),
        NumericStatement::TakenLeftOutOfBound => "What the other gas took away was left out of the bound, which holds all the more with it.".to_owned(),
        NumericStatement::PresentIsMeasured { gas } => format!("{gas} is what the tube measures; its level as stated was not used"),
        NumericStatement::BelowThresholdTakenOff { gas, from } => taken_off(gas, *from, "below", told.unit),
        NumericStatement::AboveThresholdTakenOff { gas, from } => taken_off(gas, *from, "at or above", told.unit),
        NumericStatement::BelowThreshold { gas, from } => format!(
            "{gas} matters from {} on; the level stated is below",
            amount(*from, told.unit)
        ),
        NumericStatement::BelowTimes { gas, at, from } => format!(
            "{gas} matters from {} times the gas measured on; it is at {} times",
            print::number(*from),
            print::to_significant(*at, 2)
        ),
        NumericStatement::TooDryToMatter { gas, above } => format!(
            "{gas} matters above {} only; the air is drier",
            super::humidity(*above)
        ),
        NumericStatement::ReadWhere(at) => format!("The leaflet reads the stain {}.", read_where(*at)),
        NumericStatement::StainsAlone { gas } => format!("{gas} alone stains this tube too"),
        NumericStatement::MolarMassNegligible => "The uncertainty of the molar mass is below 0.1 % and left out of the budget.".to_owned(),
        NumericStatement::AirInTwoBands {
            axis,
            factors: [low, high],
        } => format!(
            "As closely as it is known the {} may lie in a further band of the correction: \"below\" is decided with a factor of {}, \"above\" with {}.",
            axis.name(),
            print::to_significant(*high, 3),
            print::to_significant(*low, 3)
        ),
        NumericStatement::CoversAirDrawn => crate::cautions::COVERS_AIR_DRAWN.to_owned(),
        NumericStatement::PropagationRough => disagreement(&[], told),
        NumericStatement::DrawsAtAnEnd { count } => format!(
            "{count} of {} draws lay outside a correction of the sheet and were taken at its end.",
            draws(told)
        ),
        NumericStatement::DrawsAtZero { count } => format!(
            "{count} of {} draws would have come out below zero and were taken as zero.",
            draws(told)
        ),
        NumericStatement::ReadsToAssumed => format!("Nobody says how finely was read; to {} was assumed.", defaults::READS_TO.words()),
        NumericStatement::NoLimitNamed => format!(
            "The survey's `judge` names no limit that {} has: nothing was compared.",
            told.equipment.substance().name
        ),
    }
}

/// The place at which a stain is read, in words.
fn read_where(at: ReadAt) -> &'static str {
    match at {
        ReadAt::FaintestColour => "at the end of the faintest colour",
        ReadAt::MiddleOfFront => "in the middle of the faded front",
        ReadAt::LongestSide => "at its longest side: of an uneven front the long side alone counts",
        ReadAt::SecondColour => "at the end of the second colour",
    }
}

fn draws(told: Told<'_>) -> u64 {
    told.out
        .and_then(|out| out.drawn.as_ref())
        .map_or(0, |drawn| drawn.outcome.draws)
}

fn disagreement(limits: &[usize], told: Told<'_>) -> String {
    told.out
        .and_then(|out| Some((out, out.drawn.as_ref()?)))
        .map_or_else(String::new, |(out, drawn)| {
            let between = draws_words::limits(told.equipment.substance(), limits);
            draws_words::rough(&TwoMethods::of(out, drawn), &between)
        })
}

fn taken_off(gas: &str, from: Concentration, side: &str, unit: &'static Unit) -> String {
    format!(
        "{gas} matters from {} on, and its level as stated is {side} that; its share was taken off",
        amount(from, unit)
    )
}

fn indicative(one: &Indicative, unit: &'static Unit) -> String {
    let does = match one.effect {
        InterferenceEffect::ReadsHigh => "makes the tube read too high",
        InterferenceEffect::ReadsLow => {
            "makes the tube read too low: there may be more than the result says"
        }
        InterferenceEffect::WashesOut => {
            "washes the stain out: there may be much more than the result says"
        }
        InterferenceEffect::Bleaches => {
            "bleaches the stain: there may be much more than the result says"
        }
        InterferenceEffect::Fades => {
            "fades the stain, so that it is read too short: there may be more than the result says"
        }
        InterferenceEffect::OtherColour => {
            "changes the colour of the stain, so that its end may be misread"
        }
        InterferenceEffect::NotStated | InterferenceEffect::NoEffect => {
            "may change the reading, the sheet does not say which way"
        }
    };
    let why = match one.why {
        IndicativeWhy::LevelNotStated => "its level is not stated".to_owned(),
        IndicativeWhy::LevelNotConvertible => {
            "its level cannot be brought to the unit of the scale".to_owned()
        }
        IndicativeWhy::Above { from } => format!(
            "it is above {}, from where it matters, and the sheet does not say how much it changes the reading",
            amount(from, unit)
        ),
        IndicativeWhy::NotQuantified => {
            "the sheet does not say how much it changes the reading".to_owned()
        }
        IndicativeWhy::Times { at, from } => format!(
            "it is at {} times the gas measured, and matters from {} times on",
            print::to_significant(at, 2),
            print::number(from)
        ),
        IndicativeWhy::LevelNotComparable => {
            "its level is in a unit that cannot be compared with the result".to_owned()
        }
    };
    let gas = &one.gas;
    format!("{gas} is present and {does}; {why}: the result is indicative")
}

fn strokes_differ(equipment: &Equipment<'_>) -> String {
    let (Some(other), Some(range)) = (equipment.other(), equipment.range()) else {
        return String::new();
    };
    format!(
        "the factor for {} is printed for {}; with {} the strokes' own multiplier was used beside it",
        other.substance.name,
        stain::strokes_words(other.strokes),
        print::number(range.strokes)
    )
}

fn outside_printed_range(at: f64, told: Told<'_>) -> String {
    let unit = told.unit.canonical();
    let (from, to, strokes, of) = match (told.equipment.other(), told.equipment.range()) {
        (Some(other), _) => (other.from, other.to, other.strokes, "this gas and "),
        (None, Some(range)) => (range.from, range.to, range.strokes, ""),
        (None, None) => return String::new(),
    };
    format!(
        "{} {unit} is outside what the leaflet prints for {of}{}, {} to {} {unit}; repeat with the stroke count whose range it is",
        print::to_significant(at, 3),
        stain::strokes_words(strokes),
        print::number(from),
        print::number(to)
    )
}

/// A concentration in words, in the scale's unit where it is of that kind.
fn amount(concentration: Concentration, unit: &'static Unit) -> String {
    let number = concentration.in_unit(unit);
    if number.is_finite() {
        return format!("{} {}", print::number(number), unit.canonical());
    }
    match concentration.dimension() {
        Dimension::VolumeFraction => concentration
            .volume_fraction()
            .map_or_else(String::new, |x| format!("{} ppm", print::number(x.ppm()))),
        _ => concentration
            .mass_concentration()
            .map_or_else(String::new, |c| {
                format!("{} mg/m³", print::number(c.mg_per_m3()))
            }),
    }
}
