//! The ends of an interval as they are drawn: each with what holds there.

use crate::budget::{Input, Spans};
use stainbook_uncertainty::monte_carlo::{MonteCarloResult, Settings};

/// A measured reading as it is drawn from at each end of its interval.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DrawnEnds {
    /// Amount that interferents added to the reading.
    pub(crate) bias: f64,
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

impl DrawnEnds {
    /// Draws once where both ends are alike, otherwise half of the draws for each.
    pub(crate) fn each(
        &self,
        settings: &Settings,
        mut draw: impl FnMut(&DrawnEnd, &Settings) -> MonteCarloResult,
    ) -> MonteCarloResult {
        let [lower, upper] = &self.ends;
        if self.alike {
            return draw(upper, settings);
        }
        let settings = settings.halved();
        draw(lower, &settings).and_upper(&draw(upper, &settings))
    }
}
