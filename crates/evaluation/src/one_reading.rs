//! One reading from beginning to end: sheet, preparation, stain, air, chain, uncertainty, other unit, limits.

use std::rc::Rc;

use stainbook_catalog::Book;
use stainbook_catalog::model::{ResponseFactor, Substance, Tube, USUAL_ORDER};
use stainbook_catalog::written::tube::{Axis, UsableAir};
use stainbook_catalog::written::{
    Atmosphere, Conditions as WrittenConditions, Present, Reading as WrittenReading, Seen,
};
use stainbook_core::{Quantity, Unit};

use crate::air::{self, AirAtPlace};
use crate::amendments;
use crate::assured;
use crate::budget::Relative;
use crate::cell::is_on_line;
use crate::chain::{
    AirHalfWidths, AirState, BandPick, BelowFirstRow, Chain, StatedHumidity, StepDone, TableLookup,
};
use crate::checklist;
use crate::compiled_sheet::CompiledSheet;
use crate::defaults;
use crate::draws_words::TwoMethods;
use crate::evaluate::{Evaluator, Faults, MonteCarloOptions, ReadsToUsed};
use crate::evaluated::not_prepared::NotPrepared;
use crate::evaluated::raised::{
    Indicative, IndicativeWhy, NoConcentration, NumericFlag, NumericStatement, Rough,
};
use crate::evaluated::record_flag::RecordFlag;
use crate::evaluated::{
    Doubtful, DrawnResult, Equipment, Evaluated, InterferentShare, NoResult, Numbers, Record,
    WorkedOut,
};
use crate::facts;
use crate::interferents::{self, ByRatio, Interferents};
use crate::judgement::{
    self, JudgedResult, Judgement, JudgementSettings, LimitOnScale, OtherGasAtLimit,
};
use crate::other_unit::{self, ConvertedWith};
use crate::outcome::InSearch;
use crate::pump_and_lot::{self, PumpUsed};
use crate::required_conditions;
use crate::result::{EffectOnReading, SheetUsed, Status};
use crate::sheet_choice::ChosenSheet;
use crate::stain::{self, DrawnRange, Stain};
use crate::stock::StandIns;
use crate::thresholds;
use stainbook_uncertainty::monte_carlo::Comparison;

mod gas;
mod printed_range;
mod shown;
mod start;
mod uncertainty;

use gas::{gas, gases, other_row};
pub(crate) use shown::{AtLimit, IntervalEnds};
use shown::{BySide, ShownStain};
use start::Start;

/// To how many digits the two methods have to agree: one, as two of the draws' own stand.
pub(crate) const COMPARED_DIGITS: u32 = 1;

/// The coverage factor times a relative deviation from which the upper end of an interval runs away: our own bound.
const NEARLY_OPEN: f64 = 0.8;

/// Works one reading out, under a name. `drawing` says how to draw, if that is asked for.
pub(crate) fn evaluate_one<'b>(
    evaluator: &Evaluator<'b>,
    id: String,
    reading: &WrittenReading,
    (survey, by): (&WrittenConditions, Option<&str>),
    drawing: Option<&MonteCarloOptions<'_>>,
) -> Evaluated<'b> {
    // The record says what was understood, so that it can be worked out again without the names of this catalog.
    let reading = &*evaluator.with_short_names(reading);
    let conditions = air::merged(survey, &reading.conditions);
    let stated = (reading, survey, &conditions);
    let (record, worked) = with_prepared(evaluator, stated, |prepared, sheet| {
        let equipment = Equipment::new(
            sheet,
            (&prepared.drawn, prepared.other),
            prepared.place,
            prepared.pump.clone(),
            Rc::clone(&prepared.settings),
        );
        (equipment, prepared.numbers(drawing))
    });
    let nothing = Evaluated {
        record: Record {
            at: reading.at.as_ref().map(|at| at.text().to_owned()),
            place: reading.place.clone(),
            inputs: facts::inputs(
                reading,
                &conditions,
                by,
                evaluator.reads_to(reading),
                &record.flags,
            ),
            catalog_revision: evaluator.catalog_revision(),
            ..record
        },
        ..Evaluated::nothing_yet(id)
    };
    match worked {
        Ok((equipment, numbers)) => Evaluated {
            refused: numbers.none.map(NoResult::NoConcentration),
            equipment: Some(equipment),
            numbers,
            ..nothing
        },
        Err(why) => Evaluated {
            refused: Some(NoResult::NotPrepared(why)),
            ..nothing
        },
    }
}

