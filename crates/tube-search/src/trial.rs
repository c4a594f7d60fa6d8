//! One reading tried: what the evaluation makes of it, in the conditions of the search.

use stainbook_catalog::model::{MeasuringRange, Scale, Substance, Tube};
use stainbook_catalog::written::{
    Conditions as WrittenConditions, Observation, Present, Reading, Seen,
};
use stainbook_core::{Concentration, Conditions, Dimension, Pressure, Temperature, Unit};

use crate::question::{mass_as_ppm, stated};
use stainbook_evaluation::Evaluator;
use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::{Basis, ReadingResult, Status};

/// Test bench for readings: one stroke count of one sheet, in one air.
pub(crate) struct Bench<'e, 'b, 't> {
    pub(crate) evaluator: &'e mut Evaluator<'b>,
    /// So that no reading has the name of another.
    pub(crate) tried: &'e mut usize,
    pub(crate) tube: &'t Tube,
    pub(crate) scale: &'t Scale,
    pub(crate) range: &'t MeasuringRange,
    pub(crate) substance: &'t Substance,
    pub(crate) conditions: &'e WrittenConditions,
    pub(crate) present: &'e [Present],
    pub(crate) pump: Option<&'e str>,
}

/// Result of a trial.
#[derive(Clone, Debug)]
pub(crate) struct Trial {
    /// The reading on the scale.
    pub(crate) reading: f64,
    /// The result as a volume fraction in the air as it is, in ppm; nothing if there is no value.
    pub(crate) ppm: Option<f64>,
    /// All of it.
    pub(crate) result: ReadingResult,
}

impl Bench<'_, '_, '_> {
    /// Reads this number.
    pub(crate) fn at(&mut self, reading: f64) -> Trial {
        let seen = Seen {
            at: stated::<Concentration>(reading, self.scale.unit.canonical()),
            ..Seen::default()
        };
        self.evaluate(reading, seen)
    }

    /// Sees no stain.
    pub(crate) fn no_stain(&mut self) -> Trial {
        self.evaluate(
            f64::NAN,
            Seen {
                seen: Some(Observation::NoStain),
                ..Seen::default()
            },
        )
    }

    fn evaluate(&mut self, reading: f64, seen: Seen) -> Trial {
        // Whatever has to be done on the day counts as done for an evaluator that plans.
        let written = Reading {
            tube: Some(self.tube.id.clone()),
            strokes: stainbook_core::Decimal::parse(&format!("{}", self.range.strokes))
                .ok()
                .map(stainbook_catalog::written::Num::new),
            scale: self.scale.name.clone(),
            substance: Some(self.substance.id.clone()),
            reading: Some(seen),
            present: self.present.to_vec(),
            pump: self.pump.map(str::to_owned),
            ..Reading::default()
        };
        *self.tried += 1;
        let result = self
            .evaluator
            .reading(*self.tried, &written, self.conditions, None);
        Trial {
            reading,
            ppm: ppm(&result, self.substance),
            result,
        }
    }
}

impl Trial {
    /// Refusal of the reading, if it has no value.
    pub(crate) fn why_not(&self) -> Option<Refusal> {
        if let Some(refusal) = &self.result.refusal {
            return Some(refusal.clone());
        }
        (self.result.status != Status::Measured).then(|| {
            let flag = self
                .result
                .flags
                .iter()
                .find(|flag| flag.code == Code::OtherGasDominates);
            Refusal::new(
                Code::OtherGasDominates,
                flag.map_or("the reading gives no value", |flag| flag.text.as_str()),
                "a tube that these gases do not stain, or a pre-tube that removes them",
            )
        })
    }
}

/// A measured result as a volume fraction in the air as it is, in ppm.
fn ppm(result: &ReadingResult, substance: &Substance) -> Option<f64> {
    if result.status != Status::Measured {
        return None;
    }
    let concentration = result.concentration.as_ref()?;
    let fraction = |value: f64, unit: &str| {
        let unit: &'static Unit = stainbook_core::unit(unit).ok()?;
        (unit.dimension() == Dimension::VolumeFraction).then(|| unit.to_base(value))
    };
    // What is stated in dry air differs from the air as it is by its water vapour; the mass beside it does not.
    let own = fraction(concentration.value, &concentration.unit);
    if concentration.basis == Basis::AirAsItIs && own.is_some() {
        return own;
    }
    let from_other = result.converted.as_ref().and_then(|also| {
        fraction(also.value, &also.unit).or_else(|| {
            let at = &also.conditions;
            let at = Conditions::new(
                Temperature::from_celsius(at.temperature.value).ok()?,
                Pressure::from_kilopascals(at.pressure.value).ok()?,
            );
            mass_as_ppm(also.value, substance.molar_mass, at)
        })
    });
    from_other.or(own)
}
