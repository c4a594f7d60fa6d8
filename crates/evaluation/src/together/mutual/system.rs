//! The system of equations of tubes that disturb each other, and its solution by Newton's method.

use std::collections::BTreeMap;

use stainbook_catalog::written::{Present, Reading, Stated};
use stainbook_core::{Concentration, Written};

use super::super::GroupInputs;
use super::super::bounds::{contributions, whose};
use super::super::correlated_estimate::{
    CorrelatedEstimate, FigureTerm, GroupSource, Grows, SharedContribution, SourceKey, Whose,
};
use crate::budget::{Contribution, SharedBy, Source};
use crate::evaluate::Evaluator;
use crate::evaluated::Evaluated;
use crate::one_reading::evaluate_one;
use crate::outcome::{Code, Refusal};
use crate::result::Status;
use crate::square_matrix::Matrix;

/// Number of steps of Newton's method. Tables with bends need a few; what has not settled by then goes in circles.
const MOST_STEPS: usize = 30;

/// A step that changes no level by more than this part has settled.
const SETTLED: f64 = 1e-9;

/// A determinant below this is refused: each tube then answers to the other's gas nearly as to its own, and errors of the
/// readings come out more than ten times as large. Our own bound.
const LEAST_DETERMINANT: f64 = 0.1;

/// A tube of the system.
pub(super) struct Tube<'s> {
    pub(super) id: String,
    pub(super) index: usize,
    pub(super) gas: String,
    pub(super) unit: &'static str,
    /// Measured or a bound.
    pub(super) status: Status,
    /// The result with none of the other gases.
    pub(super) raw: f64,
    /// The standard uncertainty of that; for a bound that of a reading on it.
    pub(super) standard: f64,
    pub(super) reading: &'s Reading,
}

pub(super) struct System<'s, 't> {
    pub(super) tubes: Vec<Tube<'s>>,
    taken: &'t GroupInputs<'s>,
}

/// Levels that fit, with each tube's result at them.
pub(super) struct Solution<'s, 'b> {
    pub(super) x: Vec<f64>,
    pub(super) at: Vec<Evaluated<'b>>,
    pub(super) residuals: Vec<f64>,
    inverse: Matrix,
    pub(super) readings: Vec<&'s Reading>,
}

