//! Choice of the limits that a survey's results are compared with.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use stainbook_core::Ratio;

use crate::written::LimitKind;
use crate::written::scalars::Stated;

/// Which limits the results are compared with, and how sure a verdict has to be.
#[apply(written_form)]
pub struct Judge {
    /// The limits, each by its authority or source and its kind. Without it: every limit of the gas. A level dangerous to life or health is shown even when it is not named here, if the result is not clearly below it.
    #[schemars(example = serde_json::json!([{"authority": "US OSHA", "kind": "ceiling"}, {"source": "eu-2019-1831", "kind": "short-term"}]))]
    pub limits: Vec<LimitChoice>,
    /// How probable it has to be that the true value is below a limit (or above it) before the result is called so. Without it: 95 %. More than 50 %, less than 100 %.
    #[schemars(example = &"95 %")]
    pub certainty: Option<Stated<Ratio>>,
}

/// Limits by whose they are and what they limit. What is left out does not narrow the choice.
#[apply(written_form)]
#[schemars(extend("minProperties" = 1))]
pub struct LimitChoice {
    /// Whose limits, as the source's entry names the authority.
    #[schemars(example = &"US OSHA")]
    pub authority: Option<String>,
    /// The source of the limits, by its short name, where an authority has several.
    #[schemars(example = &"us-osha-z1")]
    pub source: Option<String>,
    /// What they limit.
    #[schemars(example = &"8-hour average")]
    pub kind: Option<LimitKind>,
}
