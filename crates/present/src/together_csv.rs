//! Readings together as a table, one row for each figure, for a spreadsheet.

use stainbook_evaluation::Evaluation;
use stainbook_evaluation::defaults::COVERAGE;
use stainbook_evaluation::result::{
    GroupMethod, GroupResult, GroupStatus, LimitComparison, MonteCarlo, Solved,
};

use crate::written_csv::{number, written};

/// Number of columns.
pub(crate) const WIDTH: usize = 28;

/// The cells of a row, each with the head of its column.
type Row = [(&'static str, String); WIDTH];

/// The columns, in order.
pub fn columns() -> [&'static str; WIDTH] {
    row(&GroupResult::empty("", GroupMethod::Average)).map(|(column, _)| column)
}

/// The table with its head. Gases that were solved for together have a row each.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub fn render(evaluation: &Evaluation) -> Result<String, csv::Error> {
    let head = columns().map(str::to_owned);
    let rows = rows(evaluation).into_iter();
    written(std::iter::once(head).chain(rows.map(|row| row.map(|(_, cell)| cell))))
}

/// The rows, cell by cell.
pub(crate) fn rows(evaluation: &Evaluation) -> Vec<Row> {
    let of_one = |together: &GroupResult| {
        if together.solved.is_empty() {
            return vec![row(together)];
        }
        let solved = together.solved.iter();
        solved.map(|solved| solved_row(together, solved)).collect()
    };
    evaluation.together.iter().flat_map(of_one).collect()
}

fn text(text: Option<&String>) -> String {
    text.cloned().unwrap_or_default()
}

fn row(together: &GroupResult) -> Row {
    let uncertainty = together.uncertainty.as_ref();
    let substance = together.substance.as_ref();
    let of: Vec<&str> = together
        .of
        .iter()
        .map(|member| member.id.as_str())
        .collect();
    let tests = together.tests.iter();
    let tests: Vec<String> = tests
        .map(|test| format!("{}: {}", test.name, test.decision.words()))
        .collect();
    let flags: Vec<&str> = together
        .flags
        .iter()
        .map(|flag| flag.code.as_str())
        .collect();
    let period = together.period.as_ref();
    let refusal = together.refusal.as_ref();
    let indicative = match together.status {
        GroupStatus::Refused => String::new(),
        _ => together.indicative.to_string(),
    };
    let [draws, seed, median, drawn_from, drawn_to] = by_draws(together.monte_carlo.as_ref());
    [
        ("id", together.id.clone()),
        ("method", together.method.name().to_owned()),
        ("what", together.what.clone()),
        ("made of", of.join(" ")),
        ("substance", text(substance.map(|gas| &gas.name))),
        ("cas", text(substance.and_then(|gas| gas.cas.as_ref()))),
        ("status", together.status.name().to_owned()),
        ("value", number(together.value)),
        ("unit", text(together.unit.as_ref())),
        ("lowest", number(together.lowest)),
        ("highest", number(together.highest)),
        (
            "expanded uncertainty",
            number(uncertainty.map(|u| u.expanded)),
        ),
        ("coverage", number(together.unit.as_ref().map(|_| COVERAGE))),
        ("from", number(together.with_uncertainty.lowest)),
        ("to", number(together.with_uncertainty.highest)),
        ("draws", draws),
        ("seed", seed),
        ("median of the draws", median),
        ("symmetric from", drawn_from),
        ("symmetric to", drawn_to),
        ("indicative", indicative),
        ("over [min]", number(period.map(|period| period.over))),
        ("covered [min]", number(period.map(|period| period.covered))),
        ("limits", limits(&together.against)),
        ("tests", tests.join("; ")),
        ("flags", flags.join(" ")),
        (
            "refused because",
            text(refusal.map(|refusal| &refusal.text)),
        ),
        ("instead", text(refusal.map(|refusal| &refusal.remedy))),
    ]
}

fn solved_row(together: &GroupResult, solved: &Solved) -> Row {
    let gas = solved.substance.as_ref();
    let drawn = by_draws(solved.monte_carlo.as_ref());
    let [draws, seed, median, drawn_from, drawn_to] = drawn;
    row(together).map(|(column, cell)| {
        let own = match column {
            "id" => format!("{} {}", together.id, solved.reading),
            "substance" => text(gas.map(|gas| &gas.name)),
            "cas" => text(gas.and_then(|gas| gas.cas.as_ref())),
            "value" => number(solved.value),
            "unit" => solved.unit.clone(),
            "lowest" => number(solved.lowest),
            "highest" => number(solved.highest),
            "expanded uncertainty" => number(solved.expanded),
            "coverage" => number(Some(COVERAGE)),
            "from" => number(solved.with_uncertainty.lowest),
            "to" => number(solved.with_uncertainty.highest),
            "draws" => draws.clone(),
            "seed" => seed.clone(),
            "median of the draws" => median.clone(),
            "symmetric from" => drawn_from.clone(),
            "symmetric to" => drawn_to.clone(),
            "limits" => limits(&solved.against),
            _ => cell,
        };
        (column, own)
    })
}

/// Number of draws, seed, median, and the symmetric interval; empty where nothing was drawn.
fn by_draws(drawn: Option<&MonteCarlo>) -> [String; 5] {
    let Some(drawn) = drawn else {
        return Default::default();
    };
    let [from, to] = drawn.interval_symmetric;
    [
        drawn.draws.to_string(),
        drawn.seed.to_string(),
        number(Some(drawn.median)),
        number(from),
        number(to),
    ]
}

fn limits(against: &[LimitComparison]) -> String {
    let limits: Vec<String> = against
        .iter()
        .filter(|against| against.verdict.is_some())
        .map(|against| {
            let limit = &against.limit;
            format!(
                "{} {} {}: {}",
                limit.authority,
                limit.kind,
                limit.text,
                against.in_words()
            )
        })
        .collect();
    limits.join("; ")
}
