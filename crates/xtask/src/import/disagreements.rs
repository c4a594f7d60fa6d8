//! `DISAGREEMENTS.md`: the entries against references that they were not made from, and the sources against each
//! other. A test compares the file with what the tables give, so that a new disagreement cannot pass unseen.

use std::fmt::Write as _;
use std::path::Path;

use serde::Deserialize;
use stainbook_core::Formula;

use super::amendments::Amendments;
use super::printed_limit::{self, LimitColumn};
use super::tables::{self, OshaRow, Tables};
use super::vapour_pressure;
use super::{ImportError, limits, pair};

/// A row of the molar masses that two general-purpose packages give.
#[derive(Deserialize)]
struct MolarMassRow {
    cas: String,
    periodictable: String,
    molmass: String,
}

const HEAD: &str = "\
# Where the reference data and independent references disagree

Made by `cargo xtask import`; a test compares it with what the tables give. Nothing here is corrected silently: both
values are kept, and where an entry carries a value that contradicts itself, it carries an exception with the reason.

";

/// The text of the report.
pub(crate) fn disagreements(
    reference: &Path,
    tables: &Tables,
    amendments: &Amendments,
) -> Result<String, ImportError> {
    let mut out = HEAD.to_owned();
    let mut section = |title: &str, why: &str, compared: usize, items: &[String]| {
        let _ = write!(
            out,
            "## {title}\n\n{why}\n\n{compared} compared, {} disagree.\n\n",
            items.len()
        );
        for item in items {
            let _ = writeln!(out, "- {item}");
        }
        if !items.is_empty() {
            out.push('\n');
        }
    };
    let masses = molar_masses(reference, tables)?;
    section(
        "Molar masses and the package periodictable 2.1.0",
        "Computed here from the formula with the abridged weights of 2021, to three decimals, against the package's number in `tests/published/molar_masses.csv`.",
        masses.compared,
        &masses.periodictable,
    );
    section(
        "Molar masses and the package molmass 2026.1.8",
        &format!(
            "The package has weights of its own, among them 32.0648 for sulfur and 35.4529 for chlorine where the abridged weights of 2021 are 32.06 and 35.45. Listed where its value, to two decimals, is not the one computed here to two decimals; the largest difference is {:.4} %.",
            100.0 * masses.furthest
        ),
        masses.compared,
        &masses.molmass,
    );
    let (compared, items) = printed_molar_masses(tables);
    section(
        "Formulas and the molecular weights that the NIOSH Pocket Guide prints",
        "Listed where the molar mass of the formula is further from the printed weight than half a step of its last digit. All lie within one step: older weights or another rounding, not another formula.",
        compared,
        &items,
    );
    let (compared, items) = osha_twice(tables);
    section(
        "OSHA's own tables and their reprint in the NIOSH Pocket Guide",
        "Table Z-1 row by row against the cell of the Pocket Guide, for the substances whose cell is carried: the same kind of limit with the same number of ppm must stand there. For the others the mark of the comparison that was made when the rows were collected.",
        compared,
        &items,
    );
    let (compared, items) = pairs(tables, amendments);
    section(
        "Limits printed in ppm and in mg/m³",
        "Against the molar mass at the source's own conditions; listed where neither the printed digits of the mass nor a rounding of it explains the difference: ppm is the limit, and exact. The entry has an exception for each.",
        compared,
        &items,
    );
    let (compared, items) = vapour_pressures(tables);
    section(
        "Vapour pressures of the NIOSH Pocket Guide",
        "Against the property packages at the same temperature, and what `vapour_pressures.csv` has against them by hand; listed where they differ by more than a quarter. The printed value is kept, marked as disputed with the reason, and nothing is computed with it.",
        compared,
        &items,
    );
    let by_hand: Vec<String> = tables
        .left_out
        .iter()
        .filter(|row| row.what != "the whole substance")
        .map(|row| format!("{} ({}), {}: {}", row.name, row.cas, row.what, row.because))
        .collect();
    section(
        "Values of the packages that contradict each other",
        "Left out of the entries.",
        by_hand.len(),
        &by_hand,
    );
    let explained: Vec<String> = tables
        .osha_rows
        .iter()
        .filter(|row| row.note.starts_with("INCONSISTENT"))
        .map(|row| {
            format!(
                "{}: {}",
                row.name,
                row.note
                    .trim_start_matches("INCONSISTENT ")
                    .replace("(memory:", "(from memory:")
            )
        })
        .collect();
    section(
        "Official texts that contradict each other",
        "Both are kept: the value as the first prints it, the other in the entry's remark.",
        explained.len(),
        &explained,
    );
    Ok(out)
}

/// Result of comparing the molar masses.
#[derive(Default)]
struct Masses {
    compared: usize,
    periodictable: Vec<String>,
    molmass: Vec<String>,
    /// The largest relative difference from molmass.
    furthest: f64,
}

