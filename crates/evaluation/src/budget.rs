//! The model of a reading, with what is not exactly known in it, and the law of propagation along it: numbers only.
//!
//! ```text
//! x = f((r − e) / (1 + Σ a) − s', air') / (1 + Σ m)
//! ```
//!
//! `f` is the [`Chain`], `r` the reading. A leaflet's figures are parts of what is there, not of what was read, so that the
//! deviations divide: `a` are those that belong to the whole stain, the share of other gases included (scale and lot, how much
//! repeated readings differ, the volume of the strokes), `m` those that belong to the result (printed digits of multiplier and
//! tables, a factor for another gas). They are added to each other before they divide. `e` is what the eye leaves open between
//! the marks and over the front, `s'` the share of other gases, `air'` the air with its temperature, humidity and pressure.
//!
//! [`propagate`] follows JCGM 100:2008 at the reading, for the printed standard uncertainty and its budget; ends of intervals and
//! verdicts come from the same parts at the stain that is asked about (`interval.rs`); [`crate::tube_trials`] draws from
//! the same model. The inputs are independent. All uncertainties of the result are relative to it.

use stainbook_catalog::written::tube::Axis;

use crate::chain::{AirState, Chain, ChainForSlopes, StatedHumidity};
use crate::interval::{Covers, Spread};
use stainbook_uncertainty::distribution::Distribution;
use stainbook_uncertainty::propagation::{self, ANYWHERE, Term, sensitivity_coefficient};

/// Sources of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Reading the end of the stain between the marks.
    Reading,
    /// The difference between the two sides of an oblique front.
    Front,
    /// Accuracy of scale and lot.
    Accuracy,
    /// Repeatability of readings.
    Repeatability,
    /// The volume of a stroke.
    StrokeVolume,
    /// Spread of single strokes.
    StrokeSpread,
    /// The printed digits of the stroke multiplier.
    Multiplier,
    /// The temperature of the tube (and of the air, where nothing else is said).
    Temperature,
    /// The temperature of the air, where the tube's is stated by itself.
    AirTemperature,
    /// The humidity.
    Humidity,
    /// The station pressure.
    Pressure,
    /// The printed digits of a correction table, and how closely a graph was read off.
    Table(Axis),
    /// The factor for another gas.
    ResponseFactor,
    /// The share of a disturbing gas, by its place in the reading's list.
    Interferent(usize),
}

/// Common cause of readings where a source of uncertainty is one and the same for all of them: its errors then do not
/// average out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SharedBy {
    /// The sheet, and the box with it.
    Sheet,
    /// One stroke count of a sheet.
    StrokeCount,
    /// The factor of a sheet for one gas other than the scale's.
    Gas,
    /// The response of a sheet to one disturbing gas.
    DisturbingGas,
    /// The pump.
    Pump,
    /// The instruments of a survey: thermometer, hygrometer, barometer.
    Instrument,
    /// Nothing: each reading has it for itself.
    Reading,
}

/// Scope of a source's standard uncertainty, found once for all readings that use the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FoundFor {
    /// The pump, in its volume checks.
    Pump,
    /// The sheet.
    Sheet,
}

