//! What drawing gave, for the result and in words.

use std::fmt::Write as _;

use stainbook_core::print;

use crate::budget::Relative;
use crate::outcome::{Code, Flag, Statement};
use crate::result::{MonteCarlo, ReadingResult};
use stainbook_uncertainty::monte_carlo::{
    COVERAGE, Comparison, Draws, GENERATOR, Outcome, Settings,
};
use stainbook_uncertainty::student_t;

/// To how many digits the two methods have to agree: one, as two of the draws' own stand.
const COMPARED_DIGITS: u32 = 1;

/// In what the two methods disagree, and whether a limit lies between their ends.
fn rough(drawn: &MonteCarlo, result: &ReadingResult) -> Option<(Flag, bool)> {
    let (amount, uncertainty) = (result.concentration.as_ref()?, result.uncertainty.as_ref()?);
    let (value, unit) = (amount.value, amount.unit.as_str());
    let degrees = uncertainty
        .effective_degrees_of_freedom
        .unwrap_or(f64::INFINITY);
    let half = uncertainty.standard * student_t::two_sided(COVERAGE, degrees);
    let propagated = [value - half, value + half];
    let [low, high] = propagated.map(|end| print::with_uncertainty(end, uncertainty.standard).0);
    let [drawn_low, drawn_high] = &drawn.text[0];
    let apart = drawn.apart.map(|apart| print::to_significant(apart, 2));
    let parts = drawn
        .apart
        .map(|apart| print::to_significant(apart / uncertainty.standard, 2));
    let mut text = format!(
        "for 95 % the law of propagation gives {low} to {high} {unit}, the draws {drawn_low} to {drawn_high} {unit}: {} and {} {unit} apart at the lower and upper end ({} and {} standard uncertainties), where {} {unit} would agree (JCGM 101:2008, 8.1); state the interval of the draws",
        apart[0],
        apart[1],
        parts[0],
        parts[1],
        print::number(drawn.tolerance),
    );
    // Limits are compared as volume fractions, of which the scale's unit is a fixed multiple.
    let in_unit = |ppm: f64| result.as_ppm.map(|as_ppm| ppm * value / as_ppm);
    let between: Vec<String> = result
        .against
        .iter()
        .filter(|against| against.verdict.is_some())
        .filter(|against| {
            let limit = against.limit.as_ppm.and_then(in_unit);
            let covers = |ends: [f64; 2], at: f64| ends[0] <= at && at <= ends[1];
            limit.is_some_and(|limit| {
                covers(propagated, limit) != covers(drawn.interval_symmetric, limit)
            })
        })
        .map(|against| {
            let limit = &against.limit;
            format!("{} {} {}", limit.authority, limit.kind, limit.text)
        })
        .collect();
    if !between.is_empty() {
        let _ = write!(
            text,
            "; {} lies inside one of them and outside the other",
            between.join(" and ")
        );
    }
    Some((Flag::new(Code::PropagationRough, text), !between.is_empty()))
}

/// The outcome as it stands in the result, compared with the law of propagation.
pub(crate) fn result(
    outcome: &Outcome,
    settings: &Settings,
    value: f64,
    relative: Relative,
) -> MonteCarlo {
    let comparison = Comparison::new(
        value,
        value * relative.standard,
        relative.effective_degrees_of_freedom,
        outcome,
        COMPARED_DIGITS,
    );
    let printed = |ends: [f64; 2]| ends.map(|end| print::with_uncertainty(end, outcome.standard).0);
    MonteCarlo {
        method: "JCGM 101:2008, clause 7".to_owned(),
        generator: GENERATOR.to_owned(),
        seed: settings.seed,
        draws: outcome.draws,
        adaptive: matches!(settings.draws, Draws::UntilStable { .. }),
        settled: outcome.stable.map(|(_, settled)| settled),
        mean: outcome.mean,
        standard: outcome.standard,
        coverage: COVERAGE,
        interval_symmetric: outcome.intervals.symmetric,
        interval_shortest: outcome.intervals.shortest,
        held_at_table_end: outcome.held.at_an_end,
        held_at_zero: outcome.held.at_zero,
        agrees: comparison.agrees(),
        tolerance: comparison.tolerance,
        apart: comparison.apart,
        text: [
            printed(outcome.intervals.symmetric),
            printed(outcome.intervals.shortest),
        ],
    }
}

/// What has to be said with it, once the result has been compared with its limits.
///
/// That the two methods disagree is always said, by the standard's own measure (JCGM 101:2008, 8.1). With a relative
/// standard uncertainty of a quarter or more that is the rule: a product of doubtful factors is lopsided, and an interval of
/// equal arms reaches too low. So it is said with the result, and raised as a flag where somebody would decide otherwise: a
/// limit lies inside one interval and outside the other.
pub(crate) fn remarks(drawn: &MonteCarlo, result: &mut ReadingResult) {
    if !drawn.agrees
        && let Some((flag, divided)) = rough(drawn, result)
    {
        if divided {
            result.flags.push(flag);
        } else {
            result.statements.push(flag.into());
        }
    }
    if drawn.settled == Some(false) {
        result.flags.push(Flag::new(
            Code::DrawsNotSettled,
            format!(
                "after {} draws the second digit of the uncertainty still moved; ask for more with --draws",
                drawn.draws
            ),
        ));
    }
    for (count, what) in [
        (
            drawn.held_at_table_end,
            "lay outside a correction of the sheet and were taken at its end",
        ),
        (
            drawn.held_at_zero,
            "would have come out below zero and were taken as zero",
        ),
    ] {
        if 0 < count {
            result.statements.push(Statement::new(
                Code::DrawsHeld,
                format!("{count} of {} draws {what}.", drawn.draws),
            ));
        }
    }
}
