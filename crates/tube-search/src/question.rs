//! The question made ready: names looked up, levels as volume fractions, the pump and its kind known.

use stainbook_catalog::model::{Limit, PumpKind, Substance};
use stainbook_catalog::written::{Present, Stated};
use stainbook_catalog::{Book, EntryKind, search};
use stainbook_core::{
    Concentration, Conditions, Converter, MassConcentration, MolarMass, Pressure, Quantity,
    Temperature, Unit, Written, convert,
};
use stainbook_document::did_you_mean;

use crate::demand;
use crate::found::{LevelSought, LimitSought, PresentGas, PumpAsked, Sought};
use crate::{Wanted, limit_choice};
use stainbook_evaluation::air;
use stainbook_evaluation::outcome::{Code, Refusal, Statement};
use stainbook_evaluation::result::LimitUsed;

/// The question of a search, with everything looked up that does not depend on a sheet.
#[derive(Debug)]
pub(crate) struct Question {
    pub(crate) gas: SoughtGas,
    pub(crate) levels: Vec<SoughtLevel>,
    /// The limits that every level is judged against; empty for all that a tube speaks to.
    pub(crate) judged: Vec<Limit>,
    pub(crate) present: Vec<Present>,
    pub(crate) pump: Option<AtHand>,
    pub(crate) within_seconds: Option<f64>,
    pub(crate) statements: Vec<Statement>,
}

/// One substance, or a group of them.
#[derive(Debug)]
pub(crate) enum SoughtGas {
    One(Box<Substance>),
    Group { id: String, name: String },
}

/// A level to be read.
#[derive(Clone, Debug)]
pub(crate) struct SoughtLevel {
    pub(crate) written: Written<Concentration>,
    /// The limit that the level is.
    pub(crate) limit: Option<Limit>,
    /// Conditions of a mass concentration: the limit's own, or those of the place.
    at: Option<Conditions>,
}

/// The pump at hand.
#[derive(Clone, Debug)]
pub(crate) struct AtHand {
    pub(crate) pump: Option<String>,
    pub(crate) kind: PumpKind,
}

impl SoughtGas {
    pub(crate) fn sought(&self) -> Sought {
        match self {
            Self::One(substance) => Sought {
                id: substance.id.clone(),
                name: substance.name.clone(),
                cas: substance.cas.map(|cas| cas.to_string()),
                is_group: false,
            },
            Self::Group { id, name } => Sought {
                id: id.clone(),
                name: name.clone(),
                cas: None,
                is_group: true,
            },
        }
    }

    pub(crate) fn name(&self) -> &str {
        match self {
            Self::One(substance) => &substance.name,
            Self::Group { name, .. } => name,
        }
    }
}

impl SoughtLevel {
    /// The volume fraction, in ppm, for a gas of this molar mass.
    pub(crate) fn ppm(&self, molar_mass: MolarMass) -> Option<f64> {
        match self.written.value() {
            Concentration::VolumeFraction(x) => Some(x.ppm()),
            Concentration::MassConcentration(c) => {
                convert::volume_fraction(c, molar_mass, self.at?)
                    .ok()
                    .map(stainbook_core::VolumeFraction::ppm)
            }
        }
    }

    /// One ppm in the unit of the level, by which everything about it is stated in that unit.
    pub(crate) fn per_ppm(&self, molar_mass: MolarMass) -> Option<f64> {
        let unit: &'static Unit = self.written.unit();
        match self.written.value() {
            Concentration::VolumeFraction(_) => Some(unit.from_base(1.0)),
            Concentration::MassConcentration(_) => {
                let ppm = stainbook_core::unit("ppm").ok()?;
                let converter = Converter::new(ppm, unit, molar_mass, self.at?).ok()?;
                converter.apply_checked(1.0).ok()
            }
        }
    }

    pub(crate) fn sought(&self, gas: &SoughtGas) -> LevelSought {
        let (ppm, substance) = match gas {
            SoughtGas::One(substance) => (self.ppm(substance.molar_mass), Some(substance)),
            SoughtGas::Group { .. } => (
                match self.written.value() {
                    Concentration::VolumeFraction(x) => Some(x.ppm()),
                    Concentration::MassConcentration(_) => None,
                },
                None,
            ),
        };
        LevelSought {
            text: self.written.text().to_owned(),
            value: self.written.number(),
            unit: self.written.unit().canonical().to_owned(),
            ppm,
            limit: self
                .limit
                .as_ref()
                .zip(substance)
                .map(|(limit, substance)| {
                    let demand = demand::demand(limit.kind);
                    LimitSought {
                        limit: LimitUsed::of(limit, substance),
                        should_cover: demand.map(|demand| demand.cover),
                        uncertainty_at_most: demand.map(|demand| demand.uncertainty),
                        demanded_by: demand.map_or_else(
                            || "nothing is demanded at a danger level".to_owned(),
                            |_| demand::SOURCE.to_owned(),
                        ),
                    }
                }),
        }
    }
}

