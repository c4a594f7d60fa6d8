//! Draws of figures that several readings make: every reading with the model that it is drawn from by itself, and errors that
//! readings have in common drawn once for all of them.
//!
//! Whose an error is follows from what the law of propagation takes as common ([`SourceKey`]). A standard deviation found from
//! few readings is one figure: however many errors rest on it, the true one is drawn once. An error that comes into two readings
//! in two sizes has the shape that it has in the first.

use std::collections::BTreeMap;

use stainbook_catalog::written::Reading;

use super::bounds::{Bounds, whose};
use super::correlated_estimate::{CorrelatedEstimate, FigureTerm, GroupSource, SourceKey, Whose};
use super::mutual::tied_by_air;
use super::result::GroupResult;
use crate::budget::{MeasurementModel, Source};
use crate::chain::{AirState, Chain};
use crate::draws_words::{self, TwoMethods};
use crate::evaluate::MonteCarloOptions;
use crate::evaluated::{DrawnResult, Equipment, Evaluated};
use crate::interval::Covers;
use crate::one_reading::{COMPARED_DIGITS, IntervalEnds};
use crate::outcome::{Code, Flag, Statement};
use crate::result::{LimitComparison, MonteCarlo};
use crate::tube_trials::TubeTrials;
use crate::tube_trials::drawn_ends::{DrawnEnds, DrawnSide, draw_sides};
use crate::tube_trials::joint::{
    CommonErrors, Deviation, JointPart, JointTrials, OtherShare, SolvedTube, SolvedTubes,
    TiedReading, Unfit,
};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::monte_carlo::{self, Comparison};

/// Readings and solved systems with what their draws need; nothing where no draws were asked for.
#[derive(Default)]
pub(super) struct GroupDraws<'b> {
    options: Option<MonteCarloOptions<'b>>,
    readings: BTreeMap<String, ReadingModel<'b>>,
    systems: Vec<Vec<SystemTube<'b>>>,
}

/// A measured reading with its model.
struct ReadingModel<'b> {
    equipment: Equipment<'b>,
    air: AirState,
    drawn: DrawnEnds,
    /// Of each of its inputs, what it has in common with others.
    causes: Vec<(Source, Cause)>,
}

/// The identity of an error.
#[derive(Clone, Debug)]
struct Cause {
    error: SourceKey,
    /// That of its standard deviation.
    found: (&'static str, String),
}

/// A tube of a solved system.
struct SystemTube<'b> {
    model: ReadingModel<'b>,
    level: f64,
    /// For each other gas: the place of its tube, its share of the stain, and which of the interferents it is.
    others: Vec<(usize, f64, Source)>,
}

impl<'b> ReadingModel<'b> {
    /// `owner` says whose an error is.
    fn new(
        result: &Evaluated<'b>,
        reading: &Reading,
        owner: impl Fn(Source, &Whose<'_>, &str) -> String,
    ) -> Option<Self> {
        let out = result.worked_out()?;
        let drawn = out.drawn_ends.clone()?;
        let equipment = result.equipment.clone()?;
        let whose = whose(result, reading);
        let causes = drawn
            .at(DrawnSide::Lower)
            .inputs
            .iter()
            .map(|input| {
                let source = input.source;
                let words = out.source_words(source, &result.numbers.interferents);
                let key = GroupSource::OfReadings(source);
                let cause = Cause {
                    error: SourceKey::new(key, owner(source, &whose, &words)),
                    found: (key.code(), whose.found_for(source)),
                };
                (source, cause)
            })
            .collect();
        Some(Self {
            air: equipment.place.numbers(),
            equipment,
            drawn,
            causes,
        })
    }

    fn chain(&self) -> Option<Chain<'_>> {
        let equipment = &self.equipment;
        Some(Chain::new(
            equipment.tube(),
            equipment.scale()?,
            equipment.range()?,
            equipment.other(),
        ))
    }

    fn cause(&self, source: Source) -> Option<&Cause> {
        let mut causes = self.causes.iter();
        causes.find_map(|(of, cause)| (*of == source).then_some(cause))
    }
}

