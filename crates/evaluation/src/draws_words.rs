//! Results of the Monte Carlo method, in words.

use std::fmt::Write as _;

use stainbook_catalog::model::Substance;
use stainbook_core::print;

use crate::budget_words::finite;
use crate::ends_words;
use crate::evaluated::{DrawnResult, WorkedOut};
use crate::one_reading::IntervalEnds;
use crate::result::MonteCarlo;
use stainbook_uncertainty::monte_carlo::{COVERAGE, Draws, GENERATOR};

/// In what the two methods disagree, with the limits that lie between their ends.
pub(crate) fn rough(
    out: &WorkedOut,
    drawn: &DrawnResult,
    limits: &[usize],
    of: &Substance,
) -> String {
    let unit = out.unit.canonical();
    let standard = out.standard();
    let end = |end: &Option<String>| end.clone().unwrap_or_else(|| "no end".to_owned());
    let [low, high] = ends_words::interval(out.ends, out.expanded())
        .each_ref()
        .map(end);
    let symmetric = printed(drawn.outcome.intervals.symmetric, out);
    let [drawn_low, drawn_high] = symmetric.each_ref().map(end);
    let apart = drawn.comparison.apart;
    let parts = apart.map(|apart| print::to_significant(apart / standard, 2));
    let apart = apart.map(|apart| print::to_significant(apart, 2));
    let mut text = format!(
        "for 95 % the law of propagation gives {low} to {high} {unit}, the draws {drawn_low} to {drawn_high} {unit}: {} and {} {unit} apart at the lower and upper end ({} and {} standard uncertainties), where {} {unit} would agree (JCGM 101:2008, 8.1); state the interval of the draws",
        apart[0],
        apart[1],
        parts[0],
        parts[1],
        print::number(drawn.comparison.tolerance),
    );
    let between: Vec<String> = limits
        .iter()
        .filter_map(|limit| of.limits.get(*limit))
        .map(|limit| {
            format!(
                "{} {} {}",
                limit.authority,
                limit.kind.name(),
                limit.at_most.text()
            )
        })
        .collect();
    if !between.is_empty() {
        let _ = write!(
            text,
            "; {} lies inside one of them and outside the other",
            between.join(" and ")
        );
    }
    text
}

/// IntervalEnds as printed, with the digits of the value.
fn printed([lowest, highest]: [f64; 2], out: &WorkedOut) -> [Option<String>; 2] {
    if lowest.is_nan() {
        return [None, None];
    }
    let ends = IntervalEnds {
        lowest,
        highest: finite(highest),
    };
    ends_words::interval(ends, out.expanded())
}

/// The outcome as it stands in the result, compared with the law of propagation.
pub(crate) fn result(out: &WorkedOut, drawn: &DrawnResult) -> MonteCarlo {
    let DrawnResult {
        outcome,
        settings,
        comparison,
    } = drawn;
    MonteCarlo {
        method: "JCGM 101:2008, clause 7".to_owned(),
        generator: GENERATOR.to_owned(),
        seed: settings.seed,
        draws: outcome.draws,
        adaptive: matches!(settings.draws, Draws::UntilStable { .. }),
        settled: outcome.stable.map(|(_, settled)| settled),
        median: outcome.median,
        coverage: COVERAGE,
        interval_symmetric: outcome.intervals.symmetric.map(finite),
        interval_shortest: outcome.intervals.shortest.map(finite),
        clamped_at_table_end: outcome.clamped.at_an_end,
        clamped_at_zero: outcome.clamped.at_zero,
        agrees: comparison.agrees(),
        tolerance: comparison.tolerance,
        apart: comparison.apart.map(finite),
        text: [
            printed(outcome.intervals.symmetric, out),
            printed(outcome.intervals.shortest, out),
        ],
    }
}
