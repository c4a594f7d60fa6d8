//! Other gases in the air: what they add to the stain where the sheet says how much, and what has to be said where it
//! does not.
//!
//! Such a gas stains the tube itself, so its share is taken off the reading, at the same strokes and conditions:
//! `share = response · level / (concentration per scale reading)`. The last is taken at the reading itself; a small share
//! would often lie below the first row of a two-dimensional table, where nothing may be read.

use stainbook_catalog::Book;
use stainbook_catalog::model::Interference;
use stainbook_catalog::written::tube::{OnItsOwn, Together};
use stainbook_catalog::written::{Present, TubeEntry};
use stainbook_core::elementary::hypot;
use stainbook_core::{Concentration, Conditions, Converter, Dimension, Quantity, Unit, print};

use crate::air::AirAtPlace;
use crate::chain::{Air, Chain, Reading};
use crate::defaults;
use crate::outcome::{Code, Flag, Statement};
use crate::prepared::Prepared;
use crate::result::{EffectOnReading, OtherGasEffect};

/// What all other gases together did to the reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Others {
    /// What they added to the reading on the scale; negative if they took away.
    pub(crate) share: f64,
    /// For each gas with a known share: its place in the reading's list, the share, and its standard uncertainty.
    pub(crate) parts: Vec<Part>,
    /// Gas by gas.
    pub(crate) effects: Vec<OtherGasEffect>,
    /// What is doubtful.
    pub(crate) flags: Vec<Flag>,
    /// What has to be said.
    pub(crate) statements: Vec<Statement>,
    /// Gases that matter from so many times the gas measured: place in the list, gas, level and multiple.
    pub(crate) by_ratio: Vec<ByRatio>,
}

/// The share of one gas.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Part {
    /// Its place in the reading's list.
    pub(crate) index: usize,
    /// The gas, by name.
    pub(crate) gas: String,
    /// The row of the sheet.
    pub(crate) row: usize,
    /// What it added to the reading on the scale.
    pub(crate) share: f64,
    /// The standard uncertainty of that.
    pub(crate) standard: f64,
    /// Where the uncertainties of response and level come from.
    pub(crate) origin: String,
}

/// A gas that matters from so many times the gas measured, which is known at the end only.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ByRatio {
    /// The gas, by name.
    pub(crate) gas: String,
    /// Its level.
    pub(crate) level: Concentration,
    /// From how many times the gas measured it matters.
    pub(crate) times: f64,
    /// What it does.
    pub(crate) together: Together,
    /// The place in [`Others::effects`].
    pub(crate) effect: usize,
}

/// What a gas is weighed against.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Against<'r> {
    /// The catalog.
    pub(crate) book: &'r Book,
    /// The sheet.
    pub(crate) sheet: &'r Prepared<'r>,
    /// The chain without the factor for another gas: the response is stated for the gas of the scale.
    pub(crate) chain: &'r Chain<'r>,
    /// The air as numbers.
    pub(crate) air: &'r Air,
    /// The air.
    pub(crate) place: &'r AirAtPlace,
    /// The reading, or the mark that bounds it.
    pub(crate) reading: f64,
    /// The unit of the scale.
    pub(crate) unit: &'static Unit,
    /// The gas that is measured, by short name.
    pub(crate) measured: &'r str,
}

/// Weighs the gases that the survey says are present.
pub(crate) fn weigh(present: &[Present], against: &Against<'_>) -> Others {
    let mut others = Others::default();
    for (index, gas) in present.iter().enumerate() {
        weigh_one(index, gas, against, &mut others);
    }
    others
}

