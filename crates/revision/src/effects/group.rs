//! From single points to regions: what a hygienist can keep in mind.

use super::outcome::{Both, StateOutcome};
use super::{Readings, ResultEffect};
use crate::results::SMALLEST_MOVE;
use stainbook_evaluation::outcome::Code;

/// Two moves that differ by less than this part of the result are told as one.
const ALIKE: f64 = 5e-4;

/// Effect at one reading.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum GridStep {
    /// Nothing, or nothing that could be told.
    Still,
    /// The result is multiplied by 1 + this.
    By(f64),
    Refused(Code, String),
    Given,
}

/// Effect at a point, over and above a factor that has been told already.
pub(super) fn step(both: &Both, told: f64) -> GridStep {
    match (&both.old, &both.new) {
        (StateOutcome::Refused(_), StateOutcome::Refused(_))
        | (StateOutcome::Nothing, _)
        | (_, StateOutcome::Nothing) => GridStep::Still,
        (StateOutcome::Given(_), StateOutcome::Refused(refusal)) => {
            GridStep::Refused(refusal.code.clone(), refusal.text.clone())
        }
        (StateOutcome::Refused(_), StateOutcome::Given(_)) => GridStep::Given,
        (StateOutcome::Given(_), StateOutcome::Given(_)) => {
            let by = both.ratio().map_or(0.0, |ratio| ratio / told - 1.0);
            if SMALLEST_MOVE < by.abs() {
                GridStep::By(by)
            } else {
                GridStep::Still
            }
        }
    }
}

/// Effects over a scale, region by region. `None` in place of readings stands for all of them.
pub(super) fn regions(
    steps: &[(f64, GridStep)],
    unit: &str,
) -> Vec<(Option<Readings>, ResultEffect)> {
    let mut runs: Vec<(f64, f64, ResultEffect)> = Vec::new();
    let mut open = false;
    for (reading, step) in steps {
        let Some(what) = what(step) else {
            open = false;
            continue;
        };
        match runs.last_mut() {
            Some((_, to, last)) if open && joined(last, &what).is_some() => {
                if let Some(both) = joined(last, &what) {
                    *last = both;
                }
                *to = *reading;
            }
            _ => runs.push((*reading, *reading, what)),
        }
        open = true;
    }
    let whole = |from: f64, to: f64| {
        let ends = (
            steps.first().map(|(r, _)| *r),
            steps.last().map(|(r, _)| *r),
        );
        ends.0.is_some_and(|first| from <= first) && ends.1.is_some_and(|last| last <= to)
    };
    runs.into_iter()
        .map(|(from, to, what)| {
            let readings = (!whole(from, to)).then(|| Readings {
                from,
                to,
                unit: unit.to_owned(),
            });
            (readings, what)
        })
        .collect()
}

fn what(step: &GridStep) -> Option<ResultEffect> {
    match step {
        GridStep::Still => None,
        GridStep::By(by) => Some(ResultEffect::Results {
            by_least: *by,
            by_most: *by,
        }),
        GridStep::Refused(code, text) => Some(ResultEffect::NowRefused {
            code: code.clone(),
            text: text.clone(),
        }),
        GridStep::Given => Some(ResultEffect::NowGiven),
    }
}

/// Two neighbouring things told as one, if they can be.
fn joined(a: &ResultEffect, b: &ResultEffect) -> Option<ResultEffect> {
    match (a, b) {
        (
            ResultEffect::Results { by_least, by_most },
            ResultEffect::Results {
                by_least: least,
                by_most: most,
            },
        ) if (*by_most < 0.0) == (*most < 0.0) => {
            let (least, most) = (by_least.min(*least), by_most.max(*most));
            Some(ResultEffect::Results {
                by_least: least,
                by_most: most,
            })
        }
        (ResultEffect::NowRefused { code, text }, ResultEffect::NowRefused { code: other, .. })
            if code == other =>
        {
            Some(ResultEffect::NowRefused {
                code: code.clone(),
                text: text.clone(),
            })
        }
        (ResultEffect::NowGiven, ResultEffect::NowGiven) => Some(ResultEffect::NowGiven),
        _ => None,
    }
}

/// True if the same is told of two places.
pub(super) fn alike(
    a: &[(Option<Readings>, ResultEffect)],
    b: &[(Option<Readings>, ResultEffect)],
) -> bool {
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|((readings, what), (other, other_what))| {
                readings == other
                    && match (what, other_what) {
                        (
                            ResultEffect::Results { by_least, by_most },
                            ResultEffect::Results {
                                by_least: least,
                                by_most: most,
                            },
                        ) => (by_least - least).abs() <= ALIKE && (by_most - most).abs() <= ALIKE,
                        (
                            ResultEffect::NowRefused { code, .. },
                            ResultEffect::NowRefused { code: other, .. },
                        ) => code == other,
                        _ => what == other_what,
                    }
            })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn neighbours_that_move_the_same_way_are_one_region() {
        let steps = [
            (1.0, GridStep::Still),
            (2.0, GridStep::By(0.02)),
            (3.0, GridStep::By(0.05)),
            (4.0, GridStep::By(-0.01)),
            (5.0, GridStep::Still),
            (6.0, GridStep::By(-0.01)),
        ];
        let told: Vec<_> = regions(&steps, "ppm")
            .into_iter()
            .map(|(readings, what)| (readings.map(|r| (r.from, r.to)), what))
            .collect();
        let results = |by_least, by_most| ResultEffect::Results { by_least, by_most };
        assert_eq!(
            told,
            [
                (Some((2.0, 3.0)), results(0.02, 0.05)),
                (Some((4.0, 4.0)), results(-0.01, -0.01)),
                (Some((6.0, 6.0)), results(-0.01, -0.01)),
            ]
        );
        let whole = [(1.0, GridStep::By(0.02)), (2.0, GridStep::By(0.02))];
        assert_eq!(regions(&whole, "ppm"), [(None, results(0.02, 0.02))]);
    }
}
