//! Statements about several readings: said once, with the readings that they are about.

use std::collections::BTreeMap;

use stainbook_evaluation::{Evaluation, ReadingResult};

use super::WIDTH;
use crate::lines::push_hanging;

/// Statements about several readings: said once, with the readings that they are about.
#[derive(Default)]
pub(super) struct Shared {
    by_text: BTreeMap<String, Vec<String>>,
}

impl Shared {
    pub(super) fn of(evaluation: &Evaluation) -> Self {
        let mut shared = Self::default();
        for result in &evaluation.results {
            let statements = result
                .statements
                .iter()
                .map(|statement| statement.text.clone());
            for text in statements.chain(not_compared_because(result)) {
                shared
                    .by_text
                    .entry(text)
                    .or_default()
                    .push(result.id.clone());
            }
        }
        shared.by_text.retain(|_, ids| 1 < ids.len());
        shared
    }

    pub(super) fn holds(&self, text: &str) -> bool {
        self.by_text.contains_key(text)
    }

    pub(super) fn render(&self, out: &mut String, evaluation: &Evaluation) {
        for (text, ids) in &self.by_text {
            let about = if ids.len() == evaluation.results.len() {
                "all".to_owned()
            } else {
                ids.join(", ")
            };
            push_hanging(out, "Note: ", &format!("{text} ({about})"), WIDTH);
        }
    }
}

/// Reasons for which limits are not compared with, each once.
pub(super) fn not_compared_because(result: &ReadingResult) -> Vec<String> {
    let mut reasons: Vec<String> = result
        .against
        .iter()
        .filter(|against| against.verdict.is_none())
        .filter_map(|against| Some(format!("Not compared: {}", against.reason.as_ref()?)))
        .collect();
    reasons.dedup();
    reasons
}
