//! The uncertainty of one reading: what goes into the budget, from sheet, pump, survey or a default, and what comes out.

use stainbook_catalog::model::{Correction, Scale};
use stainbook_core::print;

use super::Work;
use super::start::Start;
use crate::budget::{self, InputUncertainties, Part, Run, Spans, rectangular};
use crate::budget_words::{self, Origins};
use crate::chain::{Reading, Water};
use crate::defaults;
use crate::other_gases::Others;
use crate::preparation;
use crate::result::{ReadingResult, Remark, Status, Uncertainty, UncertaintyText};
use crate::stain::{self, Stain, same_strokes};

impl Work<'_> {
    /// The relative standard uncertainty and its parts.
    pub(super) fn propagate(&self, start: &Start, value: f64, others: &Others) -> (f64, Vec<Part>) {
        let (scale, range) = (self.drawn.scale, self.drawn.range);
        let (stated, front) = match self.stain {
            Stain::At {
                half_front,
                stated_uncertainty,
                ..
            } => (stated_uncertainty, half_front),
            _ => (None, None),
        };
        let measured = start.status == Status::Measured;
        // A bound is a mark itself: there is nothing to be misread.
        let of_marks = if measured {
            stain::space_about(&scale.marks, start.reading) / 2.0
        } else {
            0.0
        };
        let printed = self.printed(start);
        let multiplier = if (range.multiplier - 1.0).abs() < 1e-12
            && same_strokes(range.strokes, scale.printed_for_strokes)
        {
            0.0
        } else {
            range
                .multiplier_half_step
                .min(defaults::MULTIPLIER_HALF_STEP)
                / range.multiplier
        };
        let humidity_within = match self.air.humidity {
            Water::Relative(_) => defaults::RELATIVE_HUMIDITY_WITHIN,
            Water::Absolute(grams) => grams * defaults::ABSOLUTE_HUMIDITY_WITHIN,
            Water::Unknown => 0.0,
        };
        let pressure_within = self.place.pressure.map_or(0.0, |station| {
            station.pressure.kilopascals() * station.origin.within()
        });
        let inputs = InputUncertainties {
            reading: if measured {
                stated.unwrap_or_else(|| rectangular(of_marks))
            } else {
                0.0
            },
            front: front.map_or(0.0, rectangular),
            accuracy: self.sheet.accuracy_at(start.reading, scale.unit).standard,
            repeatability: self
                .sheet
                .repeatability_at(start.reading, scale.unit)
                .standard,
            stroke_volume: rectangular(self.pump.volume_within),
            multiplier: rectangular(multiplier),
            temperature: if self.place.of_tube().is_some() {
                rectangular(defaults::TEMPERATURE_WITHIN)
            } else {
                0.0
            },
            humidity: rectangular(humidity_within),
            pressure: rectangular(pressure_within),
            tables: printed,
            other_gas: self.other.map_or(0.0, |other| {
                other.uncertainty.unwrap_or(defaults::OTHER_GAS_FACTOR)
            }),
        };
        let gases: Vec<(usize, f64)> = if start.bias.abs() > 0.0 && measured {
            others
                .parts
                .iter()
                .map(|part| (part.index, part.standard))
                .collect()
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
                Correction::Factors(table) => (
                    half_step / done.factor,
                    table.read_off_within.unwrap_or(0.0),
                ),
                // The table's own value, which the stroke multiplier has already reached or not.
                Correction::Table(_) => {
                    (done.found.map_or(0.0, |found| half_step / found.value), 0.0)
                }
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
        if let (Some(first), Some(last)) = (
            self.drawn.scale.marks.first(),
            self.drawn.scale.marks.last(),
        ) {
            spans.reading = (first * 0.5, last * 1.5);
        }
        let span = |correction: &Correction| {
            correction
                .span()
                .map(|(low, high, unit)| (unit.to_base(low), unit.to_base(high), unit))
        };
        if let Some((low, high, _)) = span(&tube.temperature) {
            spans.temperature = (low, high);
        } else if matches!(tube.temperature, Correction::Polynomial(_)) {
            spans.temperature = (
                tube.usable_temperature.0.celsius(),
                tube.usable_temperature.1.celsius(),
            );
        }
        if let Some((low, high, unit)) = span(&tube.humidity) {
            // A bound in the other kind of humidity moves with the temperature; one-sided slopes do the same there.
            let same_kind = self
                .place
                .humidity
                .is_some_and(|humidity| humidity.dimension() == unit.dimension());
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
    pub(super) fn assumptions(&self, start: &Start, relative: f64, result: &mut ReadingResult) {
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
        if self
            .sheet
            .repeatability_at(start.reading, unit)
            .row
            .is_none()
        {
            result.flags.push(Remark::new(
                "repeatability-assumed",
                format!(
                    "the sheet states no repeatability; {} was assumed (common practice)",
                    preparation::percent(defaults::REPEATABILITY)
                ),
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

    /// The uncertainty of a value, with its budget.
    pub(super) fn uncertainty(
        &self,
        value: f64,
        relative: f64,
        parts: &[Part],
        others: &Others,
    ) -> Uncertainty {
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
            range_row: self.drawn.range.row,
            pressure: self
                .place
                .pressure
                .map(|station| (station.origin.words(), station.origin.within())),
            humidity_unit: if matches!(self.air.humidity, Water::Absolute(_)) {
                "g/m³"
            } else {
                "%RH"
            },
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
}
