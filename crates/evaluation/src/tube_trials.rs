//! Monte Carlo trials of a reading: the model of [`crate::budget`], with every input drawn from its own distribution.
//!
//! Trials are worked out side by side, input by input and step by step (`chain::columns`). Where a sheet does not
//! lend itself to that they go through the ordinary chain one by one, with the same draws and the same outcome.

use crate::broken_line::Reach;
use crate::budget::{Input, MeasurementModel, Role};
use crate::chain::columns::{
    AirColumns, AirReach, ColumnChain, Entered, Marks, Room, SIDE_BY_SIDE, TrialColumn,
};
use crate::chain::{AirState, StatedHumidity};
use stainbook_uncertainty::monte_carlo::{Clamped, Generator, Trials};

pub(crate) mod drawn_ends;
pub(crate) mod joint;
#[cfg(test)]
mod tests;

/// A reading, ready for trials.
#[derive(Clone, Debug)]
pub struct TubeTrials<'r> {
    run: MeasurementModel<'r>,
    inputs: Vec<DrawnInput>,
    side_by_side: Option<SideBySide<'r>>,
}

/// An input with its role.
#[derive(Clone, Copy, Debug)]
struct DrawnInput {
    input: Input,
    role: Role,
    /// True if it is the first one in that role.
    first: bool,
}

/// Shares of other gases that trials can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shares {
    /// The reading's, with what its inputs add.
    OfInputs,
    /// Any.
    Any,
}

/// Inputs of trials side by side.
#[derive(Clone, Debug)]
struct SideBySide<'r> {
    chain: ColumnChain<'r>,
    /// Entries of temperature, humidity and pressure into the sheet.
    spans: [Entered; 3],
    /// True if a trial may lie outside of anything.
    may_mark: bool,
}

impl<'r> TubeTrials<'r> {
    /// A reading with what is not exactly known in it. Inputs that the chain does not use are left out.
    ///
    /// An input drawn outside the sheet's table or formula is clamped to its end; where the outcome would be
    /// below zero it is taken as zero. Both are counted. Where the deviations leave nothing to divide by, the outcome is above
    /// everything.
    pub fn new(run: MeasurementModel<'r>, inputs: &[Input]) -> Self {
        Self::with_shares(run, inputs, Shares::OfInputs)
    }

    /// The same where the share of other gases can be anything.
    pub(crate) fn of_any_share(run: MeasurementModel<'r>, inputs: &[Input]) -> Self {
        Self::with_shares(run, inputs, Shares::Any)
    }

    fn with_shares(run: MeasurementModel<'r>, inputs: &[Input], shares: Shares) -> Self {
        let mut drawn: Vec<DrawnInput> = Vec::with_capacity(inputs.len());
        for input in inputs.iter().filter(|input| run.uses(input.source)) {
            let role = Role::of(input.source);
            drawn.push(DrawnInput {
                input: *input,
                role,
                first: drawn.iter().all(|other| other.role != role),
            });
        }
        Self {
            side_by_side: SideBySide::new(&run, &drawn, shares),
            inputs: drawn,
            run,
        }
    }

    /// The same reading with its trials one by one: what those side by side are compared with.
    #[cfg(test)]
    fn one_by_one(mut self) -> Self {
        self.side_by_side = None;
        self
    }
}

