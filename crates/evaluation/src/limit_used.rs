//! A limit as results state it, and in words.

use stainbook_catalog::model::{Limit, Substance};

use crate::judgement::limit_in_ppm;
use crate::result::LimitUsed;

impl LimitUsed {
    /// A limit of a substance as results state it.
    pub fn of(limit: &Limit, substance: &Substance) -> Self {
        Self {
            text: limit.at_most.text().to_owned(),
            value: limit.at_most.number(),
            unit: limit.at_most.unit().canonical().to_owned(),
            kind: limit.kind.into(),
            averaged_over: limit
                .averaged_over
                .as_ref()
                .map(|period| period.text().to_owned()),
            authority: limit.authority.clone(),
            edition: limit.edition.clone(),
            catalog: limit.catalog.clone(),
            replaces: limit.replaces.clone(),
            as_ppm: limit_in_ppm(limit, substance),
        }
    }

    /// Whose limit of what: `US NIOSH ceiling over 15 min`.
    pub fn name(&self) -> String {
        let over = self.averaged_over.as_ref();
        let over = over.map(|period| format!(" over {period}"));
        format!(
            "{} {}{}",
            self.authority,
            self.kind,
            over.unwrap_or_default()
        )
    }

    /// The same with its value: `US NIOSH ceiling over 15 min 0.5 ppm`.
    pub fn words(&self) -> String {
        format!("{} {}", self.name(), self.text)
    }
}