/// Prepares a reading and works with it: chooses its sheet, looks at its record, and settles pump, stain and air. The record
/// holds the parts as far as they go.
///
/// # Errors
///
/// [`NotPrepared`].
pub(crate) fn with_prepared<'b, T>(
    evaluator: &Evaluator<'b>,
    (reading, survey, conditions): (&WrittenReading, &WrittenConditions, &WrittenConditions),
    work: impl FnOnce(&PreparedReading<'_>, &Rc<CompiledSheet<'b>>) -> T,
) -> (Record, Result<T, NotPrepared>) {
    let settings = evaluator.settings();
    let mut record = Record {
        flags: settings
            .unusable()
            .cloned()
            .into_iter()
            .chain(amendments::flags(reading))
            .collect(),
        ..Record::default()
    };
    // Each step gives its part, which is joined here; the first that cannot be done is the last.
    let prepare = || -> Result<T, NotPrepared> {
        let book = evaluator.book();
        let chosen = chosen(evaluator, reading)?;
        record.sheet = Some(sheet_used(&chosen));
        let (sheet, faults) = evaluator.compiled(chosen.id)?;
        if faults == Faults::Overridden {
            record.flags.push(RecordFlag::SheetHasErrors);
        }
        let tube = &sheet.tube;
        let gas = gas(book, &sheet, reading)?;
        record.substance = Some(gas.used);
        record.flags.extend(gas.flag);
        let own = tube.measured.substance();
        let substance = gas.response.map_or(own, |response| &response.substance);
        record.sheet_digest = evaluator.digest(
            &sheet,
            &gases(book, tube, substance, reading),
            reading.pump.as_deref(),
            &StandIns::of(book, sheet.entry, reading),
        );

        let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
        let (of_pump, pump) = pump_and_lot::pump(book, tube, reading, strokes);
        let of_box = pump_and_lot::record(book, sheet.entry, reading);
        let of_both = of_box.into_iter().chain(of_pump);
        record
            .flags
            .extend(assured::applied(of_both, reading, evaluator.assured()));
        if evaluator.is_planning() {
            let is_of_the_record =
                |flag: &RecordFlag| flag.code().in_search() == InSearch::OfTheRecord;
            record.flags.retain(|flag| !is_of_the_record(flag));
        }
        record.before_use = checklist::steps(book, sheet.entry, reading, &record.flags);
        let pump = pump?.widened(&record.flags);

        let drawn = stain::drawn(tube, reading)?;
        let reads_to = evaluator.reads_to(reading);
        let without_scale = tube.thresholds.as_ref();
        let stain = match without_scale {
            Some(_) => None,
            None => Some(stain::seen(
                reading.reading.as_ref(),
                &drawn,
                reads_to.part(),
            )?),
        };

        record.survey_pressure_not_used =
            survey.pressure.is_some() && conditions.pressure.is_none();
        let (of_air, place) = air::at_place(conditions);
        let at_sea_level = of_air.contains(&RecordFlag::SeaLevelPressureWithoutAltitude);
        record.flags.extend(of_air);
        let place = place?;
        let spent = pump_and_lot::spent_pre_tube(sheet.entry, reading, &place);
        record.flags.extend(spent.filter(|flag| {
            !evaluator.is_planning() || flag.code().in_search() != InSearch::OfTheRecord
        }));
        if let Some(atmosphere) = conditions.atmosphere
            && atmosphere != Atmosphere::Air
            && sheet.entry.usable().and_then(|usable| usable.air) == Some(UsableAir::OnlyInAir)
        {
            record
                .flags
                .push(RecordFlag::OutsideUsableAir { atmosphere });
        }
        let (of_tube, met) = required_conditions::conditions(tube, &drawn, &place, at_sea_level);
        record.flags.extend(of_tube);
        met?;

        let other = other_row(tube, gas.response, &drawn);
        let doubts = record.flags.iter().map(|flag| flag.code().may_read());
        let stain = match (stain, without_scale) {
            (Some(stain), _) => stain,
            (None, Some(thresholds)) => {
                let strokes = strokes.ok_or(NotPrepared::StrokesMissing)?;
                let seen = reading.reading.as_ref();
                thresholds::seen(tube, thresholds, seen, strokes, &place)?
            }
            (None, None) => return Err(NotPrepared::ReadingMissing),
        };
        let air = place.numbers();
        let chains = settled(tube, &drawn, other, &stain, &place);
        let prepared = PreparedReading {
            book,
            sheet: &sheet,
            drawn,
            other,
            substance,
            chain: chains.own,
            end_chains: chains.ends,
            below_first_row: chains.below_first_row,
            air,
            place,
            pump,
            stain,
            sign: reading.reading.as_ref().and_then(sign),
            reads_to,
            settings: Rc::clone(&settings),
            present: &reading.present,
            doubtful: Doubtful::of(doubts),
            may_be_drawn: evaluator.monte_carlo().is_some(),
        };
        Ok(work(&prepared, &sheet))
    };
    let done = prepare();
    (record, done)
}

