//! `catalog.yaml`: what a catalog is called, what it builds on and how strict it is.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Pressure, Temperature};

use super::scalars::{Count, Day, Stated};

/// The root file of a catalog. It names the catalog and its revision, which every result carries.
#[apply(written_form)]
pub struct CatalogEntry {
    /// The catalog's own short name: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"harbour-lab")]
    pub catalog: Option<String>,
    /// The catalog's name in full, as it is printed on sheets and results.
    #[schemars(extend("x-required" = true), example = &"Harbour laboratory, detector tubes")]
    pub title: Option<String>,
    /// The date of this state of the catalog. Change it with every change that is published: results carry it.
    #[schemars(extend("x-required" = true), example = &"2026-03-01")]
    pub revision: Option<Day>,
    /// The version of the file format. This version of stainbook reads format 1.
    #[schemars(extend("x-required" = true), example = 1)]
    pub format: Option<Count>,
    /// What the catalog is for and who keeps it, in a sentence or two.
    #[schemars(example = &"Tubes used on the quay and in the smokehouse, kept by the harbour laboratory.")]
    pub about: Option<String>,
    /// The temperature and pressure at which this laboratory states a mass concentration when nothing else is said.
    /// Leave it out and every conversion has to name its conditions.
    #[schemars(example = serde_json::json!({"temperature": "20 °C", "pressure": "101.325 kPa"}))]
    pub reference_conditions: Option<ReferenceConditions>,
    /// The catalogs whose entries this one may refer to. `stainbook-reference` is built in: substances, limits and their sources.
    #[schemars(extend("uniqueItems" = true), example = serde_json::json!(["stainbook-reference"]))]
    pub builds_on: Vec<String>,
    /// Rules of the checker that this catalog treats more strictly or more leniently, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "not-verified", "level": "error", "because": "two pairs of eyes are house rule"}]))]
    pub rules: Vec<RuleLevel>,
}

/// A temperature and a pressure that belong together.
#[apply(written_form)]
pub struct ReferenceConditions {
    /// The temperature, in °C, °F or K.
    #[schemars(extend("x-required" = true), example = &"20 °C")]
    pub temperature: Option<Stated<Temperature>>,
    /// The absolute pressure, in kPa, hPa, mbar, mmHg, inHg or atm.
    #[schemars(extend("x-required" = true), example = &"101.325 kPa")]
    pub pressure: Option<Stated<Pressure>>,
}

/// The level at which this catalog reports one rule.
#[apply(written_form)]
pub struct RuleLevel {
    /// The rule's name, as it stands in brackets in a finding.
    #[schemars(extend("x-required" = true), example = &"not-verified")]
    pub rule: Option<String>,
    /// The level from now on.
    #[schemars(extend("x-required" = true), example = &"error")]
    pub level: Option<WrittenLevel>,
    /// Why this catalog differs from the usual level.
    #[schemars(extend("x-required" = true), example = &"two pairs of eyes are house rule")]
    pub because: Option<String>,
}

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum WrittenLevel {
    /// A result must not be built on this.
    Error,
    /// Somebody should look at this.
    Warning,
    /// Worth knowing.
    Note,
    /// Not reported at all.
    Silent,
}
