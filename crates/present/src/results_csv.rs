//! Results as a table, one row for each reading, for a spreadsheet.

use stainbook_evaluation::result::SOFTWARE;
use stainbook_evaluation::{Evaluation, ReadingResult};

use crate::limit_name::limit_name;
use crate::written_csv::{number, written};

/// Number of columns.
const WIDTH: usize = 37;

/// The columns, in order. Those about draws are empty unless draws were asked for.
pub fn columns() -> [&'static str; WIDTH] {
    row(&ReadingResult::default()).map(|(column, _)| column)
}

/// The table with its head.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(evaluation: &Evaluation) -> Result<String, csv::Error> {
    let mut text = head()?;
    for result in &evaluation.results {
        text.push_str(&line(result)?);
    }
    Ok(text)
}

/// The head alone, for a table that is written as its readings come in.
///
/// # Errors
///
/// As [`render`].
pub fn head() -> Result<String, csv::Error> {
    written([columns()])
}

/// One row.
///
/// # Errors
///
/// As [`render`].
pub fn line(result: &ReadingResult) -> Result<String, csv::Error> {
    written([row(result).map(|(_, cell)| cell)])
}

/// The cells of a row, each with the head of its column.
fn row(result: &ReadingResult) -> [(&'static str, String); WIDTH] {
    let text = |text: Option<&String>| text.cloned().unwrap_or_default();
    let concentration = result.concentration.as_ref();
    let basis = concentration.map_or("", |amount| amount.basis.words());
    let also = result.converted.as_ref();
    let uncertainty = result.uncertainty.as_ref();
    // Of a bound the end that it reaches stands in its column, and the other is empty.
    let with_bounds = uncertainty.or(result.uncertainty_at_bound.as_ref());
    let drawn = uncertainty.and_then(|u| u.monte_carlo.as_ref());
    let substance = result.substance.as_ref();
    let sheet = result.sheet.as_ref();
    let refusal = result.refusal.as_ref();
    let flags: Vec<&str> = result.flags.iter().map(|flag| flag.code.as_str()).collect();
    let gases = result.interferents.iter();
    let gases: Vec<String> = gases
        .map(|gas| format!("{}: {}", gas.substance, gas.effect.words()))
        .collect();
    [
        ("id", result.id.clone()),
        ("at", text(result.at.as_ref())),
        ("place", text(result.place.as_ref())),
        ("substance", text(substance.map(|s| &s.name))),
        ("cas", text(substance.and_then(|s| s.cas.as_ref()))),
        (
            "stands for group",
            text(substance.and_then(|s| s.stands_for_group.as_ref())),
        ),
        ("sheet", text(sheet.map(|s| &s.id))),
        ("revision", text(sheet.map(|s| &s.revision))),
        ("status", result.status.name().to_owned()),
        ("value", number(concentration.map(|c| c.value))),
        ("unit", text(concentration.map(|c| &c.unit))),
        ("basis", basis.to_owned()),
        (
            "expanded uncertainty",
            number(uncertainty.map(|u| u.expanded)),
        ),
        ("coverage", number(with_bounds.map(|u| u.coverage))),
        ("from", number(with_bounds.and_then(|u| u.interval[0]))),
        ("to", number(with_bounds.and_then(|u| u.interval[1]))),
        (
            "standard uncertainty",
            number(uncertainty.map(|u| u.standard)),
        ),
        (
            "draws",
            drawn.map(|d| d.draws.to_string()).unwrap_or_default(),
        ),
        (
            "seed",
            drawn.map(|d| d.seed.to_string()).unwrap_or_default(),
        ),
        ("median of the draws", number(drawn.map(|d| d.median))),
        (
            "symmetric from",
            number(drawn.and_then(|d| d.interval_symmetric[0])),
        ),
        (
            "symmetric to",
            number(drawn.and_then(|d| d.interval_symmetric[1])),
        ),
        (
            "shortest from",
            number(drawn.and_then(|d| d.interval_shortest[0])),
        ),
        (
            "shortest to",
            number(drawn.and_then(|d| d.interval_shortest[1])),
        ),
        ("also value", number(also.map(|a| a.value))),
        ("also unit", text(also.map(|a| &a.unit))),
        (
            "also temperature [°C]",
            number(also.map(|a| a.conditions.temperature.value)),
        ),
        (
            "also pressure [kPa]",
            number(also.map(|a| a.conditions.pressure.value)),
        ),
        ("limits", limits_in_words(result).join("; ")),
        ("flags", flags.join(" ")),
        (
            "refused because",
            text(refusal.map(|refusal| &refusal.text)),
        ),
        ("instead", text(refusal.map(|refusal| &refusal.remedy))),
        (
            "repeat with",
            text(result.repeat_with.as_ref().map(|repeat| &repeat.text)),
        ),
        ("other gases", gases.join("; ")),
        ("catalog revision", text(result.catalog_revision.as_ref())),
        ("sheet digest", text(result.sheet_digest.as_ref())),
        ("software", SOFTWARE.to_owned()),
    ]
}

/// Each limit that there is a verdict for: `US OSHA ceiling 1 ppm: cannot tell (no leak test recorded)`.
pub(crate) fn limits_in_words(result: &ReadingResult) -> Vec<String> {
    result
        .against
        .iter()
        .filter(|against| against.verdict.is_some())
        .map(|against| format!("{}: {}", limit_name(&against.limit), against.in_words()))
        .collect()
}