/// The chains of a reading: with the bands of its air settled, and with a bound below the first row of a table.
struct SettledChains<'t> {
    own: Chain<'t>,
    ends: Option<[Chain<'t>; 2]>,
    below_first_row: Option<BelowFirstRow>,
}

fn settled<'t>(
    tube: &'t Tube,
    drawn: &DrawnRange<'t>,
    other: Option<&'t ResponseFactor>,
    stain: &Stain,
    place: &AirAtPlace,
) -> SettledChains<'t> {
    let air = place.numbers();
    let calibration = |axis, unit: &'static Unit| {
        let at = &tube.calibration;
        match axis {
            Axis::Temperature => Some(at.temperature.in_unit(unit)),
            Axis::Pressure => Some(at.pressure.in_unit(unit)),
            Axis::Humidity => {
                let humidity = StatedHumidity::of(at.humidity?);
                Some(humidity.in_unit(unit, at.temperature.celsius()))
            }
        }
    };
    let plain = Chain::new(tube, drawn.scale, drawn.range, other);
    let reading = match stain {
        Stain::At { value, .. } => Some(*value),
        Stain::NotSeen | Stain::BelowFirstMark => drawn.scale.marks.first().copied(),
        Stain::BeyondLastMark => drawn.scale.marks.last().copied(),
        Stain::AtLeast(bound) | Stain::LessThan(bound) => Some(*bound),
    };
    let within = AirHalfWidths {
        celsius: defaults::TEMPERATURE_WITHIN,
        kilopascals: place
            .pressure
            .map_or(0.0, |station| station.origin.within() * air.kilopascals),
    };
    let likelier = plain.in_bands(&air, within, BandPick::Likelier);
    let below_first_row = |chain: Chain<'t>| {
        reading.and_then(|reading| chain.below_first_row(reading, &air, calibration))
    };
    let (own, below) =
        below_first_row(likelier).map_or((likelier, None), |(chain, below)| (chain, Some(below)));
    if !plain.has_bands() {
        return SettledChains {
            own,
            ends: None,
            below_first_row: below,
        };
    }
    let factor =
        |chain: &Chain<'_>| -> f64 { chain.bands().map(|(.., found)| found.factor).product() };
    let ends = [BandPick::Smallest, BandPick::Largest].map(|pick| {
        let chain = plain.in_bands(&air, within, pick);
        let bounded = below.and_then(|_| below_first_row(chain));
        bounded.map_or(chain, |(chain, _)| chain)
    });
    let differ = ends
        .iter()
        .any(|chain| factor(chain).to_bits() != factor(&own).to_bits());
    SettledChains {
        ends: differ.then_some(ends),
        own,
        below_first_row: below,
    }
}

/// The bound that a reading was written as.
fn sign(seen: &Seen) -> Option<&str> {
    let bound = seen.less_than.as_ref().or(seen.more_than.as_ref())?;
    Some(bound.text())
}

/// The sheet that a reading belongs to.
fn chosen<'b>(
    evaluator: &Evaluator<'b>,
    reading: &WrittenReading,
) -> Result<ChosenSheet<'b>, NotPrepared> {
    let tube = reading.tube.as_deref().ok_or(NotPrepared::TubeMissing)?;
    evaluator.choose(tube, reading.leaflet.as_deref(), reading.lot.as_deref())
}

