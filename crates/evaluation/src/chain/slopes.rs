//! The chain for slopes: the same steps, with the factors of conditions that are not moved looked up once.
//!
//! A slope along one input moves that input and leaves the others where they are. A factor that depends on its condition alone
//! is then the same number again, and a table is not walked through for it.

use std::cell::Cell;

use super::{Action, AirState, Chain, TableLookup, band_at, condition, grid_factor};
use crate::interpolation::along;
use stainbook_catalog::model::{FactorValue, USUAL_ORDER};

/// A chain, with the first factor of each step and the condition that it was looked up for: that of the estimate, to which
/// every slope comes back.
#[derive(Debug)]
pub(crate) struct ChainForSlopes<'c> {
    chain: &'c Chain<'c>,
    /// Nothing of a chain in which a step depends on the reading: it goes the ordinary way.
    first: Option<[Cell<Option<Factor>>; USUAL_ORDER.len()]>,
}

#[derive(Clone, Copy, Debug)]
struct Factor {
    condition: f64,
    factor: f64,
}

impl<'c> ChainForSlopes<'c> {
    pub(crate) fn new(chain: &'c Chain<'c>) -> Self {
        Self {
            chain,
            first: chain.is_proportional().then(Default::default),
        }
    }

    /// As [`Chain::value`] with [`TableLookup::ForSensitivity`], to the last bit.
    pub(crate) fn value(&self, reading: f64, air: &AirState) -> Option<f64> {
        let Some(first) = &self.first else {
            return self
                .chain
                .value(reading, air, TableLookup::ForSensitivity)
                .ok();
        };
        let mut value = reading;
        for ((_, action), first) in self.chain.steps.iter().zip(first) {
            let known = |condition: f64, look_up: &dyn Fn() -> Option<f64>| match first.get() {
                Some(first) if first.condition.to_bits() == condition.to_bits() => {
                    Some(first.factor)
                }
                Some(_) => look_up(),
                None => {
                    let factor = look_up()?;
                    first.set(Some(Factor { condition, factor }));
                    Some(factor)
                }
            };
            let is_factor = |factor: &f64| factor.is_finite() && 0.0 < *factor;
            value *= match action {
                Action::Nothing | Action::Strokes => continue,
                Action::Proportional => {
                    Some(self.chain.calibration_kilopascals / air.kilopascals).filter(is_factor)?
                }
                Action::Factors(table, axis) => {
                    let at = condition(*axis, table.unit, air);
                    let between = TableLookup::ForSensitivity.between(table.between);
                    known(at, &|| {
                        along(&table.points, at, between)
                            .ok()
                            .map(|found| found.value)
                    })?
                }
                Action::Polynomial(formula, axis) => {
                    let at = condition(*axis, formula.unit, air);
                    known(at, &|| Some(formula.factor(at)).filter(is_factor))?
                }
                Action::ResponseFactor(other) => match other.factor {
                    FactorValue::Single(factor) => factor,
                    FactorValue::ByReading(..) => return None,
                },
                Action::Band(bands, axis, found) => {
                    let at = condition(*axis, bands.unit, air);
                    let proportional = self.chain.proportional(air);
                    found.gives.factor(at, proportional).filter(is_factor)?
                }
                Action::Bands(bands, axis) => {
                    let at = condition(*axis, bands.unit, air);
                    let found = band_at(bands, at, self.chain.proportional(air)).ok()?;
                    Some(found.factor).filter(is_factor)?
                }
                Action::Grid(grid) => {
                    let mut held = false;
                    grid_factor(grid, air, TableLookup::ForSensitivity, &mut held)
                        .ok()?
                        .value
                }
                Action::BelowFirstRow(_, _, factor) => *factor,
                Action::Table(..) | Action::NotForStrokes => return None,
            };
        }
        Some(value * self.chain.multiplier)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::StatedHumidity;
    use stainbook_catalog::Book;

    /// Every demo sheet, moved along each condition and the reading in turn and back: the same bits as the ordinary chain.
    #[test]
    fn the_same_bits_as_the_ordinary_chain() {
        let (book, _) = Book::demo();
        let mut compared = 0;
        for (entry, _) in book.tubes() {
            let id = entry.stem.as_str();
            let tube = book.tube_model(id).unwrap();
            let others = std::iter::once(None).chain(tube.response_factors.iter().map(Some));
            for (other, range) in
                others.flat_map(|other| tube.ranges.iter().map(move |range| (other, range)))
            {
                let chain = Chain::new(&tube, &tube.scales[range.scale], range, other);
                let slopes = ChainForSlopes::new(&chain);
                for humidity in [
                    StatedHumidity::Relative(48.0),
                    StatedHumidity::Absolute(7.0),
                    StatedHumidity::Unknown,
                ] {
                    let air = AirState {
                        tube_celsius: 12.0,
                        air_celsius: 12.0,
                        humidity,
                        kilopascals: 97.0,
                    };
                    let moved = [
                        air,
                        AirState {
                            tube_celsius: 13.5,
                            ..air
                        },
                        AirState {
                            air_celsius: -80.0,
                            ..air
                        },
                        AirState {
                            tube_celsius: f64::NAN,
                            ..air
                        },
                        AirState {
                            humidity: StatedHumidity::Relative(55.0),
                            ..air
                        },
                        AirState {
                            kilopascals: 0.0,
                            ..air
                        },
                        AirState {
                            kilopascals: 99.0,
                            ..air
                        },
                        air,
                    ];
                    for (air, reading) in moved.iter().flat_map(|air| [(air, 3.0), (air, 3.1)]) {
                        let plain = chain.value(reading, air, TableLookup::ForSensitivity).ok();
                        let found = slopes.value(reading, air);
                        assert_eq!(
                            found.map(f64::to_bits),
                            plain.map(f64::to_bits),
                            "{id} {air:?}"
                        );
                        compared += usize::from(plain.is_some());
                    }
                }
            }
        }
        assert!(500 < compared, "{compared}");
    }
}
