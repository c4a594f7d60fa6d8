//! Gases that disturb each other's tubes, measured in the same air with a tube for each: solved for together.
//!
//! Each tube gives `xᵢ = Fᵢ(xⱼ …)`: its result with the other gases at their levels taken off the stain as its sheet says.
//! The levels that fit all tubes are found by Newton's method on `xᵢ − Fᵢ(x) = 0`. Where the corrections are proportional
//! that is a system of linear equations, and one step solves it. With a bound among the readings see [`bounded`].
//!
//! An error of one tube reaches all gases through the inverse of the system's matrix. Only what is certain to push all tubes
//! the same way is taken as common to them: the strokes of one pump, the barometer. Everything else (accuracy of each
//! sheet, responses, readings) is each tube's own.

use stainbook_catalog::written::GroupRow;

use super::bounds::Bounds;
use super::correlated_estimate::CorrelatedEstimate;
use super::result::{GroupResult, GroupStatus, Solved};
use super::{GroupInputs, GroupMember, GroupMembers};
use crate::budget_words::finite;
use crate::defaults;
use crate::evaluate::Evaluator;
use crate::evaluated::Evaluated;
use crate::judgement::doubtful;
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::{EffectOnReading, LimitComparison, Status};

mod bounded;
mod system;

pub(super) use system::owner as tied_by_air;
use system::{System, Tube, correlation};

/// Solves for the gases of a row, and puts what is found in place of the readings.
///
/// # Errors
///
/// A [`Refusal`]: a sheet does not say how much a gas disturbs, the system does not settle, or is
/// too near to telling nothing.
pub(super) fn solve<'b>(
    row: &GroupRow,
    evaluator: &Evaluator<'b>,
    taken: &GroupInputs<'_>,
    results: &mut [Evaluated<'b>],
    parts: &mut GroupMembers<'b>,
    together: &mut GroupResult,
) -> Result<(), Refusal> {
    let named = parts.named(row.readings.iter())?;
    together.of = named.iter().map(|(id, known)| known.member(id)).collect();
    let names: Vec<&str> = named
        .iter()
        .map(|(_, known)| known.substance.name.as_str())
        .collect();
    together.what = format!("{} in the same air, solved together", names.join(" and "));
    let system = System::new(&row.readings, taken, results)?;
    together.statements.push(Statement::new(
        Code::SolvedForOneAir,
        "That these tubes drew the same air is said by the survey. Averages and mixtures that name these readings use the values found here.",
    ));
    if system
        .tubes
        .iter()
        .any(|tube| tube.status != Status::Measured)
    {
        return bounded::solve(&system, row, evaluator, results, parts, together);
    }
    let solution = system.solve(evaluator)?;
    let raw: Vec<f64> = system.tubes.iter().map(|tube| tube.raw).collect();
    let figures = solution.figures(parts.draws.next_system());
    parts.draws.add_system(
        solution
            .at
            .iter()
            .zip(&solution.readings)
            .zip(&system.tubes)
            .zip(&solution.x)
            .map(|(((at, reading), tube), level)| (at, *reading, *level, tube.gas.as_str())),
    );
    for (index, (tube, at)) in system.tubes.iter().zip(&solution.at).enumerate() {
        let (Some(figure), Some(value), Some(raw)) =
            (figures.get(index), solution.x.get(index), raw.get(index))
        else {
            continue;
        };
        let per_ppm = at.ppm().unwrap_or(f64::NAN) / value;
        let standard = figure.standard();
        let expanded = figure.expanded();
        let in_ppm = CorrelatedEstimate::sum([(per_ppm, figure)]);
        let ends = Bounds::value(in_ppm);
        let flags = doubtful::among(at);
        let against = at
            .record
            .substance
            .as_ref()
            .map(|gas| {
                super::against_directly(evaluator, gas, &ends, &flags, "a reading on the bound")
            })
            .unwrap_or_default();
        let judged: Vec<&LimitComparison> = against.iter().collect();
        let drawn = parts.draws.said(figure, tube.unit, &judged, 1.0 / per_ppm);
        let monte_carlo = drawn.map(|drawn| {
            let of_tube = |text: &str| format!("{}: {text}", tube.id);
            let flags = drawn.flags.iter();
            together
                .flags
                .extend(flags.map(|flag| Flag::new(flag.code.clone(), of_tube(&flag.text))));
            let statements = drawn.statements.iter();
            together.statements.extend(
                statements.map(|said| Statement::new(said.code.clone(), of_tube(&said.text))),
            );
            drawn.result
        });
        together.solved.push(Solved {
            reading: tube.id.clone(),
            substance: at.record.substance.clone(),
            uncorrected: *raw,
            value: Some(*value),
            lowest: Some(*value),
            highest: Some(*value),
            with_uncertainty: Bounds::value(figure.clone()).with_uncertainty(),
            unit: tube.unit.to_owned(),
            text: Bounds::value(figure.clone()).text(),
            standard: Some(standard),
            expanded: Some(expanded),
            coverage_factor: figure.coverage_factor(),
            effective_degrees_of_freedom: finite(figure.degrees_of_freedom()),
            residual: Some(solution.residuals.get(index).copied().unwrap_or(0.0)),
            monte_carlo,
            correlation_with_first: figures.first().map(|first| correlation(first, figure)),
            against,
        });
        if *value * defaults::LARGE_RELATIVE_UNCERTAINTY < standard {
            together.flags.push(Flag::new(
                Code::UncertaintyLarge,
                format!("{}: the standard uncertainty is above 40 % of the value; the other gas makes much of the stain", tube.id),
            ));
        }
        together.flags.extend(flags.iter().cloned());
        flag_original(tube, at, *raw, *value, row, results);
        substitute_solved(tube, at, ends, flags, parts);
    }
    together.status = GroupStatus::Measured;
    together.statements.push(Statement::new(
        Code::SharedBetweenTubes,
        "The strokes of one pump and the barometer are taken as common to the tubes; everything else, responses to the other gas included, as each tube's own.",
    ));
    Ok(())
}