/// The sheet as results state it.
fn sheet_used(chosen: &ChosenSheet<'_>) -> SheetUsed {
    let name = chosen.entry.name.as_deref();
    let leaflet = chosen.entry.leaflet.as_ref();
    SheetUsed {
        id: chosen.id.to_owned(),
        name: name.unwrap_or(chosen.id).to_owned(),
        revision: leaflet
            .and_then(|leaflet| leaflet.revision.clone())
            .unwrap_or_default(),
        chosen: chosen.how.into(),
    }
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
    /// The chains of the smallest and of the largest factor that the air may need, where they are not all one.
    end_chains: Option<[Chain<'r>; 2]>,
    /// The table below whose first row the reading lies.
    below_first_row: Option<BelowFirstRow>,
    air: AirState,
    place: AirAtPlace,
    pump: PumpUsed,
    stain: Stain,
    /// The bound that the stain was taken from, if it was written as one.
    sign: Option<&'r str>,
    reads_to: ReadsToUsed,
    settings: Rc<JudgementSettings>,
    present: &'r [Present],
    /// Doubts that preparation and record leave.
    doubtful: Doubtful,
    /// True if draws were asked for, of this reading or of what it makes with others.
    may_be_drawn: bool,
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

    /// Works the numbers out, without a word, as far as they go.
    fn numbers(&self, drawing: Option<&MonteCarloOptions<'_>>) -> Numbers {
        let (start, bounded_by) = match self.start() {
            Ok(start) => start,
            Err(why) => return Numbers::none(why),
        };
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
        let taken = match self.take_off(start, &gases) {
            Ok(taken) => taken,
            Err(why) => {
                return Numbers {
                    statements: bounded_by.into_iter().collect(),
                    ..Numbers::none(why)
                };
            }
        };
        let start = taken.start;
        let (steps, value) = self.run(&start);
        let mut numbers = Numbers {
            interference: (start.bias.abs() > 0.0).then_some(InterferentShare {
                reading: start.reading,
                share: start.reading - start.net,
            }),
            steps,
            ..Numbers::default()
        };
        let (flags, statements) = (&mut numbers.flags, &mut numbers.statements);
        flags.extend(taken.flag);
        flags.extend(gases.flags.iter().cloned());
        if start.bias.abs() > 0.0 {
            flags.extend(gases.assumed());
        }
        statements.extend(bounded_by);
        statements.extend(self.more_strokes());
        statements.extend(taken.statement);
        statements.extend(gases.statements.iter().cloned());
        let value = match value {
            Ok(value) => value,
            Err(why) => {
                return Numbers {
                    interferents: gases,
                    none: Some(why),
                    ..numbers
                };
            }
        };
        let propagated = self.propagate(&start, value, &gases);
        let relative = propagated.outcome.relative;
        let cell = self.cell(&start);
        let shown = ShownStain::new(self, start, value, &gases, &propagated);
        let measured = start.status == Status::Measured;
        let cell_ends = if measured {
            shown.cell_ends(&cell)
        } else {
            [value, value]
        };
        let ends = if measured {
            let Some(ends) = shown.interval(&cell) else {
                return Numbers {
                    interferents: gases,
                    none: Some(NoConcentration::NothingCanBeTold),
                    ..numbers
                };
            };
            ends
        } else {
            shown.reached(&cell)
        };
        flags.extend(self.assumptions(&start, relative.standard));
        flags.extend(self.below_table());
        statements.extend(self.in_two_bands());
        flags.extend(self.printed_range(&start, &numbers.steps));
        if NEARLY_OPEN <= shown.openness() {
            flags.push(NumericFlag::NearlyOpen {
                open: measured && ends.highest.is_none(),
            });
        }
        let (converted, of_unit) = other_unit::other_unit(
            value,
            &ConvertedWith {
                book: self.book,
                tube: &self.sheet.tube,
                scale: self.drawn.scale,
                strokes: self.drawn.range.strokes,
                substance: self.substance,
                place: &self.place,
            },
        );
        flags.extend(of_unit.into_iter().flatten());
        if converted.converted.is_some() {
            statements.push(NumericStatement::MolarMassNegligible);
        }
        let drawn_ends = if measured && self.may_be_drawn {
            let stains = shown.outermost(&cell);
            stains.map(|stains| self.drawn_ends(&start, value, &gases, stains))
        } else {
            None
        };
        let drawn = drawing.zip(drawn_ends.as_ref()).map(|(options, ends)| {
            let outcome = self.draw(ends, options);
            (outcome, options.settings)
        });
        if measured {
            statements.push(NumericStatement::CoversAirDrawn);
            let stain = self
                .sheet
                .entry
                .read
                .as_ref()
                .and_then(|read| read.stain.as_ref());
            let read_at = stain.and_then(|stain| stain.read_at);
            statements.extend(read_at.map(NumericStatement::ReadWhere));
        }
        if let Stain::At { value, cell } = &self.stain
            && cell.stated() <= 0.0
            && self.sheet.tube.thresholds.is_none()
        {
            match self.reads_to {
                ReadsToUsed::Stated(_) => {}
                ReadsToUsed::Assumed => {
                    statements.push(NumericStatement::ReadsToAssumed);
                    numbers.on_mark = Some(is_on_line(self.drawn.scale, *value));
                }
                ReadsToUsed::OnMarksOnly => flags.push(NumericFlag::OnMarksOnly),
            }
        }
        let raised = Doubtful::of(flags.iter().map(NumericFlag::may_read));
        let doubtful = self.doubtful.and(raised);
        let in_scale = |ppm: f64| converted.ppm.map(|as_ppm| ppm * value / as_ppm);
        let judgements = judgement::judge(&JudgedResult {
            status: start.status,
            cell,
            at_limit: &|limit| {
                let concentration = in_scale(limit)?;
                let matters = |one: &&ByRatio| !self.is_below_times(one, concentration);
                let other_gas = gases
                    .by_ratio
                    .iter()
                    .find(matters)
                    .map(|one| OtherGasAtLimit {
                        effect: one.effect,
                        times: self.times(one, concentration),
                    });
                let doubts = gases.by_ratio.iter().filter(matters).map(ByRatio::may_read);
                let at_limit = shown.at(concentration, &cell, BySide::Value);
                // Where the air lies in one band, both ends are the value's.
                let of_end = |by| match &self.end_chains {
                    Some(_) => shown.at(concentration, &cell, by),
                    None => at_limit,
                };
                Some(LimitOnScale {
                    shown: at_limit,
                    for_below: of_end(BySide::Upper),
                    for_above: of_end(BySide::Lower),
                    doubtful: doubtful.and(Doubtful::of(doubts)),
                    other_gas,
                })
            },
            substance: self.substance,
            measured: &self.sheet.tube.measured,
            other_gas: self.other.is_some(),
            settings: &self.settings,
        });
        for said in self.by_ratio(value, &gases) {
            match said {
                Ok(below) => statements.push(below),
                Err(doubt) => flags.push(doubt),
            }
        }
        numbers.interferents = self.effects(&start, value, gases);
        if start.status == Status::LessThan && flags.iter().any(NumericFlag::hides_stain) {
            return Numbers {
                none: Some(NoConcentration::OtherGasHidesStain),
                ..numbers
            };
        }
        let mut out = WorkedOut {
            status: start.status,
            reading: start.reading,
            value,
            unit,
            converted,
            relative,
            ends,
            contributions: propagated.parts,
            origins: self.origins(),
            drawn_ends,
            drawn: None,
            cell_ends,
            judgements,
        };
        if let Some((outcome, settings)) = drawn {
            out.drawn = Some(DrawnResult {
                comparison: Comparison::new(
                    out.interval(),
                    out.standard(),
                    &outcome,
                    COMPARED_DIGITS,
                ),
                outcome,
                settings,
            });
            for said in self.about_draws(&out).into_iter().flatten() {
                match said {
                    Ok(known) => statements.push(known),
                    Err(doubt) => flags.push(doubt),
                }
            }
        }
        if out.judgements.is_empty() && self.settings.is_choosy() {
            statements.push(NumericStatement::NoLimitNamed);
        }
        numbers.concentration = Some(out);
        numbers
    }

    /// The doubt of a reading below the first row of a table: what is known there is a bound.
    pub(super) fn below_table(&self) -> Option<NumericFlag> {
        let below = self.below_first_row.filter(|below| !below.at_calibration)?;
        Some(NumericFlag::BelowFirstRow {
            entered: below.entered,
            first: below.first,
            factor: below.factor,
            axis: below.axis,
        })
    }

    /// Statements about bands of a correction that the air may lie in besides the one that was taken.
    fn in_two_bands(&self) -> Vec<NumericStatement> {
        let Some([lower, upper]) = &self.end_chains else {
            return Vec::new();
        };
        let factors = lower.bands().zip(upper.bands());
        factors
            .filter(|((.., low), (.., high))| low.factor < high.factor)
            .map(
                |((axis, _, low), (.., high))| NumericStatement::AirInTwoBands {
                    axis,
                    factors: [low.factor, high.factor],
                },
            )
            .collect()
    }

    /// Runs the chain and lists its steps.
    fn run(&self, start: &Start) -> (Vec<StepDone>, Result<f64, NoConcentration>) {
        let mut steps = Vec::with_capacity(USUAL_ORDER.len());
        let value = self
            .chain
            .run(start.net, &self.air, TableLookup::AsStated, |done| {
                steps.push(done);
            });
        let value = match value {
            Ok(value) if value.is_finite() && 0.0 < value => Ok(value),
            Ok(_) => Err(NoConcentration::Impossible),
            Err(failed) => Err(NoConcentration::Step(failed)),
        };
        (steps, value)
    }

    /// The effects of interferents, with the result as it would be if nothing were taken off.
    fn effects(&self, start: &Start, value: f64, mut gases: Interferents) -> Interferents {
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
        for one in &gases.by_ratio {
            if self.is_below_times(one, value)
                && let Some(effect) = gases.effects.get_mut(one.effect)
            {
                effect.effect = EffectOnReading::NoEffect;
            }
        }
        gases
    }

    /// The level of an interferent, as so many times the gas measured.
    fn times(&self, one: &ByRatio, value: f64) -> f64 {
        one.level.in_unit(self.drawn.scale.unit) / value
    }

    /// True if an interferent is known to be at fewer times the gas measured than it matters from. A level that cannot be
    /// compared is not known to be.
    fn is_below_times(&self, one: &ByRatio, value: f64) -> bool {
        self.times(one, value) < one.times
    }

    /// Statement about gases that matter from so many times the gas measured, or the doubt that they raise.
    fn by_ratio(
        &self,
        value: f64,
        gases: &Interferents,
    ) -> impl Iterator<Item = Result<NumericStatement, NumericFlag>> {
        gases.by_ratio.iter().map(move |one| {
            let (gas, at, from) = (one.gas.clone(), self.times(one, value), one.times);
            if self.is_below_times(one, value) {
                return Ok(NumericStatement::BelowTimes { gas, at, from });
            }
            Err(NumericFlag::Indicative(Indicative {
                gas,
                effect: one.together,
                why: if at.is_finite() {
                    IndicativeWhy::Times { at, from }
                } else {
                    IndicativeWhy::LevelNotComparable
                },
            }))
        })
    }

    /// Statements about the draws, or the doubts that they raise.
    ///
    /// That the two methods disagree is always said, by the standard's own measure (JCGM 101:2008, 8.1). With a relative
    /// standard uncertainty of a quarter or more that is the rule: a product of doubtful factors is lopsided, and an interval
    /// of equal arms reaches too low. So it is said with the result, and raised as a flag where somebody would decide
    /// otherwise: a limit lies inside one interval and outside the other.
    fn about_draws(&self, out: &WorkedOut) -> [Option<Result<NumericStatement, NumericFlag>>; 4] {
        let Some(drawn) = &out.drawn else {
            return [const { None }; 4];
        };
        let outcome = &drawn.outcome;
        let rough = (!drawn.comparison.agrees()).then(|| {
            let limits = self.divided(out);
            if limits.is_empty() {
                Ok(NumericStatement::PropagationRough)
            } else {
                Err(NumericFlag::PropagationRough(Rough { limits }))
            }
        });
        let unsettled = outcome.stable.is_some_and(|(_, settled)| !settled);
        let (count, zero) = (outcome.clamped.at_an_end, outcome.clamped.at_zero);
        [
            rough,
            unsettled.then_some(Err(NumericFlag::DrawsNotSettled)),
            (0 < count).then_some(Ok(NumericStatement::DrawsAtAnEnd { count })),
            (0 < zero).then_some(Ok(NumericStatement::DrawsAtZero { count: zero })),
        ]
    }

    /// The limits that lie inside one interval and outside the other.
    fn divided(&self, out: &WorkedOut) -> Vec<usize> {
        let Some(methods) = out.drawn.as_ref().map(|drawn| TwoMethods::of(out, drawn)) else {
            return Vec::new();
        };
        // Limits are compared as volume fractions, of which the scale's unit is a fixed multiple.
        let in_unit = |ppm: f64| out.converted.ppm.map(|as_ppm| ppm * out.value / as_ppm);
        let divides = |judgement: &&Judgement| {
            let limit = self
                .substance
                .limits
                .get(judgement.limit)
                .and_then(|limit| judgement::limit_in_ppm(limit, self.substance))
                .and_then(in_unit);
            limit.is_some_and(|limit| methods.divides(limit))
        };
        out.judgements
            .iter()
            .filter(|judgement| judgement.decided.verdict.is_some())
            .filter(divides)
            .map(|judgement| judgement.limit)
            .collect()
    }
}
