//! The ends of an interval as they are drawn: each with what holds there.

use crate::budget::{Input, MeasurementModel, Spans};
use crate::chain::{AirState, Chain};
use stainbook_uncertainty::monte_carlo::{MonteCarloResult, Settings};

/// A measured reading as it is drawn from at each end of its interval.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DrawnEnds {
    /// True if the tube's temperature was stated by itself.
    pub(crate) tube_by_itself: bool,
    /// Amount that interferents added to the reading.
    pub(crate) bias: f64,
    /// The result.
    pub(crate) value: f64,
    /// Spans in which inputs may be moved.
    pub(crate) spans: Spans,
    /// True if the same holds at both ends.
    pub(crate) alike: bool,
    /// The lower and the upper end.
    pub(crate) ends: [DrawnEnd; 2],
}

/// One end.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DrawnEnd {
    /// The middle of the cell.
    pub(crate) reading: f64,
    /// Inputs that are not exactly known: at both ends the same sources in the same order.
    pub(crate) inputs: Vec<Input>,
}

/// An end of an interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DrawnSide {
    Lower,
    Upper,
}

impl DrawnEnds {
    pub(crate) fn at(&self, side: DrawnSide) -> &DrawnEnd {
        let [lower, upper] = &self.ends;
        match side {
            DrawnSide::Lower => lower,
            DrawnSide::Upper => upper,
        }
    }

    /// The model of the reading at one end.
    pub(crate) fn model<'r>(
        &self,
        side: DrawnSide,
        chain: &'r Chain<'r>,
        air: &'r AirState,
    ) -> MeasurementModel<'r> {
        MeasurementModel {
            chain,
            air,
            tube_by_itself: self.tube_by_itself,
            reading: self.at(side).reading,
            bias: self.bias,
            value: self.value,
            spans: self.spans,
        }
    }
}

/// Draws once where both ends are alike, otherwise half of the draws for each.
pub(crate) fn draw_sides(
    alike: bool,
    settings: &Settings,
    draw: impl Fn(DrawnSide, &Settings) -> MonteCarloResult,
) -> MonteCarloResult {
    if alike {
        return draw(DrawnSide::Upper, settings);
    }
    let settings = settings.halved();
    draw(DrawnSide::Lower, &settings).and_upper(&draw(DrawnSide::Upper, &settings))
}
