//! One reading from beginning to end: sheet, preparation, stain, air, chain, uncertainty, other unit, limits.

use std::rc::Rc;

use stainbook_catalog::Book;
use stainbook_catalog::model::{ResponseFactor, Substance};
use stainbook_catalog::written::{
    Conditions as WrittenConditions, Present, Reading as WrittenReading,
};
use stainbook_core::Quantity;

use crate::air::{self, AirAtPlace};
use crate::amendments;
use crate::budget::Relative;
use crate::chain::{AirState, Chain, StepDone, TableLookup};
use crate::checklist;
use crate::compiled_sheet::CompiledSheet;
use crate::evaluate::{Evaluator, Faults, MonteCarloOptions};
use crate::evaluated::raised::{
    Indicative, IndicativeWhy, NoConcentration, NumericFlag, NumericStatement, Rough,
};
use crate::evaluated::{
    Doubtful, DrawnResult, Equipment, Evaluated, InterferentShare, Numbers, Record, WorkedOut,
};
use crate::facts;
use crate::interferents::{self, Interferents};
use crate::judgement::{self, JudgedResult, Judgement, JudgementSettings};
use crate::other_unit::{self, ConvertedWith};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::pointers;
use crate::pump_and_lot::{self, PumpUsed};
use crate::required_conditions;
use crate::result::{EffectOnReading, SheetUsed, Status};
use crate::stain::{self, DrawnRange, Stain};
use crate::words;
use stainbook_uncertainty::monte_carlo::Comparison;

mod gas;
mod printed_range;
mod start;
mod uncertainty;

use gas::{gas, gases, other_row};
use start::Start;

/// To how many digits the two methods have to agree: one, as two of the draws' own stand.
const COMPARED_DIGITS: u32 = 1;

/// Works one reading out, under a name. `drawing` says how to draw, if that is asked for.
pub(crate) fn evaluate_one<'b>(
    evaluator: &Evaluator<'b>,
    id: String,
    reading: &WrittenReading,
    (survey, by): (&WrittenConditions, Option<&str>),
    drawing: Option<&MonteCarloOptions<'_>>,
) -> Evaluated<'b> {
    let conditions = air::merged(survey, &reading.conditions);
    let mut record = Record {
        at: reading.at.as_ref().map(|at| at.text().to_owned()),
        place: reading.place.clone(),
        inputs: facts::inputs(reading, &conditions, by),
        catalog_revision: evaluator.catalog_revision(),
        flags: evaluator
            .settings()
            .unusable()
            .cloned()
            .into_iter()
            .collect(),
        ..Record::default()
    };
    let prepared = with_prepared(
        evaluator,
        (reading, survey, &conditions),
        &mut record,
        |prepared, sheet| {
            let equipment = Equipment::new(
                sheet,
                (prepared.drawn.range, prepared.other),
                prepared.place,
                prepared.pump.clone(),
                Rc::clone(&prepared.settings),
            );
            let numbers = prepared.numbers(drawing);
            (equipment, numbers)
        },
    );
    let mut evaluated = Evaluated {
        record,
        ..Evaluated::nothing_yet(id)
    };
    match prepared {
        Ok((equipment, numbers)) => {
            evaluated.refusal = numbers
                .none
                .map(|none| words::no_concentration(none, &equipment));
            evaluated.equipment = Some(equipment);
            evaluated.numbers = numbers;
        }
        Err(refusal) => evaluated.refusal = Some(refusal),
    }
    evaluated
}

