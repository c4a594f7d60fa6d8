//! An entry that adds to the one of the same short name in a catalog below: what a lab writes comes first, and where
//! each limit comes from is kept.

use crate::written::{ExplosiveLimits, Limit, SubstanceEntry, VapourPressure};

/// An own entry together with the one it adds to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Addition {
    /// The entry as it counts.
    pub(crate) entry: SubstanceEntry,
    /// Number of the limits, from the first, that are the lab's own.
    pub(crate) own_limits: usize,
    /// For each own limit, the value it stands in place of.
    pub(crate) replaced: Vec<Option<String>>,
    /// Contradiction that shows two different substances.
    pub(crate) contradiction: Option<String>,
}

/// Puts an own entry before the one it adds to.
///
/// A field that is written counts; one that is not is taken from below. Names add up. A vapour pressure or explosive
/// limits of a source that both name are the own ones; so is a limit of a kind and source that both have.
pub(crate) fn add(own: &SubstanceEntry, below: &SubstanceEntry) -> Addition {
    let either =
        |own: &Option<String>, below: &Option<String>| own.clone().or_else(|| below.clone());
    let mut also_called = own.also_called.clone();
    for name in below.also_called.iter().chain(&below.name) {
        if !also_called.contains(name) && own.name.as_ref() != Some(name) {
            also_called.push(name.clone());
        }
    }
    let mut names = own.names.clone();
    for name in &below.names {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    let same_kind =
        |limit: &Limit, other: &Limit| limit.kind == other.kind && limit.source == other.source;
    let replaced = own
        .limits
        .iter()
        .map(|limit| {
            let values: Vec<&str> = below
                .limits
                .iter()
                .filter(|other| same_kind(limit, other))
                .filter_map(|other| other.at_most.as_ref())
                .map(|value| value.text())
                .collect();
            (!values.is_empty()).then(|| values.join(", "))
        })
        .collect();
    let kept = below
        .limits
        .iter()
        .filter(|limit| !own.limits.iter().any(|other| same_kind(limit, other)));
    let limits: Vec<Limit> = own.limits.iter().chain(kept).cloned().collect();
    let vapour_pressure: Vec<VapourPressure> = own
        .vapour_pressure
        .iter()
        .chain(below.vapour_pressure.iter().filter(|fact| {
            !own.vapour_pressure
                .iter()
                .any(|other| other.source == fact.source)
        }))
        .cloned()
        .collect();
    let explosive_limits: Vec<ExplosiveLimits> = own
        .explosive_limits
        .iter()
        .chain(below.explosive_limits.iter().filter(|fact| {
            !own.explosive_limits
                .iter()
                .any(|other| other.source == fact.source)
        }))
        .cloned()
        .collect();
    let entry = SubstanceEntry {
        substance: own.substance.clone(),
        adds_to: own.adds_to.clone(),
        replaces_entry: None,
        name: either(&own.name, &below.name),
        also_called,
        names,
        cas: either(&own.cas, &below.cas),
        inchikey: either(&own.inchikey, &below.inchikey),
        inchikey_source: either(&own.inchikey_source, &below.inchikey_source),
        formula: either(&own.formula, &below.formula),
        molar_mass: own.molar_mass.clone().or_else(|| below.molar_mass.clone()),
        molar_mass_source: either(&own.molar_mass_source, &below.molar_mass_source),
        identified_by: either(&own.identified_by, &below.identified_by),
        family: either(&own.family, &below.family),
        boils_at: own.boils_at.clone().or_else(|| below.boils_at.clone()),
        vapour_pressure,
        explosive_limits,
        limits,
        remark: either(&own.remark, &below.remark),
        // Exceptions are about the file they stand in.
        accept: own.accept.clone(),
    };
    Addition {
        entry,
        own_limits: own.limits.len(),
        replaced,
        contradiction: contradiction(own, below),
    }
}

/// An addition may not turn the substance into another one.
fn contradiction(own: &SubstanceEntry, below: &SubstanceEntry) -> Option<String> {
    let differs = |own: &Option<String>, below: &Option<String>, what: &str| {
        let (own, below) = (own.as_ref()?, below.as_ref()?);
        (own != below).then(|| {
            format!("its {what} `{own}` is not the `{below}` of the entry that it adds to; leave the field out, or write `replaces_entry` instead of `adds_to`, with all that the entry then has to hold")
        })
    };
    differs(&own.cas, &below.cas, "CAS number")
        .or_else(|| differs(&own.formula, &below.formula, "formula"))
}
