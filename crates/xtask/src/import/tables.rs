//! The source tables, row by row as they are carried in the repository.

use std::path::Path;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use stainbook_catalog::written::LimitKind;

use super::ImportError;

/// All source tables.
pub(crate) struct Tables {
    pub(crate) substances: Vec<SubstanceRow>,
    pub(crate) niosh_pairs: Vec<NioshPair>,
    pub(crate) osha_rows: Vec<OshaRow>,
    pub(crate) european_pairs: Vec<EuropeanPair>,
    pub(crate) inchikeys: Vec<InchikeyRow>,
    pub(crate) names: Vec<NameRow>,
    pub(crate) left_out: Vec<LeftOutRow>,
    pub(crate) isomers: Vec<IsomerRow>,
    pub(crate) vapour_pressures: Vec<VapourPressureRow>,
    pub(crate) sources: Vec<SourceRow>,
    pub(crate) amendments: Vec<AmendmentRow>,
}

/// One row of `substances.csv` or of `further_substances.csv`, which has fewer columns. The columns that nothing is made
/// of are not read.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(crate) struct SubstanceRow {
    pub(crate) group: String,
    pub(crate) cas: String,
    pub(crate) name: String,
    pub(crate) synonyms: String,
    pub(crate) formula_hill: String,
    pub(crate) molar_mass_g_mol: String,
    pub(crate) tb_c: String,
    pub(crate) pvap_20c_kpa: String,
    pub(crate) pvap_25c_kpa: String,
    pub(crate) npg_vp_printed: String,
    pub(crate) lel_pct_npg: String,
    pub(crate) uel_pct_npg: String,
    pub(crate) lel_pct_other: String,
    pub(crate) uel_pct_other: String,
    pub(crate) npg_mw_printed: String,
    pub(crate) us_osha_pel_printed: String,
    pub(crate) us_niosh_rel_printed: String,
    pub(crate) us_niosh_idlh_printed: String,
    pub(crate) fr_limits: String,
    pub(crate) uk_eh40: String,
    pub(crate) note: String,
    pub(crate) how_limits: String,
}

/// Text of `further_substances.csv` about limits.
pub(crate) const FROM_PAIRS: &str = "limits only from the tables of pairs";

impl SubstanceRow {
    /// True for the substances whose limits are those of the tables of pairs and no others.
    pub(crate) fn is_from_pairs(&self) -> bool {
        self.how_limits == FROM_PAIRS
    }

    /// True for the substances whose limits are all printed for several isomers together.
    pub(crate) fn is_of_several(&self) -> bool {
        self.how_limits == "limits of several isomers together"
    }

    /// True for the rows of `further_substances.csv`.
    pub(crate) fn npg_entry_is_not_at_hand(&self) -> bool {
        self.is_from_pairs()
            || self.how_limits.starts_with("no limits in the tables")
            || self.is_of_several()
            || self.how_limits == "not in the tables of limits"
    }
}

/// One row of `inchikeys.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct InchikeyRow {
    pub(crate) cas: String,
    pub(crate) inchikey: String,
    pub(crate) formula_in_package: String,
}

/// One row of `names.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct NameRow {
    pub(crate) cas: String,
    pub(crate) group: String,
    pub(crate) language: String,
    pub(crate) name: String,
    pub(crate) source: String,
    pub(crate) english: String,
    pub(crate) taken_for: String,
}

/// One row of `what_was_left_out.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct LeftOutRow {
    pub(crate) cas: String,
    pub(crate) name: String,
    pub(crate) what: String,
    pub(crate) because: String,
}

/// One row of `isomers.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct IsomerRow {
    /// The substance that takes the limits over.
    pub(crate) cas: String,
    pub(crate) authority: String,
    /// CAS numbers of the entries that must all carry a limit.
    pub(crate) from: String,
    pub(crate) because: String,
}

/// One row of `vapour_pressures.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct VapourPressureRow {
    pub(crate) cas: String,
    pub(crate) second: String,
    pub(crate) because: String,
}

