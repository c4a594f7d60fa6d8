//! The words of a result: what was worked out as facts becomes the result as it is put out.

use stainbook_core::{Conditions, Humidity, Quantity, print, saturation};

use crate::air::round;
use crate::air_drawn;
use crate::budget_words;
use crate::defaults;
use crate::draws_words;
use crate::ends_words;
use crate::evaluated::{
    Equipment, Evaluated, InterferentShare, NoResult, WorkedOut, raised::NoConcentration,
};
use crate::interferents::Interferents;
use crate::judgement;
use crate::other_unit::{AirOfResult, Converted};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::pointers;
use crate::pump_and_lot::VolumeFound;
use crate::repeat::{self, HalfStrokes, OffScale};
use crate::result::{
    Amount, AppliedStep, Basis, ConvertedAmount, CorrectionApplied, CorrectionSource,
    CoverageDistribution, Figure, ReadingResult, StatedConditions, Status, Uncertainty,
    UncertaintyText,
};
use crate::step_words;
use stainbook_catalog::written::tube::Target;

pub(crate) mod not_prepared;
mod raised;
pub(crate) mod record_flag;

use raised::Told;

/// The result of one reading, in words. What was recorded goes into it as it is.
pub(crate) fn result(evaluated: Evaluated<'_>) -> ReadingResult {
    let flags = flags(&evaluated);
    let survey_pressure = evaluated.record.survey_pressure_not_used.then(|| Statement::new(
        Code::SurveyPressureNotUsed,
        "The survey's station pressure was not used for this reading, which states another altitude or a sea-level pressure.",
    ));
    let mut result = ReadingResult {
        statements: survey_pressure.into_iter().collect(),
        ..ReadingResult::default()
    };
    if let Some(told) = told(&evaluated) {
        let numbers = &evaluated.numbers;
        let stated = numbers.statements.iter();
        result
            .statements
            .extend(stated.map(|one| raised::statement(one, told)));
        result.corrections = corrections(&evaluated, told.equipment);
        if let Some(out) = &numbers.concentration {
            concentration(out, &numbers.interferents, told.equipment, &mut result);
            result.air_drawn = told
                .equipment
                .sampling_seconds()
                .map(|seconds| air_drawn::of(evaluated.record.at.as_deref(), seconds));
            let seconds = result.air_drawn.as_ref().map(|air| air.seconds);
            let of = (told.equipment.substance(), &told.equipment.tube().measured);
            result.against = out
                .judgements
                .iter()
                .filter_map(|one| {
                    judgement::words::against(
                        one,
                        of,
                        (&flags, &numbers.interferents, seconds),
                        &told.equipment.settings,
                    )
                })
                .collect();
        }
    }
    if let Some(refusal) = evaluated.refusal() {
        result.refuse(refusal);
    }
    let Evaluated {
        id,
        record,
        stated_by_others,
        ..
    } = evaluated;
    result.statements.extend(stated_by_others);
    ReadingResult {
        id,
        at: record.at,
        place: record.place,
        sheet: record.sheet,
        substance: record.substance,
        before_use: record.before_use,
        flags,
        catalog_revision: record.catalog_revision,
        sheet_digest: record.sheet_digest,
        inputs: record.inputs,
        ..result
    }
}

/// Refusal where there is no result, with its remedy; `place` is that of the field at fault.
pub(crate) fn refusal(evaluated: &Evaluated<'_>, place: Option<&str>) -> Option<Refusal> {
    let mut refusal = match evaluated.refused.as_ref()? {
        NoResult::NotPrepared(why) => not_prepared::refusal(why),
        NoResult::NoConcentration(why) => no_concentration(*why, evaluated.equipment.as_ref()?),
        NoResult::Faulty(refusal) => refusal.clone(),
    };
    if let Some(place) = place {
        refusal.text = format!("{place}: {}", refusal.text);
    }
    Some(refusal)
}

/// All flags of a reading in words, in their order.
fn flags(evaluated: &Evaluated<'_>) -> Vec<Flag> {
    flags_that(evaluated, |_| true)
}

