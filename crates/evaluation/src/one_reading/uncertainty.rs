//! The uncertainty of one reading: what goes into the budget, from sheet, pump, survey or a default, and what comes out.

use stainbook_catalog::model::Correction;

use super::PreparedReading;
use super::start::Start;
use crate::budget::{self, Contribution, Input, MeasurementModel, Propagated, Source};
use crate::budget_words::{BetweenMarks, Origins};
use crate::cell::DrawnCell;
use crate::chain::StatedHumidity;
use crate::defaults;
use crate::evaluate::MonteCarloOptions;
use crate::evaluated::raised::NumericFlag;
use crate::inputs::{ReadingInputs, ReadingMode};
use crate::interferents::{Interferents, Share};
use crate::result::Status;
use crate::stain::Stain;
use crate::tube_trials::TubeTrials;
use crate::tube_trials::drawn_ends::{DrawnEnd, DrawnEnds, DrawnSide, draw_sides};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::monte_carlo::{self, MonteCarloResult};

/// The uncertainty of a reading, in numbers.
pub(super) struct PropagatedReading {
    /// By the law of propagation.
    pub(super) outcome: Propagated,
    /// Its parts.
    pub(super) parts: Vec<Contribution>,
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
            reading: start.stain(),
            bias: start.bias,
            taken: match self.stain {
                Stain::At { cell, .. } => ReadingMode::Read(cell),
                Stain::NotSeen
                | Stain::BelowFirstMark
                | Stain::BeyondLastMark
                | Stain::AtLeast(_)
                | Stain::LessThan(_) => ReadingMode::Bound,
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
        let shares: &[Share] = if start.bias.abs() > 0.0 {
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
            reading: start.stain(),
            bias: start.bias,
            value,
            spans: known.spans(),
        };
        (run, inputs)
    }

    /// The relative standard uncertainty and its parts.
    pub(super) fn propagate(
        &self,
        start: &Start,
        value: f64,
        gases: &Interferents,
    ) -> PropagatedReading {
        let (run, inputs) = self.model(start, value, gases);
        let mut parts = Vec::with_capacity(16);
        let outcome = budget::propagate(&run, &inputs, &mut parts);
        PropagatedReading { outcome, parts }
    }

    /// The model of each end of the interval for draws: the cell as if the scale ran evenly for the upper one and
    /// logarithmically for the lower one, with the bands of accuracy and repeatability at the outermost `stains`.
    pub(super) fn drawn_ends(
        &self,
        start: &Start,
        value: f64,
        gases: &Interferents,
        [lowest, highest]: [f64; 2],
    ) -> DrawnEnds {
        let (run, inputs) = self.model(start, value, gases);
        let scale = self.drawn.scale;
        let [for_lower, for_upper] = self.cell(start).drawn();
        let end = |cell: DrawnCell, stain: f64| {
            let mut inputs = inputs.clone();
            for input in &mut inputs {
                let band = match input.source {
                    Source::Accuracy => self.sheet.accuracy_at(stain, scale),
                    Source::Repeatability => self.sheet.repeatability_at(stain, scale),
                    Source::Reading => {
                        if let Distribution::Rectangular { half_width } = &mut input.distribution {
                            *half_width = cell.half_width;
                        }
                        continue;
                    }
                    _ => continue,
                };
                let distribution =
                    Distribution::normal_or_t(band.standard, band.degrees_of_freedom);
                *input = Input::new(input.source, distribution);
            }
            DrawnEnd {
                reading: cell.at,
                inputs,
            }
        };
        let rows = |stain: f64| {
            let (accuracy, repeatability) = (
                self.sheet.accuracy_at(stain, scale),
                self.sheet.repeatability_at(stain, scale),
            );
            (accuracy.row, repeatability.row)
        };
        DrawnEnds {
            tube_by_itself: run.tube_by_itself,
            bias: run.bias,
            value,
            spans: run.spans,
            alike: self.end_chains.is_none()
                && for_lower == for_upper
                && rows(lowest) == rows(highest),
            ends: [end(for_lower, lowest), end(for_upper, highest)],
        }
    }