impl<'s, 't> System<'s, 't> {
    pub(super) fn new(
        names: &[String],
        taken: &'t GroupInputs<'s>,
        results: &[Evaluated<'_>],
    ) -> Result<Self, Refusal> {
        if names.len() < 2 {
            return Err(Refusal::new(
                Code::OneTube,
                "one tube cannot be solved together with another",
                "name the readings of all the gases that disturb each other",
            ));
        }
        let mut tubes: Vec<Tube<'s>> = Vec::new();
        for name in names {
            let found = results.iter().position(|result| result.id == *name);
            let (Some(index), Some(result)) =
                (found, results.iter().find(|result| result.id == *name))
            else {
                continue;
            };
            let Some(reading) = taken.readings.get(index).copied().flatten() else {
                continue;
            };
            let (Some(out), Some(gas)) = (result.worked_out(), &result.record.substance) else {
                continue;
            };
            if let Some(other) = tubes.iter().find(|tube| tube.gas == gas.id) {
                return Err(Refusal::new(
                    Code::GasNamedTwice,
                    format!("`{}` and `{name}` are of the same gas", other.id),
                    "name one reading for each gas",
                ));
            }
            tubes.push(Tube {
                id: name.clone(),
                index,
                gas: gas.id.clone(),
                unit: out.unit.canonical(),
                status: out.status,
                raw: out.value,
                standard: out.standard(),
                reading,
            });
        }
        Ok(Self { tubes, taken })
    }

    /// A tube's result with the other gases at levels, each with its standard uncertainty.
    ///
    /// # Errors
    ///
    /// A [`Refusal`]: the sheet does not say how much a gas disturbs, or the reading has no result with it.
    pub(super) fn at_levels<'b>(
        &self,
        evaluator: &Evaluator<'b>,
        tube: &Tube<'_>,
        levels: &[(f64, f64)],
    ) -> Result<Evaluated<'b>, Refusal> {
        let mut reading = tube.reading.clone();
        for (other, (level, standard)) in self.tubes.iter().zip(levels) {
            if other.id == tube.id {
                continue;
            }
            let known = |present: &Present| {
                present.substance.as_deref().is_some_and(|typed| {
                    typed == other.gas
                        || evaluator.book().find_substance(typed).is_ok_and(|entry| {
                            entry.substance.as_deref() == Some(other.gas.as_str())
                        })
                })
            };
            if let Some(stated) = reading
                .present
                .iter()
                .find(|present| known(present) && present.level.is_some())
            {
                return Err(Refusal::new(
                    Code::LevelStatedAndSolved,
                    format!(
                        "`{}` states the level of {} under `present`, which is what is to be solved for",
                        tube.id,
                        stated.substance.as_deref().unwrap_or_default()
                    ),
                    "leave the level out, or the row under `together`",
                ));
            }
            reading.present.retain(|present| !known(present));
            reading.present.push(Present {
                group: None,
                substance: Some(other.gas.clone()),
                level: Some(stated(*level, other.unit)?),
                uncertainty: Some(stated(*standard, other.unit)?),
            });
        }
        let stated = (self.taken.conditions, self.taken.by);
        let result = evaluate_one(evaluator, tube.id.clone(), &reading, stated, None);
        if let Some(refusal) = result.refusal() {
            return Err(Refusal::new(
                Code::ReadingRefused,
                format!(
                    "`{}` has no result with the other gas taken off: {}",
                    tube.id, refusal.text
                ),
                refusal.remedy,
            ));
        }
        let others = || {
            self.tubes
                .iter()
                .filter(|other| other.id != tube.id)
                .filter_map(|other| {
                    result
                        .numbers
                        .interferents
                        .effects
                        .iter()
                        .find(|gas| gas.substance == other.gas)
                })
        };
        if let Some(gas) = others().find(|gas| !gas.effect.is_quantified()) {
            return Err(Refusal::new(
                Code::ResponseNotStated,
                format!(
                    "the sheet of `{}` does not say how much {} adds to the reading",
                    tube.id, gas.substance
                ),
                "use a tube that the other gas does not disturb, or one whose sheet states the response; each result stands as indicative",
            ));
        }
        Ok(result)
    }

    /// A tube's result with the other gases at levels, as a value.
    ///
    /// # Errors
    ///
    /// A [`Refusal`]: as [`Self::at_levels`], or nothing readable is left of the stain.
    fn result<'b>(
        &self,
        evaluator: &Evaluator<'b>,
        tube: &Tube<'_>,
        x: &[f64],
    ) -> Result<(f64, Evaluated<'b>), Refusal> {
        // The doubt about a level comes in through the other tube.
        let levels: Vec<(f64, f64)> = x.iter().map(|level| (*level, 0.0)).collect();
        let result = self.at_levels(evaluator, tube, &levels)?;
        match result.worked_out() {
            Some(out) if out.status == Status::Measured => Ok((out.value, result)),
            _ => Err(Refusal::new(
                Code::OtherGasDominates,
                format!(
                    "the other gases make most of the stain of `{}`: what is left lies before the first mark",
                    tube.id
                ),
                "use a tube that they do not stain, or a pre-tube that removes them",
            )),
        }
    }

    fn values<'b>(
        &self,
        evaluator: &Evaluator<'b>,
        x: &[f64],
    ) -> Result<Vec<(f64, Evaluated<'b>)>, Refusal> {
        self.tubes
            .iter()
            .map(|tube| self.result(evaluator, tube, x))
            .collect()
    }

    /// The derivatives of `xᵢ − Fᵢ(x)`, by small steps upward from the levels.
    fn slopes(&self, evaluator: &Evaluator<'_>, x: &[f64]) -> Result<Matrix, Refusal> {
        let n = self.tubes.len();
        let mut matrix = Matrix::unit(n);
        for (column, other) in self.tubes.iter().enumerate() {
            let level = x.get(column).copied().unwrap_or(0.0);
            // Downward where there is room: less of a gas never leaves less than is readable.
            let step = if 0.0 < level {
                -1e-4 * level
            } else {
                1e-6 * other.raw
            };
            let mut moved = x.to_vec();
            if let Some(slot) = moved.get_mut(column) {
                *slot = level + step;
            }
            for (row, tube) in self.tubes.iter().enumerate() {
                if row == column {
                    continue;
                }
                let (here, _) = self.result(evaluator, tube, x)?;
                let (there, _) = self.result(evaluator, tube, &moved)?;
                matrix.set(row, column, -(there - here) / step);
            }
        }
        Ok(matrix)
    }

    pub(super) fn solve<'b>(&self, evaluator: &Evaluator<'b>) -> Result<Solution<'s, 'b>, Refusal> {
        let raw: Vec<f64> = self.tubes.iter().map(|tube| tube.raw).collect();
        // From nothing of the others the first step is the solution of the straight system.
        let mut x = vec![0.0; raw.len()];
        for _ in 0..MOST_STEPS {
            let matrix = self.slopes(evaluator, &x)?;
            let inverse = inverse(&matrix)?;
            let misses: Vec<f64> = self
                .values(evaluator, &x)?
                .iter()
                .zip(&x)
                .map(|((value, _), x)| x - value)
                .collect();
            let step = inverse.times(&misses);
            let next: Vec<f64> = x.iter().zip(&step).map(|(x, step)| x - step).collect();
            if let Some((tube, _)) = self.tubes.iter().zip(&next).find(|(_, x)| **x <= 0.0) {
                return Err(Refusal::new(
                    Code::ReadingsContradict,
                    format!(
                        "with the responses of the sheets the readings leave nothing for `{}`: the other gas alone would stain it more",
                        tube.id
                    ),
                    "repeat both readings; take the gas as not shown to be there, and state the other one under `present`",
                ));
            }
            let settled = x
                .iter()
                .zip(&next)
                .all(|(x, next)| (x - next).abs() <= next.abs() * SETTLED);
            x = next;
            if settled {
                return self.at(evaluator, x);
            }
        }
        Err(does_not_settle())
    }

    fn at<'b>(&self, evaluator: &Evaluator<'b>, x: Vec<f64>) -> Result<Solution<'s, 'b>, Refusal> {
        let inverse = inverse(&self.slopes(evaluator, &x)?)?;
        let (values, at): (Vec<f64>, Vec<Evaluated<'b>>) =
            self.values(evaluator, &x)?.into_iter().unzip();
        Ok(Solution {
            residuals: x.iter().zip(&values).map(|(x, value)| x - value).collect(),
            x,
            at,
            inverse,
            readings: self.tubes.iter().map(|tube| tube.reading).collect(),
        })
    }
}