/// One row of `niosh_rel_pairs.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct NioshPair {
    pub(crate) cas: String,
    pub(crate) limit_type: String,
    pub(crate) ppm: String,
    pub(crate) mg_m3: String,
    /// `15-minute`, `2-hr`, or `skin`.
    pub(crate) duration_printed: String,
}

/// One row of `osha_z1.csv`, which holds rows of Table Z-1 and of Table Z-2.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct OshaRow {
    pub(crate) table: String,
    pub(crate) cas: String,
    pub(crate) name: String,
    pub(crate) limit_type: String,
    pub(crate) ppm: String,
    pub(crate) mg_m3: String,
    pub(crate) z2_ceiling_ppm: String,
    pub(crate) z2_peak_ppm: String,
    pub(crate) z2_peak_duration: String,
    pub(crate) explained_by_rounding: String,
    /// Agreement of the NIOSH Pocket Guide's reprint when the rows were collected.
    #[serde(rename = "cross_check_NPG")]
    pub(crate) cross_check: String,
    pub(crate) note: String,
}

/// One row of `oel_pairs_20C.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct EuropeanPair {
    pub(crate) cas: String,
    pub(crate) reference_period: String,
    pub(crate) ppm: String,
    pub(crate) mg_m3: String,
    pub(crate) source: String,
}

/// One row of `sources.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct SourceRow {
    pub(crate) source: String,
    pub(crate) title: String,
    pub(crate) publisher: String,
    pub(crate) edition: String,
    pub(crate) date: String,
    pub(crate) authority: String,
    pub(crate) jurisdiction: String,
    pub(crate) temperature: String,
    pub(crate) pressure: String,
    pub(crate) licence: String,
    pub(crate) obtained: String,
    pub(crate) remark: String,
}

/// One row of `amendments.csv`.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct AmendmentRow {
    pub(crate) cas: String,
    pub(crate) field: String,
    pub(crate) value: String,
    pub(crate) because: String,
}

impl Tables {
    /// Reads all tables.
    pub(crate) fn read(directory: &Path) -> Result<Self, ImportError> {
        Ok(Self {
            substances: {
                let mut substances: Vec<SubstanceRow> = rows(directory, "substances.csv")?;
                substances.extend(rows::<SubstanceRow>(directory, "further_substances.csv")?);
                substances
            },
            niosh_pairs: rows(directory, "niosh_rel_pairs.csv")?,
            osha_rows: rows(directory, "osha_z1.csv")?,
            european_pairs: rows(directory, "oel_pairs_20C.csv")?,
            inchikeys: rows(directory, "inchikeys.csv")?,
            names: rows(directory, "names.csv")?,
            left_out: rows(directory, "what_was_left_out.csv")?,
            isomers: rows(directory, "isomers.csv")?,
            vapour_pressures: rows(directory, "vapour_pressures.csv")?,
            sources: rows(directory, "sources.csv")?,
            amendments: rows(directory, "amendments.csv")?,
        })
    }
}

impl OshaRow {
    /// Kind of limit of the row.
    pub(crate) fn kind(&self) -> LimitKind {
        match self.limit_type.as_str() {
            "ceiling" => LimitKind::Ceiling,
            _ => LimitKind::EightHours,
        }
    }

    /// True if the row is about the substance; a few rows carry two numbers, and one means all isomers and carries none.
    pub(crate) fn is_about(&self, substance: &SubstanceRow) -> bool {
        if self.cas.is_empty() {
            return substance.synonyms.split('|').any(|name| name == self.name);
        }
        self.cas.split(" / ").any(|number| number == substance.cas)
    }
}

/// The rows of a table.
pub(super) fn rows<T: DeserializeOwned>(
    directory: &Path,
    table: &'static str,
) -> Result<Vec<T>, ImportError> {
    let failed = |error| ImportError::Table { table, error };
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(directory.join(table))
        .map_err(failed)?
        .deserialize()
        .collect::<Result<_, _>>()
        .map_err(failed)
}