impl<'r> SideBySide<'r> {
    fn new(run: &MeasurementModel<'r>, inputs: &[DrawnInput], shares: Shares) -> Option<Self> {
        let reach = |role: Role| {
            let by = inputs.iter().filter(|drawn| drawn.role == role);
            Reach::at(start(run, role)).widened(
                by.map(|drawn| drawn.input.distribution.reach())
                    .sum::<f64>(),
            )
        };
        let disturbed =
            run.bias.abs() > 0.0 || inputs.iter().any(|drawn| drawn.role == Role::Share);
        // Divided by what may be near zero, a stain can be any.
        let divided =
            shares == Shares::Any || inputs.iter().any(|drawn| drawn.role == Role::OfStain);
        let net = match (divided, disturbed) {
            (true, _) => Reach::ANYWHERE,
            (false, true) => {
                let (stain, share) = (reach(Role::Stain), reach(Role::Share));
                Reach {
                    low: stain.low - share.high,
                    high: stain.high - share.low,
                }
            }
            (false, false) => reach(Role::Stain),
        };
        let tube = reach(Role::Tube);
        let known_humidity = run.air.humidity != StatedHumidity::Unknown;
        // What no trial changes and lies outside is counted by the ordinary chain.
        let entered = |ends, reach: Reach| {
            let entered = Entered::new(ends, reach);
            (reach.only().is_none() || !entered.may_leave()).then_some(entered)
        };
        let spans = [
            entered(run.spans.temperature, tube)?,
            if known_humidity {
                entered(run.spans.humidity, reach(Role::Humidity))?
            } else {
                Entered::ANYWHERE
            },
            entered(run.spans.pressure, reach(Role::Pressure))?,
        ];
        let air = AirReach {
            tube_celsius: tube.held(run.spans.temperature),
            air_celsius: if run.tube_by_itself {
                reach(Role::Air)
            } else {
                tube
            },
            humidity: if known_humidity {
                reach(Role::Humidity).held(run.spans.humidity)
            } else {
                Reach::ANYWHERE
            },
            kilopascals: reach(Role::Pressure).held(run.spans.pressure),
        };
        let chain = run.chain.in_columns(run.air.humidity, net, &air)?;
        Some(Self {
            may_mark: chain.may_mark() || spans.iter().any(Entered::may_leave),
            chain,
            spans,
        })
    }
}

/// The estimate that draws are added to, or the 1 that divisors are about.
fn start(run: &MeasurementModel<'_>, role: Role) -> f64 {
    let air = run.air;
    match role {
        Role::Stain => run.reading,
        Role::Share => run.bias,
        Role::OfStain | Role::OfResult => 1.0,
        Role::Tube => air.tube_celsius,
        Role::Air => air.air_celsius,
        Role::Humidity => match air.humidity {
            StatedHumidity::Relative(number) | StatedHumidity::Absolute(number) => number,
            StatedHumidity::Unknown => f64::NAN,
        },
        Role::Pressure => air.kilopascals,
    }
}

/// The drawn inputs of the trials side by side, put together by what they do in the model.
struct Columns {
    stain: TrialColumn,
    /// The stain as it would be without deviations, less the share of other gases.
    net: TrialColumn,
    share: TrialColumn,
    of_stain: TrialColumn,
    of_result: TrialColumn,
    tube: TrialColumn,
    air: TrialColumn,
    humidity: TrialColumn,
    pressure: TrialColumn,
}

impl Columns {
    fn new(run: &MeasurementModel<'_>) -> Self {
        let column = |role| [start(run, role); SIDE_BY_SIDE];
        Self {
            stain: column(Role::Stain),
            net: column(Role::Stain),
            share: column(Role::Share),
            of_stain: column(Role::OfStain),
            of_result: column(Role::OfResult),
            tube: column(Role::Tube),
            air: column(if run.tube_by_itself {
                Role::Air
            } else {
                Role::Tube
            }),
            humidity: column(Role::Humidity),
            pressure: column(Role::Pressure),
        }
    }

    fn column(&mut self, role: Role) -> &mut TrialColumn {
        match role {
            Role::Stain => &mut self.stain,
            Role::Share => &mut self.share,
            Role::OfStain => &mut self.of_stain,
            Role::OfResult => &mut self.of_result,
            Role::Tube => &mut self.tube,
            Role::Air => &mut self.air,
            Role::Humidity => &mut self.humidity,
            Role::Pressure => &mut self.pressure,
        }
    }
}

impl Trials for TubeTrials<'_> {
    fn draw(&self, generator: &mut Generator, out: &mut [f64]) -> Clamped {
        let mut columns = Columns::new(&self.run);
        let mut held = Clamped::default();
        let mut room = Room::EMPTY;
        for out in out.chunks_mut(SIDE_BY_SIDE) {
            self.fill(&mut columns, generator, out.len());
            self.outcomes(&mut columns, &mut room, out, &mut held);
        }
        held
    }
}