impl<'b> GroupDraws<'b> {
    /// The measured readings, where draws were asked for.
    pub(super) fn of<'r>(
        options: Option<MonteCarloOptions<'b>>,
        readings: impl Iterator<Item = (&'r Evaluated<'b>, Option<&'r Reading>)>,
    ) -> Self
    where
        'b: 'r,
    {
        if options.is_none() {
            return Self::default();
        }
        let owner = |source: Source, whose: &Whose<'_>, words: &str| whose.owner(source, words).0;
        Self {
            options,
            readings: readings
                .filter_map(|(result, reading)| {
                    let model = ReadingModel::new(result, reading?, owner)?;
                    Some((result.id.clone(), model))
                })
                .collect(),
            systems: Vec::new(),
        }
    }

    /// The place of the next system.
    pub(super) fn next_system(&self) -> usize {
        self.systems.len()
    }

    /// Adds a system: each tube with the others at the levels found, its reading, its level, and the gas that it is for.
    pub(super) fn add_system<'r>(
        &mut self,
        tubes: impl Iterator<Item = (&'r Evaluated<'b>, &'r Reading, f64, &'r str)>,
    ) where
        'b: 'r,
    {
        let tubes: Vec<_> = tubes.collect();
        let models = tubes.iter().filter_map(|(at, reading, level, _)| {
            let shares = &at.numbers.interferents.parts;
            let others = tubes
                .iter()
                .enumerate()
                .filter(|(_, (other, ..))| other.id != at.id)
                .filter_map(|(place, (_, _, _, gas))| {
                    let share = shares.iter().find(|share| share.substance == *gas)?;
                    Some((place, share.amount, Source::Interferent(share.index)))
                })
                .collect();
            Some(SystemTube {
                model: ReadingModel::new(at, reading, tied_by_air)?,
                level: *level,
                others,
            })
        });
        let models: Vec<SystemTube<'b>> = models.collect();
        self.systems.push(models);
    }

    /// Draws a figure, if draws were asked for and each of its results can be drawn.
    fn draw(&self, figure: &CorrelatedEstimate) -> Option<DrawnResult> {
        let options = self.options.as_ref()?;
        let alike = figure.made_of.keys().all(|term| match term {
            FigureTerm::Reading(id) => self.readings.get(id).is_some_and(|model| model.drawn.alike),
            FigureTerm::Solved(..) => false,
        });
        let chains = self.chains(figure)?;
        let lower = self.trials(figure, &chains, DrawnSide::Lower)?;
        let upper = self.trials(figure, &chains, DrawnSide::Upper)?;
        let outcome = draw_sides(alike, &options.settings, |side, settings| {
            let trials = match side {
                DrawnSide::Lower => &lower,
                DrawnSide::Upper => &upper,
            };
            monte_carlo::run(trials, settings, options.in_blocks)
        });
        let (lowest, highest) = figure.ends(Covers::Central);
        let propagated = [lowest, highest.unwrap_or(f64::INFINITY)];
        Some(DrawnResult {
            comparison: Comparison::new(propagated, figure.standard(), &outcome, COMPARED_DIGITS),
            outcome,
            settings: options.settings,
        })
    }

    /// The chains of a figure's results: of a reading one, of a system one for each tube.
    fn chains(&self, figure: &CorrelatedEstimate) -> Option<BTreeMap<FigureTerm, Chain<'_>>> {
        let mut chains = BTreeMap::new();
        for term in figure.made_of.keys() {
            match term {
                FigureTerm::Reading(id) => {
                    chains.insert(term.clone(), self.readings.get(id)?.chain()?);
                }
                FigureTerm::Solved(system, _) => {
                    for (tube, of) in self.systems.get(*system)?.iter().enumerate() {
                        chains.insert(FigureTerm::Solved(*system, tube), of.model.chain()?);
                    }
                }
            }
        }
        Some(chains)
    }

    fn trials<'m>(
        &'m self,
        figure: &CorrelatedEstimate,
        chains: &'m BTreeMap<FigureTerm, Chain<'m>>,
        end: DrawnSide,
    ) -> Option<JointTrials<'m>> {
        let mut tying = Tying::default();
        let mut parts = Vec::new();
        let mut systems: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for (term, weight) in &figure.made_of {
            match term {
                FigureTerm::Reading(id) => {
                    let model = self.readings.get(id)?;
                    parts.push(JointPart::Reading {
                        weight: *weight,
                        reading: Box::new(tying.reading(model, chains.get(term)?, end)?),
                    });
                }
                FigureTerm::Solved(system, tube) => {
                    let tubes = self.systems.get(*system)?.len();
                    let weights = systems.entry(*system).or_insert_with(|| vec![0.0; tubes]);
                    *weights.get_mut(*tube)? += weight;
                }
            }
        }
        for (system, weights) in systems {
            let tubes = self.systems.get(system)?.iter().enumerate();
            let tubes = tubes.map(|(tube, of)| {
                tying.tube(of, chains.get(&FigureTerm::Solved(system, tube))?, end)
            });
            let tubes = SolvedTubes {
                tubes: tubes.collect::<Option<Vec<_>>>()?,
                unfit: match end {
                    DrawnSide::Lower => Unfit::Nothing,
                    DrawnSide::Upper => Unfit::AboveEverything,
                },
            };
            parts.push(JointPart::Solved { weights, tubes });
        }
        let of_sum = figure
            .sources
            .iter()
            .find(|(_, part)| part.source == GroupSource::SpreadOfRepeats)
            .map(|(key, part)| {
                let cause = Cause {
                    error: key.clone(),
                    found: (part.source.code(), part.found_for.clone()),
                };
                let distribution =
                    Distribution::normal_or_t(part.amount.abs(), part.degrees_of_freedom);
                tying.tie(&cause, distribution)
            });
        Some(JointTrials {
            errors: tying.errors,
            parts,
            of_sum,
        })
    }

    /// Draws a figure and says what came of it: nothing of bounds, which follow from the law of propagation alone.
    pub(super) fn add(&self, together: &mut GroupResult, ends: &Bounds, unit: &str) {
        if self.options.is_none() {
            return;
        }
        let Some(figure) = ends.as_value() else {
            together.statements.push(not_drawn());
            return;
        };
        let against: Vec<&LimitComparison> = together.against.iter().collect();
        let Some(said) = self.said(figure, unit, &against, 1.0) else {
            return;
        };
        together.monte_carlo = Some(said.result);
        together.flags.extend(said.flags);
        together.statements.extend(said.statements);
    }

    /// A figure drawn, with what is to be said of its draws. A limit's number in ppm, or the 1 of a sum of shares, is so many times
    /// itself in the figure's unit.
    pub(super) fn said(
        &self,
        figure: &CorrelatedEstimate,
        unit: &str,
        against: &[&LimitComparison],
        times: f64,
    ) -> Option<SaidOfDraws> {
        let drawn = self.draw(figure)?;
        let (lowest, highest) = figure.ends(Covers::Central);
        let methods = TwoMethods {
            unit,
            ends: IntervalEnds { lowest, highest },
            standard: figure.standard(),
            expanded: figure.expanded(),
            drawn: &drawn,
        };
        let mut said = SaidOfDraws {
            result: draws_words::result(methods.expanded, &drawn),
            flags: Vec::new(),
            statements: Vec::new(),
        };
        if !drawn.comparison.agrees() {
            let between: Vec<String> = against
                .iter()
                .filter(|against| against.verdict.is_some())
                .filter(|against| {
                    let limit = &against.limit;
                    let at = limit.as_ppm.unwrap_or(limit.value) * times;
                    methods.divides(at)
                })
                .map(|against| {
                    let limit = &against.limit;
                    format!("{} {} {}", limit.authority, limit.kind, limit.text)
                })
                .collect();
            let text = draws_words::rough(&methods, &between);
            if between.is_empty() {
                let statement = Statement::new(Code::PropagationRough, text);
                said.statements.push(statement);
            } else {
                said.flags.push(Flag::new(Code::PropagationRough, text));
            }
        }
        let outcome = &drawn.outcome;
        if outcome.stable.is_some_and(|(_, settled)| !settled) {
            said.flags.push(Flag::new(
                Code::DrawsNotSettled,
                draws_words::not_settled(outcome.draws),
            ));
        }
        let held = outcome.clamped;
        for (count, what) in [
            (
                held.at_an_end,
                "outside a correction of a sheet and was taken at its end",
            ),
            (held.at_zero, "below zero and was taken as zero"),
        ] {
            if 0 < count {
                said.statements.push(Statement::new(
                    Code::DrawsHeld,
                    format!(
                        "In {} draws of the figure a reading lay {count} times {what}.",
                        outcome.draws
                    ),
                ));
            }
        }
        Some(said)
    }
}