impl Source {
    /// The word of a budget for scripts: `reading`, `stroke-volume`, `temperature-table`.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Front => "front",
            Self::Accuracy => "accuracy",
            Self::Repeatability => "repeatability",
            Self::StrokeVolume => "stroke-volume",
            Self::StrokeSpread => "stroke-spread",
            Self::Multiplier => "multiplier",
            Self::Temperature => "temperature",
            Self::AirTemperature => "air-temperature",
            Self::Humidity => "humidity",
            Self::Pressure => "pressure",
            Self::Table(Axis::Temperature) => "temperature-table",
            Self::Table(Axis::Humidity) => "humidity-table",
            Self::Table(Axis::Pressure) => "pressure-table",
            Self::ResponseFactor => "other-gas-factor",
            Self::Interferent(_) => "other-gas",
        }
    }

    /// Common cause of readings that share this source. The choice of correlated inputs is our own judgement, towards the
    /// larger uncertainty where a sum is made.
    pub const fn shared_by(self) -> SharedBy {
        match self {
            Self::Reading | Self::Front | Self::Repeatability | Self::StrokeSpread => {
                SharedBy::Reading
            }
            Self::Accuracy | Self::Table(_) => SharedBy::Sheet,
            Self::StrokeVolume => SharedBy::Pump,
            Self::Multiplier => SharedBy::StrokeCount,
            Self::Temperature | Self::AirTemperature | Self::Humidity | Self::Pressure => {
                SharedBy::Instrument
            }
            Self::ResponseFactor => SharedBy::Gas,
            Self::Interferent(_) => SharedBy::DisturbingGas,
        }
    }

    /// Scope of its standard uncertainty.
    pub const fn found_for(self) -> FoundFor {
        match self {
            Self::StrokeVolume | Self::StrokeSpread => FoundFor::Pump,
            Self::Reading
            | Self::Front
            | Self::Accuracy
            | Self::Repeatability
            | Self::Multiplier
            | Self::Temperature
            | Self::AirTemperature
            | Self::Humidity
            | Self::Pressure
            | Self::Table(_)
            | Self::ResponseFactor
            | Self::Interferent(_) => FoundFor::Sheet,
        }
    }

    /// True if the sheet states it for stretches of the scale.
    const fn is_of_band(self) -> bool {
        matches!(self, Self::Accuracy | Self::Repeatability)
    }

    /// True if it makes repeats of one reading differ by as much as a sheet's repeatability and the reading between the
    /// marks explain.
    pub(crate) const fn explains_repeats(self) -> bool {
        match self {
            Self::Reading | Self::Front | Self::Repeatability => true,
            Self::Accuracy
            | Self::StrokeVolume
            | Self::StrokeSpread
            | Self::Multiplier
            | Self::Temperature
            | Self::AirTemperature
            | Self::Humidity
            | Self::Pressure
            | Self::Table(_)
            | Self::ResponseFactor
            | Self::Interferent(_) => false,
        }
    }
}

/// Place of an input in the model: what its error is added to, or is a part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    /// Added to the reading.
    Stain,
    /// Added to the share of other gases.
    Share,
    /// A part of the whole stain.
    OfStain,
    /// A part of the result.
    OfResult,
    /// Added to the temperature of the tube, °C.
    Tube,
    /// Added to the temperature of the air, °C.
    Air,
    /// Added to the humidity as it was stated.
    Humidity,
    /// Added to the pressure, kPa.
    Pressure,
}

impl Role {
    pub(crate) const fn of(source: Source) -> Self {
        match source {
            Source::Reading | Source::Front => Self::Stain,
            Source::Interferent(_) => Self::Share,
            Source::Accuracy
            | Source::Repeatability
            | Source::StrokeVolume
            | Source::StrokeSpread => Self::OfStain,
            Source::Multiplier | Source::Table(_) | Source::ResponseFactor => Self::OfResult,
            Source::Temperature => Self::Tube,
            Source::AirTemperature => Self::Air,
            Source::Humidity => Self::Humidity,
            Source::Pressure => Self::Pressure,
        }
    }
}

/// An input that is not exactly known.
///
/// Its unit is that of the scale for [`Source::Reading`], [`Source::Front`] and [`Source::Interferent`]; K for temperatures;
/// %RH or g/m³, as stated, for the humidity; kPa for the pressure; and a part of 1 for all others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// Source.
    pub source: Source,
    /// Distribution about its estimate.
    pub distribution: Distribution,
    /// The degrees of freedom of its standard uncertainty; infinite where that is taken as exact.
    pub degrees_of_freedom: f64,
}

impl Input {
    /// An input whose distribution says how well its standard uncertainty is known.
    pub fn new(source: Source, distribution: Distribution) -> Self {
        Self {
            source,
            distribution,
            degrees_of_freedom: distribution.degrees_of_freedom(),
        }
    }
}

