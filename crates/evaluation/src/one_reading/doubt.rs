//! The uncertainty of one reading: what goes into the budget, from sheet, pump, survey or a default, and what comes out.

use stainbook_catalog::model::{Correction, Scale};
use stainbook_core::print;

use super::Work;
use super::start::Start;
use crate::budget::{self, Input, Part, Relative, Run};
use crate::budget_words::{self, Origins};
use crate::chain::Water;
use crate::defaults;
use crate::draws_words;
use crate::evaluate::MonteCarloOptions;
use crate::inputs::{Known, Taken};
use crate::judgement::{self, DrawnAbove};
use crate::other_gases::{self, Others};
use crate::outcome::{Code, Flag};
use crate::result::{ReadingResult, Status, Uncertainty, UncertaintyText};
use crate::stain::Stain;
use crate::tube_trials::TubeTrials;
use stainbook_uncertainty::monte_carlo::Outcome;

/// The uncertainty of a reading, in numbers.
pub(super) struct Doubt {
    /// By the law of propagation.
    pub(super) relative: Relative,
    /// Its parts.
    pub(super) parts: Vec<Part>,
}

/// What drawing gave.
pub(super) struct Drawn {
    pub(super) outcome: Outcome,
    /// How many draws lay above each limit.
    pub(super) above: DrawnAbove,
}