/// Substitutes the solved values for the readings in averages and mixtures.
fn substitute_solved(
    tube: &Tube<'_>,
    at: &Evaluated<'_>,
    ends: Bounds,
    flags: Vec<Flag>,
    parts: &mut GroupMembers<'_>,
) {
    let Some(substance) = at.record.substance.clone() else {
        return;
    };
    let period = tube.reading.stands_for.as_ref();
    let known = GroupMember {
        substance,
        ends,
        minutes: period.map(|period| period.value().minutes()),
        averaged_over: None,
        flags,
        blank: false,
    };
    parts.found.insert(tube.id.clone(), Ok(known));
}

/// The result of the reading by itself still has the other gas in it, and says so.
fn flag_original(
    tube: &Tube<'_>,
    at: &Evaluated<'_>,
    raw: f64,
    value: f64,
    row: &GroupRow,
    results: &mut [Evaluated<'_>],
) {
    let Some(result) = results.get_mut(tube.index) else {
        return;
    };
    let gases: Vec<&str> = at
        .numbers
        .interferents
        .effects
        .iter()
        .filter(|gas| gas.effect == EffectOnReading::Subtracted)
        .map(|gas| gas.substance.as_str())
        .collect();
    if gases.is_empty() {
        return;
    }
    let (code, side) = if value < raw {
        (Code::IndicativeReadsHigh, "too high")
    } else {
        (Code::IndicativeReadsLow, "too low")
    };
    let flag = Flag::new(
        code,
        format!(
            "{} was measured in the same air and makes this tube read {side}; the value freed of it stands under `{}`",
            gases.join(" and "),
            row.id.as_deref().unwrap_or("together")
        ),
    );
    result.doubt(flag);
}
