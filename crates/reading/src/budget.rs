//! The law of propagation (JCGM 100:2008, 5.1.2) along the chain: numbers only.
//!
//! Every input has a standard uncertainty; how much of it reaches the result is the slope of the chain there, taken as
//! the central difference over the uncertainty itself, so that a bend of a table inside that width counts on both sides.
//! The inputs are taken as independent. All uncertainties of the result are relative to it.

use stainbook_catalog::written::tube::Axis;

use crate::chain::{Air, Chain, Reading, Water};

/// Where a part of the uncertainty comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Reading the end of the stain between the marks.
    Reading,
    /// The difference between the two sides of an oblique front.
    Front,
    /// How far scale and lot may be from the truth.
    Accuracy,
    /// How much repeated readings differ.
    Repeatability,
    /// The volume of a stroke.
    StrokeVolume,
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
    /// The printed digits of a correction table, or how closely a graph was read off.
    Table(Axis),
    /// The factor for another gas.
    OtherGasFactor,
    /// The share of a disturbing gas, by its place in the reading's list.
    OtherGas(usize),
}

/// One part of the uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Where it comes from.
    pub source: Source,
    /// The standard uncertainty of the input, in the input's own unit.
    pub value: f64,
    /// What reaches the result, as a part of it.
    pub relative: f64,
}

/// The standard uncertainties of the inputs. What does not apply is zero.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct InputUncertainties {
    /// Of the reading, in the unit of the scale.
    pub reading: f64,
    /// Of the front, in the unit of the scale.
    pub front: f64,
    /// Of scale and lot, as a part of the reading.
    pub accuracy: f64,
    /// Of repeated readings, as a part of the reading.
    pub repeatability: f64,
    /// Of the stroke volume, as a part of it.
    pub stroke_volume: f64,
    /// Of the multiplier, as a part of it.
    pub multiplier: f64,
    /// Of the temperature, in K.
    pub temperature: f64,
    /// Of the humidity, in its own unit.
    pub humidity: f64,
    /// Of the pressure, in kPa.
    pub pressure: f64,
    /// Of each table's factor, as a part of it: temperature, humidity, pressure.
    pub tables: [f64; 3],
    /// Of the factor for another gas, as a part of it.
    pub other_gas: f64,
}

/// How far the inputs may be moved for a slope without leaving the sheet's tables, in the unit of [`Air`] and scale.
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
        reading: (f64::MIN, f64::MAX),
        temperature: (f64::MIN, f64::MAX),
        humidity: (f64::MIN, f64::MAX),
        pressure: (f64::MIN, f64::MAX),
    };
}

/// What the chain was run with.
#[derive(Clone, Copy, Debug)]
pub struct Run<'r> {
    /// The chain.
    pub chain: &'r Chain<'r>,
    /// The air.
    pub air: &'r Air,
    /// Whether the tube's temperature was stated by itself.
    pub tube_by_itself: bool,
    /// The reading as it stands on the glass.
    pub reading: f64,
    /// What other gases added to it.
    pub bias: f64,
    /// The result.
    pub value: f64,
}

