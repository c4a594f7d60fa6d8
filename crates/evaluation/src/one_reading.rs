//! One reading from beginning to end: sheet, preparation, stain, air, chain, uncertainty, other unit, limits.

use std::rc::Rc;

use stainbook_catalog::Book;
use stainbook_catalog::model::{AlsoMeasured, Substance};
use stainbook_catalog::written::tube::Target;
use stainbook_catalog::written::{Conditions as WrittenConditions, Reading as WrittenReading};
use stainbook_core::{Quantity, print};

use crate::air::{self, AirAtPlace};
use crate::amendments;
use crate::before_use;
use crate::cautions;
use crate::chain::{Air, Chain, Reading};
use crate::draws_words;
use crate::evaluate::{Evaluator, Faults, MonteCarloOptions};
use crate::facts;
use crate::field;
use crate::judgement::{self, Judged, Settings};
use crate::needed;
use crate::other_gases::{self, Others};
use crate::other_unit::{self, ConvertedWith};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::preparation::{self, PumpUsed};
use crate::prepared::Prepared;
use crate::repeat::{self, HalfStrokes, OffScale};
use crate::result::{
    Amount, AppliedStep, Basis, CorrectionApplied, CorrectionSource, EffectOnReading,
    ReadingResult, SheetUsed, Status,
};
use crate::stain::{self, Drawn, Stain};
use crate::step_words;

mod doubt;
mod gas;
mod printed_range;
mod start;

use gas::{gas, gases, other_row};
use start::Start;

/// Fills in a result as far as the reading goes.
///
/// # Errors
///
/// The [`Refusal`]; what was filled in before it stays.
pub(crate) fn fill(
    evaluator: &mut Evaluator<'_>,
    reading: &WrittenReading,
    survey: &WrittenConditions,
    by: Option<&str>,
    result: &mut ReadingResult,
) -> Result<(), Refusal> {
    let conditions = air::merged(survey, &reading.conditions);
    result.at = reading.at.as_ref().map(|at| at.text().to_owned());
    result.place.clone_from(&reading.place);
    result.inputs = facts::inputs(reading, &conditions, by);
    amendments::flags(reading, &mut result.flags);
    let book = evaluator.book();

    let sheet = sheet(evaluator, reading, result)?;
    let tube = &sheet.tube;
    let other = gas(book, &sheet, reading, result)?;
    let substance = other.map_or_else(|| tube.measured.substance(), |other| &other.substance);
    result.sheet_digest = evaluator.digest(
        &sheet,
        &gases(book, tube, substance, reading),
        reading.pump.as_deref(),
    );

    preparation::record(book, sheet.entry, reading, &mut result.flags);
    let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
    let pump = preparation::pump(book, tube, reading, strokes, &mut result.flags);
    result.before_use = before_use::steps(book, sheet.entry, reading, &result.flags);
    let pump = pump?;

    let drawn = stain::drawn(tube, reading)?;
    let stain = stain::seen(reading.reading.as_ref(), drawn.scale)?;
    let other = other_row(tube, other, &drawn);

    if survey.pressure.is_some() && conditions.pressure.is_none() {
        result.statements.push(Statement::new(
            Code::SurveyPressureNotUsed,
            "The survey's station pressure was not used for this reading, which states another altitude or a sea-level pressure.",
        ));
    }
    let place = air::at_place(&conditions, &mut result.flags)?;
    needed::conditions(tube, drawn.scale, &place, &mut result.flags)?;

    let chain = Chain::new(tube, drawn.scale, drawn.range, other);
    let work = Work {
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
    };
    work.finish(reading, evaluator.monte_carlo().as_ref(), result)
}

/// Chooses the sheet and makes it ready.
fn sheet<'b>(
    evaluator: &mut Evaluator<'b>,
    reading: &WrittenReading,
    result: &mut ReadingResult,
) -> Result<Rc<Prepared<'b>>, Refusal> {
    let tube = reading.tube.as_deref().ok_or_else(|| {
        Refusal::new(
            Code::TubeMissing,
            "the reading does not say which tube was used",
            "write the sheet's short name under `tube`",
        )
        .at(field::TUBE)
    })?;
    let chosen = evaluator.choose(tube, reading.leaflet.as_deref(), reading.lot.as_deref())?;
    let revision = chosen
        .entry
        .leaflet
        .as_ref()
        .and_then(|leaflet| leaflet.revision.clone())
        .unwrap_or_default();
    result.sheet = Some(SheetUsed {
        id: chosen.id.to_owned(),
        name: chosen
            .entry
            .name
            .clone()
            .unwrap_or_else(|| chosen.id.to_owned()),
        revision,
        chosen: chosen.how.to_owned(),
    });
    let (sheet, faults) = evaluator
        .sheet(chosen.id)
        .map_err(|refusal| refusal.at(field::TUBE))?;
    if faults == Faults::Overridden {
        result.flags.push(Flag::new(
            Code::SheetHasErrors,
            "the checker found errors in the sheet, and the result was asked for nevertheless",
        ));
    }
    Ok(sheet)
}

