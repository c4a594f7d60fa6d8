//! The exceptions that an entry carries for what its sources print against themselves.

use super::limits::ImportedLimit;
use super::order::{self, Ordered};
use super::pair;
use super::tables::Tables;
use stainbook_core::{Conditions, MolarMass, MolarVolume, Written};

/// An exception.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ImportedException {
    pub(crate) rule: String,
    pub(crate) at: Option<String>,
    pub(crate) because: String,
}

/// Result of comparing an entry's limits.
#[derive(Debug, Default)]
pub(crate) struct ComparedLimits {
    pub(crate) accept: Vec<ImportedException>,
    /// Number of pairs compared.
    pub(crate) pairs: usize,
    /// Pairs that nothing explains.
    pub(crate) disagreeing: Vec<String>,
    /// Pairs more than 10 % apart that rounding explains.
    pub(crate) far_but_explained: Vec<String>,
    /// Contradictions in the order.
    pub(crate) out_of_order: Vec<String>,
}

/// A deviation above which a pair is listed even if rounding explains it.
const FAR_PERCENT: f64 = 10.0;

/// Compares the limits of an entry among themselves.
pub(crate) fn judge(
    limits: &[ImportedLimit],
    molar_mass: MolarMass,
    tables: &Tables,
) -> ComparedLimits {
    let mut judged = ComparedLimits::default();
    for (index, limit) in limits.iter().enumerate() {
        let Some(mass) = &limit.also_printed else {
            continue;
        };
        let Some(comparison) = stated(limit, tables)
            .and_then(|stated| pair::compare(&limit.number, mass, molar_mass, stated))
        else {
            continue;
        };
        judged.pairs += 1;
        let said = format!(
            "{} {}: {} {} beside {mass} mg/m³, computed {:.4} mg/m³, {:+.1} %",
            limit.source,
            limit.kind.name(),
            limit.number,
            limit.unit,
            comparison.computed,
            comparison.deviation_percent,
        );
        // A mark in the table weighs unless the printed digits themselves allow the value.
        if comparison.disagrees() || (limit.marked_unexplained && !comparison.within_printed_digits)
        {
            judged.accept.push(ImportedException {
                rule: "limit-pair-disagrees".to_owned(),
                at: Some(format!("/limits/{index}")),
                because: format!(
                    "printed so in the source; {} ppm is {:.3} mg/m³ at the source's conditions, the printed {mass} mg/m³ differs by {:+.1} %",
                    limit.number, comparison.computed, comparison.deviation_percent,
                ),
            });
            judged.disagreeing.push(said);
        } else if comparison.deviation_percent.abs() > FAR_PERCENT || limit.marked_unexplained {
            judged.far_but_explained.push(said);
        }
    }
    let ordered: Vec<Ordered> = limits
        .iter()
        .enumerate()
        .filter_map(|(index, limit)| ordered(index, limit, molar_mass, tables))
        .collect();
    for (low, high) in order::contradictions(&ordered) {
        let said = format!("{}: {} is above {}", low.authority, low.text, high.text);
        judged.accept.push(ImportedException {
            rule: "limits-out-of-order".to_owned(),
            at: Some(format!("/limits/{}", high.index)),
            because: format!(
                "printed so in the source; {} is above {}",
                low.text, high.text
            ),
        });
        judged.out_of_order.push(said);
    }
    judged
}

/// The temperature and pressure at which the limit's source states mass.
fn stated(limit: &ImportedLimit, tables: &Tables) -> Option<Conditions> {
    let source = tables
        .sources
        .iter()
        .find(|source| source.source == limit.source)?;
    Some(Conditions {
        temperature: Written::parse(&source.temperature).ok()?.value(),
        pressure: Written::parse(&source.pressure).ok()?.value(),
    })
}

fn ordered(
    index: usize,
    limit: &ImportedLimit,
    molar_mass: MolarMass,
    tables: &Tables,
) -> Option<Ordered> {
    let number = limit.number.parse::<f64>().ok()?;
    let ppm = if limit.unit == "ppm" {
        number
    } else {
        let molar_volume = MolarVolume::of_ideal_gas(stated(limit, tables)?);
        number * molar_volume.l_per_mol() / molar_mass.g_per_mol()
    };
    let source = tables
        .sources
        .iter()
        .find(|source| source.source == limit.source)?;
    Some(Ordered {
        index,
        authority: source.authority.clone(),
        kind: limit.kind,
        ppm,
        text: format!("{} {} {}", limit.kind.name(), limit.number, limit.unit),
    })
}
