//! A substance with its molar mass and limits.

use stainbook_core::{CasNumber, Concentration, Conditions, Duration, Formula, MolarMass, Written};

use super::{Needed, Unusable};
use crate::Book;
use crate::written::catalog::ReferenceConditions;
use crate::written::{LimitKind, SourceEntry, SubstanceEntry};
use stainbook_document::place::Path;

/// A substance with its molar mass, computed from the formula, and its limits.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Substance {
    /// Its short name.
    pub id: String,
    /// Its name as printed.
    pub name: String,
    /// Its CAS number, if it has one.
    pub cas: Option<CasNumber>,
    /// Its formula.
    pub formula: Formula,
    /// Its molar mass, computed from the formula.
    pub molar_mass: MolarMass,
    /// Its limits, in the order of the entry.
    pub limits: Vec<Limit>,
}

/// A limit value with its authority and the conditions at which that authority states mass concentrations.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Limit {
    /// Kind of limit.
    pub kind: LimitKind,
    /// The averaging period, if it is not the usual one.
    pub averaged_over: Option<Written<Duration>>,
    /// The value in the unit that binds.
    pub at_most: Written<Concentration>,
    /// The short name of the source.
    pub source: String,
    /// Whose limit it is.
    pub authority: String,
    /// The edition.
    pub edition: String,
    /// Conditions at which the authority states mg/m³.
    pub mass_stated_at: Option<Conditions>,
    /// The name of the catalog that the limit is taken from.
    pub catalog: String,
    /// The value that it stands in place of, as the catalog below gives it, if an entry adds to that catalog.
    pub replaces: Option<String>,
}

impl Substance {
    pub(crate) fn from_written(entry: &SubstanceEntry, book: &Book) -> Result<Self, Unusable> {
        let root = Path::root;
        let id = entry.substance.clone().unwrap_or_default();
        let (catalog, addition) = book.substance_origin(&id);
        if let Some(why) = addition.and_then(|addition| addition.contradiction.as_ref()) {
            return Err(Unusable::new(root().key("adds_to"), why.clone()));
        }
        if let (Some(below), None) = (&entry.adds_to, addition) {
            return Err(Unusable::new(
                root().key("adds_to"),
                format!("`{below}` has no substance `{id}` to add to"),
            ));
        }
        let own_limits = addition.map_or(entry.limits.len(), |addition| addition.own_limits);
        let formula_text = entry.formula.as_deref().needed(&root(), "formula")?;
        let formula = Formula::parse(formula_text)
            .map_err(|error| Unusable::new(root().key("formula"), error.to_string()))?;
        let limits = entry
            .limits
            .iter()
            .enumerate()
            .filter_map(|(index, limit)| {
                let path = root().key("limits").index(index);
                Some((index, path, limit.kind?, limit.at_most.as_ref()?, limit))
            })
            .map(|(index, path, kind, at_most, limit)| {
                let source_id = limit.source.clone().needed(&path, "source")?;
                let source = book.source(&source_id).ok_or_else(|| {
                    Unusable::new(path.key("source"), format!("no source `{source_id}`"))
                })?;
                Ok(Limit {
                    kind,
                    averaged_over: limit
                        .averaged_over
                        .as_ref()
                        .map(|period| (**period).clone()),
                    at_most: (**at_most).clone(),
                    authority: source
                        .authority
                        .clone()
                        .or_else(|| source.publisher.clone())
                        .unwrap_or_else(|| source_id.clone()),
                    edition: source.edition.clone().unwrap_or_default(),
                    mass_stated_at: stated_at(source),
                    source: source_id,
                    catalog: match &entry.adds_to {
                        Some(below) if own_limits <= index => below.clone(),
                        _ => catalog.clone(),
                    },
                    replaces: addition
                        .and_then(|addition| addition.replaced.get(index))
                        .cloned()
                        .flatten(),
                })
            })
            .collect::<Result<_, Unusable>>()?;
        Ok(Self {
            id,
            name: entry
                .name
                .clone()
                .or_else(|| entry.substance.clone())
                .unwrap_or_default(),
            cas: entry.cas.as_deref().and_then(|cas| cas.parse().ok()),
            molar_mass: formula.molar_mass(),
            formula,
            limits,
        })
    }
}

/// The temperature and pressure at which a source states mass concentrations.
pub(crate) fn stated_at(source: &SourceEntry) -> Option<Conditions> {
    reference_conditions(source.mass_stated_at.as_ref()?)
}

/// Temperature and pressure, if both are written.
pub(crate) fn reference_conditions(at: &ReferenceConditions) -> Option<Conditions> {
    Some(Conditions::new(
        at.temperature.as_ref()?.value(),
        at.pressure.as_ref()?.value(),
    ))
}
