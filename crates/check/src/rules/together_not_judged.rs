//! A judgement that somebody has to make before readings are put together, and has not.

use stainbook_catalog::written::{GroupRow, SurveyEntry, TogetherMethod};
use stainbook_document::help;
use stainbook_document::offer::{Help, Offer};

use crate::together::rows;
use crate::{Check, Context, Fact, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "together-not-judged",
    level: Level::Warning,
    since: "0.1.0",
    summary: "What somebody has to judge about readings that are put together is not stated.",
    family: Family::Field,
    docs: include_str!("together-not-judged.md"),
    check: Check::Survey(check),
};

fn check(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, row) in rows(survey) {
        for (field, message, help) in not_stated(row) {
            let at = path.clone().key(field);
            // What is there and was not understood has been blamed.
            if said(row, field).is_none() && !context.says_nothing(&at) {
                continue;
            }
            let finding = if context.says_nothing(&at) {
                sink.at(path.clone().key("id"))
            } else {
                sink.at(at)
            };
            sink.report(
                finding
                    .message(message)
                    .label(format!("`{field}` is wanted"))
                    .note("it is for somebody who may judge it to say; nothing is assumed, and without it there is no result")
                    .help(help)
                    .fact("field", Fact::text(field)),
            );
        }
    }
}

/// Fields that a row has to state and does not, each with its problem and remedy.
fn not_stated(row: &GroupRow) -> Vec<(&'static str, &'static str, Help)> {
    let blank = |text: &Option<String>| text.as_deref().is_none_or(|text| text.trim().is_empty());
    let mut missing = Vec::new();
    match row.method {
        Some(TogetherMethod::Mixture) if blank(&row.same_effect) => missing.push((
            "same_effect",
            "it is not said what the gases do alike",
            help!("write under {} what they do alike; gases that do not are each compared with their own limit", Offer::name("same_effect")),
        )),
        Some(TogetherMethod::ExposureGroup) => {
            if blank(&row.exposure_group) {
                missing.push((
                    "exposure_group",
                    "it is not said whose exposure this is",
                    help!("write under {} which people do the same work in the same air; values of different groups are not tested together", Offer::name("exposure_group")),
                ));
            }
            if row.represents_reference_period != Some(true) {
                missing.push((
                    "represents_reference_period",
                    "it is not said that each value stands for a whole reference period",
                    help!("write {} if that is so; if not, measure over the period or put the readings of a period together in an average", Offer::field("represents_reference_period: true")),
                ));
            }
        }
        _ => {}
    }
    missing
}

/// Text of a row's field, if it was understood.
fn said<'a>(row: &'a GroupRow, field: &str) -> Option<&'a str> {
    match field {
        "same_effect" => row.same_effect.as_deref(),
        "exposure_group" => row.exposure_group.as_deref(),
        _ => row.represents_reference_period.map(|_| ""),
    }
}