impl Solution<'_, '_> {
    /// True if another gas has a share in the stain of a tube.
    fn is_disturbed(&self, tube: usize) -> bool {
        self.at
            .get(tube)
            .is_some_and(|at| !at.numbers.interferents.parts.is_empty())
    }

    /// Each gas with what every source of every tube makes in it, in the unit of its scale. `system` is the place of this one among all that are drawn.
    pub(super) fn figures(&self, system: usize) -> Vec<CorrelatedEstimate> {
        let mut figures: Vec<CorrelatedEstimate> = self
            .x
            .iter()
            .enumerate()
            .map(|(tube, x)| CorrelatedEstimate {
                value: *x,
                made_of: BTreeMap::from([(FigureTerm::Solved(system, tube), 1.0)]),
                ..CorrelatedEstimate::default()
            })
            .collect();
        let at = self.at.iter().zip(&self.readings).zip(&self.x);
        for (column, ((result, reading), x)) in at.enumerate() {
            let whose = whose(result, reading);
            let id = &result.id;
            if let Some(out) = result.worked_out() {
                for (row, figure) in figures.iter_mut().enumerate() {
                    let weight = self.inverse.get(row, column);
                    let [low, high] = out.cell_ends;
                    let (less, more) = ((out.value - low) * weight, (high - out.value) * weight);
                    figure.up += more.max(-less);
                    figure.down += less.max(-more);
                }
            }
            // The error of another gas is a part of that gas, and a share of the stain grows with neither.
            let alone = !self.is_disturbed(column);
            let grows = |contribution: &Contribution, row: usize| match Grows::of(contribution) {
                Grows::InProportion if row != column || !alone => Grows::AtMostInProportion,
                grows => grows,
            };
            for (contribution, words) in contributions(result) {
                let source = GroupSource::OfReadings(contribution.source);
                let of = owner(contribution.source, &whose, &words);
                let key = SourceKey::new(source, of);
                for (row, figure) in figures.iter_mut().enumerate() {
                    let amount = self.inverse.get(row, column) * contribution.relative * x;
                    let part =
                        figure
                            .sources
                            .entry(key.clone())
                            .or_insert_with(|| SharedContribution {
                                source,
                                amount: 0.0,
                                words: format!("{words} ({id})"),
                                readings: 1,
                                found_for: whose.found_for(contribution.source),
                                degrees_of_freedom: contribution.term.degrees_of_freedom,
                                grows: grows(contribution, row),
                            });
                    part.amount += amount;
                    part.grows = part.grows.max(grows(contribution, row));
                }
            }
        }
        figures
    }
}

