//! The stain that a concentration would show, and with that the interval of a reading, what its bound reaches, and how it
//! stands to a limit.

use super::PreparedReading;
use super::start::Start;
use super::uncertainty::PropagatedReading;
use crate::budget::Contribution;
use crate::cell::{Cell, Middle};
use crate::chain::{Chain, TableLookup};
use crate::interferents::Interferents;
use crate::interval::{self, Covers, Deviation, Spread, WithinPiece};
use crate::result::Status;

/// The stains that concentrations show under the conditions of one reading.
pub(super) struct ShownStain<'p, 'r> {
    prepared: &'p PreparedReading<'r>,
    start: Start,
    gases: &'p Interferents,
    /// The result for one part of the scale, and what it is by the chains of the lower and the upper end.
    slope: f64,
    end_slopes: [f64; 2],
    /// The spread at the reading; at every stain where the result is proportional to it.
    spread: Spread,
    proportional: bool,
}

/// The ends of what a reading can come from, in the unit of the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct IntervalEnds {
    pub(crate) lowest: f64,
    /// Nothing where no concentration is too much to show this stain.
    pub(crate) highest: Option<f64>,
}

/// Chain by which a stain and a concentration belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BySide {
    /// That of the value.
    Value,
    /// That of the lower end, and of the verdict "above".
    Lower,
    /// That of the upper end, and of the verdict "below".
    Upper,
}

/// A concentration as a stain, with how far the stain may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AtLimit {
    pub(crate) stain: f64,
    pub(crate) deviation: Deviation,
}