impl TubeTrials<'_> {
    /// Draws the inputs of so many trials.
    fn fill(&self, columns: &mut Columns, generator: &mut Generator, trials: usize) {
        for drawn in &self.inputs {
            let start = start(&self.run, drawn.role);
            let Some(column) = columns.column(drawn.role).get_mut(..trials) else {
                return;
            };
            let distribution = drawn.input.distribution;
            if drawn.first {
                distribution.draw_each(generator, column, |slot, x| *slot = start + x);
            } else {
                distribution.draw_each(generator, column, |slot, x| *slot += x);
            }
        }
        if !self.run.tube_by_itself && self.inputs.iter().any(|drawn| drawn.role == Role::Tube) {
            columns.air = columns.tube;
        }
    }

    /// Outcomes of the trials whose inputs are drawn.
    fn outcomes(
        &self,
        columns: &mut Columns,
        room: &mut Room,
        out: &mut [f64],
        held: &mut Clamped,
    ) {
        match &self.side_by_side {
            Some(ready) => ready.outcomes(&self.run, columns, room, out, held),
            None => self.outcomes_one_by_one(columns, out, held),
        }
    }

    fn outcomes_one_by_one(&self, columns: &Columns, out: &mut [f64], held: &mut Clamped) {
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
            let air = AirState {
                tube_celsius: inside(*tube, spans.temperature),
                air_celsius: *air,
                humidity: match run.air.humidity {
                    StatedHumidity::Relative(_) => {
                        StatedHumidity::Relative(inside(*humidity, spans.humidity))
                    }
                    StatedHumidity::Absolute(_) => {
                        StatedHumidity::Absolute(inside(*humidity, spans.humidity))
                    }
                    StatedHumidity::Unknown => StatedHumidity::Unknown,
                },
                kilopascals: inside(*pressure, spans.pressure),
            };
            let net = stain / of_stain - share;
            let (value, held_by_chain) = run.chain.held(net, &air);
            // A formula without a value there says nothing: the trial stays at the estimate, and is counted.
            outside |= held_by_chain || value.is_none();
            let value = value.unwrap_or(run.value);
            held.at_an_end += u64::from(outside);
            *out = divided(value, *of_stain, *of_result, held);
        }
    }
}

/// A result without the deviations that belong to it. The share of other gases can be more than the whole stain, and a share of
/// exactly all of it leaves nothing; not a number is below nothing as well. Deviations that leave nothing of what is there let no
/// concentration be too much.
#[inline]
fn divided(value: f64, of_stain: f64, of_result: f64, held: &mut Clamped) -> f64 {
    let outcome = value / of_result;
    let something = 0.0 <= outcome;
    let above_everything = of_stain <= 0.0 || of_result <= 0.0;
    held.at_zero += u64::from(!(something | above_everything));
    if above_everything {
        f64::INFINITY
    } else if something {
        outcome
    } else {
        0.0
    }
}

impl SideBySide<'_> {
    fn outcomes(
        &self,
        run: &MeasurementModel<'_>,
        columns: &mut Columns,
        room: &mut Room,
        out: &mut [f64],
        held: &mut Clamped,
    ) {
        let mut marks = Marks::NONE;
        let [temperature, humidity, pressure] = &self.spans;
        temperature.hold(&mut columns.tube, &mut marks.outside);
        humidity.hold(&mut columns.humidity, &mut marks.outside);
        pressure.hold(&mut columns.pressure, &mut marks.outside);
        let stain = columns.stain.iter().zip(&columns.of_stain);
        for (net, ((stain, of_stain), share)) in
            columns.net.iter_mut().zip(stain.zip(&columns.share))
        {
            *net = stain / of_stain - share;
        }
        let air = AirColumns {
            tube_celsius: &columns.tube,
            air_celsius: &columns.air,
            humidity: &columns.humidity,
            kilopascals: &columns.pressure,
        };
        for (out, net) in out.iter_mut().zip(&columns.net) {
            *out = *net;
        }
        self.chain.work(&air, &columns.net, out, &mut marks, room);
        let fixed = self.chain.fixed;
        if self.may_mark {
            for (out, (outside, nothing)) in
                out.iter_mut().zip(marks.outside.iter().zip(&marks.nothing))
            {
                // A formula without a value there says nothing: the trial stays at the estimate, and is counted.
                held.at_an_end += u64::from(*outside || *nothing);
                *out = if *nothing { run.value / fixed } else { *out };
            }
        }
        let divisors = columns.of_stain.iter().zip(&columns.of_result);
        for (out, (of_stain, of_result)) in out.iter_mut().zip(divisors) {
            *out = divided(*out * fixed, *of_stain, *of_result, held);
        }
    }
}