/// Owner of a tube's source among tubes that drew the same air: the pump and the barometer push all tubes the same
/// way for certain, everything else is each tube's own.
pub(crate) fn owner(source: Source, whose: &Whose<'_>, words: &str) -> String {
    match source.shared_by() {
        SharedBy::Pump => whose.pump.unwrap_or_default().to_owned(),
        SharedBy::Instrument if source == Source::Pressure => String::new(),
        // Two disturbing gases of one tube are two sources.
        SharedBy::DisturbingGas => format!("{} {words}", whose.reading),
        SharedBy::Instrument
        | SharedBy::Sheet
        | SharedBy::StrokeCount
        | SharedBy::Gas
        | SharedBy::Reading => whose.reading.to_owned(),
    }
}

fn inverse(matrix: &Matrix) -> Result<Matrix, Refusal> {
    matrix
        .inverse(LEAST_DETERMINANT)
        .ok_or_else(|| {
            Refusal::new(
                Code::TubesTellTooLittleApart,
                "each of these tubes answers to the other's gas nearly as to its own: small errors of the readings would make any level possible",
                "use a tube that the other gas disturbs less, or a pre-tube that removes it",
            )
        })
}

/// Correlation of the errors of two figures.
pub(super) fn correlation(a: &CorrelatedEstimate, b: &CorrelatedEstimate) -> f64 {
    let both: f64 = a
        .sources
        .iter()
        .filter_map(|(source, part)| Some(part.amount * b.sources.get(source)?.amount))
        .sum();
    let product = a.standard() * b.standard();
    if 0.0 < product {
        (both / product).clamp(-1.0, 1.0)
    } else {
        0.0
    }
}

/// A level as a survey would state it; every digit, so that nothing is lost on the way.
fn stated(level: f64, unit: &str) -> Result<Stated<Concentration>, Refusal> {
    format!("{level} {unit}")
        .parse::<Written<Concentration>>()
        .map(Stated::new)
        // Nothing else than a step to no number at all.
        .map_err(|_| does_not_settle())
}

fn does_not_settle() -> Refusal {
    Refusal::new(
        Code::DoesNotSettle,
        format!("no levels were found in {MOST_STEPS} steps that fit all readings"),
        "use tubes that the other gases disturb less, or a pre-tube that removes them",
    )
}