/// Prepares a reading: chooses its sheet, looks at its record, and settles pump, stain and air. What is found on the way
/// stands in `record`, however far it goes.
///
/// # Errors
///
/// The [`Refusal`].
pub(crate) fn with_prepared<'b, T>(
    evaluator: &Evaluator<'b>,
    (reading, survey, conditions): (&WrittenReading, &WrittenConditions, &WrittenConditions),
    record: &mut Record,
    work: impl FnOnce(&PreparedReading<'_>, &Rc<CompiledSheet<'b>>) -> T,
) -> Result<T, Refusal> {
    amendments::flags(reading, &mut record.flags);
    let book = evaluator.book();

    let sheet = sheet(evaluator, reading, record)?;
    let tube = &sheet.tube;
    let other = gas(book, &sheet, reading, record)?;
    let substance = other.map_or_else(|| tube.measured.substance(), |other| &other.substance);
    record.sheet_digest = evaluator.digest(
        &sheet,
        &gases(book, tube, substance, reading),
        reading.pump.as_deref(),
    );

    pump_and_lot::record(book, sheet.entry, reading, &mut record.flags);
    let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
    let pump = pump_and_lot::pump(book, tube, reading, strokes, &mut record.flags);
    record.before_use = checklist::steps(book, sheet.entry, reading, &record.flags);
    let pump = pump?;

    let drawn = stain::drawn(tube, reading)?;
    let stain = stain::seen(reading.reading.as_ref(), drawn.scale)?;
    let other = other_row(tube, other, &drawn);

    if survey.pressure.is_some() && conditions.pressure.is_none() {
        record.statements.push(Statement::new(
            Code::SurveyPressureNotUsed,
            "The survey's station pressure was not used for this reading, which states another altitude or a sea-level pressure.",
        ));
    }
    let place = air::at_place(conditions, &mut record.flags)?;
    required_conditions::conditions(tube, drawn.scale, &place, &mut record.flags)?;

    let chain = Chain::new(tube, drawn.scale, drawn.range, other);
    let prepared = PreparedReading {
        book,
        sheet: &sheet,
        drawn,
        other,
        substance,
        chain,
        air: place.numbers(),
        place,
        pump,
        stain,
        settings: evaluator.settings(),
        present: &reading.present,
        doubtful: Doubtful::of(record.flags.iter().map(|flag| flag.code.may_read())),
    };
    Ok(work(&prepared, &sheet))
}

/// Chooses the sheet and makes it ready.
fn sheet<'b>(
    evaluator: &Evaluator<'b>,
    reading: &WrittenReading,
    record: &mut Record,
) -> Result<Rc<CompiledSheet<'b>>, Refusal> {
    let tube = reading.tube.as_deref().ok_or_else(|| {
        Refusal::new(
            Code::TubeMissing,
            "the reading does not say which tube was used",
            "write the sheet's short name under `tube`",
        )
        .at(pointers::TUBE)
    })?;
    let chosen = evaluator.choose(tube, reading.leaflet.as_deref(), reading.lot.as_deref())?;
    let revision = chosen
        .entry
        .leaflet
        .as_ref()
        .and_then(|leaflet| leaflet.revision.clone())
        .unwrap_or_default();
    record.sheet = Some(SheetUsed {
        id: chosen.id.to_owned(),
        name: chosen
            .entry
            .name
            .clone()
            .unwrap_or_else(|| chosen.id.to_owned()),
        revision,
        chosen: chosen.how.into(),
    });
    let (sheet, faults) = evaluator
        .sheet(chosen.id)
        .map_err(|refusal| refusal.at(pointers::TUBE))?;
    if faults == Faults::Overridden {
        record.flags.push(Flag::new(
            Code::SheetHasErrors,
            "the checker found errors in the sheet, and the result was asked for nevertheless",
        ));
    }
    Ok(sheet)
}

/// A reading with everything settled that comes before its numbers: sheet, pump, stain and air. From
/// [`Evaluator::with_prepared`].
#[derive(Debug)]
pub struct PreparedReading<'r> {
    book: &'r Book,
    sheet: &'r CompiledSheet<'r>,
    drawn: DrawnRange<'r>,
    other: Option<&'r ResponseFactor>,
    substance: &'r Substance,
    chain: Chain<'r>,
    air: AirState,
    place: AirAtPlace,
    pump: PumpUsed,
    stain: Stain,
    settings: Rc<JudgementSettings>,
    present: &'r [Present],
    /// What preparation and record leave doubtful.
    doubtful: Doubtful,
}

/// A concentration or a bound in numbers, in the unit of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Concentration {
    /// The number.
    pub value: f64,
    /// Its relative standard uncertainty; for a bound that of a reading on it.
    pub relative: Relative,
}

