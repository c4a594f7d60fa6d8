//! One reading from beginning to end: sheet, preparation, stain, air, chain, uncertainty, other unit, limits.

use stainbook_catalog::Book;
use stainbook_catalog::model::{AlsoMeasured, Correction, LowestVisible, Measured, Range, Scale, Substance, Tube};
use stainbook_catalog::written::{Conditions as WrittenConditions, Reading as WrittenReading};
use stainbook_core::{Quantity, print};

use crate::air::{self, AirAtPlace};
use crate::budget::{self, InputUncertainties, Part, Run, Spans, rectangular};
use crate::budget_words::{self, Origins};
use crate::cautions;
use crate::chain::{Air, Chain, Reading, Water};
use crate::defaults;
use crate::evaluate::{Evaluator, Faults};
use crate::facts;
use crate::judgement::{self, Judged};
use crate::needed;
use crate::other_gases::{self, Others};
use crate::other_unit::{self, ConvertedWith};
use crate::preparation::{self, PumpUsed};
use crate::prepared::Prepared;
use crate::repeat::{self, HalfStrokes, OffScale};
use crate::result::{
    Amount, CorrectionApplied, CorrectionSource, ReadingResult, Refusal, Remark, SheetUsed, Status, SubstanceUsed,
    Uncertainty, UncertaintyText,
};
use crate::sheet_choice;
use crate::stain::{self, Drawn, Stain, same_strokes};
use crate::step_words;

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
    let book = evaluator.book();

    let sheet = sheet(evaluator, book, reading, result)?;
    let tube = &sheet.tube;
    let other = gas(book, tube, reading, result)?;
    let substance = other.map_or_else(|| tube.measured.substance(), |other| &other.substance);
    result.sheet_digest = evaluator.digest(&sheet, &gases(book, tube, substance, reading), reading.pump.as_deref());

    preparation::record(book, sheet.entry, reading, &mut result.flags);
    let strokes = reading.strokes.as_ref().map(|strokes| strokes.value());
    let pump = preparation::pump(book, tube, reading, strokes, &mut result.flags)?;

    let drawn = stain::drawn(tube, reading)?;
    let stain = stain::seen(reading.reading.as_ref(), drawn.scale)?;
    let other = other_row(tube, other, &drawn);

    if survey.pressure.is_some() && conditions.pressure.is_none() {
        result.statements.push(Remark::new(
            "survey-pressure-not-used",
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
    };
    work.finish(reading, result)
}

/// Chooses the sheet and makes it ready.
fn sheet<'b>(
    evaluator: &mut Evaluator<'b>,
    book: &'b Book,
    reading: &WrittenReading,
    result: &mut ReadingResult,
) -> Result<Prepared<'b>, Refusal> {
    let tube = reading.tube.as_deref().ok_or_else(|| {
        Refusal::new("tube-missing", "the reading does not say which tube was used", "write the sheet's short name under `tube`")
    })?;
    let chosen = sheet_choice::choose(book, tube, reading.leaflet.as_deref(), reading.lot.as_deref())?;
    let revision = chosen.entry.leaflet.as_ref().and_then(|leaflet| leaflet.revision.clone()).unwrap_or_default();
    result.sheet = Some(SheetUsed {
        id: chosen.id.to_owned(),
        name: chosen.entry.name.clone().unwrap_or_else(|| chosen.id.to_owned()),
        revision,
        chosen: chosen.how.to_owned(),
    });
    let (sheet, faults) = evaluator.sheet(chosen.id)?;
    if faults == Faults::Overridden {
        result.flags.push(Remark::new(
            "sheet-has-errors",
            "the checker found errors in the sheet, and the result was asked for nevertheless",
        ));
    }
    Ok(sheet)
}

