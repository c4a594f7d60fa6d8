//! The chain for many trials side by side: the same steps, each worked for a column of trials before the next one.
//!
//! Whatever no trial changes is worked out once: the factor of a condition that is not drawn, the strokes, the factor for
//! another gas. Tables become [broken lines](crate::broken_line), so that nothing is looked up. A trial comes out as
//! [`Chain::held`](super::Chain::held) has it, but for rounding.

use stainbook_catalog::model::Polynomial;
use stainbook_core::Unit;
use stainbook_core::elementary::{exp, ln};

use super::StatedHumidity;
use crate::broken_line::{BrokenLine, BrokenSurface, Reach, hold};

mod ready;

/// Number of trials worked out side by side: their columns stay in the fastest memory.
///
/// Every input draws so many numbers in turn, so another figure here would give other draws for the same seed.
pub(crate) const SIDE_BY_SIDE: usize = 500;

/// A number for each trial.
pub(crate) type TrialColumn = [f64; SIDE_BY_SIDE];

/// Reach of the drawn air.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirReach {
    pub(crate) tube_celsius: Reach,
    pub(crate) air_celsius: Reach,
    pub(crate) humidity: Reach,
    pub(crate) kilopascals: Reach,
}

/// The drawn air of trials side by side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AirColumns<'c> {
    pub(crate) tube_celsius: &'c [f64],
    pub(crate) air_celsius: &'c [f64],
    pub(crate) humidity: &'c [f64],
    pub(crate) kilopascals: &'c [f64],
}

/// Of each trial, what became of it on its way.
#[derive(Clone, Debug)]
pub(crate) struct Marks {
    /// An input lay outside a table.
    pub(crate) outside: [bool; SIDE_BY_SIDE],
    /// A formula had no value.
    pub(crate) nothing: [bool; SIDE_BY_SIDE],
}

impl Marks {
    pub(crate) const NONE: Self = Self {
        outside: [false; SIDE_BY_SIDE],
        nothing: [false; SIDE_BY_SIDE],
    };
}

/// Room to work in.
#[derive(Clone, Debug)]
pub(crate) struct Room {
    condition: TrialColumn,
    entered: TrialColumn,
    factor: TrialColumn,
    line: TrialColumn,
}

impl Room {
    pub(crate) const EMPTY: Self = Self {
        condition: [0.0; SIDE_BY_SIDE],
        entered: [0.0; SIDE_BY_SIDE],
        factor: [0.0; SIDE_BY_SIDE],
        line: [0.0; SIDE_BY_SIDE],
    };
}

/// A chain made ready for columns of trials.
#[derive(Clone, Debug)]
pub(crate) struct ColumnChain<'t> {
    steps: Vec<DrawnStep<'t>>,
    /// The factors that no trial changes, of the steps behind the last two-dimensional table.
    pub(crate) fixed: f64,
}

/// Column in which a step finds its condition.
#[derive(Clone, Copy, Debug)]
enum Condition {
    /// °C.
    Tube,
    /// As it was stated.
    Humidity,
    /// Turned into this unit, which is of the other kind than the humidity that was stated.
    Converted {
        unit: &'static Unit,
        stated: fn(f64) -> StatedHumidity,
    },
    /// kPa.
    Pressure,
}

/// A step that depends on what is drawn.
#[derive(Clone, Debug)]
enum DrawnStep<'t> {
    /// The calibration's pressure over the station's.
    Proportional { calibration: f64, positive: bool },
    /// A factor by a condition.
    Factor {
        condition: Condition,
        entered: Entered,
        line: BrokenLine,
        logarithmic: bool,
    },
    /// A factor by the reading on the scale.
    ByReading {
        entered: Entered,
        line: BrokenLine,
        logarithmic: bool,
    },
    /// A factor by a formula.
    Formula {
        condition: Condition,
        formula: &'t Polynomial,
    },
    /// A table that gives the value.
    Table {
        /// Entry of the condition, where trials change it.
        condition: Option<(Condition, Entered)>,
        value: Entered,
        /// Factors of the value before it enters, and of the outcome.
        before: f64,
        after: f64,
        surface: BrokenSurface,
        logarithmic: bool,
    },
}

/// Entry of a table: its ends, and whether a trial may lie outside of them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entered {
    ends: (f64, f64),
    may_leave: bool,
}

impl Entered {
    /// Nothing is outside.
    pub(crate) const ANYWHERE: Self = Self {
        ends: (f64::NEG_INFINITY, f64::INFINITY),
        may_leave: false,
    };

    pub(crate) fn new(ends: (f64, f64), reach: Reach) -> Self {
        Self {
            ends,
            may_leave: !reach.within(ends),
        }
    }

    pub(crate) fn may_leave(&self) -> bool {
        self.may_leave
    }

    /// Takes what lies outside at the ends, and marks it.
    pub(crate) fn hold(&self, places: &mut [f64], outside: &mut [bool]) {
        if !self.may_leave {
            return;
        }
        let (low, high) = self.ends;
        for (place, outside) in places.iter_mut().zip(outside) {
            *outside |= !(low <= *place && *place <= high);
            *place = hold(*place, self.ends);
        }
    }
}

