//! Tubes that disturb each other, where one shows no value: both ends of what the others can be.
//!
//! The other gases make these tubes read too high (a gas that makes one read low is refused here), so each tube gives less
//! the more there is of the others: its result falls with every level that is taken off. With less-than and more-than
//! results the levels are known between ends, and each value lies between what its tube gives with the others at their
//! highest and at their lowest. A less-than bound holds all the more for what the other gases add to the stain, and stays.
//!
//! The ends are outer ones. What is found for one gas could in turn narrow the others; that is not done, so that each end
//! rests on one subtraction.

use stainbook_catalog::written::GroupRow;

use super::super::GroupMembers;
use super::super::bounds::Bounds;
use super::super::correlated_estimate::CorrelatedEstimate;
use super::super::result::{EndsOf, GroupResult, GroupStatus, Solved};
use super::system::{System, Tube};
use super::{flag_original, substitute_solved};
use crate::ends_words;
use crate::evaluate::Evaluator;
use crate::evaluated::Evaluated;
use crate::interval::Covers;
use crate::judgement::doubtful;
use crate::one_reading::IntervalEnds;
use crate::outcome::{Code, Refusal, Statement};
use crate::result::Status;

/// A level with its standard uncertainty.
type LevelEstimate = (f64, f64);

/// No gas at all.
const NONE: LevelEstimate = (0.0, 0.0);

/// Bounds of what a tube can say.
struct TubeBounds<'b> {
    ends: Bounds,
    /// The result with most of the other gases.
    with_most: Evaluated<'b>,
    /// Lowest and highest, in the unit of the scale.
    lowest: Option<f64>,
    highest: Option<f64>,
}

/// Finds the ends, and puts them in place of the readings.
///
/// # Errors
///
/// A [`Refusal`]: a sheet does not say how much a gas disturbs, a gas makes a tube read too low, or two tubes ran beyond
/// their last marks.
pub(super) fn solve<'b>(
    system: &System<'_, '_>,
    row: &GroupRow,
    evaluator: &Evaluator<'b>,
    results: &mut [Evaluated<'b>],
    parts: &mut GroupMembers<'b>,
    together: &mut GroupResult,
) -> Result<(), Refusal> {
    // Nothing is put down before everything is found.
    let highest: Vec<Option<LevelEstimate>> = system
        .tubes
        .iter()
        .map(|tube| (tube.status != Status::MoreThan).then_some((tube.raw, tube.standard)))
        .collect();
    let lowest = least(system, evaluator, &highest)?;
    let found = system
        .tubes
        .iter()
        .map(|tube| between(system, evaluator, tube, results, &lowest, &highest))
        .collect::<Result<Vec<TubeBounds<'b>>, _>>()?;
    for (tube, between) in system.tubes.iter().zip(found) {
        let TubeBounds {
            ends,
            with_most,
            lowest,
            highest,
        } = between;
        let flags = doubtful::among(&with_most);
        let substance = with_most.record.substance.clone();
        let bound_words = "a reading on the bound";
        let against = substance
            .as_ref()
            .map(|gas| super::super::against_directly(evaluator, gas, &ends, &flags, bound_words));
        together.solved.push(Solved {
            reading: tube.id.clone(),
            substance,
            uncorrected: tube.raw,
            value: None,
            lowest,
            highest,
            with_uncertainty: in_scale(&ends, &with_most),
            unit: tube.unit.to_owned(),
            text: text([lowest, highest], in_scale(&ends, &with_most)),
            standard: None,
            expanded: None,
            coverage_factor: Covers::OneSided.factor(f64::INFINITY),
            effective_degrees_of_freedom: None,
            residual: None,
            monte_carlo: None,
            correlation_with_first: None,
            against: against.unwrap_or_default(),
        });
        if let (Status::Measured, Some(lowest)) = (tube.status, lowest) {
            flag_original(tube, &with_most, tube.raw, lowest, row, results);
        }
        together.flags.extend(flags.iter().cloned());
        substitute_solved(tube, &with_most, ends, flags, parts);
    }
    together.status = GroupStatus::Measured;
    together.statements.push(Statement::new(
        Code::SolvedWithBounds,
        "A bound among the readings leaves bounds: each gas with the others at their highest, and at their lowest.",
    ));
    Ok(())
}

/// The least that there can be of each gas: nothing, but where a stain ran beyond the last mark, even with the others at
/// their highest.
fn least(
    system: &System<'_, '_>,
    evaluator: &Evaluator<'_>,
    highest: &[Option<LevelEstimate>],
) -> Result<Vec<LevelEstimate>, Refusal> {
    let mut least = Vec::with_capacity(system.tubes.len());
    for (index, tube) in system.tubes.iter().enumerate() {
        if tube.status != Status::MoreThan {
            least.push(NONE);
            continue;
        }
        let others = others(highest, index).ok_or_else(|| {
            Refusal::new(
                Code::BoundsInSystem,
                "two of these stains ran beyond the last mark: either gas could have made both",
                "repeat them with fewer strokes",
            )
        })?;
        let result = system.at_levels(evaluator, tube, &others)?;
        reads_high(system, tube, &result)?;
        least.push(result.worked_out().map_or(NONE, |out| {
            let on_a_bound = out.status != Status::Measured;
            (out.value, if on_a_bound { out.standard() } else { 0.0 })
        }));
    }
    Ok(least)
}