/// Which gas the result is about: the sheet's own, or a row of `also_measures`.
fn gas<'t>(
    book: &Book,
    tube: &'t Tube,
    reading: &WrittenReading,
    result: &mut ReadingResult,
) -> Result<Option<&'t AlsoMeasured>, Refusal> {
    let used = |substance: &Substance, group: Option<&str>| SubstanceUsed {
        id: substance.id.clone(),
        name: substance.name.clone(),
        cas: substance.cas.map(|cas| cas.to_string()),
        stands_for_group: group.map(str::to_owned),
    };
    let own = tube.measured.substance();
    let wanted = reading.substance.as_deref().map(|typed| {
        book.find_substance(typed).ok().and_then(|entry| entry.substance.clone()).unwrap_or_else(|| typed.to_owned())
    });
    let is_group = matches!(&tube.measured, Measured::Group { .. });
    if wanted.as_deref().is_none_or(|wanted| wanted == own.id && !is_group) {
        let group = match &tube.measured {
            Measured::Group { name, expressed_as } => {
                result.flags.push(Remark::new(
                    "group-expressed-as",
                    format!("the tube answers to the group {name} together; the result is their total stated as {}, in ppm and in mg/m³ alike", expressed_as.name),
                ));
                Some(name.as_str())
            }
            Measured::Substance(_) => None,
        };
        result.substance = Some(used(own, group));
        return Ok(None);
    }
    let wanted = wanted.unwrap_or_default();
    match tube.also_measures.iter().find(|other| other.substance.id == wanted) {
        Some(other) => {
            result.substance = Some(used(&other.substance, None));
            Ok(Some(other))
        }
        None => Err(Refusal::new(
            "gas-not-on-sheet",
            format!("sheet `{}` has no factor for `{wanted}`", tube.id),
            format!(
                "the sheet measures {}; for another gas use a tube whose sheet names it",
                std::iter::once(&own.name)
                    .chain(tube.also_measures.iter().map(|other| &other.substance.name))
                    .map(String::as_str)
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        )),
    }
}

/// Of several rows for one gas the one that is printed for this scale and stroke count, else for this scale.
fn other_row<'t>(tube: &'t Tube, other: Option<&'t AlsoMeasured>, drawn: &Drawn<'_>) -> Option<&'t AlsoMeasured> {
    let wanted = &other?.substance.id;
    let rows = || tube.also_measures.iter().filter(|row| &row.substance.id == wanted && row.scale == drawn.range.scale);
    rows().find(|row| same_strokes(row.strokes, drawn.range.strokes)).or_else(|| rows().next()).or(other)
}

/// The short names of all gases whose entries the result depends on.
fn gases(book: &Book, tube: &Tube, substance: &Substance, reading: &WrittenReading) -> Vec<String> {
    let present = reading.present.iter().filter_map(|present| {
        book.find_substance(present.substance.as_deref()?).ok()?.substance.clone()
    });
    let mut gases: Vec<String> = [tube.measured.substance().id.clone(), substance.id.clone()].into_iter().chain(present).collect();
    gases.sort();
    gases.dedup();
    gases
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
}

/// The number on the scale that the result is worked out from.
struct Start {
    status: Status,
    /// The reading, or the mark that bounds it.
    reading: f64,
    /// What other gases have added to it.
    bias: f64,
}