/// One part of the uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// Source.
    pub source: Source,
    /// Distribution of the input.
    pub distribution: Distribution,
    /// Its sensitivity coefficient, its standard uncertainty in its own unit, and the degrees of freedom of that.
    pub term: Term,
    /// Contribution to the result, as a part of it.
    pub relative: f64,
}

/// Spans in which the inputs may be moved for a sensitivity coefficient without leaving the sheet's tables, in the unit of
/// [`AirState`] and scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spans {
    /// Readings.
    pub reading: (f64, f64),
    /// Tube temperatures, °C.
    pub temperature: (f64, f64),
    /// Humidities, in the unit they were stated in.
    pub humidity: (f64, f64),
    /// Pressures, kPa.
    pub pressure: (f64, f64),
}

impl Spans {
    /// No bounds.
    pub const OPEN: Self = Self {
        reading: ANYWHERE,
        temperature: ANYWHERE,
        humidity: ANYWHERE,
        pressure: ANYWHERE,
    };
}

/// Measurement model: the chain with its inputs.
#[derive(Clone, Copy, Debug)]
pub struct MeasurementModel<'r> {
    /// The chain.
    pub chain: &'r Chain<'r>,
    /// The air.
    pub air: &'r AirState,
    /// True if the tube's temperature was stated by itself.
    pub tube_by_itself: bool,
    /// The reading as it stands on the glass.
    pub reading: f64,
    /// Amount that interferents added to it.
    pub bias: f64,
    /// The result.
    pub value: f64,
    /// Spans in which its inputs may be moved.
    pub spans: Spans,
}

/// The uncertainty of a result, as a part of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relative {
    /// The relative standard uncertainty.
    pub standard: f64,
    /// Its effective degrees of freedom, after Welch and Satterthwaite; infinite if no input has finite ones.
    pub effective_degrees_of_freedom: f64,
}

impl Relative {
    /// The coverage factor for 95 %: 1.960, or Student's t where the degrees of freedom are finite.
    pub fn coverage_factor(&self) -> f64 {
        Covers::Central.factor(self.effective_degrees_of_freedom)
    }
}

impl MeasurementModel<'_> {
    /// The reading less what other gases added.
    pub fn net(&self) -> f64 {
        self.reading - self.bias
    }

    /// True if anything along the chain depends on an input.
    pub fn uses(&self, source: Source) -> bool {
        let by_humidity = || self.chain.converts(self.air.humidity);
        match source {
            Source::Temperature => {
                self.chain.uses(Axis::Temperature) || !self.tube_by_itself && by_humidity()
            }
            Source::AirTemperature => self.tube_by_itself && by_humidity(),
            Source::Humidity => self.chain.uses(Axis::Humidity),
            Source::Pressure => self.chain.uses(Axis::Pressure),
            _ => true,
        }
    }

    /// The air with the tube at another temperature, °C: the air is as warm where nothing else is said.
    pub fn at_tube_temperature(&self, celsius: f64) -> AirState {
        AirState {
            tube_celsius: celsius,
            air_celsius: if self.tube_by_itself {
                self.air.air_celsius
            } else {
                celsius
            },
            ..*self.air
        }
    }

    /// Sensitivity coefficient of the chain along an input of the air.
    fn along_air(&self, chain: &ChainForSlopes<'_>, source: Source, standard: f64) -> Option<f64> {
        let net = self.net();
        let value = |air: AirState| chain.value(net, &air);
        let air = *self.air;
        if !self.uses(source) {
            return None;
        }
        match source {
            Source::Temperature => sensitivity_coefficient(
                air.tube_celsius,
                standard,
                self.spans.temperature,
                |celsius| value(self.at_tube_temperature(celsius)),
            ),
            Source::AirTemperature => {
                sensitivity_coefficient(air.air_celsius, standard, ANYWHERE, |air_celsius| {
                    value(AirState { air_celsius, ..air })
                })
            }
            Source::Humidity => {
                let (at, of): (f64, fn(f64) -> StatedHumidity) = match air.humidity {
                    StatedHumidity::Relative(percent) => (percent, StatedHumidity::Relative),
                    StatedHumidity::Absolute(grams) => (grams, StatedHumidity::Absolute),
                    StatedHumidity::Unknown => return None,
                };
                sensitivity_coefficient(at, standard, self.spans.humidity, |at| {
                    value(AirState {
                        humidity: of(at),
                        ..air
                    })
                })
            }
            Source::Pressure => sensitivity_coefficient(
                air.kilopascals,
                standard,
                self.spans.pressure,
                |kilopascals| value(AirState { kilopascals, ..air }),
            ),
            _ => None,
        }
    }

    /// Sensitivity coefficient of the chain along the reading, over a step of this size.
    fn along_reading(&self, chain: &ChainForSlopes<'_>, step: f64) -> f64 {
        let net = self.net();
        // Where not even a small step is inside the tables the result is taken as proportional to the reading.
        sensitivity_coefficient(
            net,
            step.max(net.abs() * LEAST_STEP),
            self.spans.reading,
            |r| chain.value(r, self.air),
        )
        .unwrap_or(self.value / net)
    }
}

