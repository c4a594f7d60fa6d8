//! Amendments made by hand against the tables.

use super::ImportError;
use super::tables::{AmendmentRow, SubstanceRow, Tables};

/// The fields of an amendment that are not cells of `substances.csv`.
const OWN_FIELDS: [&str; 7] = [
    "name",
    "formula",
    "identified_by",
    "add-name",
    "drop-name",
    "remark",
    "accept",
];

/// The amendments, known to fit the tables.
pub(crate) struct Amendments {
    rows: Vec<AmendmentRow>,
}

impl Amendments {
    /// Takes the amendments over, provided that each has a reason, a known substance and a known field, and that a
    /// name to be dropped is there: an amendment that no longer does anything is a slip.
    pub(crate) fn new(tables: &Tables) -> Result<Self, ImportError> {
        for row in &tables.amendments {
            let wrong = |problem: String| ImportError::Amendment {
                cas: row.cas.clone(),
                problem,
            };
            let substance = tables
                .substances
                .iter()
                .find(|substance| substance.cas == row.cas)
                .ok_or_else(|| wrong("no such substance".to_owned()))?;
            if row.because.trim().is_empty() {
                return Err(wrong(format!("`{}` has no reason", row.field)));
            }
            let mut probe = substance.clone();
            if !OWN_FIELDS.contains(&row.field.as_str()) && cell(&mut probe, &row.field).is_none() {
                return Err(wrong(format!("there is no field `{}`", row.field)));
            }
            let named = substance.name == row.value
                || substance
                    .synonyms
                    .split('|')
                    .any(|synonym| synonym == row.value);
            if row.field == "drop-name" && !named {
                return Err(wrong(format!(
                    "the name `{}` to drop is not there",
                    row.value
                )));
            }
        }
        Ok(Self {
            rows: tables.amendments.clone(),
        })
    }

    /// The rows.
    pub(crate) fn rows(&self) -> &[AmendmentRow] {
        &self.rows
    }

    /// All values of a field for a substance.
    pub(crate) fn of<'a>(
        &'a self,
        cas: &'a str,
        field: &'a str,
    ) -> impl Iterator<Item = &'a AmendmentRow> {
        self.rows
            .iter()
            .filter(move |row| row.cas == cas && row.field == field)
    }

    /// The last value of a field for a substance.
    pub(crate) fn one<'a>(&'a self, cas: &'a str, field: &'a str) -> Option<&'a str> {
        self.of(cas, field).last().map(|row| row.value.as_str())
    }

    /// The row with its cells replaced as amended.
    pub(crate) fn apply(&self, row: &SubstanceRow) -> SubstanceRow {
        let mut amended = row.clone();
        for amendment in self
            .rows
            .iter()
            .filter(|amendment| amendment.cas == row.cas)
        {
            if let Some(cell) = cell(&mut amended, &amendment.field) {
                cell.clone_from(&amendment.value);
            }
        }
        amended
    }
}

/// The cells that an amendment may replace.
fn cell<'a>(row: &'a mut SubstanceRow, field: &str) -> Option<&'a mut String> {
    Some(match field {
        "tb_c" => &mut row.tb_c,
        "pvap_20c_kpa" => &mut row.pvap_20c_kpa,
        "pvap_25c_kpa" => &mut row.pvap_25c_kpa,
        "npg_vp_printed" => &mut row.npg_vp_printed,
        "lel_pct_npg" => &mut row.lel_pct_npg,
        "uel_pct_npg" => &mut row.uel_pct_npg,
        "npg_mw_printed" => &mut row.npg_mw_printed,
        "us_osha_pel_printed" => &mut row.us_osha_pel_printed,
        "us_niosh_rel_printed" => &mut row.us_niosh_rel_printed,
        "us_niosh_idlh_printed" => &mut row.us_niosh_idlh_printed,
        "fr_limits" => &mut row.fr_limits,
        "note" => &mut row.note,
        _ => return None,
    })
}