impl Work<'_> {
    fn finish(&self, reading: &WrittenReading, result: &mut ReadingResult) -> Result<(), Refusal> {
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
        let (relative, parts) = self.propagate(&start, value, &others);
        self.assumptions(&start, relative, result);
        self.printed_range(&start, result);

        let unit = self.drawn.scale.unit;
        let digits = |number: f64| match start.status {
            Status::Measured => print::with_uncertainty(number, number * relative).0,
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
            basis: "on the scale".to_owned(),
            text: print::number(start.reading),
        });
        result.concentration = Some(Amount {
            value,
            unit: unit.canonical().to_owned(),
            basis: converted.basis,
            text: digits(value),
        });
        result.also_as = converted.also_as;
        if start.status == Status::Measured {
            result.uncertainty = Some(self.uncertainty(value, relative, &parts, &others));
            result.statements.push(cautions::covers_air_drawn());
        }
        self.effects(&start, value, &others, result);
        self.by_ratio(value, &others, result);
        result.against = judgement::against(&Judged {
            status: start.status,
            ppm: converted.ppm,
            relative,
            substance: self.substance,
            measured: &self.sheet.tube.measured,
            other_gas: self.other.is_some(),
        });
        let off = match start.status {
            Status::LessThan => Some(OffScale::Below),
            Status::MoreThan => Some(OffScale::Beyond),
            Status::Measured | Status::Refused => None,
        };
        let halves = match &self.pump.pump {
            Some(pump) if !pump.kind.half_strokes => HalfStrokes::Impossible,
            _ => HalfStrokes::Possible,
        };
        result.repeat_with = off.map(|off| repeat::repeat_with(&self.sheet.tube, self.drawn.range, off, halves));
        Ok(())
    }

    /// The number on the scale: the reading, or the mark or lowest visible concentration that bounds it.
    fn start(&self, result: &mut ReadingResult) -> Result<Start, Refusal> {
        let marks = &self.drawn.scale.marks;
        let (Some(first), Some(last)) = (marks.first(), marks.last()) else {
            return Err(Refusal::new("scale-without-marks", "the scale has no marks", "have the sheet checked"));
        };
        let bound = |status, reading| Start { status, reading, bias: 0.0 };
        Ok(match self.stain {
            Stain::At { value, .. } => bound(Status::Measured, value),
            Stain::BelowFirstMark => bound(Status::LessThan, *first),
            Stain::BeyondLastMark => bound(Status::MoreThan, *last),
            Stain::NoStain => {
                let visible = self.sheet.tube.lowest_visible.and_then(|lowest| self.lowest_on_scale(lowest));
                match visible.filter(|visible| visible < first) {
                    Some(visible) if self.chain.value(visible, &self.air, Reading::AsStated).is_ok() => {
                        result.statements.push(Remark::new(
                            "bounded-by-lowest-visible",
                            "No stain: the bound is the lowest concentration that the sheet says leaves a visible one.",
                        ));
                        bound(Status::LessThan, visible)
                    }
                    _ => {
                        result.statements.push(Remark::new(
                            "bounded-by-first-mark",
                            "No stain: the bound is the first mark, as the sheet states no lowest visible concentration for this stroke count (or none that its tables reach).",
                        ));
                        bound(Status::LessThan, *first)
                    }
                }
            }
        })
    }

    /// The lowest visible concentration as a reading at this stroke count. It holds for the count it is stated for, and all
    /// the more for a greater one; what it is with fewer strokes the sheet does not say.
    fn lowest_on_scale(&self, lowest: LowestVisible) -> Option<f64> {
        let reaches = lowest.strokes <= self.drawn.range.strokes || same_strokes(lowest.strokes, self.drawn.range.strokes);
        let on_scale = lowest.concentration.in_unit(self.drawn.scale.unit) / self.drawn.range.multiplier;
        (reaches && on_scale.is_finite() && 0.0 < on_scale).then_some(on_scale)
    }

    /// Takes the share of other gases off the reading.
    fn take_off(&self, start: &mut Start, others: &Others, result: &mut ReadingResult) -> Result<(), Refusal> {
        if others.parts.is_empty() {
            return Ok(());
        }
        let first = self.drawn.scale.marks.first().copied().unwrap_or(0.0);
        let standard = others.parts.iter().map(|part| part.standard * part.standard).sum::<f64>().sqrt();
        match start.status {
            // A bound that holds with the other gas holds without it; taken off, it would rest on that gas's level.
            Status::LessThan if 0.0 <= others.share => {
                result.statements.push(Remark::new(
                    "other-gas-left-in-bound",
                    "What the other gas added was left in the bound, which holds all the more without it.",
                ));
            }
            Status::MoreThan if others.share <= 0.0 => {
                result.statements.push(Remark::new(
                    "other-gas-left-in-bound",
                    "What the other gas took away was left out of the bound, which holds all the more with it.",
                ));
            }
            Status::MoreThan => {
                let net = start.reading - others.share - defaults::COVERAGE_FACTOR * standard;
                if net < first {
                    return Err(Refusal::new(
                        "other-gas-hides-result",
                        "the stain runs beyond the last mark, and the other gases as stated could make most of it",
                        "use a tube that these gases do not stain, or remove them with a pre-tube that the sheet names",
                    ));
                }
                start.bias = start.reading - net;
            }
            Status::LessThan => start.bias = others.share - defaults::COVERAGE_FACTOR * standard,
            Status::Measured => {
                let net = start.reading - others.share;
                if net < first {
                    // What is left lies before the first mark, where nothing can be read.
                    let bound = (net + defaults::COVERAGE_FACTOR * standard).clamp(first, start.reading.max(first));
                    result.flags.push(Remark::new(
                        "other-gas-dominates",
                        "the other gases as stated make most of the stain: what is left lies before the first mark, and the result is a bound",
                    ));
                    start.status = Status::LessThan;
                    start.bias = start.reading - bound;
                } else {
                    start.bias = others.share;
                }
            }
            Status::Refused => {}
        }
        Ok(())
    }

    /// Runs the chain and lists its steps.
    fn run(&self, start: &Start, others: &Others, result: &mut ReadingResult) -> Result<f64, Refusal> {
        let tube = &self.sheet.tube;
        let net = start.reading - start.bias;
        if start.bias.abs() > 0.0 {
            let gases: Vec<&str> = others.parts.iter().map(|part| part.gas.as_str()).collect();
            let row = others.parts.first().map_or(0, |part| part.row);
            result.corrections.push(CorrectionApplied {
                step: "interference".to_owned(),
                factor: net / start.reading,
                argument: "reading".to_owned(),
                before: start.reading,
                after: net,
                from: CorrectionSource {
                    sheet: tube.id.clone(),
                    pointer: format!("/doubt/other_gases/{row}"),
                    words: format!("doubt.other_gases, share of {} taken off the reading", gases.join(" and ")),
                },
            });
        }
        let mut steps = Vec::new();
        let value = self.chain.run(net, &self.air, Reading::AsStated, |done| steps.push(done));
        result.corrections.extend(steps.iter().map(|done| step_words::applied(tube, self.drawn.range, self.other, done)));
        let value = value.map_err(|failed| step_words::refusal(tube, self.drawn.scale.unit.canonical(), &failed))?;
        if value.is_finite() && 0.0 < value {
            Ok(value)
        } else {
            Err(Refusal::new("result-impossible", "the corrections lead to no concentration", "have the sheet checked"))
        }
    }

    /// The relative standard uncertainty and its parts.
    fn propagate(&self, start: &Start, value: f64, others: &Others) -> (f64, Vec<Part>) {
        let (scale, range) = (self.drawn.scale, self.drawn.range);
        let (stated, front) = match self.stain {
            Stain::At { half_front, stated_uncertainty, .. } => (stated_uncertainty, half_front),
            _ => (None, None),
        };
        let measured = start.status == Status::Measured;
        // A bound is a mark itself: there is nothing to be misread.
        let of_marks = if measured { stain::space_about(&scale.marks, start.reading) / 2.0 } else { 0.0 };
        let printed = self.printed(start);
        let multiplier = if (range.multiplier - 1.0).abs() < 1e-12 && same_strokes(range.strokes, scale.printed_for_strokes) {
            0.0
        } else {
            range.multiplier_half_step.min(defaults::MULTIPLIER_HALF_STEP) / range.multiplier
        };
        let humidity_within = match self.air.humidity {
            Water::Relative(_) => defaults::RELATIVE_HUMIDITY_WITHIN,
            Water::Absolute(grams) => grams * defaults::ABSOLUTE_HUMIDITY_WITHIN,
            Water::Unknown => 0.0,
        };
        let pressure_within =
            self.place.pressure.map_or(0.0, |station| station.pressure.kilopascals() * station.origin.within());
        let inputs = InputUncertainties {
            reading: if measured { stated.unwrap_or_else(|| rectangular(of_marks)) } else { 0.0 },
            front: front.map_or(0.0, rectangular),
            accuracy: self.sheet.accuracy_at(start.reading, scale.unit).standard,
            repeatability: self.sheet.repeatability_at(start.reading, scale.unit).standard,
            stroke_volume: rectangular(self.pump.volume_within),
            multiplier: rectangular(multiplier),
            temperature: if self.place.of_tube().is_some() { rectangular(defaults::TEMPERATURE_WITHIN) } else { 0.0 },
            humidity: rectangular(humidity_within),
            pressure: rectangular(pressure_within),
            tables: printed,
            other_gas: self.other.map_or(0.0, |other| other.uncertainty.unwrap_or(defaults::OTHER_GAS_FACTOR)),
        };
        let gases: Vec<(usize, f64)> = if start.bias.abs() > 0.0 && measured {
            others.parts.iter().map(|part| (part.index, part.standard)).collect()
        } else {
            Vec::new()
        };
        let mut parts = Vec::with_capacity(16);
        let run = Run {
            chain: &self.chain,
            air: &self.air,
            tube_by_itself: self.place.tube.is_some(),
            reading: start.reading,
            bias: start.bias,
            value,
        };
        let relative = budget::propagate(&run, &inputs, &self.spans(), &gases, &mut parts);
        (relative, parts)
    }

    /// The standard uncertainties of the tables' printed digits, as a part of the factor, where each was entered.
    fn printed(&self, start: &Start) -> [f64; 3] {
        let tube = &self.sheet.tube;
        let mut of_axis = [0.0; 3];
        let net = start.reading - start.bias;
        let told = self.chain.run(net, &self.air, Reading::ForSlope, |done| {
            use stainbook_catalog::written::tube::correct::CorrectionStep as Step;
            let (index, correction) = match done.step {
                Step::Temperature => (0, &tube.temperature),
                Step::Humidity => (1, &tube.humidity),
                Step::Pressure => (2, &tube.pressure),
                Step::Strokes | Step::OtherGas => return,
            };
            let half_step = self.sheet.half_steps.get(index).copied().unwrap_or(0.0);
            let (digits, read_off) = match correction {
                Correction::Factors(table) => (half_step / done.factor, table.read_off_within.unwrap_or(0.0)),
                // The table's own value, which the stroke multiplier has already reached or not.
                Correction::Table(_) => (done.found.map_or(0.0, |found| half_step / found.value), 0.0),
                _ => (0.0, 0.0),
            };
            if let Some(slot) = of_axis.get_mut(index) {
                *slot = rectangular(digits).hypot(rectangular(read_off));
            }
        });
        if told.is_err() { [0.0; 3] } else { of_axis }
    }

    /// How far inputs may be moved without leaving the tables.
    fn spans(&self) -> Spans {
        let tube = &self.sheet.tube;
        let mut spans = Spans::OPEN;
        if let (Some(first), Some(last)) = (self.drawn.scale.marks.first(), self.drawn.scale.marks.last()) {
            spans.reading = (first * 0.5, last * 1.5);
        }
        let span = |correction: &Correction| correction.span().map(|(low, high, unit)| (unit.to_base(low), unit.to_base(high), unit));
        if let Some((low, high, _)) = span(&tube.temperature) {
            spans.temperature = (low, high);
        } else if matches!(tube.temperature, Correction::Polynomial(_)) {
            spans.temperature = (tube.usable_temperature.0.celsius(), tube.usable_temperature.1.celsius());
        }
        if let Some((low, high, unit)) = span(&tube.humidity) {
            // A bound in the other kind of humidity moves with the temperature; one-sided slopes do the same there.
            let same_kind = self.place.humidity.is_some_and(|humidity| humidity.dimension() == unit.dimension());
            if same_kind {
                spans.humidity = (low, high);
            }
        }
        if matches!(self.air.humidity, Water::Relative(_)) {
            spans.humidity = (spans.humidity.0.max(0.0), spans.humidity.1.min(100.0));
        }
        if let Some((low, high, _)) = span(&tube.pressure) {
            spans.pressure = (low, high);
        }
        spans
    }

    /// Flags for what stood in for a silent sheet.
    fn assumptions(&self, start: &Start, relative: f64, result: &mut ReadingResult) {
        let unit = self.drawn.scale.unit;
        if self.sheet.accuracy_at(start.reading, unit).row.is_none() {
            result.flags.push(Remark::new(
                "accuracy-assumed",
                format!(
                    "the leaflet states no accuracy; within {} for {} of readings was assumed, which the former United States rule for such units asked for",
                    preparation::percent(defaults::ACCURACY_WITHIN),
                    preparation::percent(defaults::CONFIDENCE)
                ),
            ));
        }
        if self.sheet.repeatability_at(start.reading, unit).row.is_none() {
            result.flags.push(Remark::new(
                "repeatability-assumed",
                format!("the sheet states no repeatability; {} was assumed (common practice)", preparation::percent(defaults::REPEATABILITY)),
            ));
        }
        if self.other.is_some_and(|other| other.uncertainty.is_none()) {
            result.flags.push(Remark::new(
                "other-gas-factor-assumed",
                format!("the leaflet states no uncertainty of the factor for this gas; {} was assumed (common practice)", preparation::percent(defaults::OTHER_GAS_FACTOR)),
            ));
        }
        if start.status == Status::Measured && relative > defaults::LARGE_RELATIVE_UNCERTAINTY {
            result.flags.push(Remark::new(
                "uncertainty-large",
                "the standard uncertainty is above 40 % of the result: the interval and the probabilities are rough, the lower end most of all",
            ));
        }
    }

    /// A reading may lie on the scale and yet outside what the leaflet prints for the stroke count or the other gas.
    fn printed_range(&self, start: &Start, result: &mut ReadingResult) {
        if start.status != Status::Measured {
            return;
        }
        let range: &Range = self.drawn.range;
        let unit = self.drawn.scale.unit.canonical();
        let (from, to, strokes, what) = match self.other {
            Some(other) if same_strokes(other.strokes, range.strokes) => (other.from, other.to, other.strokes, "this gas and "),
            Some(other) => {
                result.flags.push(Remark::new(
                    "other-gas-strokes-differ",
                    format!(
                        "the factor for {} is printed for {} strokes; with {} the strokes' own multiplier was used beside it",
                        other.substance.name,
                        print::number(other.strokes),
                        print::number(range.strokes)
                    ),
                ));
                return;
            }
            None => (range.from, range.to, range.strokes, ""),
        };
        let factor: f64 = result
            .corrections
            .iter()
            .filter(|step| step.step == "strokes" || (self.other.is_some() && step.step == "other gas"))
            .map(|step| step.factor)
            .product();
        let at = start.reading * factor;
        let rounding = defaults::PRINTED_RANGE_ROUNDING;
        if at < from * (1.0 - rounding) || to * (1.0 + rounding) < at {
            result.flags.push(Remark::new(
                "outside-printed-range",
                format!(
                    "{} {unit} is outside what the leaflet prints for {what}{} strokes, {} to {} {unit}; repeat with the stroke count whose range it is",
                    print::to_significant(at, 3),
                    print::number(strokes),
                    print::number(from),
                    print::number(to)
                ),
            ));
        }
    }

    fn uncertainty(&self, value: f64, relative: f64, parts: &[Part], others: &Others) -> Uncertainty {
        let scale: &Scale = self.drawn.scale;
        let standard = value * relative;
        let expanded = standard * defaults::COVERAGE_FACTOR;
        let interval = [(value - expanded).max(0.0), value + expanded];
        let (_, standard_text) = print::with_uncertainty(value, standard);
        let (_, expanded_text) = print::with_uncertainty(value, expanded);
        let printed = |number: f64| print::with_uncertainty(number, standard).0;
        let read_off = |correction: &Correction| matches!(correction, Correction::Factors(table) if table.read_off_within.is_some());
        let tube = &self.sheet.tube;
        let origins = Origins {
            unit: scale.unit.canonical(),
            reading_stated: matches!(self.stain, Stain::At { stated_uncertainty: Some(_), .. }),
            accuracy_row: self.sheet.accuracy_at(self.reading_value(), scale.unit).row,
            repeatability_row: self.sheet.repeatability_at(self.reading_value(), scale.unit).row,
            stroke_volume: &self.pump.origin,
            range_row: self.drawn.range.row,
            pressure: self.place.pressure.map(|station| (station.origin.words(), station.origin.within())),
            humidity_unit: if matches!(self.air.humidity, Water::Absolute(_)) { "g/m³" } else { "%RH" },
            read_off: [read_off(&tube.temperature), read_off(&tube.humidity), read_off(&tube.pressure)],
            other_gas_stated: self.other.is_some_and(|other| other.uncertainty.is_some()),
            gases: &others.parts,
        };
        Uncertainty {
            unit: scale.unit.canonical().to_owned(),
            standard,
            relative,
            expanded,
            coverage_factor: defaults::COVERAGE_FACTOR,
            coverage: defaults::COVERAGE,
            interval,
            distribution: "normal".to_owned(),
            text: UncertaintyText {
                standard: standard_text,
                expanded: expanded_text,
                interval: interval.map(printed),
            },
            budget: budget_words::lines(parts, &origins),
        }
    }

    fn reading_value(&self) -> f64 {
        match self.stain {
            Stain::At { value, .. } => value,
            _ => f64::NAN,
        }
    }

    /// What other gases did, with the result as it would be if nothing were taken off.
    fn effects(&self, start: &Start, value: f64, others: &Others, result: &mut ReadingResult) {
        let uncorrected =
            if start.bias.abs() > 0.0 { self.chain.value(start.reading, &self.air, Reading::AsStated).ok() } else { Some(value) };
        result.other_gases = others
            .effects
            .iter()
            .cloned()
            .map(|mut effect| {
                if effect.effect == "subtracted" {
                    effect.uncorrected = uncorrected;
                    if start.bias.abs() <= 0.0 {
                        "left_in".clone_into(&mut effect.effect);
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
                    "no_effect".clone_into(&mut effect.effect);
                }
                result.statements.push(Remark::new(
                    "other-gas-below-threshold",
                    format!("{} matters from {} times the gas measured on; it is at {} times", gas.gas, print::number(gas.times), print::to_significant(times, 2)),
                ));
            } else {
                let why = if times.is_finite() {
                    format!("it is at {} times the gas measured, and matters from {} times on", print::to_significant(times, 2), print::number(gas.times))
                } else {
                    "its level is in a unit that cannot be compared with the result".to_owned()
                };
                result.flags.push(other_gases::indicative(gas.together, &gas.gas, &why));
            }
        }
    }
}
