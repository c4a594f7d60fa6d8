//! Monte Carlo trials of a reading: the model of [`crate::budget`], with every input drawn from its own distribution.

use stainbook_catalog::written::tube::Axis;

use crate::budget::{Input, Run, Source};
use crate::chain::{Air, Water};
use crate::monte_carlo::{Generator, Held, Trials};

/// A reading, ready for trials.
#[derive(Clone, Debug)]
pub struct TubeTrials<'r> {
    run: Run<'r>,
    inputs: Vec<Input>,
}

impl<'r> TubeTrials<'r> {
    /// A reading with what is not exactly known in it. Inputs that the chain does not use are left out.
    ///
    /// Where an input is drawn outside the sheet's table or formula it is taken at the end; where the outcome would be
    /// below zero it is taken as zero. Both are counted.
    pub fn new(run: Run<'r>, inputs: &[Input]) -> Self {
        Self {
            inputs: inputs
                .iter()
                .filter(|input| run.uses(input.source))
                .copied()
                .collect(),
            run,
        }
    }
}

/// How many trials are worked out side by side: their columns stay in the fastest memory.
const SIDE_BY_SIDE: usize = 500;

/// The drawn inputs of the trials side by side, put together by what they do in the model.
struct Columns {
    drawn: [f64; SIDE_BY_SIDE],
    /// The reading.
    stain: [f64; SIDE_BY_SIDE],
    /// The share of other gases.
    share: [f64; SIDE_BY_SIDE],
    /// The factors about 1 that belong to the whole stain, multiplied.
    of_stain: [f64; SIDE_BY_SIDE],
    /// The factors about 1 that belong to the result, multiplied.
    of_result: [f64; SIDE_BY_SIDE],
    /// The temperature of the tube, °C.
    tube: [f64; SIDE_BY_SIDE],
    /// The temperature of the air, °C.
    air: [f64; SIDE_BY_SIDE],
    /// The humidity as it was stated.
    humidity: [f64; SIDE_BY_SIDE],
    /// The pressure, kPa.
    pressure: [f64; SIDE_BY_SIDE],
}

impl Trials for TubeTrials<'_> {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Held {
        let nothing = [0.0; SIDE_BY_SIDE];
        let mut columns = Columns {
            drawn: nothing,
            stain: nothing,
            share: nothing,
            of_stain: nothing,
            of_result: nothing,
            tube: nothing,
            air: nothing,
            humidity: nothing,
            pressure: nothing,
        };
        let mut held = Held::default();
        for out in out.chunks_mut(SIDE_BY_SIDE) {
            self.fill(&mut columns, generator, out.len());
            self.outcomes(&columns, out, &mut held);
        }
        held
    }
}

impl TubeTrials<'_> {
    /// Draws the inputs of so many trials.
    fn fill(&self, columns: &mut Columns, generator: &mut Generator, trials: usize) {
        let air = self.run.air;
        columns.stain.fill(self.run.reading);
        columns.share.fill(self.run.bias);
        columns.of_stain.fill(1.0);
        columns.of_result.fill(1.0);
        columns.tube.fill(air.tube_celsius);
        columns.air.fill(air.air_celsius);
        columns.humidity.fill(match air.humidity {
            Water::Relative(number) | Water::Absolute(number) => number,
            Water::Unknown => f64::NAN,
        });
        columns.pressure.fill(air.kilopascals);
        for input in &self.inputs {
            let Some(drawn) = columns.drawn.get_mut(..trials) else {
                return;
            };
            input.distribution.draw(generator, drawn);
            let (column, multiplies) = match input.source {
                Source::Reading | Source::Front => (&mut columns.stain, false),
                Source::OtherGas(_) => (&mut columns.share, false),
                Source::Accuracy
                | Source::Repeatability
                | Source::StrokeVolume
                | Source::StrokeSpread => (&mut columns.of_stain, true),
                Source::Multiplier
                | Source::Table(Axis::Temperature | Axis::Humidity | Axis::Pressure)
                | Source::OtherGasFactor => (&mut columns.of_result, true),
                Source::Temperature => (&mut columns.tube, false),
                Source::AirTemperature => (&mut columns.air, false),
                Source::Humidity => (&mut columns.humidity, false),
                Source::Pressure => (&mut columns.pressure, false),
            };
            if multiplies {
                for (slot, drawn) in column.iter_mut().zip(drawn) {
                    *slot *= 1.0 + *drawn;
                }
            } else {
                for (slot, drawn) in column.iter_mut().zip(drawn) {
                    *slot += *drawn;
                }
            }
        }
        if !self.run.tube_by_itself {
            columns.air = columns.tube;
        }
    }

    fn outcomes(&self, columns: &Columns, out: &mut [f64], held: &mut Held) {
        let run = &self.run;
        let spans = &run.spans;
        let of_air = columns
            .tube
            .iter()
            .zip(&columns.air)
            .zip(columns.humidity.iter().zip(&columns.pressure));
        let of_stain = columns
            .stain
            .iter()
            .zip(&columns.share)
            .zip(columns.of_stain.iter().zip(&columns.of_result));
        for ((((tube, air), (humidity, pressure)), ((stain, share), (of_stain, of_result))), out) in
            of_air.zip(of_stain).zip(out)
        {
            let mut outside = false;
            let mut inside = |at: f64, (low, high): (f64, f64)| {
                outside |= at < low || high < at;
                at.max(low).min(high)
            };
            let air = Air {
                tube_celsius: inside(*tube, spans.temperature),
                air_celsius: *air,
                humidity: match run.air.humidity {
                    Water::Relative(_) => Water::Relative(inside(*humidity, spans.humidity)),
                    Water::Absolute(_) => Water::Absolute(inside(*humidity, spans.humidity)),
                    Water::Unknown => Water::Unknown,
                },
                kilopascals: inside(*pressure, spans.pressure),
            };
            let net = stain - share;
            let (value, held_by_chain) = run.chain.held(net, &air);
            // A formula without a value there says nothing: the trial stays at the estimate, and is counted.
            outside |= held_by_chain || value.is_none();
            let value = value.unwrap_or(run.value);
            let outcome = value * (1.0 + stain / net * (of_stain - 1.0)) * of_result;
            held.at_an_end += u64::from(outside);
            // What other gases are taken to have added can be more than the whole stain, and a share of exactly all of it
            // leaves nothing. Not a number is below nothing as well.
            let nothing = outcome.is_nan() || outcome < 0.0;
            held.at_zero += u64::from(nothing);
            *out = if nothing { 0.0 } else { outcome };
        }
    }
}
