//! Inputs of the uncertainty budget of a reading: each with its distribution, from the sheet, the pump's record, the survey,
//! or a default. Where each comes from is put into words in [`crate::budget_words`].

use stainbook_catalog::model::{BandFactor, Correction, MeasuringRange, ResponseFactor, Scale};
use stainbook_catalog::written::tube::Axis;
use stainbook_catalog::written::tube::correct::CorrectionStep;
use stainbook_core::Dimension;

use crate::budget::{Input, Source, Spans};
use crate::cell::Cell;
use crate::chain::{AirState, Chain, StatedHumidity, TableLookup};
use crate::compiled_sheet::CompiledSheet;
use crate::defaults;
use crate::stain::same_strokes;
use crate::stroke_spread::StrokeSpread;
use stainbook_uncertainty::distribution::Distribution;

/// Inputs of one reading.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ReadingInputs<'r> {
    /// The sheet.
    pub(crate) sheet: &'r CompiledSheet<'r>,
    /// The scale.
    pub(crate) scale: &'r Scale,
    /// The stroke count.
    pub(crate) range: &'r MeasuringRange,
    /// The row of another gas, if the reading is about one.
    pub(crate) other: Option<&'r ResponseFactor>,
    /// The chain.
    pub(crate) chain: &'r Chain<'r>,
    /// The air.
    pub(crate) air: &'r AirState,
    /// Half the width within which the pressure is known, as a part of it.
    pub(crate) pressure_half_width: f64,
    /// Half the width within which the volume of a stroke is known, as a part of it.
    pub(crate) volume_half_width: f64,
    /// Spread of single strokes, if the pump's record says.
    pub(crate) stroke_spread: Option<StrokeSpread>,
    /// The reading, or the mark that bounds it.
    pub(crate) reading: f64,
    /// Amount that interferents added to it.
    pub(crate) bias: f64,
    /// Mode of reading.
    pub(crate) taken: ReadingMode,
}

/// Modes of reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum ReadingMode {
    /// Read between the marks, with what the reading stands for.
    Read(Cell),
    /// A bound is a mark itself: there is nothing to be misread.
    Bound,
}