impl Condition {
    /// A place of this condition in the unit of its table.
    fn in_unit(self, place: f64, unit: &Unit) -> f64 {
        match self {
            Self::Converted { .. } => place,
            Self::Tube | Self::Humidity | Self::Pressure => unit.from_base(place),
        }
    }

    /// Fills a column with the conditions of trials.
    fn fill(self, air: &AirColumns<'_>, out: &mut [f64]) {
        let column = match self {
            Self::Tube => air.tube_celsius,
            Self::Humidity => air.humidity,
            Self::Pressure => air.kilopascals,
            Self::Converted { unit, stated } => {
                let each = air.humidity.iter().zip(air.air_celsius);
                for (out, (humidity, celsius)) in out.iter_mut().zip(each) {
                    *out = stated(*humidity).in_unit(unit, *celsius);
                }
                return;
            }
        };
        for (out, condition) in out.iter_mut().zip(column) {
            *out = *condition;
        }
    }
}

impl ColumnChain<'_> {
    /// True if a trial may be outside a table, or find no value: only then is anything marked.
    pub(crate) fn may_mark(&self) -> bool {
        self.steps.iter().any(|step| match step {
            DrawnStep::Proportional { positive, .. } => !positive,
            DrawnStep::Factor { entered, .. } | DrawnStep::ByReading { entered, .. } => {
                entered.may_leave
            }
            DrawnStep::Formula { .. } | DrawnStep::Table { .. } => true,
        })
    }

    /// Works the steps out: `value` comes in as the net reading and goes out as what is left to multiply by
    /// [`fixed`](Self::fixed).
    pub(crate) fn work(
        &self,
        air: &AirColumns<'_>,
        net: &[f64],
        value: &mut [f64],
        marks: &mut Marks,
        room: &mut Room,
    ) {
        for step in &self.steps {
            step.factors(air, net, value, marks, room);
            for (value, factor) in value.iter_mut().zip(&room.factor) {
                *value *= factor;
            }
        }
    }
}

impl DrawnStep<'_> {
    /// Works the factors of a step out, into the room's column of them.
    fn factors(
        &self,
        air: &AirColumns<'_>,
        net: &[f64],
        value: &mut [f64],
        marks: &mut Marks,
        room: &mut Room,
    ) {
        let Room {
            condition: conditions,
            entered: places,
            factor: factors,
            line: slopes,
        } = room;
        match self {
            Self::Proportional {
                calibration,
                positive,
            } => {
                for (factor, kilopascals) in factors.iter_mut().zip(air.kilopascals) {
                    *factor = calibration / kilopascals;
                }
                if !positive {
                    mark_not_positive(factors, &mut marks.nothing);
                }
            }
            Self::Factor {
                condition,
                entered,
                line,
                logarithmic,
            } => {
                condition.fill(air, conditions);
                entered.hold(conditions, &mut marks.outside);
                line.fill(conditions, factors);
                raise(factors, *logarithmic);
            }
            Self::ByReading {
                entered,
                line,
                logarithmic,
            } => {
                for (place, net) in places.iter_mut().zip(net) {
                    *place = *net;
                }
                entered.hold(places, &mut marks.outside);
                line.fill(places, factors);
                raise(factors, *logarithmic);
            }
            Self::Formula { condition, formula } => {
                condition.fill(air, conditions);
                for (factor, at) in factors.iter_mut().zip(conditions) {
                    *factor = formula.factor(condition.in_unit(*at, formula.unit));
                }
                mark_not_positive(factors, &mut marks.nothing);
            }
            Self::Table {
                condition,
                value: entered,
                before,
                after,
                surface,
                logarithmic,
            } => {
                if let Some((condition, entered)) = condition {
                    condition.fill(air, conditions);
                    entered.hold(conditions, &mut marks.outside);
                }
                for (place, value) in places.iter_mut().zip(value.iter_mut()) {
                    *value *= before;
                    *place = *value;
                }
                entered.hold(places, &mut marks.outside);
                // Beyond the first and last reading the factor of that line holds.
                let (low, high) = entered.ends;
                for (value, place) in value.iter_mut().zip(places.iter()) {
                    let inside = low <= *value && *value <= high;
                    *value = after * if inside { 1.0 } else { *value / place };
                }
                if *logarithmic {
                    for place in places.iter_mut() {
                        *place = ln(*place);
                    }
                }
                surface.fill(conditions, places, slopes, factors);
                raise(factors, *logarithmic);
            }
        }
    }
}

/// From logarithms back to factors.
fn raise(factors: &mut [f64], logarithmic: bool) {
    if logarithmic {
        for factor in factors {
            *factor = exp(*factor);
        }
    }
}

fn mark_not_positive(factors: &[f64], nothing: &mut [bool]) {
    for (factor, nothing) in factors.iter().zip(nothing) {
        *nothing |= !(factor.is_finite() && 0.0 < *factor);
    }
}
