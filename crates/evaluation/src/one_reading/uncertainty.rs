//! The uncertainty of one reading: what goes into the budget, from sheet, pump, survey or a default, and what comes out.

use stainbook_catalog::model::Correction;

use super::PreparedReading;
use super::start::Start;
use crate::budget::{self, Contribution, Input, MeasurementModel, Relative};
use crate::budget_words::Origins;
use crate::chain::StatedHumidity;
use crate::defaults;
use crate::evaluate::MonteCarloOptions;
use crate::evaluated::raised::NumericFlag;
use crate::inputs::{ReadingInputs, ReadingMode};
use crate::interferents::{Interferents, Share};
use crate::judgement::{self, DrawnAbove};
use crate::result::Status;
use crate::stain::Stain;
use crate::tube_trials::TubeTrials;
use stainbook_uncertainty::monte_carlo::MonteCarloResult;

/// The uncertainty of a reading, in numbers.
pub(super) struct Propagated {
    /// By the law of propagation.
    pub(super) relative: Relative,
    /// Its parts.
    pub(super) parts: Vec<Contribution>,
}

/// Result of the Monte Carlo method.
pub(super) struct DrawnUncertainty {
    pub(super) outcome: MonteCarloResult,
    /// Number of draws above each limit.
    pub(super) above: DrawnAbove,
}

impl PreparedReading<'_> {
    /// Inputs of the reading.
    fn known(&self, start: &Start) -> ReadingInputs<'_> {
        ReadingInputs {
            sheet: self.sheet,
            scale: self.drawn.scale,
            range: self.drawn.range,
            other: self.other,
            chain: &self.chain,
            air: &self.air,
            pressure_half_width: self
                .place
                .pressure
                .map_or(0.0, |station| station.origin.within()),
            volume_half_width: self.pump.volume_half_width,
            stroke_spread: self.pump.spread,
            reading: start.reading,
            bias: start.bias,
            taken: match self.stain {
                Stain::At {
                    half_front,
                    stated_uncertainty,
                    ..
                } if start.status == Status::Measured => ReadingMode::Read {
                    stated_uncertainty,
                    half_front,
                },
                _ => ReadingMode::Bound,
            },
        }
    }

    /// The model of the reading, and what is not exactly known in it.
    fn model(
        &self,
        start: &Start,
        value: f64,
        gases: &Interferents,
    ) -> (MeasurementModel<'_>, Vec<Input>) {
        let known = self.known(start);
        let measured = start.status == Status::Measured;
        let shares: &[Share] = if start.bias.abs() > 0.0 && measured {
            &gases.parts
        } else {
            &[]
        };
        let mut inputs = Vec::with_capacity(16);
        known.inputs(
            shares.iter().map(|part| (part.index, part.standard)),
            &mut inputs,
        );
        let run = MeasurementModel {
            chain: &self.chain,
            air: &self.air,
            tube_by_itself: self.place.tube.is_some(),
            reading: start.reading,
            bias: start.bias,
            value,
            spans: known.spans(),
        };
        (run, inputs)
    }

    /// The relative standard uncertainty and its parts.
    pub(super) fn propagate(&self, start: &Start, value: f64, gases: &Interferents) -> Propagated {
        let (run, inputs) = self.model(start, value, gases);
        let mut parts = Vec::with_capacity(16);
        let relative = budget::propagate(&run, &inputs, &mut parts);
        Propagated { relative, parts }
    }

    /// Draws from the distributions of all inputs, and counts how many draws lie above each limit. `ppm` is the value as a
    /// volume fraction, without which there is nothing to compare.
    pub(super) fn draw(
        &self,
        start: &Start,
        (value, ppm): (f64, Option<f64>),
        gases: &Interferents,
        options: &MonteCarloOptions<'_>,
    ) -> DrawnUncertainty {
        let (run, inputs) = self.model(start, value, gases);
        let limits = judgement::limits_in_ppm(self.substance);
        let (limits, per_ppm) = ppm.map_or((&[][..], f64::NAN), |ppm| (&limits[..], value / ppm));
        let (outcome, above) =
            judgement::drawn::run(&TubeTrials::new(run, &inputs), options, limits, per_ppm);
        DrawnUncertainty { outcome, above }
    }

    /// Defaults used for a silent sheet.
    pub(super) fn assumptions(
        &self,
        start: &Start,
        relative: f64,
    ) -> impl Iterator<Item = NumericFlag> + use<> {
        let unit = self.drawn.scale.unit;
        let large =
            start.status == Status::Measured && relative > defaults::LARGE_RELATIVE_UNCERTAINTY;
        [
            (
                self.sheet.accuracy_at(start.reading, unit).row.is_none(),
                NumericFlag::AccuracyAssumed,
            ),
            (
                self.sheet
                    .repeatability_at(start.reading, unit)
                    .row
                    .is_none(),
                NumericFlag::RepeatabilityAssumed,
            ),
            (
                self.other.is_some_and(|other| other.uncertainty.is_none()),
                NumericFlag::OtherGasFactorAssumed,
            ),
            (large, NumericFlag::UncertaintyLarge),
        ]
        .into_iter()
        .filter_map(|(raised, flag)| raised.then_some(flag))
    }

    /// Origins of the figures of the budget.
    pub(super) fn origins(&self) -> Origins {
        let unit = self.drawn.scale.unit;
        let read_off = |correction: &Correction| matches!(correction, Correction::Factors(table) if table.read_off_half_width.is_some());
        let tube = &self.sheet.tube;
        let at = self.reading_value();
        Origins {
            unit: unit.canonical(),
            reading_stated: matches!(
                self.stain,
                Stain::At {
                    stated_uncertainty: Some(_),
                    ..
                }
            ),
            accuracy_row: self.sheet.accuracy_at(at, unit).row,
            repeatability_row: self.sheet.repeatability_at(at, unit).row,
            range_row: self.drawn.range.row,
            pressure: self.place.pressure.map(|station| station.origin),
            humidity_is_absolute: matches!(self.air.humidity, StatedHumidity::Absolute(_)),
            read_off: [
                read_off(&tube.temperature),
                read_off(&tube.humidity),
                read_off(&tube.pressure),
            ],
            response_factor_stated: self.other.is_some_and(|other| other.uncertainty.is_some()),
        }
    }

    fn reading_value(&self) -> f64 {
        match self.stain {
            Stain::At { value, .. } => value,
            _ => f64::NAN,
        }
    }
}