/// The flags that a verdict does not stand on, or says that it does, in words.
pub(crate) fn doubts(evaluated: &Evaluated<'_>) -> Vec<Flag> {
    flags_that(evaluated, Code::is_in_verdicts)
}

/// Of the flags of a reading those of these codes, in words and in their order.
fn flags_that(evaluated: &Evaluated<'_>, wanted: impl Fn(&Code) -> bool) -> Vec<Flag> {
    let those = |flag: &&Flag| wanted(&flag.code);
    let recorded = evaluated.record.flags.iter();
    let mut flags: Vec<Flag> = recorded
        .filter(|one| wanted(&one.code()))
        .map(record_flag::flag)
        .collect();
    if let Some(told) = told(evaluated) {
        let raised = evaluated.numbers.flags.iter();
        flags.extend(
            raised
                .filter(|one| wanted(&one.code()))
                .map(|one| raised::flag(one, told)),
        );
    }
    flags.extend(evaluated.raised_by_others.iter().filter(those).cloned());
    flags
}

fn told<'w>(evaluated: &'w Evaluated<'w>) -> Option<Told<'w>> {
    let equipment = evaluated.equipment.as_ref()?;
    Some(Told {
        equipment,
        unit: equipment.scale()?.unit,
        out: evaluated.numbers.concentration.as_ref(),
    })
}

/// Refusal where the numbers lead to no concentration, with its remedy.
fn no_concentration(why: NoConcentration, equipment: &Equipment<'_>) -> Refusal {
    match why {
        NoConcentration::ScaleWithoutMarks => scale_without_marks(),
        NoConcentration::OtherGasHidesResult => Refusal::new(
            Code::OtherGasHidesResult,
            "the stain runs beyond the last mark, and the other gases as stated could make most of it",
            "use a tube that these gases do not stain, or remove them with a pre-tube that the sheet names",
        )
        .at(pointers::PRESENT),
        NoConcentration::OtherGasHidesStain => Refusal::new(
            Code::OtherGasHidesStain,
            "little or no stain was seen, and another gas makes the tube read low or washes the stain out by an amount that is not known: it says nothing of how little there is",
            "use a tube that the other gas does not disturb, or a pre-tube that removes it",
        )
        .at(pointers::PRESENT),
        NoConcentration::Step(failed) => {
            let unit = equipment
                .scale()
                .map_or("", |scale| scale.unit.canonical());
            let strokes = equipment.range().map_or(f64::NAN, |range| range.strokes);
            step_words::refusal(equipment.tube(), strokes, unit, &failed)
                .at(pointers::of_step(&failed, &equipment.place))
        }
        NoConcentration::NothingCanBeTold => Refusal::new(
            Code::NothingCanBeTold,
            "the figures of sheet and reading leave so much open that this stain could come from any concentration",
            "read more finely and say so under `reads_to`, use a tube with closer figures, or have the sheet's figures under `doubt` checked",
        )
        .at(pointers::READ_AT),
        NoConcentration::Impossible => Refusal::new(
            Code::FactorImpossible,
            "the corrections lead to no concentration",
            "have the sheet checked",
        ),
    }
}

fn scale_without_marks() -> Refusal {
    Refusal::new(
        Code::SheetUnusable,
        "the scale has no marks",
        "have the sheet checked",
    )
}

/// The steps in words, with what interferents added taken off before them.
fn corrections(evaluated: &Evaluated<'_>, equipment: &Equipment<'_>) -> Vec<CorrectionApplied> {
    let numbers = &evaluated.numbers;
    let tube = equipment.tube();
    let taken_off = numbers
        .interference
        .map(|taken| interference(&taken, &numbers.interferents, &tube.id));
    let steps = equipment
        .range()
        .zip(equipment.scale())
        .into_iter()
        .flat_map(|(range, scale)| {
            let unit = scale.unit.canonical();
            numbers.steps.iter().map(move |done| {
                let mut applied = step_words::applied(tube, range, equipment.other(), unit, done);
                if applied.step == AppliedStep::Humidity {
                    let remark = humidity_in_frost(equipment);
                    applied
                        .from
                        .words
                        .extend(remark.map(|remark| format!("; {remark}")));
                }
                applied
            })
        });
    taken_off.into_iter().chain(steps).collect()
}

