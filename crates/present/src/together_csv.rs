//! Readings together as a table, one row for each figure, for a spreadsheet.

use stainbook_core::print;
use stainbook_evaluation::Evaluation;
use stainbook_evaluation::defaults::COVERAGE;
use stainbook_evaluation::result::{GroupResult, GroupStatus, LimitComparison, Solved};

use crate::written_csv::written;

/// The columns, in order.
pub const COLUMNS: [&str; 23] = [
    "id",
    "method",
    "what",
    "made of",
    "substance",
    "cas",
    "status",
    "value",
    "unit",
    "lowest",
    "highest",
    "expanded uncertainty",
    "coverage",
    "from",
    "to",
    "indicative",
    "over [min]",
    "covered [min]",
    "limits",
    "tests",
    "flags",
    "refused because",
    "instead",
];

/// The table with its head. Gases that were solved for together have a row each.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(evaluation: &Evaluation) -> Result<String, csv::Error> {
    let head = COLUMNS.map(str::to_owned);
    written(std::iter::once(head).chain(rows(evaluation)))
}

/// The rows, cell by cell.
pub(crate) fn rows(evaluation: &Evaluation) -> Vec<[String; 23]> {
    let of_one = |together: &GroupResult| {
        if together.solved.is_empty() {
            return vec![row(together)];
        }
        let solved = together.solved.iter();
        solved.map(|solved| solved_row(together, solved)).collect()
    };
    evaluation.together.iter().flat_map(of_one).collect()
}

fn number(value: Option<f64>) -> String {
    value.map(print::number).unwrap_or_default()
}

fn row(together: &GroupResult) -> [String; 23] {
    let uncertainty = together.uncertainty.as_ref();
    let substance = together.substance.as_ref();
    let of: Vec<&str> = together
        .of
        .iter()
        .map(|member| member.id.as_str())
        .collect();
    let tests: Vec<String> = together
        .tests
        .iter()
        .map(|test| format!("{}: {}", test.name, test.decision.words()))
        .collect();
    let flags: Vec<&str> = together
        .flags
        .iter()
        .map(|flag| flag.code.as_str())
        .collect();
    let period = together.period.as_ref();
    let refusal = together.refusal.as_ref();
    let refused = together.status == GroupStatus::Refused;
    [
        together.id.clone(),
        together.method.name().to_owned(),
        together.what.clone(),
        of.join(" "),
        substance.map(|gas| gas.name.clone()).unwrap_or_default(),
        substance
            .and_then(|gas| gas.cas.clone())
            .unwrap_or_default(),
        together.status.name().to_owned(),
        number(together.value),
        together.unit.clone().unwrap_or_default(),
        number(together.lowest),
        number(together.highest),
        number(uncertainty.map(|u| u.expanded)),
        number(together.unit.as_ref().map(|_| COVERAGE)),
        number(together.with_uncertainty.lowest),
        number(together.with_uncertainty.highest),
        if refused {
            String::new()
        } else {
            together.indicative.to_string()
        },
        number(period.map(|period| period.over)),
        number(period.map(|period| period.covered)),
        limits(&together.against),
        tests.join("; "),
        flags.join(" "),
        refusal
            .map(|refusal| refusal.text.clone())
            .unwrap_or_default(),
        refusal
            .map(|refusal| refusal.remedy.clone())
            .unwrap_or_default(),
    ]
}

fn solved_row(together: &GroupResult, solved: &Solved) -> [String; 23] {
    let gas = solved.substance.as_ref();
    let mut row = row(together);
    for (column, text) in [
        ("id", format!("{} {}", together.id, solved.reading)),
        (
            "substance",
            gas.map(|gas| gas.name.clone()).unwrap_or_default(),
        ),
        (
            "cas",
            gas.and_then(|gas| gas.cas.clone()).unwrap_or_default(),
        ),
        ("value", number(solved.value)),
        ("unit", solved.unit.clone()),
        ("lowest", number(solved.lowest)),
        ("highest", number(solved.highest)),
        ("expanded uncertainty", number(solved.expanded)),
        ("coverage", number(Some(COVERAGE))),
        ("from", number(solved.with_uncertainty.lowest)),
        ("to", number(solved.with_uncertainty.highest)),
        ("limits", limits(&solved.against)),
    ] {
        let slot = COLUMNS
            .iter()
            .position(|name| *name == column)
            .and_then(|index| row.get_mut(index));
        if let Some(slot) = slot {
            *slot = text;
        }
    }
    row
}

fn limits(against: &[LimitComparison]) -> String {
    let limits: Vec<String> = against
        .iter()
        .filter_map(|against| {
            let verdict = against.verdict?.name().replace('_', " ");
            let limit = &against.limit;
            Some(format!(
                "{} {} {}: {verdict}",
                limit.authority, limit.kind, limit.text
            ))
        })
        .collect();
    limits.join("; ")
}
