//! Trials of a figure that several readings make: each works its model out, with the errors that they have in common drawn
//! once for all of them.

use super::{Columns, TubeTrials, start};
use crate::budget::{Role, Source};
use crate::chain::columns::{Room, SIDE_BY_SIDE, TrialColumn};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::monte_carlo::{Clamped, Generator, Trials};

mod solved;

pub(crate) use solved::{OtherShare, SolvedTube, SolvedTubes, Unfit};

/// A sum of results, each times its weight, ready for trials.
#[derive(Debug)]
pub(crate) struct JointTrials<'m> {
    /// The errors.
    pub(crate) errors: CommonErrors,
    /// Parts of the sum.
    pub(crate) parts: Vec<JointPart<'m>>,
    /// An error of the sum itself.
    pub(crate) of_sum: Option<Deviation>,
}

/// A part of the sum.
#[derive(Debug)]
pub(crate) enum JointPart<'m> {
    /// A reading.
    Reading {
        weight: f64,
        reading: Box<TiedReading<'m>>,
    },
    /// Gases that were solved for together, with the weight of each.
    Solved {
        weights: Vec<f64>,
        tubes: SolvedTubes<'m>,
    },
}

/// Errors that are drawn once for everything that has them in common.
#[derive(Clone, Debug, Default)]
pub(crate) struct CommonErrors {
    /// The distribution of each, with a standard deviation of one.
    pub(crate) causes: Vec<Distribution>,
    /// The degrees of freedom of standard deviations that were found from few readings, each once.
    pub(crate) found: Vec<f64>,
}

/// One error as it comes into a reading.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Deviation {
    /// Its place among the causes.
    pub(crate) cause: usize,
    /// Its standard uncertainty here, in the unit of the input.
    pub(crate) standard: f64,
    /// The place of that among those from few readings.
    pub(crate) found: Option<usize>,
}

/// The errors of trials side by side.
struct DrawnErrors {
    causes: Vec<TrialColumn>,
    roots: Vec<TrialColumn>,
}

impl CommonErrors {
    /// Draws all of them, in their order.
    fn draw(&self, generator: &mut Generator, drawn: &mut DrawnErrors) {
        for (distribution, column) in self.causes.iter().zip(&mut drawn.causes) {
            distribution.draw(generator, column);
        }
        for (degrees_of_freedom, column) in self.found.iter().zip(&mut drawn.roots) {
            for slot in column {
                *slot = generator.root_of_chi_square(*degrees_of_freedom);
            }
        }
    }
}

impl DrawnErrors {
    fn of(errors: &CommonErrors) -> Self {
        let columns = |number: usize| vec![[0.0; SIDE_BY_SIDE]; number];
        Self {
            causes: columns(errors.causes.len()),
            roots: columns(errors.found.len()),
        }
    }

    /// Hands each error of an input with its slot of a column to `put`.
    fn each(&self, of: Deviation, column: &mut [f64], put: impl Fn(&mut f64, f64)) {
        let Some(cause) = self.causes.get(of.cause) else {
            return;
        };
        let errors = column.iter_mut().zip(cause);
        match of.found.and_then(|found| self.roots.get(found)) {
            Some(roots) => {
                for ((slot, error), root) in errors.zip(roots) {
                    put(slot, of.standard * error * root);
                }
            }
            None => {
                for (slot, error) in errors {
                    put(slot, of.standard * error);
                }
            }
        }
    }
}

/// A reading whose inputs take their errors from those in common.
#[derive(Debug)]
pub(crate) struct TiedReading<'m> {
    trials: TubeTrials<'m>,
    /// Of each input of the trials.
    deviations: Vec<Deviation>,
}

impl<'m> TiedReading<'m> {
    /// Ties each input of a reading to its error; nothing if one has none.
    pub(crate) fn new(
        trials: TubeTrials<'m>,
        mut tie: impl FnMut(Source, Distribution) -> Option<Deviation>,
    ) -> Option<Self> {
        let inputs = trials.inputs.iter();
        let deviations = inputs
            .map(|drawn| tie(drawn.input.source, drawn.input.distribution))
            .collect::<Option<Vec<_>>>()?;
        Some(Self { trials, deviations })
    }

    /// The columns before anything is drawn.
    fn columns(&self) -> Columns {
        Columns::new(&self.trials.run)
    }

    fn fill(&self, drawn: &DrawnErrors, columns: &mut Columns) {
        let inputs = &self.trials.inputs;
        for (input, deviation) in inputs.iter().zip(&self.deviations) {
            let start = start(&self.trials.run, input.role);
            let column = columns.column(input.role);
            if input.first {
                drawn.each(*deviation, column, |slot, error| *slot = start + error);
            } else {
                drawn.each(*deviation, column, |slot, error| *slot += error);
            }
        }
        let tube_is_drawn = inputs.iter().any(|input| input.role == Role::Tube);
        if !self.trials.run.tube_by_itself && tube_is_drawn {
            columns.air = columns.tube;
        }
    }
}

/// The columns of a part.
enum PartColumns {
    Reading(Box<Columns>),
    Solved(solved::SolvedColumns),
}

impl Trials for JointTrials<'_> {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        let mut errors = DrawnErrors::of(&self.errors);
        let mut held = Clamped::default();
        let mut room = Room::EMPTY;
        let mut one = [0.0; SIDE_BY_SIDE];
        let mut columns: Vec<PartColumns> = self
            .parts
            .iter()
            .map(|part| match part {
                JointPart::Reading { reading, .. } => {
                    PartColumns::Reading(Box::new(reading.columns()))
                }
                JointPart::Solved { tubes, .. } => PartColumns::Solved(tubes.work()),
            })
            .collect();
        for out in out.chunks_mut(SIDE_BY_SIDE) {
            self.errors.draw(generator, &mut errors);
            out.fill(0.0);
            for (part, columns) in self.parts.iter().zip(&mut columns) {
                match (part, columns) {
                    (JointPart::Reading { weight, reading }, PartColumns::Reading(columns)) => {
                        reading.fill(&errors, columns);
                        let Some(one) = one.get_mut(..out.len()) else {
                            continue;
                        };
                        reading.trials.outcomes(columns, &mut room, one, &mut held);
                        add(out, *weight, one);
                    }
                    (JointPart::Solved { weights, tubes }, PartColumns::Solved(work)) => {
                        let levels = tubes.solve(&errors, work, &mut room, out.len(), &mut held);
                        for (weight, level) in weights.iter().zip(levels) {
                            if 0.0 < *weight {
                                add(out, *weight, level);
                            }
                        }
                    }
                    _ => {}
                }
            }
            if let Some(of_sum) = self.of_sum {
                errors.each(of_sum, out, |slot, error| *slot = (*slot + error).max(0.0));
            }
        }
        held
    }
}

fn add(out: &mut [f64], weight: f64, results: &[f64]) {
    for (out, result) in out.iter_mut().zip(results) {
        *out += weight * result;
    }
}
