//! Sentences that stand in text only: for a limit, a molar mass, a survey, and the extent of the work.

use stainbook_core::print;
use stainbook_revision::effects::{LimitMove, SheetEffects};
use stainbook_revision::results::SurveyMove;

use super::percent;

/// Extent of the work, so that silence can be weighed.
pub(crate) fn extent(effects: &SheetEffects) -> Option<String> {
    if effects.not_compared.is_some() {
        return None;
    }
    let mut extent = format!(
        "{} readings worked out both ways, {} came out otherwise",
        effects.computed, effects.moved
    );
    if 0.0 < effects.largest_rise {
        extent.push_str(&format!(
            "; the largest rise is {}",
            percent(effects.largest_rise)
        ));
    }
    if effects.largest_fall < 0.0 {
        extent.push_str(&format!(
            "; the largest fall is {}",
            percent(effects.largest_fall)
        ));
    }
    Some(extent)
}

/// The sentence for a limit.
pub(crate) fn limit(substance: &str, one: &LimitMove) -> String {
    let period = one
        .averaged_over
        .as_ref()
        .map(|period| format!(" over {period}"));
    let name = format!(
        "{substance}: {} limit of {}{}",
        one.kind,
        one.authority,
        period.unwrap_or_default()
    );
    match (&one.old, &one.new) {
        (Some(old), Some(new)) if old == new => {
            let ppm = |value: Option<f64>| {
                value.map_or_else(
                    || "nothing comparable".to_owned(),
                    |x| format!("{} ppm", print::to_significant(x, 3)),
                )
            };
            format!(
                "{name} stays {new}, and is compared as {} instead of {}",
                ppm(one.new_ppm),
                ppm(one.old_ppm)
            )
        }
        (Some(old), Some(new)) => {
            let (verb, judged) = match (one.old_ppm, one.new_ppm) {
                (Some(a), Some(b)) if b < a => (
                    "falls",
                    "; results between the two were below it and are above it now",
                ),
                (Some(a), Some(b)) if a < b => (
                    "rises",
                    "; results between the two were above it and are below it now",
                ),
                _ => ("goes", ""),
            };
            format!("{name} {verb} from {old} to {new}{judged}")
        }
        (None, Some(new)) => format!("{name} is new: {new}; results are judged against it now"),
        (Some(old), None) => {
            format!("{name}, {old}, is gone; results are no longer judged against it")
        }
        (None, None) => name,
    }
}

/// The sentence for a molar mass.
pub(crate) fn molar_mass(substance: &str, [old, new]: [f64; 2]) -> String {
    let verb = if old < new { "rise" } else { "fall" };
    format!(
        "{substance}: the molar mass goes from {} to {} g/mol; mg/m³ worked out from ppm {verb} by {}",
        print::number(old),
        print::number(new),
        percent(new / old - 1.0)
    )
}

/// The sentence for a survey's result.
pub(crate) fn survey(one: &SurveyMove) -> String {
    format!("{}, {}: {}", one.survey, one.reading, move_words(one))
}

/// Change of a result: `6.3 ppm → 7.1 ppm (+13 %); against US OSHA ceiling: below → cannot tell`.
pub(crate) fn move_words(one: &SurveyMove) -> String {
    let mut sentence = String::new();
    if one.old == one.new {
        sentence.push_str(&one.new);
    } else {
        sentence.push_str(&format!("{} → {}", one.old, one.new));
    }
    if let Some(by) = one.by.filter(|by| 5e-4 <= by.abs()) {
        let sign = if by < 0.0 { "−" } else { "+" };
        sentence.push_str(&format!(" ({sign}{})", percent(by)));
    }
    let word = |verdict: Option<&'static str>| verdict.unwrap_or("not judged").replace('_', " ");
    for verdict in &one.verdicts {
        sentence.push_str(&format!(
            "; against {}: {} → {}",
            verdict.limit,
            word(verdict.old),
            word(verdict.new)
        ));
    }
    sentence
}