/// The levels of all tubes; nothing if another than this one has none.
fn others(levels: &[Option<LevelEstimate>], this: usize) -> Option<Vec<LevelEstimate>> {
    levels
        .iter()
        .enumerate()
        .map(|(index, level)| if index == this { Some(NONE) } else { *level })
        .collect()
}

fn between<'b>(
    system: &System<'_, '_>,
    evaluator: &Evaluator<'b>,
    tube: &Tube<'_>,
    results: &[Evaluated<'b>],
    lowest: &[LevelEstimate],
    highest: &[Option<LevelEstimate>],
) -> Result<TubeBounds<'b>, Refusal> {
    let this = system
        .tubes
        .iter()
        .position(|other| other.id == tube.id)
        .unwrap_or(0);
    let unusable = || {
        Refusal::new(
            Code::ReadingWithoutVolumeFraction,
            format!(
                "the result of `{}` cannot be given as a volume fraction",
                tube.id
            ),
            "state the air temperature and the station pressure (an altitude is enough)",
        )
    };
    let own = results.get(tube.index).cloned().ok_or_else(unusable)?;
    let with_most = match others(highest, this) {
        Some(levels) => Some(system.at_levels(evaluator, tube, &levels)?),
        None => None,
    };
    if let Some(result) = &with_most {
        reads_high(system, tube, result)?;
    }
    let with_least = if lowest
        .iter()
        .enumerate()
        .any(|(index, level)| index != this && 0.0 < level.0)
    {
        system.at_levels(evaluator, tube, lowest)?
    } else {
        own.clone()
    };
    reads_high(system, tube, &with_least)?;
    let value = |result: &Evaluated<'_>| result.worked_out().map(|out| out.value);
    let ends = |result: &Evaluated<'_>| Bounds::of(result, tube.reading).ok_or_else(unusable);
    Ok(match tube.status {
        Status::Measured => {
            let low = with_most
                .as_ref()
                .filter(|result| result.status() == Status::Measured);
            TubeBounds {
                ends: Bounds {
                    lowest: match low {
                        Some(result) => ends(result)?.lowest,
                        None => Some(CorrelatedEstimate::nothing()),
                    },
                    highest: ends(&with_least)?.highest,
                },
                lowest: Some(low.and_then(value).unwrap_or(0.0)),
                highest: value(&with_least),
                with_most: with_most.unwrap_or(with_least),
            }
        }
        // Both tubes had the same air: the bound holds, whatever the others added.
        Status::LessThan => TubeBounds {
            ends: ends(&own)?,
            lowest: Some(0.0),
            highest: value(&own),
            with_most: own,
        },
        Status::MoreThan | Status::Refused => {
            let result = with_most.unwrap_or(own);
            TubeBounds {
                ends: ends(&result)?,
                lowest: value(&result),
                highest: None,
                with_most: result,
            }
        }
    })
}

/// # Errors
///
/// A [`Refusal`] if another gas takes away from this stain: its result would then rise with that gas, and a less-than bound
/// would not hold.
fn reads_high(
    system: &System<'_, '_>,
    tube: &Tube<'_>,
    result: &Evaluated<'_>,
) -> Result<(), Refusal> {
    let of_system = |gas: &str| system.tubes.iter().any(|other| other.gas == gas);
    let low = result.numbers.interferents.effects.iter().find(|gas| {
        of_system(&gas.substance) && gas.share_on_scale.is_some_and(|share| share < 0.0)
    });
    match low {
        None => Ok(()),
        Some(gas) => Err(Refusal::new(
            Code::BoundInSystem,
            format!(
                "one of the readings is a bound, and {} makes `{}` read too low: how much it hides is not known from a bound",
                gas.substance, tube.id
            ),
            "repeat the reading that is a bound with the stroke count that gives a value",
        )),
    }
}

/// The ends with their uncertainties, in the unit of the scale.
fn in_scale(ends: &Bounds, result: &Evaluated<'_>) -> EndsOf {
    let value = result.worked_out().map(|out| out.value);
    let per_ppm = value
        .zip(result.ppm())
        .map_or(f64::NAN, |(value, ppm)| value / ppm);
    let with = ends.with_uncertainty();
    let scaled = |end: Option<f64>| end.map(|end| end * per_ppm).filter(|end| end.is_finite());
    EndsOf {
        lowest: scaled(with.lowest),
        highest: scaled(with.highest),
    }
}

/// Bounds in words, with what they reach. Two that are near to each other take more digits to be told apart.
fn text([lowest, highest]: [Option<f64>; 2], reach: EndsOf) -> String {
    match (lowest.filter(|lowest| 0.0 < *lowest), highest) {
        (None, Some(highest)) => ends_words::less_than(highest, reach.highest),
        (Some(lowest), None) => ends_words::more_than(lowest, reach.lowest.unwrap_or_default()),
        (Some(lowest), Some(highest)) => {
            let ends = IntervalEnds {
                lowest: reach.lowest.unwrap_or_default(),
                highest: reach.highest,
            };
            ends_words::between([lowest, highest], ends)
        }
        (None, None) => "unknown".to_owned(),
    }
}
