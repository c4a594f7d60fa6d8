//! Results as a table, one row for each reading, for a spreadsheet.

use stainbook_evaluation::result::SOFTWARE;
use stainbook_evaluation::{Evaluation, ReadingResult};

use crate::results_text::one::limit_name;
use crate::written_csv::written;

/// Number of columns.
const WIDTH: usize = 37;

/// The columns, in order. Those about draws are empty unless draws were asked for.
pub const COLUMNS: [&str; WIDTH] = [
    "id",
    "at",
    "place",
    "substance",
    "cas",
    "stands for group",
    "sheet",
    "revision",
    "status",
    "value",
    "unit",
    "basis",
    "expanded uncertainty",
    "coverage",
    "from",
    "to",
    "standard uncertainty",
    "draws",
    "seed",
    "standard uncertainty by draws",
    "symmetric from",
    "symmetric to",
    "shortest from",
    "shortest to",
    "also value",
    "also unit",
    "also temperature [°C]",
    "also pressure [kPa]",
    "limits",
    "flags",
    "refused because",
    "instead",
    "repeat with",
    "other gases",
    "catalog revision",
    "sheet digest",
    "software",
];

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
    written([COLUMNS])
}

/// One row.
///
/// # Errors
///
/// As [`render`].
pub fn line(result: &ReadingResult) -> Result<String, csv::Error> {
    written([row(result)])
}

fn row(result: &ReadingResult) -> [String; WIDTH] {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let number = |value: Option<f64>| value.map(stainbook_core::print::number).unwrap_or_default();
    let concentration = result.concentration.as_ref();
    let also = result.converted.as_ref();
    let uncertainty = result.uncertainty.as_ref();
    let drawn = uncertainty.and_then(|u| u.monte_carlo.as_ref());
    let substance = result.substance.as_ref();
    let limits = limits_in_words(result);
    let flags: Vec<&str> = result.flags.iter().map(|flag| flag.code.as_str()).collect();
    let gases: Vec<String> = result
        .interferents
        .iter()
        .map(|gas| format!("{}: {}", gas.substance, gas.effect.words()))
        .collect();
    [
        result.id.clone(),
        text(&result.at),
        text(&result.place),
        substance.map(|s| s.name.clone()).unwrap_or_default(),
        substance.and_then(|s| s.cas.clone()).unwrap_or_default(),
        substance
            .and_then(|s| s.stands_for_group.clone())
            .unwrap_or_default(),
        result
            .sheet
            .as_ref()
            .map(|sheet| sheet.id.clone())
            .unwrap_or_default(),
        result
            .sheet
            .as_ref()
            .map(|sheet| sheet.revision.clone())
            .unwrap_or_default(),
        result.status.name().to_owned(),
        number(concentration.map(|c| c.value)),
        concentration.map(|c| c.unit.clone()).unwrap_or_default(),
        concentration
            .map(|c| c.basis.words().to_owned())
            .unwrap_or_default(),
        number(uncertainty.map(|u| u.expanded)),
        number(uncertainty.map(|u| u.coverage)),
        number(uncertainty.map(|u| u.interval[0])),
        number(uncertainty.map(|u| u.interval[1])),
        number(uncertainty.map(|u| u.standard)),
        drawn.map(|d| d.draws.to_string()).unwrap_or_default(),
        drawn.map(|d| d.seed.to_string()).unwrap_or_default(),
        number(drawn.map(|d| d.standard)),
        number(drawn.map(|d| d.interval_symmetric[0])),
        number(drawn.map(|d| d.interval_symmetric[1])),
        number(drawn.map(|d| d.interval_shortest[0])),
        number(drawn.map(|d| d.interval_shortest[1])),
        number(also.map(|a| a.value)),
        also.map(|a| a.unit.clone()).unwrap_or_default(),
        number(also.map(|a| a.conditions.temperature.value)),
        number(also.map(|a| a.conditions.pressure.value)),
        limits.join("; "),
        flags.join(" "),
        result
            .refusal
            .as_ref()
            .map(|refusal| refusal.text.clone())
            .unwrap_or_default(),
        result
            .refusal
            .as_ref()
            .map(|refusal| refusal.remedy.clone())
            .unwrap_or_default(),
        result
            .repeat_with
            .as_ref()
            .map(|repeat| repeat.text.clone())
            .unwrap_or_default(),
        gases.join("; "),
        text(&result.catalog_revision),
        text(&result.sheet_digest),
        SOFTWARE.to_owned(),
    ]
}

/// Each limit that there is a verdict for: `US OSHA ceiling 1 ppm: cannot tell`.
pub(crate) fn limits_in_words(result: &ReadingResult) -> Vec<String> {
    result
        .against
        .iter()
        .filter_map(|against| {
            let verdict = against.verdict?.name().replace('_', " ");
            Some(format!("{}: {verdict}", limit_name(&against.limit)))
        })
        .collect()
}
