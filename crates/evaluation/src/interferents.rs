//! Other gases in the air: what they add to the stain where the sheet says how much, and what has to be said where it
//! does not.
//!
//! Such a gas stains the tube itself, so its share is taken off the reading, at the same strokes and conditions:
//! `share = response · level / (concentration per scale reading)`. The last is taken at the reading itself; a small share
//! would often lie below the first row of a two-dimensional table, where nothing may be read.

use std::cmp::Ordering;

use stainbook_catalog::Book;
use stainbook_catalog::model::Interferent;
use stainbook_catalog::written::tube::{AloneEffect, InterferenceEffect};
use stainbook_catalog::written::{Present, TubeEntry};
use stainbook_core::elementary::hypot;
use stainbook_core::{Concentration, Conditions, Converter, Humidity, Quantity, Unit};

use crate::air::AirAtPlace;
use crate::chain::{AirState, Chain, StatedHumidity, TableLookup};
use crate::compiled_sheet::CompiledSheet;
use crate::defaults;
use crate::evaluated::raised::{Indicative, IndicativeWhy, NumericFlag, NumericStatement};
use crate::outcome::MayRead;
use crate::result::{EffectOnReading, InterferentEffect};

/// Effect of all interferents together on the reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Interferents {
    /// Share of the reading on the scale that they added; negative if they took away.
    pub(crate) share: f64,
    /// Each gas with a known share.
    pub(crate) parts: Vec<Share>,
    /// Gas by gas.
    pub(crate) effects: Vec<InterferentEffect>,
    /// Flags.
    pub(crate) flags: Vec<NumericFlag>,
    /// Statements.
    pub(crate) statements: Vec<NumericStatement>,
    /// Gases that matter from so many times the gas measured: place in the list, gas, level and multiple.
    pub(crate) by_ratio: Vec<ByRatio>,
}

impl Interferents {
    /// Uncertainties of what was taken off that nobody has stated.
    pub(crate) fn assumed(&self) -> impl Iterator<Item = NumericFlag> {
        self.parts.iter().flat_map(|part| {
            let gas = || part.gas.clone();
            let response = NumericFlag::OtherGasResponseAssumed { gas: gas() };
            let level = NumericFlag::OtherGasLevelAssumed { gas: gas() };
            let level_stated = part.level == LevelUncertainty::Stated;
            [
                (!part.response_stated).then_some(response),
                (!level_stated).then_some(level),
            ]
            .into_iter()
            .flatten()
        })
    }
}

/// The share of one gas.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Share {
    /// Its place in the reading's list.
    pub(crate) index: usize,
    /// The gas, by name.
    pub(crate) gas: String,
    /// The same by its short name.
    pub(crate) substance: String,
    /// The row of the sheet.
    pub(crate) row: usize,
    /// Amount added to the reading on the scale; negative if it took away.
    pub(crate) amount: f64,
    /// The standard uncertainty of what it added to the reading on the scale.
    pub(crate) standard: f64,
    /// True if the sheet states the uncertainty of the response.
    pub(crate) response_stated: bool,
    /// Origin of the uncertainty of the level.
    pub(crate) level: LevelUncertainty,
}

/// Origin of the uncertainty of a level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LevelUncertainty {
    /// The survey.
    Stated,
    /// The survey states one of a level of nothing, which is of no use.
    StatedOfNothing,
    /// A default.
    Assumed,
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
    /// Its effect.
    pub(crate) together: InterferenceEffect,
    /// The place in [`Interferents::effects`].
    pub(crate) effect: usize,
}

impl ByRatio {
    /// Direction in which the tube may read where the gas matters.
    pub(crate) fn may_read(&self) -> MayRead {
        let flag = NumericFlag::Indicative(Indicative {
            gas: String::new(),
            effect: self.together,
            why: IndicativeWhy::NotQuantified,
        });
        flag.may_read()
    }
}

/// Inputs for weighing an interferent.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Weighing<'r> {
    /// The catalog.
    pub(crate) book: &'r Book,
    /// The sheet.
    pub(crate) sheet: &'r CompiledSheet<'r>,
    /// The chain without the factor for another gas: the response is stated for the gas of the scale.
    pub(crate) chain: &'r Chain<'r>,
    /// The air as numbers.
    pub(crate) air: &'r AirState,
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
pub(crate) fn weigh(present: &[Present], against: &Weighing<'_>) -> Interferents {
    let mut others = Interferents::default();
    for (index, gas) in present.iter().enumerate() {
        let weighed = weigh_one(index, gas, against);
        others.share += weighed.share.as_ref().map_or(0.0, |share| share.amount);
        others.parts.extend(weighed.share);
        let effect = others.effects.len();
        let by_ratio = weighed.by_ratio.map(|one| ByRatio { effect, ..one });
        others.by_ratio.extend(by_ratio);
        others.effects.extend(weighed.effect);
        others.flags.extend(weighed.flag);
        others.statements.extend(weighed.statement);
    }
    others
}