/// A reading that is stated as exact still needs a step to find the slope over, as a part of it.
const LEAST_STEP: f64 = 1e-3;

/// Fills `parts` with what reaches the result. An input that the chain does not use, or that makes no difference, has no part.
pub fn propagate(
    run: &MeasurementModel<'_>,
    inputs: &[Input],
    parts: &mut Vec<Contribution>,
) -> Propagated {
    parts.clear();
    let on_scale = inputs
        .iter()
        .filter(|input| Role::of(input.source) == Role::Stain)
        .map(|input| input.distribution.standard())
        .fold(0.0, f64::max);
    let chain = ChainForSlopes::new(run.chain);
    let along_reading = run.along_reading(&chain, on_scale);
    for input in inputs {
        let standard = input.distribution.standard();
        let sensitivity_coefficient = match Role::of(input.source) {
            Role::Stain => along_reading,
            Role::Share => -along_reading,
            // What is a part of the stain is a part of all of it, the share of other gases included.
            Role::OfStain => -along_reading * run.reading,
            Role::OfResult => -run.value,
            Role::Tube | Role::Air | Role::Humidity | Role::Pressure => run
                .along_air(&chain, input.source, standard)
                .filter(|slope| 0.0 < slope.abs())
                .unwrap_or(f64::NAN),
        };
        let term = Term {
            sensitivity_coefficient,
            standard,
            degrees_of_freedom: input.degrees_of_freedom,
        };
        let relative = (term.reaching() / run.value).abs();
        if 0.0 < standard && relative.is_finite() {
            parts.push(Contribution {
                source: input.source,
                distribution: input.distribution,
                term,
                relative,
            });
        }
    }
    let combined = propagation::combine_independent(parts.iter().map(|part| part.term));
    Propagated {
        relative: Relative {
            standard: combined.standard / run.value,
            effective_degrees_of_freedom: combined.effective_degrees_of_freedom,
        },
        elasticity: along_reading * run.net() / run.value,
    }
}

/// Outcome of [`propagate`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Propagated {
    /// The uncertainty of the result.
    pub relative: Relative,
    /// Slope of the result along the net reading, both relative: 1 where they are proportional.
    pub(crate) elasticity: f64,
}

impl Propagated {
    /// The spread of the stains that the result would show, without reading, accuracy and repeatability, which are those of
    /// each stain.
    pub(crate) fn spread(&self, parts: &[Contribution], bias: f64) -> Spread {
        let mut spread = Spread {
            bias,
            ..Spread::default()
        };
        for part in parts {
            let Term {
                standard,
                degrees_of_freedom,
                ..
            } = part.term;
            match Role::of(part.source) {
                Role::Stain => {}
                Role::OfStain if part.source.is_of_band() => {}
                Role::OfStain => spread.whole.add(standard, degrees_of_freedom),
                Role::Share => spread.share += standard * standard,
                Role::OfResult | Role::Tube | Role::Air | Role::Humidity | Role::Pressure => {
                    spread
                        .net
                        .add(part.relative / self.elasticity, degrees_of_freedom);
                }
            }
        }
        spread
    }
}
