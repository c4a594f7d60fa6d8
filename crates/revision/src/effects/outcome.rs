//! One reading worked out with both states of a sheet.

use stainbook_catalog::model::Tube;
use stainbook_catalog::written::scalars::{Num, Stated};
use stainbook_catalog::written::{Conditions, Observation, Reading, Seen};
use stainbook_core::{Decimal, Quantity, Unit, Written, print, unit};

use super::Revision;
use crate::results::SMALLEST_MOVE;
use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::Status;
use stainbook_evaluation::{Evaluator, FaultySheets, Options};

/// Conditions of the grid.
#[derive(Clone, Debug)]
pub(super) struct GridAir {
    pub(super) celsius: f64,
    pub(super) humidity: Option<String>,
    pub(super) kilopascals: f64,
}

/// One point of the grid.
#[derive(Clone, Debug)]
pub(super) struct GridPoint<'g> {
    pub(super) gas: Option<&'g str>,
    pub(super) scale: Option<&'g str>,
    pub(super) strokes: f64,
    /// The reading; nothing for no stain.
    pub(super) reading: Option<f64>,
    pub(super) unit: &'static Unit,
    pub(super) air: &'g GridAir,
}

/// Outcome with one state.
#[derive(Clone, Debug)]
pub(super) enum StateOutcome {
    /// A value, or a bound, in the base unit of its kind.
    Given(Given),
    Refused(Refusal),
    /// The point cannot be put as a reading.
    Nothing,
}

/// A result.
#[derive(Clone, Debug)]
pub(super) struct Given {
    pub(super) base: f64,
    pub(super) text: String,
    pub(super) relative: Option<f64>,
    /// Flags about the usable range.
    pub(super) outside: Vec<Code>,
    pub(super) is_bound: bool,
}

/// One state, ready to work out.
pub(super) struct WorkedState<'b> {
    pub(super) tube: Tube,
    sheet: &'b str,
    evaluator: Evaluator<'b>,
    next: usize,
}

impl<'b> WorkedState<'b> {
    pub(super) fn new(revision: Revision<'b>) -> Result<Self, String> {
        let tube = revision
            .book
            .tube_model(revision.sheet)
            .map_err(|unusable| {
                format!("`{}` cannot be computed with: {unusable}", revision.sheet)
            })?;
        let options = Options::default().with_faulty_sheets(FaultySheets::FlagOnly);
        Ok(Self {
            tube,
            sheet: revision.sheet,
            evaluator: Evaluator::new(revision.book, options),
            next: 0,
        })
    }

    /// Works a point out as a reading of a survey would be.
    pub(super) fn outcome(&mut self, point: &GridPoint<'_>) -> StateOutcome {
        let Some(reading) = self.as_reading(point) else {
            return StateOutcome::Nothing;
        };
        let conditions = Conditions::default();
        let result = self
            .evaluator
            .reading(self.next, &reading, &conditions, None);
        self.next += 1;
        if let Some(refusal) = result.refusal {
            return StateOutcome::Refused(refusal);
        }
        let Some(amount) = result.concentration else {
            return StateOutcome::Nothing;
        };
        let base = unit(&amount.unit).map_or(amount.value, |unit| unit.to_base(amount.value));
        StateOutcome::Given(Given {
            base,
            text: format!("{} {}", amount.text, amount.unit),
            relative: result.uncertainty.map(|uncertainty| uncertainty.relative),
            outside: result
                .flags
                .into_iter()
                .map(|flag| flag.code)
                .filter(|code| {
                    // Flags that tell of conditions rather than of the record.
                    let of_usable_range =
                        [Code::OutsideUsableTemperature, Code::OutsideUsableHumidity];
                    of_usable_range.contains(code)
                })
                .collect(),
            is_bound: result.status != Status::Measured,
        })
    }

    fn as_reading(&self, point: &GridPoint<'_>) -> Option<Reading> {
        let seen = match point.reading {
            Some(value) => Seen {
                at: Some(stated(value, point.unit)?),
                ..Seen::default()
            },
            None => Seen {
                seen: Some(Observation::NoStain),
                ..Seen::default()
            },
        };
        let humidity = match &point.air.humidity {
            Some(text) => Some(Stated::new(Written::parse(text).ok()?)),
            None => None,
        };
        // A state with one scale is read on that, whatever it is called.
        let scale = point.scale.filter(|_| 1 < self.tube.scales.len());
        Some(Reading {
            tube: Some(self.sheet.to_owned()),
            strokes: Some(Num::new(
                Decimal::parse(&print::number(point.strokes)).ok()?,
            )),
            scale: scale.map(str::to_owned),
            substance: point.gas.map(str::to_owned),
            reading: Some(seen),
            conditions: Conditions {
                air_temperature: Some(stated(point.air.celsius, unit("°C").ok()?)?),
                humidity,
                pressure: Some(stated(point.air.kilopascals, unit("kPa").ok()?)?),
                ..Conditions::default()
            },
            ..Reading::default()
        })
    }
}

fn stated<Q: Quantity>(value: f64, unit: &Unit) -> Option<Stated<Q>> {
    let text = format!("{} {}", print::number(value), unit.canonical());
    Written::parse(&text).ok().map(Stated::new)
}

/// A point worked out with both states.
#[derive(Clone, Debug)]
pub(super) struct Both {
    pub(super) old: StateOutcome,
    pub(super) new: StateOutcome,
}

impl Both {
    pub(super) fn of(
        old: &mut WorkedState<'_>,
        new: &mut WorkedState<'_>,
        point: &GridPoint<'_>,
    ) -> Self {
        Self {
            old: old.outcome(point),
            new: new.outcome(point),
        }
    }

    /// New over old, where both give a value.
    pub(super) fn ratio(&self) -> Option<f64> {
        match (&self.old, &self.new) {
            (StateOutcome::Given(old), StateOutcome::Given(new)) => {
                Some(new.base / old.base).filter(|ratio| ratio.is_finite())
            }
            _ => None,
        }
    }

    /// True if it comes out otherwise.
    pub(super) fn moved(&self) -> bool {
        match (&self.old, &self.new) {
            (StateOutcome::Refused(_), StateOutcome::Refused(_))
            | (StateOutcome::Nothing, _)
            | (_, StateOutcome::Nothing) => false,
            _ => self
                .ratio()
                .is_none_or(|ratio| SMALLEST_MOVE < (ratio - 1.0).abs()),
        }
    }
}
