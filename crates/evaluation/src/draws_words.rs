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

/// A figure by both methods.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TwoMethods<'d> {
    /// Its unit.
    pub(crate) unit: &'d str,
    /// The interval of the law of propagation.
    pub(crate) ends: IntervalEnds,
    /// The standard uncertainty.
    pub(crate) standard: f64,
    /// The expanded uncertainty.
    pub(crate) expanded: f64,
    /// The draws.
    pub(crate) drawn: &'d DrawnResult,
}

impl<'d> TwoMethods<'d> {
    /// Of a reading.
    pub(crate) fn of(out: &'d WorkedOut, drawn: &'d DrawnResult) -> Self {
        Self {
            unit: out.unit.canonical(),
            ends: out.ends,
            standard: out.standard(),
            expanded: out.expanded(),
            drawn,
        }
    }

    /// True if a number lies inside one interval and outside the other.
    pub(crate) fn divides(&self, at: f64) -> bool {
        let covers = |[low, high]: [f64; 2]| low <= at && at <= high;
        let propagated = [self.ends.lowest, self.ends.highest.unwrap_or(f64::INFINITY)];
        covers(propagated) != covers(self.drawn.outcome.intervals.symmetric)
    }
}

/// In what the two methods disagree, with the limits that lie between their ends.
pub(crate) fn rough(of: &TwoMethods<'_>, between: &[String]) -> String {
    let TwoMethods {
        unit,
        standard,
        expanded,
        drawn,
        ..
    } = of;
    let end = |end: &Option<String>| end.clone().unwrap_or_else(|| "no end".to_owned());
    let [low, high] = ends_words::interval(of.ends, *expanded).each_ref().map(end);
    let symmetric = printed(drawn.outcome.intervals.symmetric, *expanded);
    let [drawn_low, drawn_high] = symmetric.each_ref().map(end);
    let apart = drawn.comparison.apart;
    let parts = apart.map(|apart| print::to_significant(apart / standard, 2));
    let apart = apart.map(|apart| print::to_significant(apart, 2));
    let unit = if *unit == "1" {
        String::new()
    } else {
        format!(" {unit}")
    };
    let mut text = format!(
        "for 95 % the law of propagation gives {low} to {high}{unit}, the draws {drawn_low} to {drawn_high}{unit}: {} and {}{unit} apart at the lower and upper end ({} and {} standard uncertainties), where {}{unit} would agree (JCGM 101:2008, 8.1); state the interval of the draws",
        apart[0],
        apart[1],
        parts[0],
        parts[1],
        print::number(drawn.comparison.tolerance),
    );
    if !between.is_empty() {
        let _ = write!(
            text,
            "; {} lies inside one of them and outside the other",
            between.join(" and ")
        );
    }
    text
}

/// Limits by name, as they stand between two ends.
pub(crate) fn limits(of: &Substance, limits: &[usize]) -> Vec<String> {
    limits
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
        .collect()
}

/// That the draws were too few.
pub(crate) fn not_settled(draws: u64) -> String {
    format!(
        "after {draws} draws the second digit of the uncertainty still moved; ask for more with --draws"
    )
}

/// Ends as printed, with the digits of the value.
fn printed([lowest, highest]: [f64; 2], expanded: f64) -> [Option<String>; 2] {
    if lowest.is_nan() {
        return [None, None];
    }
    let ends = IntervalEnds {
        lowest,
        highest: finite(highest),
    };
    ends_words::interval(ends, expanded)
}

/// The outcome as it stands in the result, compared with the law of propagation.
pub(crate) fn result(expanded: f64, drawn: &DrawnResult) -> MonteCarlo {
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
            printed(outcome.intervals.symmetric, expanded),
            printed(outcome.intervals.shortest, expanded),
        ],
    }
}