/// A figure drawn, with what is to be said of it.
pub(super) struct SaidOfDraws {
    pub(super) result: MonteCarlo,
    pub(super) flags: Vec<Flag>,
    pub(super) statements: Vec<Statement>,
}

/// Statement about bounds where draws were asked for.
pub(super) fn not_drawn() -> Statement {
    Statement::new(
        Code::NotDrawn,
        "The draws are of values; bounds and what they are judged by follow from the law of propagation, with what the readings have in common.",
    )
}

/// Errors as they are gathered: the same one for whatever has it in common.
#[derive(Default)]
struct Tying {
    errors: CommonErrors,
    causes: BTreeMap<SourceKey, usize>,
    found: BTreeMap<(&'static str, String), usize>,
}

impl Tying {
    fn tie(&mut self, cause: &Cause, distribution: Distribution) -> Deviation {
        let standard = distribution.standard();
        let degrees_of_freedom = distribution.degrees_of_freedom();
        let errors = &mut self.errors;
        let place = *self.causes.entry(cause.error.clone()).or_insert_with(|| {
            errors.causes.push(match distribution {
                Distribution::StudentT { .. } => Distribution::Normal { standard: 1.0 },
                other if 0.0 < standard => other.scaled(1.0 / standard),
                other => other,
            });
            errors.causes.len() - 1
        });
        let few = degrees_of_freedom.is_finite() && 0.0 < degrees_of_freedom;
        let found = few.then(|| {
            let place = *self.found.entry(cause.found.clone()).or_insert_with(|| {
                errors.found.push(degrees_of_freedom);
                errors.found.len() - 1
            });
            // Of one figure in several places the fewest count, towards the larger uncertainty.
            if let Some(fewest) = errors.found.get_mut(place) {
                *fewest = fewest.min(degrees_of_freedom);
            }
            place
        });
        Deviation {
            cause: place,
            standard,
            found,
        }
    }

