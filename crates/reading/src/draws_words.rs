//! What drawing gave, for the result and in words.

use stainbook_core::print;

use crate::budget::Relative;
use crate::monte_carlo::{COVERAGE, Comparison, Draws, GENERATOR, Outcome, Settings};
use crate::result::{MonteCarlo, ReadingResult, Remark};

/// To how many digits the two methods have to agree: one, as two of the draws' own stand.
const COMPARED_DIGITS: u32 = 1;

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

/// What has to be said with it.
pub(crate) fn remarks(drawn: &MonteCarlo, unit: &str, result: &mut ReadingResult) {
    let [low, high] = &drawn.text[0];
    if !drawn.agrees {
        result.flags.push(Remark::new(
            "propagation-rough",
            format!(
                "the law of propagation and the draws disagree about the interval by more than {} {unit}; the one of the draws, {low} to {high} {unit}, is the better one",
                print::to_significant(drawn.tolerance, 1)
            ),
        ));
    }
    if drawn.settled == Some(false) {
        result.flags.push(Remark::new(
            "draws-not-settled",
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
            result.statements.push(Remark::new(
                "draws-held",
                format!("{count} of {} draws {what}.", drawn.draws),
            ));
        }
    }
}
