//! `*.source.yaml`: a document that facts and limits are taken from.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::catalog::ReferenceConditions;
use super::scalars::Day;

/// A publication that values in a catalog come from.
#[apply(written_form)]
pub struct SourceEntry {
    /// The source's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"us-osha-z1")]
    pub source: Option<String>,
    /// The publication's title.
    #[schemars(extend("x-required" = true), example = &"29 CFR 1910.1000, Table Z-1, limits for air contaminants")]
    pub title: Option<String>,
    /// Who issues it.
    #[schemars(extend("x-required" = true), example = &"United States, Occupational Safety and Health Administration")]
    pub publisher: Option<String>,
    /// The edition used, in the publication's own words.
    #[schemars(extend("x-required" = true), example = &"82 FR 2735, 9 January 2017")]
    pub edition: Option<String>,
    /// The date of that edition.
    #[schemars(example = &"2017-01-09")]
    pub date: Option<Day>,
    /// For limits: whose limits these are, in a few words. Limits are compared only within one authority.
    #[schemars(example = &"US OSHA")]
    pub authority: Option<String>,
    /// For limits: where they are in force.
    #[schemars(example = &"United States")]
    pub jurisdiction: Option<String>,
    /// For limits: the temperature and pressure at which the source states mg/m³.
    #[schemars(example = serde_json::json!({"temperature": "25 °C", "pressure": "760 mmHg"}))]
    pub mass_stated_at: Option<ReferenceConditions>,
    /// Under which terms the values may be reproduced.
    #[schemars(extend("x-required" = true), example = &"United States government work, public domain")]
    pub licence: Option<String>,
    /// How the values reached this catalog: looked up, computed, or recalled without a look (`from memory`).
    #[schemars(extend("x-required" = true), example = &"looked up")]
    pub obtained: Option<Obtained>,
    /// What a reader should know before relying on it.
    #[schemars(example = &"mg/m³ beside ppm is approximate by the table's own footnote")]
    pub remark: Option<String>,
}

/// How a value was obtained.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Obtained {
    /// Read in the source itself or in a verbatim copy of it.
    #[serde(rename = "looked up")]
    LookedUp,
    /// Computed from other stated values.
    Computed,
    /// Recalled without a look; to be confirmed before it is relied on.
    #[serde(rename = "from memory")]
    FromMemory,
}