/// Looks everything up.
///
/// # Errors
///
/// A [`Refusal`]: a name that is not known or may mean several things, conditions that contradict each other, a mass
/// concentration without conditions.
pub(crate) fn question(book: &Book, wanted: &Wanted) -> Result<Question, Refusal> {
    let gas = gas(book, &wanted.substance)?;
    let (place, of_the_air) = air::at_place_in_words(&wanted.conditions)?;
    let mut statements: Vec<Statement> = of_the_air.into_iter().map(Statement::from).collect();
    let here = place
        .air
        .zip(place.pressure)
        .map(|(air, station)| Conditions::new(air, station.pressure));
    let judged = limits(&gas, &wanted.limits)?;
    let levels = match &wanted.level {
        Some(level) => vec![SoughtLevel {
            written: level.clone(),
            limit: None,
            at: conditions_for(level, here, book, &mut statements)?,
        }],
        None => judged
            .iter()
            .map(|limit| of_limit(limit, &gas))
            .collect::<Result<_, _>>()?,
    };
    if levels.is_empty() {
        let limits = match &gas {
            SoughtGas::One(substance) if !substance.limits.is_empty() => {
                format!("; its limits: {}", limit_choice::list(&substance.limits))
            }
            _ => String::new(),
        };
        return Err(Refusal::new(
            Code::LevelMissing,
            format!(
                "at which level of {} the tube has to read is not said",
                gas.name()
            ),
            format!("add `--level \"5 ppm\"`, or `--limit` with the words of a limit{limits}"),
        ));
    }
    Ok(Question {
        present: wanted
            .present
            .iter()
            .map(|gas| present(book, gas))
            .collect::<Result<_, _>>()?,
        pump: wanted
            .pump
            .as_deref()
            .map(|name| pump(book, name, &mut statements))
            .transpose()?,
        within_seconds: wanted.within.map(stainbook_core::Duration::seconds),
        gas,
        levels,
        judged,
        statements,
    })
}

fn gas(book: &Book, typed: &str) -> Result<SoughtGas, Refusal> {
    match book.find_substance(typed) {
        Ok(entry) => {
            let id = entry.substance.as_deref().unwrap_or(typed);
            book.substance_model(id)
                .map(|substance| SoughtGas::One(Box::new(substance)))
                .map_err(|unusable| {
                    Refusal::new(
                        Code::SubstanceUnusable,
                        format!("the entry of {typed} cannot be computed with: {unusable}"),
                        "have the entry checked",
                    )
                })
        }
        Err(none) => {
            if let Some(group) = none.group.as_deref() {
                let name = book
                    .group(group)
                    .and_then(|entry| entry.name.clone())
                    .unwrap_or_else(|| group.to_owned());
                return Ok(SoughtGas::Group {
                    id: group.to_owned(),
                    name,
                });
            }
            Err(unknown_substance(typed, &none))
        }
    }
}

fn unknown_substance(typed: &str, none: &search::NoSuchSubstance) -> Refusal {
    if !none.could_be.is_empty() {
        return Refusal::new(
            Code::AmbiguousSubstance,
            none.to_string(),
            "name one of them: their limits and the tubes for them may differ",
        );
    }
    Refusal::new(
        Code::UnknownSubstance,
        match none.because() {
            Some(because) => format!("no substance is called `{typed}` in the catalog: {because}"),
            None => format!("no substance is called `{typed}` in the catalog"),
        },
        if none.near.is_empty() {
            "look at the name again, or add the substance to your catalog".to_owned()
        } else {
            format!("did you mean `{}`?", none.near.join("`, `"))
        },
    )
}

fn limits(gas: &SoughtGas, asked: &[String]) -> Result<Vec<Limit>, Refusal> {
    if asked.is_empty() {
        return Ok(Vec::new());
    }
    let SoughtGas::One(substance) = gas else {
        return Err(Refusal::new(
            Code::GroupWithoutLimits,
            format!(
                "{} is a group, and limits are those of single substances",
                gas.name()
            ),
            "say the level of the group's total with --level, or name one substance",
        ));
    };
    let mut limits: Vec<Limit> = Vec::new();
    for words in asked {
        for limit in limit_choice::choose(substance, words)? {
            if !limits.contains(limit) {
                limits.push(limit.clone());
            }
        }
    }
    Ok(limits)
}

fn of_limit(limit: &Limit, gas: &SoughtGas) -> Result<SoughtLevel, Refusal> {
    let level = SoughtLevel {
        written: limit.at_most.clone(),
        limit: Some(limit.clone()),
        at: limit.mass_stated_at,
    };
    let SoughtGas::One(substance) = gas else {
        return Ok(level);
    };
    if level.ppm(substance.molar_mass).is_none() {
        return Err(Refusal::new(
            Code::LimitWithoutConditions,
            format!(
                "the source of {} does not say at which temperature and pressure its mg/m³ are meant",
                limit_choice::words(limit)
            ),
            "say the level in ppm with --level, or add the conditions to the source's entry",
        ));
    }
    Ok(level)
}