/// Remark on a humidity that was turned into the other kind below freezing.
fn humidity_in_frost(equipment: &Equipment<'_>) -> Option<&'static str> {
    let unit = equipment
        .tube()
        .humidity
        .at(equipment.range()?.strokes)
        .unit()?;
    let (air, stated) = (equipment.place.air?, equipment.place.humidity?);
    let converted = stated.base_unit().dimension() != unit.dimension();
    (converted && saturation::is_over_supercooled_water(air))
        .then_some(saturation::OVER_SUPERCOOLED_WATER)
}

fn interference(taken: &InterferentShare, gases: &Interferents, sheet: &str) -> CorrectionApplied {
    let names: Vec<&str> = gases.parts.iter().map(|part| part.gas.as_str()).collect();
    let names = names.join(" and ");
    let row = gases.parts.first().map_or(0, |part| part.row);
    let net = taken.reading - taken.share;
    CorrectionApplied {
        step: AppliedStep::Interference,
        factor: net / taken.reading,
        argument: Target::Reading,
        before: taken.reading,
        after: net,
        from: CorrectionSource {
            sheet: sheet.to_owned(),
            pointer: format!("/doubt/other_gases/{row}"),
            words: if taken.share < 0.0 {
                format!("doubt.other_gases, what {names} took away from the reading put back")
            } else {
                format!("doubt.other_gases, share of {names} taken off the reading")
            },
        },
    }
}

/// Writes what was worked out.
fn concentration(
    out: &WorkedOut,
    gases: &Interferents,
    equipment: &Equipment<'_>,
    result: &mut ReadingResult,
) {
    let unit = out.unit.canonical();
    result.status = out.status;
    result.reading = Some(Amount {
        value: out.reading,
        unit: unit.to_owned(),
        basis: Basis::OnTheScale,
        text: print::number(out.reading),
    });
    result.concentration = Some(amount(out));
    result.converted = out
        .converted
        .converted
        .as_ref()
        .map(|converted| converted_amount(converted, out));
    result.as_ppm = out.converted.ppm;
    let uncertainty = uncertainty(out, gases, equipment);
    if out.status == Status::Measured {
        result.uncertainty = Some(uncertainty);
    } else {
        result.uncertainty_at_bound = Some(uncertainty);
    }
    result.interferents.clone_from(&gases.effects);
    let off = match out.status {
        Status::LessThan => Some(OffScale::Below),
        Status::MoreThan => Some(OffScale::Beyond),
        Status::Measured | Status::Refused => None,
    };
    let halves = match &equipment.pump.pump {
        Some(pump) if !pump.kind.half_strokes => HalfStrokes::Impossible,
        _ => HalfStrokes::Possible,
    };
    result.repeat_with = off
        .zip(equipment.range())
        .map(|(off, range)| repeat::repeat_with(equipment.tube(), range, off, halves));
}

/// The concentration or bound.
pub(crate) fn amount(out: &WorkedOut) -> Amount {
    Amount {
        value: out.value,
        unit: out.unit.canonical().to_owned(),
        basis: basis(out.converted.air),
        text: digits(out, out.value),
    }
}

/// A number with the digits that the uncertainty of the result supports; a bound rounded outwards.
fn digits(out: &WorkedOut, number: f64) -> String {
    match out.status {
        Status::Measured => ends_words::number(number, number * out.expanded() / out.value),
        Status::MoreThan => ends_words::lower_bound(number),
        Status::LessThan | Status::Refused => ends_words::upper_bound(number),
    }
}

/// The air that a concentration refers to.
fn basis(air: AirOfResult) -> Basis {
    match air {
        AirOfResult::AsItIs => Basis::AirAsItIs,
        AirOfResult::Dry => Basis::DryAir,
        AirOfResult::AsDrawn => Basis::AirAsDrawn,
        AirOfResult::At(conditions) => Basis::At(format!("at {}", conditions_words(conditions))),
        AirOfResult::AsItIsAt(conditions) => Basis::At(format!(
            "in the air as it is at {}",
            conditions_words(conditions)
        )),
        AirOfResult::DryAt(conditions) => {
            Basis::At(format!("in dry air at {}", conditions_words(conditions)))
        }
    }
}

fn converted_amount(converted: &Converted, out: &WorkedOut) -> ConvertedAmount {
    let Converted {
        value,
        unit,
        air,
        conditions,
        origin,
    } = *converted;
    ConvertedAmount {
        value,
        unit: unit.to_owned(),
        basis: basis(air),
        text: digits(out, value),
        conditions: StatedConditions {
            temperature: Figure {
                value: conditions.temperature.celsius(),
                unit: "°C".to_owned(),
            },
            pressure: Figure {
                value: conditions.pressure.kilopascals(),
                unit: "kPa".to_owned(),
            },
            origin: origin.into(),
        },
    }
}

/// Conditions as they are printed.
fn conditions_words(conditions: Conditions) -> String {
    format!(
        "{} °C and {} kPa",
        print::number(round(conditions.temperature.celsius(), 2)),
        print::number(round(conditions.pressure.kilopascals(), 3))
    )
}

/// The uncertainty of a value or bound, with its budget.
fn uncertainty(out: &WorkedOut, gases: &Interferents, equipment: &Equipment<'_>) -> Uncertainty {
    let relative = out.relative;
    let (standard, expanded) = (out.standard(), out.expanded());
    let interval = match out.status {
        Status::LessThan => [None, out.ends.highest],
        Status::MoreThan => [Some(out.ends.lowest), None],
        Status::Measured | Status::Refused => [Some(out.ends.lowest), out.ends.highest],
    };
    let interval_text = match out.status {
        Status::Measured => ends_words::interval(out.ends, expanded),
        _ => [
            interval[0].map(ends_words::lower_bound),
            interval[1].map(ends_words::upper_bound),
        ],
    };
    let (_, standard_text) = print::with_uncertainty(out.value, standard);
    let (_, expanded_text) = print::with_uncertainty(out.value, expanded);
    Uncertainty {
        unit: out.unit.canonical().to_owned(),
        standard,
        relative: relative.standard,
        expanded,
        coverage_factor: relative.coverage_factor(),
        coverage: defaults::COVERAGE,
        interval,
        distribution: if relative.effective_degrees_of_freedom.is_finite() {
            CoverageDistribution::StudentT
        } else {
            CoverageDistribution::Normal
        }
        .into(),
        text: UncertaintyText {
            standard: standard_text,
            expanded: expanded_text,
            interval: interval_text,
        },
        effective_degrees_of_freedom: budget_words::finite(relative.effective_degrees_of_freedom),
        budget: budget_words::lines(
            &out.contributions,
            &out.origins,
            &equipment.pump,
            &gases.parts,
        ),
        monte_carlo: out
            .drawn
            .as_ref()
            .map(|drawn| draws_words::result(out.expanded(), drawn)),
    }
}

/// A humidity as it is printed.
fn humidity(humidity: Humidity) -> String {
    let unit = humidity.base_unit();
    format!(
        "{} {}",
        print::number(round(humidity.in_unit(unit), 2)),
        unit.canonical()
    )
}

/// The volume of a stroke as a check found it.
pub(crate) fn volume_found(found: &VolumeFound) -> String {
    match found {
        VolumeFound::Once(text) => format!("`{text}`"),
        VolumeFound::Mean(mean) => format!("a mean of {} mL", print::to_significant(*mean, 4)),
    }
}

/// Words one after the other, with something between them.
fn list(words: impl Iterator<Item = String>, between: &str) -> String {
    words.collect::<Vec<_>>().join(between)
}