fn molar_masses(reference: &Path, tables: &Tables) -> Result<Masses, ImportError> {
    let root = reference.join("../..");
    let rows: Vec<MolarMassRow> = tables::rows(&root, "tests/published/molar_masses.csv")?;
    let mut masses = Masses::default();
    for row in &tables.substances {
        let Some(ours) = molar_mass(&row.formula_hill) else {
            continue;
        };
        let Some(theirs) = rows.iter().find(|theirs| theirs.cas == row.cas) else {
            masses
                .periodictable
                .push(format!("{}: not in the table", row.name));
            continue;
        };
        masses.compared += 1;
        if format!("{ours:.3}") != theirs.periodictable {
            masses.periodictable.push(format!(
                "{}: {ours:.3}, the package {} g/mol",
                row.name, theirs.periodictable
            ));
        }
        if format!("{ours:.2}") != theirs.molmass {
            masses.molmass.push(format!(
                "{}: {ours:.3}, the package {} g/mol",
                row.name, theirs.molmass
            ));
        }
        if let Ok(value) = theirs.molmass.parse::<f64>() {
            let beyond_digits = ((value - ours).abs() - 0.005).max(0.0);
            masses.furthest = masses.furthest.max(beyond_digits / ours);
        }
    }
    Ok(masses)
}

fn molar_mass(formula: &str) -> Option<f64> {
    Some(Formula::parse(formula).ok()?.molar_mass().g_per_mol())
}

fn printed_molar_masses(tables: &Tables) -> (usize, Vec<String>) {
    let mut items = Vec::new();
    let mut compared = 0;
    for row in &tables.substances {
        let printed = row.npg_mw_printed.as_str();
        let (Ok(value), Some(ours)) = (printed.parse::<f64>(), molar_mass(&row.formula_hill))
        else {
            continue;
        };
        compared += 1;
        let half = pair::half_step(printed) + 1e-9;
        if half < (value - ours).abs() {
            let beyond = if (value - ours).abs() <= 2.0 * half {
                ""
            } else {
                "; more than a step"
            };
            items.push(format!(
                "{}: printed {printed}, {ours:.3}{beyond}",
                row.name
            ));
        }
    }
    (compared, items)
}

fn osha_twice(tables: &Tables) -> (usize, Vec<String>) {
    let mut items = Vec::new();
    let mut compared = 0;
    for row in tables.osha_rows.iter().filter(|row| row.table == "Z-1") {
        let carried = tables
            .substances
            .iter()
            .find(|substance| row.is_about(substance) && !substance.npg_entry_is_not_at_hand());
        let agrees = match carried {
            Some(substance) => reprinted(row, &substance.us_osha_pel_printed),
            None if row.cross_check.is_empty() => {
                continue;
            }
            None => row.cross_check == "agrees",
        };
        compared += 1;
        if !agrees {
            let cell = carried.map_or_else(
                || {
                    row.cross_check
                        .trim_start_matches("DISAGREES: NPG prints ")
                        .trim_matches('"')
                },
                |substance| &substance.us_osha_pel_printed,
            );
            let said = format!("the reprint says `{cell}`");
            items.push(format!(
                "{}: {} {} ppm in Table Z-1; {said}",
                row.name, row.limit_type, row.ppm
            ));
        }
    }
    (compared, items)
}

/// True if the reprint has the limit of the table.
fn reprinted(row: &OshaRow, cell: &str) -> bool {
    let kind = row.kind();
    printed_limit::read(cell, LimitColumn::Limits).is_ok_and(|printed| {
        printed.limits.iter().any(|limit| {
            limit.kind == kind && limit.unit == "ppm" && limits::same(&limit.number, &row.ppm)
        })
    })
}

fn pairs(tables: &Tables, amendments: &Amendments) -> (usize, Vec<String>) {
    let mut items = Vec::new();
    let mut compared = 0;
    for row in &tables.substances {
        let row = amendments.apply(row);
        let Ok(formula) = Formula::parse(&row.formula_hill) else {
            continue;
        };
        let judged = super::entry::judge(
            &limits::limits(&row, tables, amendments).limits,
            formula.molar_mass(),
            tables,
        );
        compared += judged.pairs;
        items.extend(
            judged
                .disagreeing
                .iter()
                .map(|said| format!("{}: {said}", row.name)),
        );
    }
    (compared, items)
}

fn vapour_pressures(tables: &Tables) -> (usize, Vec<String>) {
    let printed: Vec<_> = tables
        .substances
        .iter()
        .filter_map(|row| Some((row, vapour_pressure::compare(row, tables)?)))
        .filter(|(_, printed)| printed.compared)
        .collect();
    let items = printed
        .iter()
        .filter_map(|(row, printed)| {
            let disputed = printed.disputed.as_ref()?;
            let (pressure, temperature) = (&printed.pressure, &printed.temperature);
            Some(format!(
                "{}: {pressure} at {temperature} in the Pocket Guide; {disputed}",
                row.name
            ))
        })
        .collect();
    (printed.len(), items)
}