/// Conditions of a level in mg/m³: the air of the place, else the catalog's reference conditions, which is said.
fn conditions_for(
    level: &Written<Concentration>,
    here: Option<Conditions>,
    book: &Book,
    statements: &mut Vec<Statement>,
) -> Result<Option<Conditions>, Refusal> {
    if matches!(level.value(), Concentration::VolumeFraction(_)) || here.is_some() {
        return Ok(here);
    }
    let reference = book.catalog().and_then(|(_, catalog)| {
        let stated = catalog.reference_conditions.as_ref()?;
        let temperature: Temperature = stated.temperature.as_ref()?.value();
        let pressure: Pressure = stated.pressure.as_ref()?.value();
        Some(Conditions::new(temperature, pressure))
    });
    let Some(reference) = reference else {
        return Err(Refusal::new(
            Code::MissingConditions,
            format!(
                "how many ppm `{}` are depends on temperature and pressure, and they are not stated",
                level.text()
            ),
            "add `--temperature \"20 °C\" --pressure \"101.3 kPa\"`, or `--altitude` for the pressure; or say the level in ppm",
        ));
    };
    statements.push(Statement::new(
        Code::ReferenceConditions,
        format!(
            "`{}` was taken at the reference conditions of the catalog, {} and {} kPa, as no temperature and pressure are stated.",
            level.text(),
            air::celsius(reference.temperature),
            stainbook_core::print::number(air::round(reference.pressure.kilopascals(), 3))
        ),
    ));
    Ok(Some(reference))
}

fn present(book: &Book, gas: &Present) -> Result<Present, Refusal> {
    let typed = gas.substance.as_deref().unwrap_or_default();
    match book.find_substance(typed) {
        Ok(entry) => Ok(Present {
            substance: entry.substance.clone(),
            ..gas.clone()
        }),
        Err(none) => match none.group.as_deref() {
            // A sheet may state what a group does.
            Some(group) => Ok(Present {
                substance: Some(group.to_owned()),
                ..gas.clone()
            }),
            None => Err(unknown_substance(typed, &none)),
        },
    }
}

pub(crate) fn present_gas(book: &Book, gas: &Present) -> PresentGas {
    let id = gas.substance.clone().unwrap_or_default();
    PresentGas {
        name: book
            .substance(&id)
            .and_then(|entry| entry.name.clone())
            .or_else(|| book.group(&id).and_then(|group| group.name.clone()))
            .unwrap_or_else(|| id.clone()),
        substance: id,
        level: gas.level.as_ref().map(|level| level.text().to_owned()),
    }
}

fn pump(book: &Book, name: &str, statements: &mut Vec<Statement>) -> Result<AtHand, Refusal> {
    if book.pump(name).is_some() {
        let pump = book.pump_model(name).map_err(|unusable| {
            Refusal::new(
                Code::PumpUnusable,
                format!("pump `{name}` cannot be looked up: {unusable}"),
                "have its entry checked",
            )
        })?;
        if let Some(since) = pump.withdrawn {
            statements.push(Statement::new(
                Code::PumpWithdrawn,
                format!("Pump `{name}` was withdrawn from use on {since}."),
            ));
        }
        return Ok(AtHand {
            pump: Some(name.to_owned()),
            kind: pump.kind,
        });
    }
    if let Ok(kind) = book.pump_kind_model(name) {
        return Ok(AtHand { pump: None, kind });
    }
    let mut known = book.ids(EntryKind::Pump);
    known.extend(book.ids(EntryKind::PumpKind));
    Err(Refusal::new(
        Code::PumpUnknown,
        format!("no pump and no kind of pump is called `{name}` in the catalog"),
        match did_you_mean::nearest(name, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None if known.is_empty() => "the catalog has no pumps; leave it out".to_owned(),
            None => format!("the catalog has {}", known.join(", ")),
        },
    ))
}

impl AtHand {
    pub(crate) fn asked(&self) -> PumpAsked {
        PumpAsked {
            pump: self.pump.clone(),
            kind: self.kind.id.clone(),
        }
    }
}

/// A quantity as it would have been typed.
pub(crate) fn stated<Q: Quantity>(number: f64, unit: &str) -> Option<Stated<Q>> {
    Written::parse(&format!("{number} {unit}"))
        .ok()
        .map(Stated::new)
}

/// A mass concentration as ppm, at stated conditions.
pub(crate) fn mass_as_ppm(mg_per_m3: f64, molar_mass: MolarMass, at: Conditions) -> Option<f64> {
    let mass = MassConcentration::from_mg_per_m3(mg_per_m3).ok()?;
    convert::volume_fraction(mass, molar_mass, at)
        .ok()
        .map(stainbook_core::VolumeFraction::ppm)
}