/// Fills `parts` with what reaches the result and returns the relative standard uncertainty of the result.
///
/// `other_gases` has for each disturbing gas that was subtracted its place in the list and the standard uncertainty of its
/// share, in the unit of the scale.
pub fn propagate(
    run: &Run<'_>,
    inputs: &InputUncertainties,
    spans: &Spans,
    other_gases: &[(usize, f64)],
    parts: &mut Vec<Part>,
) -> f64 {
    parts.clear();
    let net = run.reading - run.bias;
    let value = |reading: f64, air: &Air| run.chain.value(reading, air, Reading::ForSlope).ok();
    // Where not even a small step is inside the tables the result is taken as proportional to the reading.
    let along_reading = slope(
        net,
        inputs.reading.max(inputs.front).max(net.abs() * 1e-3),
        spans.reading,
        |r| value(r, run.air),
    )
    .unwrap_or(run.value / net);
    let of_scale = |u: f64| (along_reading * u / run.value).abs();
    // What is a part of the stain is a part of all of it, the share of other gases included.
    let whole_stain = run.reading / net;
    let mut add = |source, value: f64, relative: f64| {
        if 0.0 < value && relative.is_finite() {
            parts.push(Part {
                source,
                value,
                relative: relative.abs(),
            });
        }
    };
    add(Source::Reading, inputs.reading, of_scale(inputs.reading));
    add(Source::Front, inputs.front, of_scale(inputs.front));
    add(
        Source::Accuracy,
        inputs.accuracy,
        inputs.accuracy * whole_stain,
    );
    add(
        Source::Repeatability,
        inputs.repeatability,
        inputs.repeatability * whole_stain,
    );
    add(
        Source::StrokeVolume,
        inputs.stroke_volume,
        inputs.stroke_volume * whole_stain,
    );
    add(Source::Multiplier, inputs.multiplier, inputs.multiplier);

    let relative = |slope: Option<f64>, u: f64| slope.unwrap_or(0.0) * u / run.value;
    let by_temperature = slope(
        run.air.tube_celsius,
        inputs.temperature,
        spans.temperature,
        |celsius| {
            let air_celsius = if run.tube_by_itself {
                run.air.air_celsius
            } else {
                celsius
            };
            value(
                net,
                &Air {
                    tube_celsius: celsius,
                    air_celsius,
                    ..*run.air
                },
            )
        },
    );
    add(
        Source::Temperature,
        inputs.temperature,
        nonzero(relative(by_temperature, inputs.temperature)),
    );
    if run.tube_by_itself {
        let by_air = slope(
            run.air.air_celsius,
            inputs.temperature,
            (f64::MIN, f64::MAX),
            |air_celsius| {
                value(
                    net,
                    &Air {
                        air_celsius,
                        ..*run.air
                    },
                )
            },
        );
        add(
            Source::AirTemperature,
            inputs.temperature,
            nonzero(relative(by_air, inputs.temperature)),
        );
    }
    let by_humidity = match run.air.humidity {
        Water::Relative(percent) => slope(percent, inputs.humidity, spans.humidity, |percent| {
            value(
                net,
                &Air {
                    humidity: Water::Relative(percent),
                    ..*run.air
                },
            )
        }),
        Water::Absolute(grams) => slope(grams, inputs.humidity, spans.humidity, |grams| {
            value(
                net,
                &Air {
                    humidity: Water::Absolute(grams),
                    ..*run.air
                },
            )
        }),
        Water::Unknown => None,
    };
    add(
        Source::Humidity,
        inputs.humidity,
        nonzero(relative(by_humidity, inputs.humidity)),
    );
    let by_pressure = slope(
        run.air.kilopascals,
        inputs.pressure,
        spans.pressure,
        |kilopascals| {
            value(
                net,
                &Air {
                    kilopascals,
                    ..*run.air
                },
            )
        },
    );
    add(
        Source::Pressure,
        inputs.pressure,
        nonzero(relative(by_pressure, inputs.pressure)),
    );
    for (axis, u) in [Axis::Temperature, Axis::Humidity, Axis::Pressure]
        .into_iter()
        .zip(inputs.tables)
    {
        add(Source::Table(axis), u, u);
    }
    add(Source::OtherGasFactor, inputs.other_gas, inputs.other_gas);
    for (index, u) in other_gases {
        add(Source::OtherGas(*index), *u, of_scale(*u));
    }
    parts
        .iter()
        .map(|part| part.relative * part.relative)
        .sum::<f64>()
        .sqrt()
}

/// An input that the chain does not use has no line in the budget.
fn nonzero(relative: f64) -> f64 {
    if relative.abs() > 0.0 {
        relative
    } else {
        f64::NAN
    }
}

/// The central difference over one standard uncertainty to either side, or over what of that lies inside the span; the
/// difference to one side where the other has no value; a smaller step where neither has.
fn slope(at: f64, u: f64, span: (f64, f64), value: impl Fn(f64) -> Option<f64>) -> Option<f64> {
    if !at.is_finite() || u <= 0.0 {
        return None;
    }
    [u, u * 0.1, u * 0.01].into_iter().find_map(|step| {
        let (low, high) = (
            (at - step).max(span.0.min(at)),
            (at + step).min(span.1.max(at)),
        );
        let (low, high, below, above) = match (value(low), value(high)) {
            (Some(below), Some(above)) => (low, high, below, above),
            (Some(below), None) => (low, at, below, value(at)?),
            (None, Some(above)) => (at, high, value(at)?, above),
            (None, None) => return None,
        };
        (low < high).then(|| (above - below) / (high - low))
    })
}

/// The standard uncertainty of something that is known to lie within `half_width`, anywhere.
/// Source: JCGM 100:2008, 4.3.7.
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}