/// Everything about one gas.
#[derive(Default)]
struct Weighed {
    share: Option<Share>,
    effect: Option<InterferentEffect>,
    by_ratio: Option<ByRatio>,
    flag: Option<NumericFlag>,
    statement: Option<NumericStatement>,
}

fn weigh_one(index: usize, present: &Present, against: &Weighing<'_>) -> Weighed {
    let Some(PresentGas { id, name: gas }) = PresentGas::of(present, against.book) else {
        return Weighed::default();
    };
    if id == against.measured {
        return Weighed {
            statement: Some(NumericStatement::PresentIsMeasured { gas }),
            ..Weighed::default()
        };
    }
    let row = row_for(against, &id);
    let level = present.level.as_ref().map(|level| level.value());
    let in_scale = level.and_then(|level| in_unit(level, &id, against));
    let effect = InterferentEffect {
        substance: id,
        level: present.level.as_ref().map(|level| level.text().to_owned()),
        effect: EffectOnReading::Unknown,
        share_on_scale: None,
        unit: None,
        uncorrected: None,
    };
    let Some(row) = row else {
        return Weighed {
            effect: Some(effect),
            flag: Some(NumericFlag::OtherGasNotOnSheet { gas }),
            ..Weighed::default()
        };
    };
    if let Some(above) = row.only_above_humidity
        && is_drier(above, against.place)
    {
        return Weighed {
            effect: Some(InterferentEffect {
                effect: EffectOnReading::NoEffect,
                ..effect
            }),
            statement: Some(NumericStatement::TooDryToMatter { gas, above }),
            ..Weighed::default()
        };
    }
    let (known, weighed) = match (row.response, in_scale) {
        (Some(response), Some(level_value)) => {
            let chain = against.chain;
            let Ok(concentration) =
                chain.value(against.reading, against.air, TableLookup::ForSensitivity)
            else {
                // The chain itself has no value here; the result is refused for that, in its own words.
                return Weighed::default();
            };
            let share = response * level_value * against.reading / concentration;
            let of_response = row.response_uncertainty.unwrap_or(defaults::RESPONSE);
            let stated = present.uncertainty.as_ref();
            let stated = stated.and_then(|u| in_unit(u.value(), &effect.substance, against));
            let (of_level, level_uncertainty) = match stated {
                Some(u) if 0.0 < level_value => (u / level_value, LevelUncertainty::Stated),
                Some(_) => (defaults::LEVEL, LevelUncertainty::StatedOfNothing),
                None => (defaults::LEVEL, LevelUncertainty::Assumed),
            };
            let statement = threshold(&gas, level, row);
            let part = Share {
                index,
                gas,
                substance: effect.substance.clone(),
                row: row.row,
                amount: share,
                standard: share.abs() * hypot(of_response, of_level),
                response_stated: row.response_uncertainty.is_some(),
                level: level_uncertainty,
            };
            return Weighed {
                share: Some(part),
                effect: Some(InterferentEffect {
                    effect: EffectOnReading::Subtracted,
                    share_on_scale: Some(share),
                    unit: Some(against.unit.canonical().to_owned()),
                    ..effect
                }),
                statement,
                ..Weighed::default()
            };
        }
        (Some(response), None) => {
            let reads = if 0.0 <= response {
                InterferenceEffect::ReadsHigh
            } else {
                InterferenceEffect::ReadsLow
            };
            let why = if level.is_none() {
                IndicativeWhy::LevelNotStated
            } else {
                IndicativeWhy::LevelNotConvertible
            };
            (effect_on_reading(reads), indicative(gas, reads, why))
        }
        (None, _) => unquantified(gas, level, row, against),
    };
    Weighed {
        effect: Some(InterferentEffect {
            effect: known,
            ..effect
        }),
        ..weighed
    }
}

/// A gas or a group that is said to be present.
pub(crate) struct PresentGas {
    /// The short name of the substance or group.
    pub(crate) id: String,
    /// The name.
    name: String,
}

impl PresentGas {
    /// As typed: a substance by any of its names, or a group by its short name or its name.
    pub(crate) fn of(present: &Present, book: &Book) -> Option<Self> {
        let group = |id: &str| {
            let name = book.group(id).and_then(|group| group.name.clone());
            Self {
                id: id.to_owned(),
                name: name.unwrap_or_else(|| id.to_owned()),
            }
        };
        if let Some(id) = present.group.as_deref() {
            return Some(group(id));
        }
        let typed = present.substance.as_deref()?;
        let known = |name: Option<&String>| name.cloned().unwrap_or_else(|| typed.to_owned());
        Some(match book.find_substance(typed) {
            Ok(entry) => Self {
                id: known(entry.substance.as_ref()),
                name: known(entry.name.as_ref()),
            },
            Err(none) => match none.group {
                Some(id) => group(&id),
                None => Self {
                    id: typed.to_owned(),
                    name: typed.to_owned(),
                },
            },
        })
    }
}