    /// Draws from the distributions of all inputs. Where both ends are not alike, half of the draws are for each, and there is
    /// no shortest interval.
    pub(super) fn draw(
        &self,
        drawn: &DrawnEnds,
        options: &MonteCarloOptions<'_>,
    ) -> MonteCarloResult {
        draw_sides(drawn.alike, &options.settings, |side, settings| {
            let chain = match (&self.end_chains, side) {
                (Some([lower, _]), DrawnSide::Lower) => lower,
                (Some([_, upper]), DrawnSide::Upper) => upper,
                (None, _) => &self.chain,
            };
            let run = drawn.model(side, chain, &self.air);
            let trials = TubeTrials::new(run, &drawn.at(side).inputs);
            monte_carlo::run(&trials, settings, options.in_blocks)
        })
    }

    /// Defaults used for a silent sheet.
    pub(super) fn assumptions(
        &self,
        start: &Start,
        relative: f64,
    ) -> impl Iterator<Item = NumericFlag> + use<> {
        let scale = self.drawn.scale;
        let large =
            start.status == Status::Measured && relative > defaults::LARGE_RELATIVE_UNCERTAINTY;
        [
            (
                self.sheet.accuracy_at(start.reading, scale).row.is_none(),
                NumericFlag::AccuracyAssumed,
            ),
            (
                self.sheet
                    .repeatability_at(start.reading, scale)
                    .row
                    .is_none(),
                NumericFlag::RepeatabilityAssumed,
            ),
            (
                self.other
                    .is_some_and(|other| other.uncertainty.is_none() && other.half_width.is_none()),
                NumericFlag::OtherGasFactorAssumed,
            ),
            (
                self.accuracy_kind_not_said(start),
                NumericFlag::AccuracyKindNotSaid,
            ),
            (large, NumericFlag::UncertaintyLarge),
        ]
        .into_iter()
        .filter_map(|(raised, flag)| raised.then_some(flag))
    }

    /// True if the accuracy that counts is a figure of which the leaflet does not say what it is.
    fn accuracy_kind_not_said(&self, start: &Start) -> bool {
        let row = self.sheet.accuracy_at(start.reading, self.drawn.scale).row;
        let band = row.and_then(|row| self.sheet.tube.accuracy.get(row));
        band.is_some_and(|band| band.kind_not_said)
    }

    /// Origins of the figures of the budget.
    pub(super) fn origins(&self) -> Origins {
        let scale = self.drawn.scale;
        let read_off = |correction: &Correction| matches!(correction, Correction::Factors(table) if table.read_off_half_width.is_some());
        let tube = &self.sheet.tube;
        let strokes = self.drawn.range.strokes;
        let at = self.reading_value();
        Origins {
            unit: scale.unit.canonical(),
            between_marks: match self.stain {
                _ if tube.thresholds.is_some() => BetweenMarks::Counted,
                Stain::At { cell, .. } if 0.0 < cell.stated() => BetweenMarks::Stated,
                _ => BetweenMarks::Scale,
            },
            reads_to: self.reads_to,
            accuracy_row: self.sheet.accuracy_at(at, scale).row,
            repeatability_row: self.sheet.repeatability_at(at, scale).row,
            range_row: self.drawn.range.row,
            pressure: self.place.pressure.map(|station| station.origin),
            humidity_is_absolute: matches!(self.air.humidity, StatedHumidity::Absolute(_)),
            read_off: [
                read_off(tube.temperature.at(strokes)),
                read_off(tube.humidity.at(strokes)),
                read_off(tube.pressure.at(strokes)),
            ],
            response_factor_stated: self
                .other
                .is_some_and(|other| other.uncertainty.is_some() || other.half_width.is_some()),
        }
    }

    fn reading_value(&self) -> f64 {
        match self.stain {
            Stain::At { value, .. } => value,
            _ => f64::NAN,
        }
    }
}