impl<'p, 'r> ShownStain<'p, 'r> {
    pub(super) fn new(
        prepared: &'p PreparedReading<'r>,
        start: Start,
        value: f64,
        gases: &'p Interferents,
        propagated: &PropagatedReading,
    ) -> Self {
        let slope = value / start.net;
        let end_slope = |chain: &Chain<'_>| {
            let (at_end, _) = chain.held(start.net, &prepared.air);
            at_end.map_or(slope, |at_end| at_end / start.net)
        };
        Self {
            prepared,
            start,
            gases,
            slope,
            end_slopes: prepared
                .end_chains
                .as_ref()
                .map_or([slope; 2], |[lower, upper]| {
                    [end_slope(lower), end_slope(upper)]
                }),
            spread: propagated.spread(start.bias),
            proportional: prepared.chain.is_proportional(),
        }
    }

    /// The interval that covers with 95 %; nothing where no concentration at all can be told from the reading.
    pub(super) fn interval(&self, cell: &Cell) -> Option<IntervalEnds> {
        let [lowest, highest] = self.outermost(cell)?;
        let ends = self.concentrations(lowest, highest);
        (0.0 < ends.lowest || ends.highest.is_some()).then_some(ends)
    }

    /// Reach of a bound with 95 %: upwards for "less than", downwards for "more than".
    pub(super) fn reached(&self, cell: &Cell) -> IntervalEnds {
        let bound = |at: f64| Middle { at, variance: 0.0 };
        let stains = |seen| self.stains(seen, Covers::OneSided);
        if self.start.status == Status::MoreThan {
            let lowest = stains(bound(cell.lowest())).map_or(0.0, |(lowest, _)| lowest);
            return self.concentrations(lowest, f64::INFINITY);
        }
        // Where another gas makes the bound the stain itself was read, between its marks.
        let seen = if 0.0 < cell.lowest() {
            cell.for_upper_end()
        } else {
            bound(cell.highest())
        };
        let highest = stains(seen).map_or(f64::INFINITY, |(_, highest)| highest);
        let first = self.start.net * self.slope;
        let ends = self.concentrations(0.0, highest);
        let first = first.max(self.start.net * self.end_slopes[1]);
        IntervalEnds {
            highest: ends.highest.map(|highest| highest.max(first)),
            ..ends
        }
    }

    /// The concentrations of both ends of a cell.
    pub(super) fn cell_ends(&self, cell: &Cell) -> [f64; 2] {
        let ends = self.concentrations(cell.lowest(), cell.highest());
        [ends.lowest, ends.highest.unwrap_or(f64::INFINITY)]
    }

    /// The outermost stains of the interval.
    pub(super) fn outermost(&self, cell: &Cell) -> Option<[f64; 2]> {
        let (lowest, _) = self.stains(cell.for_lower_end(), Covers::Central)?;
        let (_, highest) = self.stains(cell.for_upper_end(), Covers::Central)?;
        Some([lowest, highest])
    }

    /// The coverage factor times the deviation of a long stain, as a part of it: from 1 on there is no upper end.
    pub(super) fn openness(&self) -> f64 {
        let spread = self.spread_at(self.start.net + self.start.bias);
        Covers::Central.factor(f64::INFINITY) * spread.relative()
    }

    /// A concentration in the unit of the scale.
    pub(super) fn at(&self, concentration: f64, cell: &Cell, by: BySide) -> AtLimit {
        let net = self.net_of(concentration, by);
        let bias = self.bias_at(net, concentration);
        let stain = net + bias;
        let spread = self.spread_of(stain, bias);
        AtLimit {
            stain,
            deviation: spread.at(stain, cell.stated() * cell.stated()),
        }
    }

    fn stains(&self, seen: Middle, covers: Covers) -> Option<(f64, f64)> {
        let sheet = self.prepared.sheet;
        let pieces = sheet.pieces(self.prepared.drawn.scale);
        let within_piece = if self.proportional {
            WithinPiece::Same
        } else {
            WithinPiece::Changing
        };
        interval::ends_within(
            seen,
            covers,
            pieces.iter().copied(),
            within_piece,
            |stain| self.spread_at(stain),
        )
    }

    fn concentrations(&self, lowest: f64, highest: f64) -> IntervalEnds {
        let of = |stain: f64, by| self.concentration((stain - self.start.bias).max(0.0), by);
        IntervalEnds {
            lowest: of(lowest, BySide::Lower),
            highest: highest.is_finite().then(|| of(highest, BySide::Upper)),
        }
    }

    /// The concentration of a net stain, which may lie beyond the ends of a table.
    fn concentration(&self, net: f64, by: BySide) -> f64 {
        let slope = self.slope_by(by);
        if self.proportional || net <= 0.0 {
            return net.max(0.0) * slope;
        }
        let own = &self.prepared.chain;
        let chain = match (by, &self.prepared.end_chains) {
            (BySide::Lower, Some([lower, _])) => lower,
            (BySide::Upper, Some([_, upper])) => upper,
            _ => own,
        };
        let (value, _) = chain.held(net, &self.prepared.air);
        value.unwrap_or(net * slope)
    }

    fn slope_by(&self, by: BySide) -> f64 {
        match by {
            BySide::Value => self.slope,
            BySide::Lower => self.end_slopes[0],
            BySide::Upper => self.end_slopes[1],
        }
    }

    /// The net stain of a concentration.
    fn net_of(&self, concentration: f64, by: BySide) -> f64 {
        let straight = concentration / self.slope_by(by);
        if self.proportional {
            return straight;
        }
        // A correction that depends on the reading: the stain that comes out as the concentration lies between these.
        let (mut low, mut high) = (straight / 16.0, straight * 16.0);
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if self.concentration(middle, by) < concentration {
                low = middle;
            } else {
                high = middle;
            }
            if high - low <= middle * 1e-13 {
                break;
            }
        }
        f64::midpoint(low, high)
    }

    /// The share of other gases at a concentration: so much of the stain as their levels make there.
    fn bias_at(&self, net: f64, concentration: f64) -> f64 {
        let bias = self.start.bias;
        if self.proportional || bias.abs() <= 0.0 {
            return bias;
        }
        let chain = self.prepared.chain.without_other_gas();
        let value = |chain: &Chain<'_>, at: f64| chain.held(at, &self.prepared.air).0;
        let (at_limit, at_reading) = (value(&chain, net), value(&chain, self.start.reading));
        match (at_limit, at_reading) {
            (Some(limit), Some(reading)) if 0.0 < concentration => {
                bias * (net / limit) / (self.start.reading / reading)
            }
            _ => bias,
        }
    }

    /// The spread of a stain.
    fn spread_at(&self, stain: f64) -> Spread {
        self.spread_of(stain, self.start.bias)
    }

    fn spread_of(&self, stain: f64, bias: f64) -> Spread {
        let mut spread = if self.proportional {
            self.spread
        } else {
            self.propagated_at(stain, bias).unwrap_or(self.spread)
        };
        let sheet = self.prepared.sheet;
        let scale = self.prepared.drawn.scale;
        for band in [
            sheet.accuracy_at(stain, scale),
            sheet.repeatability_at(stain, scale),
        ] {
            spread.whole.add(band.standard, band.degrees_of_freedom);
        }
        spread
    }

    /// The same law of propagation at another stain.
    fn propagated_at(&self, stain: f64, bias: f64) -> Option<Spread> {
        let net = stain - bias;
        if net <= 0.0 {
            return None;
        }
        let start = Start {
            status: Status::Measured,
            reading: stain,
            bias,
            net,
        };
        let propagated =
            self.prepared
                .propagate(&start, self.concentration(net, BySide::Value), self.gases);
        Some(propagated.spread(bias))
    }
}

impl PropagatedReading {
    fn spread(&self, bias: f64) -> Spread {
        let parts: &[Contribution] = &self.parts;
        self.outcome.spread(parts, bias)
    }
}

impl PreparedReading<'_> {
    /// True if a look-up as the sheet states it has a value for a net stain.
    pub(super) fn has_value(&self, net: f64) -> bool {
        self.chain
            .value(net, &self.air, TableLookup::AsStated)
            .is_ok()
    }
}