fn weigh_one(index: usize, present: &Present, against: &Against<'_>, others: &mut Others) {
    let Some(typed) = present.substance.as_deref() else {
        return;
    };
    let book = against.book;
    let (id, name) = match book.find_substance(typed) {
        Ok(entry) => (
            entry.substance.clone().unwrap_or_else(|| typed.to_owned()),
            entry.name.clone().unwrap_or_else(|| typed.to_owned()),
        ),
        Err(_) => (typed.to_owned(), typed.to_owned()),
    };
    let mut effect = OtherGasEffect {
        substance: id.clone(),
        level: present.level.as_ref().map(|level| level.text().to_owned()),
        effect: EffectOnReading::Unknown,
        share_on_scale: None,
        unit: None,
        uncorrected: None,
    };
    if id == against.measured {
        others.statements.push(Statement::new(
            Code::PresentIsMeasured,
            format!("{name} is what the tube measures; its level as stated was not used"),
        ));
        return;
    }
    let Some(interference) = row_for(against, &id) else {
        others.flags.push(Flag::new(
            Code::OtherGasNotOnSheet,
            format!("{name} is present, and the sheet does not say what it does to this tube: the result is indicative"),
        ));
        others.effects.push(effect);
        return;
    };
    let level = present.level.as_ref().map(|level| level.value());
    let in_scale = level.and_then(|level| in_unit(level, &id, against));
    let reads = interference.together;
    match (interference.response, in_scale) {
        (Some(response), Some(level_value)) => {
            let Ok(concentration) =
                against
                    .chain
                    .value(against.reading, against.air, Reading::ForSlope)
            else {
                // The chain itself has no value here; the result is refused for that, in its own words.
                return;
            };
            let share = response * level_value * against.reading / concentration;
            let (of_response, response_origin) = match interference.response_uncertainty {
                Some(u) => (
                    u,
                    format!(
                        "sheet, doubt.other_gases row {}, response_uncertainty",
                        interference.row + 1
                    ),
                ),
                None => (
                    defaults::RESPONSE,
                    format!(
                        "default for the response: {}",
                        print::percent(defaults::RESPONSE, 1)
                    ),
                ),
            };
            let stated = present
                .uncertainty
                .as_ref()
                .and_then(|u| in_unit(u.value(), &id, against));
            let (of_level, level_origin) = match stated {
                Some(u) if 0.0 < level_value => (
                    u / level_value,
                    "survey, uncertainty of the level".to_owned(),
                ),
                _ => (
                    defaults::LEVEL,
                    format!(
                        "default for the level: {}",
                        print::percent(defaults::LEVEL, 1)
                    ),
                ),
            };
            let origin = if interference.response_uncertainty.is_none() {
                format!("{response_origin}; {level_origin}")
            } else if stated.is_none() {
                format!("{level_origin}; {response_origin}")
            } else {
                format!("{response_origin}; {level_origin}")
            };
            threshold(&name, level, interference, against.unit, others);
            others.share += share;
            others.parts.push(Part {
                index,
                gas: name,
                row: interference.row,
                share,
                standard: share.abs() * hypot(of_response, of_level),
                origin,
            });
            effect.effect = EffectOnReading::Subtracted;
            effect.share_on_scale = Some(share);
            effect.unit = Some(against.unit.canonical().to_owned());
        }
        (Some(response), None) => {
            let high = 0.0 <= response;
            effect.effect = if high {
                EffectOnReading::ReadsHigh
            } else {
                EffectOnReading::ReadsLow
            };
            let why = if level.is_none() {
                "its level is not stated"
            } else {
                "its level cannot be brought to the unit of the scale"
            };
            others.flags.push(indicative(
                if high {
                    Together::ReadsHigh
                } else {
                    Together::ReadsLow
                },
                &name,
                why,
            ));
        }
        (None, _) => unquantified(
            &name,
            level,
            interference,
            against,
            &mut effect,
            others,
            reads,
        ),
    }
    others.effects.push(effect);
}

/// Says on which side of the sheet's threshold a gas is whose share is taken off all the same.
fn threshold(
    name: &str,
    level: Option<Concentration>,
    interference: &Interference,
    unit: &'static Unit,
    others: &mut Others,
) {
    let Some((level, from)) = level.zip(interference.matters_from) else {
        return;
    };
    let (code, side) = match level.partial_cmp(&from) {
        Some(std::cmp::Ordering::Less) => (Code::OtherGasBelowThreshold, "below"),
        Some(_) => (Code::OtherGasAboveThreshold, "at or above"),
        None => return,
    };
    others.statements.push(Statement::new(
        code,
        format!(
            "{name} matters from {} on, and its level as stated is {side} that; its share was taken off",
            amount(from, unit)
        ),
    ));
}