impl ReadingInputs<'_> {
    /// Fills `inputs`, which is emptied before. `gases` has for each disturbing gas that was subtracted its place in the list
    /// and the standard uncertainty of its share, in the unit of the scale.
    pub(crate) fn inputs(
        &self,
        gases: impl Iterator<Item = (usize, f64)>,
        inputs: &mut Vec<Input>,
    ) {
        inputs.clear();
        let mut add = |source, distribution: Distribution| {
            if 0.0 < distribution.standard() {
                inputs.push(Input::new(source, distribution));
            }
        };
        let rectangular = |half_width: f64| Distribution::Rectangular { half_width };
        if let ReadingMode::Read(cell) = self.taken {
            let between = rectangular(cell.half_width());
            if 0.0 < cell.stated() {
                let standard = cell.stated();
                add(Source::Reading, Distribution::Normal { standard });
                add(Source::Front, between);
            } else {
                add(Source::Reading, between);
            }
        }
        let accuracy = self.sheet.accuracy_at(self.reading, self.scale);
        add(
            Source::Accuracy,
            Distribution::normal_or_t(accuracy.standard, accuracy.degrees_of_freedom),
        );
        let repeatability = self.sheet.repeatability_at(self.reading, self.scale);
        add(
            Source::Repeatability,
            Distribution::normal_or_t(repeatability.standard, repeatability.degrees_of_freedom),
        );
        add(Source::StrokeVolume, rectangular(self.volume_half_width));
        if let Some(spread) = self.stroke_spread {
            add(
                Source::StrokeSpread,
                Distribution::normal_or_t(
                    spread.of_strokes(self.range.strokes),
                    spread.degrees_of_freedom,
                ),
            );
        }
        add(Source::Multiplier, rectangular(self.multiplier()));
        if self.air.tube_celsius.is_finite() {
            add(
                Source::Temperature,
                rectangular(defaults::TEMPERATURE_WITHIN),
            );
        }
        if self.air.air_celsius.is_finite() {
            add(
                Source::AirTemperature,
                rectangular(defaults::TEMPERATURE_WITHIN),
            );
        }
        add(
            Source::Humidity,
            rectangular(match self.air.humidity {
                StatedHumidity::Relative(_) => defaults::RELATIVE_HUMIDITY_WITHIN,
                StatedHumidity::Absolute(grams) => grams * defaults::ABSOLUTE_HUMIDITY_WITHIN,
                StatedHumidity::Unknown => 0.0,
            }),
        );
        if self.air.kilopascals.is_finite() {
            add(
                Source::Pressure,
                rectangular(self.air.kilopascals * self.pressure_half_width),
            );
        }
        let tables = self.tables();
        for (axis, table) in [Axis::Temperature, Axis::Humidity, Axis::Pressure]
            .into_iter()
            .zip(tables)
        {
            add(Source::Table(axis), table);
        }
        if let Some(other) = self.other {
            let distribution = match (other.uncertainty, other.half_width) {
                (None, Some(half_width)) => rectangular(half_width),
                (stated, _) => Distribution::Normal {
                    standard: stated.unwrap_or(defaults::OTHER_GAS_FACTOR),
                },
            };
            add(Source::ResponseFactor, distribution);
        }
        for (index, standard) in gases {
            add(
                Source::Interferent(index),
                Distribution::Normal { standard },
            );
        }
    }

    /// Half the width within which the printed digits leave the multiplier, as a part of it. A multiplier of 1 at the
    /// scale's own stroke count is no figure that was rounded.
    fn multiplier(&self) -> f64 {
        let range = self.range;
        if (range.multiplier - 1.0).abs() < 1e-12
            && same_strokes(range.strokes, self.scale.printed_for_strokes)
        {
            0.0
        } else if range.multiplier_follows_from.is_some() {
            range.multiplier_half_step / range.multiplier
        } else {
            range
                .multiplier_half_step
                .min(defaults::MULTIPLIER_HALF_STEP)
                / range.multiplier
        }
    }

    /// For each table, how far its printed digits, and reading it off a graph, leave the factor, as a part of it, where it
    /// was entered: temperature, humidity, pressure.
    fn tables(&self) -> [Distribution; 3] {
        const EXACT: Distribution = Distribution::Rectangular { half_width: 0.0 };
        let tube = &self.sheet.tube;
        let mut of_axis = [EXACT; 3];
        let strokes = self.range.strokes;
        let net = self.reading - self.bias;
        let told = self
            .chain
            .run(net, self.air, TableLookup::ForSensitivity, |done| {
                let (index, correction) = match done.step {
                    CorrectionStep::Temperature => (0, tube.temperature.at(strokes)),
                    CorrectionStep::Humidity => (1, tube.humidity.at(strokes)),
                    CorrectionStep::Pressure => (2, tube.pressure.at(strokes)),
                    CorrectionStep::Strokes | CorrectionStep::ResponseFactor => return,
                };
                let half_step = self.sheet.half_steps.get(index).copied().unwrap_or(0.0);
                let (digits, read_off) = match correction {
                    Correction::Factors(table) => (
                        half_step / done.factor,
                        table.read_off_half_width.unwrap_or(0.0),
                    ),
                    Correction::Bands(bands) => {
                        let band = done.found.and_then(|found| bands.bands.get(found.rows.0));
                        let printed =
                            band.is_some_and(|band| matches!(band.gives, BandFactor::Factor(_)));
                        (
                            if printed {
                                half_step / done.factor
                            } else {
                                0.0
                            },
                            0.0,
                        )
                    }
                    Correction::WithHumidity(_) => (half_step / done.factor, 0.0),
                    // The table's own value, which the stroke multiplier has already reached or not.
                    Correction::Table(_) => {
                        (done.found.map_or(0.0, |found| half_step / found.value), 0.0)
                    }
                    _ => (0.0, 0.0),
                };
                if let Some(slot) = of_axis.get_mut(index) {
                    *slot = Distribution::sum_of_rectangular(digits, read_off);
                }
            });
        if told.is_err() { [EXACT; 3] } else { of_axis }
    }

    /// Spans in which inputs may be moved without leaving the tables.
    pub(crate) fn spans(&self) -> Spans {
        let tube = &self.sheet.tube;
        let strokes = self.range.strokes;
        let [by_temperature, by_humidity, by_pressure] =
            [&tube.temperature, &tube.humidity, &tube.pressure].map(|of| of.at(strokes));
        let mut spans = Spans::OPEN;
        if let (Some(first), Some(last)) = (self.scale.marks.first(), self.scale.marks.last()) {
            spans.reading = (first * 0.5, last * 1.5);
        }
        let span = |correction: &Correction| {
            // Within a band that is settled a factor runs on.
            let runs_on = matches!(correction, Correction::Bands(_));
            correction
                .span()
                .filter(|_| !runs_on)
                .map(|(low, high, unit)| (unit.to_base(low), unit.to_base(high), unit))
        };
        if let Some((low, high, _)) = span(by_temperature) {
            spans.temperature = (low, high);
        } else if matches!(by_temperature, Correction::Polynomial(_)) {
            spans.temperature = (
                tube.usable_temperature.0.celsius(),
                tube.usable_temperature.1.celsius(),
            );
        }
        if let Some((low, high, unit)) = span(by_humidity) {
            // A bound in the other kind of humidity moves with the temperature; one-sided slopes do the same there.
            let same_kind = match self.air.humidity {
                StatedHumidity::Relative(_) => unit.dimension() == Dimension::RelativeHumidity,
                StatedHumidity::Absolute(_) => unit.dimension() == Dimension::AbsoluteHumidity,
                StatedHumidity::Unknown => false,
            };
            if same_kind {
                spans.humidity = (low, high);
            }
        }
        if let Correction::WithHumidity(grid) = by_temperature
            && self.air.humidity.is_stated_as(grid.humidity_unit)
            && let (Some(first), Some(last)) = (grid.humidities.first(), grid.humidities.last())
        {
            let unit = grid.humidity_unit;
            spans.humidity = (unit.to_base(*first), unit.to_base(*last));
        }
        if matches!(self.air.humidity, StatedHumidity::Relative(_)) {
            spans.humidity = (spans.humidity.0.max(0.0), spans.humidity.1.min(100.0));
        }
        if let Some((low, high, _)) = span(by_pressure) {
            spans.pressure = (low, high);
        }
        spans
    }
}