/// Everything about a reading that is settled before a number is worked out.
struct Work<'r> {
    book: &'r Book,
    sheet: &'r Prepared<'r>,
    drawn: Drawn<'r>,
    other: Option<&'r AlsoMeasured>,
    substance: &'r Substance,
    chain: Chain<'r>,
    air: Air,
    place: AirAtPlace,
    pump: PumpUsed,
    stain: Stain,
    settings: Rc<Settings>,
}

impl Work<'_> {
    fn finish(
        &self,
        reading: &WrittenReading,
        monte_carlo: Option<&MonteCarloOptions<'_>>,
        result: &mut ReadingResult,
    ) -> Result<(), Refusal> {
        let mut start = self.start(result)?;
        let others = other_gases::weigh(
            &reading.present,
            &other_gases::Against {
                book: self.book,
                sheet: self.sheet,
                chain: &self.chain.without_other_gas(),
                air: &self.air,
                place: &self.place,
                reading: start.reading,
                unit: self.drawn.scale.unit,
                measured: &self.substance.id,
            },
        );
        self.take_off(&mut start, &others, result)?;
        result.flags.extend(others.flags.iter().cloned());
        result.statements.extend(others.statements.iter().cloned());

        let value = self.run(&start, &others, result)?;
        let doubt = self.propagate(&start, value, &others);
        let relative = doubt.relative.standard;
        self.assumptions(&start, relative, result);
        self.printed_range(&start, result);

        let unit = self.drawn.scale.unit;
        let digits = |number: f64| match start.status {
            Status::Measured => {
                // As far as the expanded uncertainty goes, beside which it stands (JCGM 100:2008, 7.2.6).
                let expanded = number * relative * doubt.relative.coverage_factor();
                print::with_uncertainty(number, expanded).0
            }
            _ => print::to_significant(number, 3),
        };
        let converted = other_unit::other_unit(
            value,
            &ConvertedWith {
                book: self.book,
                tube: &self.sheet.tube,
                scale: self.drawn.scale,
                substance: self.substance,
                place: &self.place,
            },
            digits,
            &mut result.flags,
        );
        if converted.also_as.is_some() {
            result.statements.push(cautions::molar_mass_negligible());
        }
        result.status = start.status;
        result.reading = Some(Amount {
            value: start.reading,
            unit: unit.canonical().to_owned(),
            basis: Basis::OnTheScale,
            text: print::number(start.reading),
        });
        result.concentration = Some(Amount {
            value,
            unit: unit.canonical().to_owned(),
            basis: converted.basis,
            text: digits(value),
        });
        result.also_as = converted.also_as;
        let drawn = monte_carlo
            .filter(|_| start.status == Status::Measured)
            .map(|options| {
                let drawn = self.draw(&start, value, converted.ppm, &others, options);
                (drawn, options)
            });
        let drawn = drawn.as_ref().map(|(drawn, options)| (drawn, *options));
        if start.status == Status::Measured {
            let uncertainty = self.uncertainty(value, &doubt, &others, drawn);
            result.uncertainty = Some(uncertainty);
            result.statements.push(cautions::covers_air_drawn());
        } else {
            result.on_the_bound = Some(self.uncertainty(value, &doubt, &others, None));
        }
        result.as_ppm = converted.ppm;
        self.effects(&start, value, &others, result);
        self.by_ratio(value, &others, result);
        result.against = judgement::against(&Judged {
            status: start.status,
            ppm: converted.ppm,
            relative: doubt.relative,
            drawn: drawn.map(|(drawn, _)| &drawn.above),
            substance: self.substance,
            measured: &self.sheet.tube.measured,
            other_gas: self.other.is_some(),
            flags: &result.flags,
            settings: &self.settings,
        });
        if let Some(drawn) = result
            .uncertainty
            .as_ref()
            .and_then(|uncertainty| uncertainty.monte_carlo.clone())
        {
            draws_words::remarks(&drawn, result);
        }
        if result.against.is_empty() && self.settings.is_choosy() {
            result.statements.push(Statement::new(
                Code::NoLimitNamed,
                format!(
                    "The survey's `judge` names no limit that {} has: nothing was compared.",
                    self.substance.name
                ),
            ));
        }
        let off = match start.status {
            Status::LessThan => Some(OffScale::Below),
            Status::MoreThan => Some(OffScale::Beyond),
            Status::Measured | Status::Refused => None,
        };
        let halves = match &self.pump.pump {
            Some(pump) if !pump.kind.half_strokes => HalfStrokes::Impossible,
            _ => HalfStrokes::Possible,
        };
        result.repeat_with =
            off.map(|off| repeat::repeat_with(&self.sheet.tube, self.drawn.range, off, halves));
        Ok(())
    }

    /// Runs the chain and lists its steps.
    fn run(
        &self,
        start: &Start,
        others: &Others,
        result: &mut ReadingResult,
    ) -> Result<f64, Refusal> {
        let tube = &self.sheet.tube;
        let net = start.reading - start.bias;
        if start.bias.abs() > 0.0 {
            let gases: Vec<&str> = others.parts.iter().map(|part| part.gas.as_str()).collect();
            let row = others.parts.first().map_or(0, |part| part.row);
            result.corrections.push(CorrectionApplied {
                step: AppliedStep::Interference,
                factor: net / start.reading,
                argument: Target::Reading,
                before: start.reading,
                after: net,
                from: CorrectionSource {
                    sheet: tube.id.clone(),
                    pointer: format!("/doubt/other_gases/{row}"),
                    words: if start.bias < 0.0 {
                        format!(
                            "doubt.other_gases, what {} took away from the reading put back",
                            gases.join(" and ")
                        )
                    } else {
                        format!(
                            "doubt.other_gases, share of {} taken off the reading",
                            gases.join(" and ")
                        )
                    },
                },
            });
        }
        let unit = self.drawn.scale.unit.canonical();
        let mut steps = Vec::new();
        let value = self
            .chain
            .run(net, &self.air, Reading::AsStated, |done| steps.push(done));
        result.corrections.extend(
            steps
                .iter()
                .map(|done| step_words::applied(tube, self.drawn.range, self.other, unit, done)),
        );
        let value = value.map_err(|failed| {
            step_words::refusal(tube, unit, &failed).at(field::of_step(&failed, &self.place))
        })?;
        if value.is_finite() && 0.0 < value {
            Ok(value)
        } else {
            Err(Refusal::new(
                Code::FactorImpossible,
                "the corrections lead to no concentration",
                "have the sheet checked",
            ))
        }
    }

    /// What other gases did, with the result as it would be if nothing were taken off.
    fn effects(&self, start: &Start, value: f64, others: &Others, result: &mut ReadingResult) {
        let uncorrected = if start.bias.abs() > 0.0 {
            self.chain
                .value(start.reading, &self.air, Reading::AsStated)
                .ok()
        } else {
            Some(value)
        };
        result.other_gases = others
            .effects
            .iter()
            .cloned()
            .map(|mut effect| {
                if effect.effect == EffectOnReading::Subtracted {
                    effect.uncorrected = uncorrected;
                    if start.bias.abs() <= 0.0 {
                        effect.effect = EffectOnReading::LeftIn;
                    }
                }
                effect
            })
            .collect();
    }

    /// Gases that matter from so many times the gas measured.
    fn by_ratio(&self, value: f64, others: &Others, result: &mut ReadingResult) {
        for gas in &others.by_ratio {
            let times = gas.level.in_unit(self.drawn.scale.unit) / value;
            if times < gas.times {
                if let Some(effect) = result.other_gases.get_mut(gas.effect) {
                    effect.effect = EffectOnReading::NoEffect;
                }
                result.statements.push(Statement::new(
                    Code::OtherGasBelowThreshold,
                    format!(
                        "{} matters from {} times the gas measured on; it is at {} times",
                        gas.gas,
                        print::number(gas.times),
                        print::to_significant(times, 2)
                    ),
                ));
            } else {
                let why = if times.is_finite() {
                    format!(
                        "it is at {} times the gas measured, and matters from {} times on",
                        print::to_significant(times, 2),
                        print::number(gas.times)
                    )
                } else {
                    "its level is in a unit that cannot be compared with the result".to_owned()
                };
                result
                    .flags
                    .push(other_gases::indicative(gas.together, &gas.gas, &why));
            }
        }
    }
}