fn unquantified(
    name: &str,
    level: Option<Concentration>,
    interference: &Interference,
    against: &Against<'_>,
    effect: &mut OtherGasEffect,
    others: &mut Others,
    reads: Together,
) {
    if reads == Together::NoEffect {
        effect.effect = EffectOnReading::NoEffect;
        let tested = tested_to(against.sheet.entry, interference.row);
        if let (Some(level), Some((tested, text))) = (level, tested) {
            match level.partial_cmp(&tested) {
                Some(std::cmp::Ordering::Greater) => others.flags.push(Flag::new(
                    Code::OtherGasAboveTested,
                    format!("{name} has no effect up to {text}; at the level stated it was not tested"),
                )),
                None => others.flags.push(Flag::new(
                    Code::OtherGasLevelNotComparable,
                    format!("{name} has no effect up to {text}; the level stated is in a unit that cannot be compared with that"),
                )),
                _ => {}
            }
        }
        return;
    }
    if let (Some(level), Some(from)) = (level, interference.matters_from) {
        match level.partial_cmp(&from) {
            Some(std::cmp::Ordering::Less) => {
                effect.effect = EffectOnReading::NoEffect;
                others.statements.push(Statement::new(
                    Code::OtherGasBelowThreshold,
                    format!(
                        "{name} matters from {} on; the level stated is below",
                        amount(from, against.unit)
                    ),
                ));
                return;
            }
            Some(_) => {
                effect.effect = effect_on_reading(reads);
                others.flags.push(indicative(reads, name, &format!("it is above {}, from where it matters, and the sheet does not say how much it changes the reading", amount(from, against.unit))));
                return;
            }
            None => {}
        }
    }
    if let (Some(level), Some(times)) = (level, interference.matters_from_times) {
        others.by_ratio.push(ByRatio {
            gas: name.to_owned(),
            level,
            times,
            together: reads,
            effect: others.effects.len(),
        });
        effect.effect = effect_on_reading(reads);
        return;
    }
    effect.effect = effect_on_reading(reads);
    let why = if level.is_none() {
        "its level is not stated"
    } else {
        "the sheet does not say how much it changes the reading"
    };
    others.flags.push(indicative(reads, name, why));
    if interference.alone == OnItsOwn::Stains && reads == Together::NotStated {
        others.statements.push(Statement::new(
            Code::OtherGasStainsAlone,
            format!("{name} alone stains this tube too"),
        ));
    }
}

/// The flag for a gas whose share is not known.
pub(crate) fn indicative(together: Together, gas: &str, why: &str) -> Flag {
    let (code, does) = match together {
        Together::ReadsHigh => (Code::IndicativeReadsHigh, "makes the tube read too high"),
        Together::ReadsLow => (
            Code::IndicativeReadsLow,
            "makes the tube read too low: there may be more than the result says",
        ),
        Together::WashesOut => (
            Code::IndicativeStainMayBeMissed,
            "washes the stain out: there may be much more than the result says",
        ),
        Together::OtherColour => (
            Code::IndicativeOtherColour,
            "changes the colour of the stain, so that its end may be misread",
        ),
        Together::NotStated | Together::NoEffect => (
            Code::IndicativeDirectionUnknown,
            "may change the reading, the sheet does not say which way",
        ),
    };
    Flag::new(
        code,
        format!("{gas} is present and {does}; {why}: the result is indicative"),
    )
}

/// The effect of a gas by how much is not known.
fn effect_on_reading(together: Together) -> EffectOnReading {
    match together {
        Together::ReadsHigh => EffectOnReading::ReadsHigh,
        Together::ReadsLow | Together::WashesOut => EffectOnReading::ReadsLow,
        Together::NoEffect => EffectOnReading::NoEffect,
        Together::OtherColour | Together::NotStated => EffectOnReading::Unknown,
    }
}

/// The sheet's row for a gas: its own before that of a group it belongs to.
fn row_for<'r>(against: &Against<'r>, id: &str) -> Option<&'r Interference> {
    let rows = &against.sheet.tube.other_gases;
    rows.iter()
        .find(|row| !row.is_group && row.gas == id)
        .or_else(|| {
            rows.iter().find(|row| {
                let group = if row.is_group {
                    against.book.group(&row.gas)
                } else {
                    None
                };
                row.is_group
                    && (row.gas == id
                        || group
                            .is_some_and(|group| group.members.iter().any(|member| member == id)))
            })
        })
}

/// A level as a number in the unit of the scale. Another kind of unit needs the gas's own molar mass and the day's
/// conditions; without them there is none.
fn in_unit(level: Concentration, gas: &str, against: &Against<'_>) -> Option<f64> {
    let number = level.in_unit(against.unit);
    if number.is_finite() {
        return Some(number);
    }
    let molar_mass = against.book.substance_model(gas).ok()?.molar_mass;
    let conditions = Conditions::new(against.place.air?, against.place.pressure?.pressure);
    let (unit, base) = match level {
        Concentration::VolumeFraction(x) => (stainbook_core::unit("ppm").ok()?, x.ppm()),
        Concentration::MassConcentration(c) => (stainbook_core::unit("mg/m³").ok()?, c.mg_per_m3()),
    };
    Converter::new(unit, against.unit, molar_mass, conditions)
        .ok()?
        .apply_checked(base)
        .ok()
}

fn tested_to(entry: &TubeEntry, row: usize) -> Option<(Concentration, String)> {
    let tested = entry
        .doubt
        .as_ref()?
        .other_gases
        .get(row)?
        .tested_to
        .as_ref()?;
    Some((tested.value(), tested.text().to_owned()))
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