impl PreparedReading<'_> {
    /// The concentration with its uncertainty, worked out as for a result but without a word; nothing where there is none.
    pub fn concentration(&self) -> Option<Concentration> {
        let out = self.numbers(None).concentration?;
        Some(Concentration {
            value: out.value,
            relative: out.relative,
        })
    }

    /// Works the numbers out, without a word.
    fn numbers(&self, drawing: Option<&MonteCarloOptions<'_>>) -> Numbers {
        let mut numbers = Numbers::default();
        match self.work_out(drawing, &mut numbers) {
            Ok(out) => numbers.concentration = Some(out),
            Err(none) => numbers.none = Some(none),
        }
        numbers
    }

    /// The concentration. What is done and raised on the way stands in `numbers`, however far it goes.
    fn work_out(
        &self,
        drawing: Option<&MonteCarloOptions<'_>>,
        numbers: &mut Numbers,
    ) -> Result<WorkedOut, NoConcentration> {
        let (start, bounded_by) = self.start()?;
        numbers.statements.extend(bounded_by);
        let unit = self.drawn.scale.unit;
        let gases = interferents::weigh(
            self.present,
            &interferents::Weighing {
                book: self.book,
                sheet: self.sheet,
                chain: &self.chain.without_other_gas(),
                air: &self.air,
                place: &self.place,
                reading: start.reading,
                unit,
                measured: &self.substance.id,
            },
        );
        let taken = self.take_off(start, &gases)?;
        let start = taken.start;
        numbers.flags.extend(taken.flag);
        numbers.statements.extend(taken.statement);
        numbers.flags.extend(gases.flags.iter().cloned());
        numbers.statements.extend(gases.statements.iter().cloned());
        numbers.interferents = gases;

        if start.bias.abs() > 0.0 {
            numbers.interference = Some(InterferentShare {
                reading: start.reading,
                share: start.bias,
            });
        }
        let value = self.run(&start, &mut numbers.steps)?;
        let propagated = self.propagate(&start, value, &numbers.interferents);
        let relative = propagated.relative;
        numbers
            .flags
            .extend(self.assumptions(&start, relative.standard));
        numbers
            .flags
            .extend(self.printed_range(&start, &numbers.steps));
        let converted = other_unit::other_unit(
            value,
            &ConvertedWith {
                book: self.book,
                tube: &self.sheet.tube,
                scale: self.drawn.scale,
                substance: self.substance,
                place: &self.place,
            },
            &mut numbers.flags,
        );
        if converted.converted.is_some() {
            numbers
                .statements
                .push(NumericStatement::MolarMassNegligible);
        }
        let measured = start.status == Status::Measured;
        let drawn = drawing.filter(|_| measured).map(|options| {
            let drawn = self.draw(
                &start,
                (value, converted.ppm),
                &numbers.interferents,
                options,
            );
            (drawn, options)
        });
        if measured {
            numbers.statements.push(NumericStatement::CoversAirDrawn);
        }
        self.effects(&start, value, &mut numbers.interferents);
        self.by_ratio(value, numbers);
        let raised = Doubtful::of(numbers.flags.iter().map(NumericFlag::may_read));
        let judgements = judgement::judge(&JudgedResult {
            status: start.status,
            ppm: converted.ppm,
            relative,
            drawn: drawn.as_ref().map(|(drawn, _)| &drawn.above),
            substance: self.substance,
            measured: &self.sheet.tube.measured,
            other_gas: self.other.is_some(),
            doubtful: Doubtful {
                low: self.doubtful.low || raised.low,
                high: self.doubtful.high || raised.high,
            },
            settings: &self.settings,
        });
        let mut out = WorkedOut {
            status: start.status,
            reading: start.reading,
            value,
            unit,
            converted,
            relative,
            contributions: propagated.parts,
            origins: self.origins(),
            drawn: None,
            judgements,
        };
        if let Some((drawn, options)) = drawn {
            out.drawn = Some(DrawnResult {
                comparison: Comparison::new(
                    value,
                    out.standard(),
                    relative.effective_degrees_of_freedom,
                    &drawn.outcome,
                    COMPARED_DIGITS,
                ),
                outcome: drawn.outcome,
                settings: options.settings,
            });
            self.about_draws(&out, numbers);
        }
        if out.judgements.is_empty() && self.settings.is_choosy() {
            numbers.statements.push(NumericStatement::NoLimitNamed);
        }
        Ok(out)
    }

    /// Runs the chain and lists its steps.
    fn run(&self, start: &Start, steps: &mut Vec<StepDone>) -> Result<f64, NoConcentration> {
        let net = start.reading - start.bias;
        let value = self
            .chain
            .run(net, &self.air, TableLookup::AsStated, |done| {
                steps.push(done);
            })
            .map_err(NoConcentration::Step)?;
        if value.is_finite() && 0.0 < value {
            Ok(value)
        } else {
            Err(NoConcentration::Impossible)
        }
    }

    /// What interferents did, with the result as it would be if nothing were taken off.
    fn effects(&self, start: &Start, value: f64, gases: &mut Interferents) {
        let uncorrected = if start.bias.abs() > 0.0 {
            self.chain
                .value(start.reading, &self.air, TableLookup::AsStated)
                .ok()
        } else {
            Some(value)
        };
        for effect in &mut gases.effects {
            if effect.effect == EffectOnReading::Subtracted {
                effect.uncorrected = uncorrected;
                if start.bias.abs() <= 0.0 {
                    effect.effect = EffectOnReading::LeftIn;
                }
            }
        }
    }

    /// Gases that matter from so many times the gas measured.
    fn by_ratio(&self, value: f64, numbers: &mut Numbers) {
        let Interferents {
            by_ratio, effects, ..
        } = &mut numbers.interferents;
        for one in by_ratio.iter() {
            let gas = one.gas.clone();
            let at = one.level.in_unit(self.drawn.scale.unit) / value;
            if at < one.times {
                if let Some(effect) = effects.get_mut(one.effect) {
                    effect.effect = EffectOnReading::NoEffect;
                }
                numbers.statements.push(NumericStatement::BelowTimes {
                    gas,
                    at,
                    from: one.times,
                });
            } else {
                numbers.flags.push(NumericFlag::Indicative(Indicative {
                    gas,
                    effect: one.together,
                    why: if at.is_finite() {
                        IndicativeWhy::Times {
                            at,
                            from: one.times,
                        }
                    } else {
                        IndicativeWhy::LevelNotComparable
                    },
                }));
            }
        }
    }

    /// What is to be said of the draws.
    ///
    /// That the two methods disagree is always said, by the standard's own measure (JCGM 101:2008, 8.1). With a relative
    /// standard uncertainty of a quarter or more that is the rule: a product of doubtful factors is lopsided, and an interval
    /// of equal arms reaches too low. So it is said with the result, and raised as a flag where somebody would decide
    /// otherwise: a limit lies inside one interval and outside the other.
    fn about_draws(&self, out: &WorkedOut, numbers: &mut Numbers) {
        let Some(drawn) = &out.drawn else { return };
        let outcome = &drawn.outcome;
        if !drawn.comparison.agrees() {
            let limits = self.divided(out, outcome.intervals.symmetric);
            if limits.is_empty() {
                numbers.statements.push(NumericStatement::PropagationRough);
            } else {
                let rough = Rough { limits };
                numbers.flags.push(NumericFlag::PropagationRough(rough));
            }
        }
        if outcome.stable.is_some_and(|(_, settled)| !settled) {
            numbers.flags.push(NumericFlag::DrawsNotSettled);
        }
        let (count, zero) = (outcome.clamped.at_an_end, outcome.clamped.at_zero);
        if 0 < count {
            numbers
                .statements
                .push(NumericStatement::DrawsAtAnEnd { count });
        }
        if 0 < zero {
            numbers
                .statements
                .push(NumericStatement::DrawsAtZero { count: zero });
        }
    }

    /// The limits that lie inside one interval and outside the other.
    fn divided(&self, out: &WorkedOut, drawn: [f64; 2]) -> Vec<usize> {
        let propagated = out.propagated_interval();
        // Limits are compared as volume fractions, of which the scale's unit is a fixed multiple.
        let in_unit = |ppm: f64| out.converted.ppm.map(|as_ppm| ppm * out.value / as_ppm);
        let divides = |judgement: &&Judgement| {
            let limit = self
                .substance
                .limits
                .get(judgement.limit)
                .and_then(|limit| judgement::limit_in_ppm(limit, self.substance))
                .and_then(in_unit);
            let covers = |ends: [f64; 2], at: f64| ends[0] <= at && at <= ends[1];
            limit.is_some_and(|limit| covers(propagated, limit) != covers(drawn, limit))
        };
        out.judgements
            .iter()
            .filter(|judgement| judgement.decided.verdict.is_some())
            .filter(divides)
            .map(|judgement| judgement.limit)
            .collect()
    }
}