    fn reading<'m>(
        &mut self,
        model: &'m ReadingModel<'_>,
        chain: &'m Chain<'m>,
        end: DrawnSide,
    ) -> Option<TiedReading<'m>> {
        let trials = TubeTrials::new(
            model.drawn.model(end, chain, &model.air),
            &model.drawn.at(end).inputs,
        );
        self.tied(model, trials)
    }

    fn tube<'m>(
        &mut self,
        tube: &'m SystemTube<'_>,
        chain: &'m Chain<'m>,
        end: DrawnSide,
    ) -> Option<SolvedTube<'m>> {
        let model = &tube.model;
        let solved_for = |source: Source| tube.others.iter().any(|(_, _, of)| *of == source);
        let all = &model.drawn.at(end).inputs;
        let mut others = Vec::with_capacity(tube.others.len());
        for (place, amount, source) in &tube.others {
            let input = all.iter().find(|input| input.source == *source);
            let deviation = input.and_then(|input| {
                let cause = model.cause(*source)?;
                Some(self.tie(cause, input.distribution))
            });
            others.push(OtherShare {
                tube: *place,
                amount: *amount,
                deviation,
            });
        }
        let shares: f64 = tube.others.iter().map(|(_, amount, _)| amount).sum();
        let run = model.drawn.model(end, chain, &model.air);
        let without_shares = MeasurementModel {
            bias: run.bias - shares,
            ..run
        };
        let inputs: Vec<_> = all
            .iter()
            .filter(|input| !solved_for(input.source))
            .copied()
            .collect();
        let trials = TubeTrials::of_any_share(without_shares, &inputs);
        Some(SolvedTube {
            reading: self.tied(model, trials)?,
            level: tube.level,
            others,
        })
    }

    fn tied<'m>(
        &mut self,
        model: &ReadingModel<'_>,
        trials: TubeTrials<'m>,
    ) -> Option<TiedReading<'m>> {
        TiedReading::new(trials, |source, distribution| {
            Some(self.tie(model.cause(source)?, distribution))
        })
    }
}
