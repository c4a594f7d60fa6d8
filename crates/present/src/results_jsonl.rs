//! Results as JSON Lines: one result a line, each with all that is needed to read it by itself.
//!
//! A line has the keys of a [result](stainbook_evaluation::ReadingResult) and before them `schema_version`, `software`,
//! `catalog`, `survey` (what was typed once for the whole survey; null for a table) and `facts`: what this result depends on,
//! by digest, where no line before it has shown it; null where one has. So a million results need not repeat one sheet a
//! million times. What several readings say together is not in it: it belongs to no one line.

use std::collections::BTreeMap;

use serde_json::Value;
use stainbook_evaluation::result::{SCHEMA_VERSION, SOFTWARE};
use stainbook_evaluation::{Evaluation, ReadingResult};

use crate::pretty_json;

#[derive(serde::Serialize)]
struct ResultLine<'a> {
    schema_version: u32,
    software: &'a str,
    catalog: Option<&'a str>,
    survey: &'a Value,
    facts: Option<&'a BTreeMap<String, Value>>,
    #[serde(flatten)]
    result: &'a ReadingResult,
}

/// Facts that the lines have in common.
#[derive(Clone, Copy, Debug)]
pub struct Common<'a> {
    /// The catalog's short name.
    pub catalog: Option<&'a str>,
    /// The survey's own fields, typed once for all readings.
    pub survey: &'a Value,
}

/// One line, with its end.
///
/// # Errors
///
/// If a figure cannot be written as JSON; there is none known.
pub fn line(
    result: &ReadingResult,
    common: Common<'_>,
    facts: &BTreeMap<String, Value>,
) -> serde_json::Result<String> {
    pretty_json::on_one_line(&ResultLine {
        schema_version: SCHEMA_VERSION,
        software: SOFTWARE,
        catalog: common.catalog,
        survey: common.survey,
        facts: (!facts.is_empty()).then_some(facts),
        result,
    })
}

/// All results of an evaluation.
///
/// # Errors
///
/// As [`line()`].
pub fn render(evaluation: &Evaluation) -> serde_json::Result<String> {
    let mut left = evaluation.facts.clone();
    let common = Common {
        catalog: evaluation.catalog.as_deref(),
        survey: &evaluation.inputs,
    };
    let mut text = String::new();
    for result in &evaluation.results {
        let own = result
            .sheet_digest
            .as_ref()
            .and_then(|digest| left.remove_entry(digest));
        text.push_str(&line(result, common, &own.into_iter().collect())?);
    }
    Ok(text)
}