impl Work<'_> {
    /// What is known about the reading.
    fn known(&self, start: &Start) -> Known<'_> {
        Known {
            sheet: self.sheet,
            scale: self.drawn.scale,
            range: self.drawn.range,
            other: self.other,
            chain: &self.chain,
            air: &self.air,
            pressure_within: self
                .place
                .pressure
                .map_or(0.0, |station| station.origin.within()),
            volume_within: self.pump.volume_within,
            stroke_spread: self.pump.spread,
            reading: start.reading,
            bias: start.bias,
            taken: match self.stain {
                Stain::At {
                    half_front,
                    stated_uncertainty,
                    ..
                } if start.status == Status::Measured => Taken::Read {
                    stated_uncertainty,
                    half_front,
                },
                _ => Taken::Bound,
            },
        }
    }

    /// The model of the reading, and what is not exactly known in it.
    fn model(&self, start: &Start, value: f64, others: &Others) -> (Run<'_>, Vec<Input>) {
        let known = self.known(start);
        let measured = start.status == Status::Measured;
        let gases: &[other_gases::Part] = if start.bias.abs() > 0.0 && measured {
            &others.parts
        } else {
            &[]
        };
        let mut inputs = Vec::with_capacity(16);
        known.inputs(
            gases.iter().map(|part| (part.index, part.standard)),
            &mut inputs,
        );
        let run = Run {
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
    pub(super) fn propagate(&self, start: &Start, value: f64, others: &Others) -> Doubt {
        let (run, inputs) = self.model(start, value, others);
        let mut parts = Vec::with_capacity(16);
        let relative = budget::propagate(&run, &inputs, &mut parts);
        Doubt { relative, parts }
    }

    /// Draws from the distributions of all inputs, and counts how many draws lie above each limit. `ppm` is the value as a
    /// volume fraction, without which there is nothing to compare.
    pub(super) fn draw(
        &self,
        start: &Start,
        value: f64,
        ppm: Option<f64>,
        others: &Others,
        options: &MonteCarloOptions<'_>,
    ) -> Drawn {
        let (run, inputs) = self.model(start, value, others);
        let limits = judgement::limits_in_ppm(self.substance);
        let (limits, per_ppm) = ppm.map_or((&[][..], f64::NAN), |ppm| (&limits[..], value / ppm));
        let (outcome, above) =
            judgement::drawn::run(&TubeTrials::new(run, &inputs), options, limits, per_ppm);
        Drawn { outcome, above }
    }

    /// Flags for what stood in for a silent sheet.
    pub(super) fn assumptions(&self, start: &Start, relative: f64, result: &mut ReadingResult) {
        let unit = self.drawn.scale.unit;
        if self.sheet.accuracy_at(start.reading, unit).row.is_none() {
            result.flags.push(Flag::new(
                Code::AccuracyAssumed,
                format!(
                    "the leaflet states no accuracy; within {} for {} of readings was assumed, which the former United States rule for such units asked for",
                    print::percent(defaults::ACCURACY_WITHIN, 1),
                    print::percent(defaults::CONFIDENCE, 1)
                ),
            ));
        }
        if self
            .sheet
            .repeatability_at(start.reading, unit)
            .row
            .is_none()
        {
            result.flags.push(Flag::new(
                Code::RepeatabilityAssumed,
                format!(
                    "the sheet states no repeatability; {} was assumed (common practice)",
                    print::percent(defaults::REPEATABILITY, 1)
                ),
            ));
        }
        if self.other.is_some_and(|other| other.uncertainty.is_none()) {
            result.flags.push(Flag::new(
                Code::OtherGasFactorAssumed,
                format!("the leaflet states no uncertainty of the factor for this gas; {} was assumed (common practice)", print::percent(defaults::OTHER_GAS_FACTOR, 1)),
            ));
        }
        if start.status == Status::Measured && relative > defaults::LARGE_RELATIVE_UNCERTAINTY {
            result.flags.push(Flag::new(
                Code::UncertaintyLarge,
                "the standard uncertainty is above 40 % of the result: the interval and the probabilities are rough, the lower end most of all",
            ));
        }
    }

    /// The uncertainty of a value, with its budget.
    pub(super) fn uncertainty(
        &self,
        value: f64,
        doubt: &Doubt,
        others: &Others,
        drawn: Option<(&Drawn, &MonteCarloOptions<'_>)>,
    ) -> Uncertainty {
        let scale: &Scale = self.drawn.scale;
        let relative = doubt.relative;
        let standard = value * relative.standard;
        let coverage_factor = relative.coverage_factor();
        let expanded = standard * coverage_factor;
        let interval = [(value - expanded).max(0.0), value + expanded];
        let (_, standard_text) = print::with_uncertainty(value, standard);
        let (_, expanded_text) = print::with_uncertainty(value, expanded);
        let printed = |number: f64| print::with_uncertainty(number, standard).0;
        let read_off = |correction: &Correction| matches!(correction, Correction::Factors(table) if table.read_off_within.is_some());
        let tube = &self.sheet.tube;
        let origins = Origins {
            unit: scale.unit.canonical(),
            reading_stated: matches!(
                self.stain,
                Stain::At {
                    stated_uncertainty: Some(_),
                    ..
                }
            ),
            accuracy_row: self.sheet.accuracy_at(self.reading_value(), scale.unit).row,
            repeatability_row: self
                .sheet
                .repeatability_at(self.reading_value(), scale.unit)
                .row,
            stroke_volume: &self.pump.origin,
            stroke_spread: &self.pump.spread_origin,
            range_row: self.drawn.range.row,
            pressure: self
                .place
                .pressure
                .map(|station| (station.origin.words(), station.origin.within())),
            humidity_is_absolute: matches!(self.air.humidity, Water::Absolute(_)),
            read_off: [
                read_off(&tube.temperature),
                read_off(&tube.humidity),
                read_off(&tube.pressure),
            ],
            other_gas_stated: self.other.is_some_and(|other| other.uncertainty.is_some()),
            gases: &others.parts,
        };
        Uncertainty {
            unit: scale.unit.canonical().to_owned(),
            standard,
            relative: relative.standard,
            expanded,
            coverage_factor,
            coverage: defaults::COVERAGE,
            interval,
            distribution: if relative.effective_degrees_of_freedom.is_finite() {
                "Student's t".to_owned()
            } else {
                "normal".to_owned()
            },
            text: UncertaintyText {
                standard: standard_text,
                expanded: expanded_text,
                interval: interval.map(printed),
            },
            effective_degrees_of_freedom: budget_words::finite(
                relative.effective_degrees_of_freedom,
            ),
            budget: budget_words::lines(&doubt.parts, &origins),
            monte_carlo: drawn.map(|(drawn, options)| {
                draws_words::result(&drawn.outcome, &options.settings, value, relative)
            }),
        }
    }

    fn reading_value(&self) -> f64 {
        match self.stain {
            Stain::At { value, .. } => value,
            _ => f64::NAN,
        }
    }
}