/// True if the air is known to be drier; a humidity that is not known, or of another kind, may be higher.
fn is_drier(than: Humidity, place: &AirAtPlace) -> bool {
    let Some(at) = place.humidity else {
        return false;
    };
    let celsius = place
        .air
        .map_or(f64::NAN, stainbook_core::Temperature::celsius);
    let unit = than.base_unit();
    StatedHumidity::of(at).in_unit(unit, celsius) < than.in_unit(unit)
}

fn indicative(gas: String, effect: InterferenceEffect, why: IndicativeWhy) -> Weighed {
    Weighed {
        flag: Some(NumericFlag::Indicative(Indicative { gas, effect, why })),
        ..Weighed::default()
    }
}

/// The side of the sheet's threshold on which a gas is whose share is taken off all the same.
fn threshold(
    name: &str,
    level: Option<Concentration>,
    interference: &Interferent,
) -> Option<NumericStatement> {
    let (level, from) = level.zip(interference.matters_from)?;
    let gas = name.to_owned();
    Some(match level.partial_cmp(&from)? {
        Ordering::Less => NumericStatement::BelowThresholdTakenOff { gas, from },
        _ => NumericStatement::AboveThresholdTakenOff { gas, from },
    })
}

/// The effect of a gas whose response the sheet does not state, and what is to be said of it.
fn unquantified(
    gas: String,
    level: Option<Concentration>,
    interference: &Interferent,
    against: &Weighing<'_>,
) -> (EffectOnReading, Weighed) {
    let reads = interference.together;
    let effect = effect_on_reading(reads);
    if reads == InterferenceEffect::NoEffect {
        let tested = tested_to(against.sheet.entry, interference.row);
        let flag = level.zip(tested).and_then(|(level, (tested, tested_to))| {
            match level.partial_cmp(&tested) {
                Some(Ordering::Greater) => {
                    Some(NumericFlag::OtherGasAboveTested { gas, tested_to })
                }
                None => Some(NumericFlag::OtherGasLevelNotComparable { gas, tested_to }),
                _ => None,
            }
        });
        let weighed = Weighed {
            flag,
            ..Weighed::default()
        };
        return (effect, weighed);
    }
    if let Some((level, from)) = level.zip(interference.matters_from) {
        match level.partial_cmp(&from) {
            Some(Ordering::Less) => {
                let weighed = Weighed {
                    statement: Some(NumericStatement::BelowThreshold { gas, from }),
                    ..Weighed::default()
                };
                return (EffectOnReading::NoEffect, weighed);
            }
            Some(_) => {
                return (
                    effect,
                    indicative(gas, reads, IndicativeWhy::Above { from }),
                );
            }
            None => {}
        }
    }
    if let Some((level, times)) = level.zip(interference.matters_from_times) {
        let weighed = Weighed {
            by_ratio: Some(ByRatio {
                gas,
                level,
                times,
                together: reads,
                effect: 0,
            }),
            ..Weighed::default()
        };
        return (effect, weighed);
    }
    let why = if level.is_none() {
        IndicativeWhy::LevelNotStated
    } else {
        IndicativeWhy::NotQuantified
    };
    let alone = interference.alone == AloneEffect::Stains && reads == InterferenceEffect::NotStated;
    let weighed = Weighed {
        statement: alone.then(|| NumericStatement::StainsAlone { gas: gas.clone() }),
        ..indicative(gas, reads, why)
    };
    (effect, weighed)
}

/// The effect of a gas by how much is not known.
fn effect_on_reading(together: InterferenceEffect) -> EffectOnReading {
    match together {
        InterferenceEffect::ReadsHigh => EffectOnReading::ReadsHigh,
        InterferenceEffect::ReadsLow
        | InterferenceEffect::WashesOut
        | InterferenceEffect::Bleaches
        | InterferenceEffect::Fades => EffectOnReading::ReadsLow,
        InterferenceEffect::NoEffect => EffectOnReading::NoEffect,
        InterferenceEffect::OtherColour | InterferenceEffect::NotStated => EffectOnReading::Unknown,
    }
}

/// The sheet's row for a gas: its own before that of a group it belongs to.
fn row_for<'r>(against: &Weighing<'r>, id: &str) -> Option<&'r Interferent> {
    let rows = &against.sheet.tube.interferents;
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
fn in_unit(level: Concentration, gas: &str, against: &Weighing<'_>) -> Option<f64> {
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
        .performance
        .as_ref()?
        .interferents
        .get(row)?
        .tested_to
        .as_ref()?;
    Some((tested.value(), tested.text().to_owned()))
}
