//! The band of a correction that counts for one air, and which other ones that air may lie in.
//!
//! A band's factor jumps at its ends, so that no slope says what an air near an end means. The value takes the factor of the
//! band that the air lies in, of two that share an end the larger one; "below" is decided with the largest and "above" with the
//! smallest factor of all bands that the air may lie in. Each is a chain of its own, in which the band is settled.

use stainbook_catalog::model::{BandFactor, FactorBands};
use stainbook_catalog::written::tube::Axis;

use super::{Action, AirState, Chain, StatedHumidity, condition};
use crate::defaults;
use crate::interpolation::{NoValue, TableAxis};

/// Half-widths within which the air is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AirHalfWidths {
    /// K.
    pub(crate) celsius: f64,
    /// kPa.
    pub(crate) kilopascals: f64,
}

/// The band that counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BandPick {
    /// That of the air as it was stated.
    Likelier,
    /// That with the smallest factor of those in which the air may lie.
    Smallest,
    /// That with the largest.
    Largest,
}

/// A band with its factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BandFound {
    /// Its place among the bands; nothing outside all of them.
    pub(crate) band: Option<usize>,
    pub(crate) gives: BandFactor,
    pub(crate) factor: f64,
}

/// The band in which a condition lies.
pub(crate) fn band_at(
    bands: &FactorBands,
    condition: f64,
    proportional: f64,
) -> Result<BandFound, NoValue> {
    if !condition.is_finite() {
        return Err(NoValue::Unreadable);
    }
    let mut barred = None;
    let mut found: Option<BandFound> = None;
    let mut inside = false;
    let mut further = |band: Option<usize>, gives: BandFactor, ends: (f64, f64)| match gives
        .factor(condition, proportional)
    {
        None => barred = Some(ends),
        Some(factor) if found.is_none_or(|found| found.factor < factor) => {
            found = Some(BandFound {
                band,
                gives,
                factor,
            });
        }
        Some(_) => {}
    };
    for (index, band) in bands.at(condition) {
        inside |= band.holds_inside(condition);
        further(Some(index), band.gives, (band.low, band.high));
    }
    // An end of a band belongs to what is said of all other conditions as well.
    if let Some(elsewhere) = bands.elsewhere.filter(|_| !inside) {
        further(None, elsewhere, (f64::NAN, f64::NAN));
    }
    match (found, barred) {
        (Some(found), _) => Ok(found),
        (None, Some((low, high))) => Err(NoValue::Barred {
            at: condition,
            low,
            high,
        }),
        (None, None) => Err(outside(bands, condition)),
    }
}

/// A condition that no band holds: outside of all, or in a gap.
fn outside(bands: &FactorBands, at: f64) -> NoValue {
    let below = bands
        .bands
        .iter()
        .map(|band| band.high)
        .filter(|end| *end < at);
    let above = bands
        .bands
        .iter()
        .map(|band| band.low)
        .filter(|end| at < *end);
    let (before, after) = (below.reduce(f64::max), above.reduce(f64::min));
    let axis = TableAxis::Condition;
    if let (Some(before), Some(after)) = (before, after) {
        return NoValue::BetweenRows {
            axis,
            at,
            before,
            after,
        };
    }
    let low = bands.bands.first().map_or(f64::NAN, |band| band.low);
    NoValue::Outside {
        axis,
        at,
        low,
        high: before
            .unwrap_or_else(|| bands.bands.iter().map(|band| band.high).fold(low, f64::max)),
    }
}

impl<'t> Chain<'t> {
    /// The chain with the band of each correction settled for one air. A correction without one is left as it is, and says
    /// why when it is worked out.
    pub(crate) fn in_bands(
        mut self,
        air: &AirState,
        within: AirHalfWidths,
        pick: BandPick,
    ) -> Self {
        let proportional = self.proportional(air);
        for (_, action) in &mut self.steps {
            let Action::Bands(bands, axis) = *action else {
                continue;
            };
            let at = condition(axis, bands.unit, air);
            let Ok(mut found) = band_at(bands, at, proportional) else {
                continue;
            };
            if pick != BandPick::Likelier {
                let (low, high) = reach(bands, axis, air, within);
                for (index, band) in bands.bands.iter().enumerate() {
                    let place = at.clamp(band.reaches_from, band.reaches_to);
                    let met = band.meets(low, high);
                    let Some(factor) = band.gives.factor(place, proportional).filter(|_| met)
                    else {
                        continue;
                    };
                    let further = match pick {
                        BandPick::Largest => found.factor < factor,
                        BandPick::Smallest | BandPick::Likelier => factor < found.factor,
                    };
                    if further {
                        found = BandFound {
                            band: Some(index),
                            gives: band.gives,
                            factor,
                        };
                    }
                }
            }
            *action = Action::Band(bands, axis, found);
        }
        self
    }

    /// True if a correction is stated in bands, settled or not.
    pub(crate) fn has_bands(&self) -> bool {
        let mut steps = self.steps.iter();
        steps.any(|(_, action)| matches!(action, Action::Bands(..) | Action::Band(..)))
    }

    /// The bands that were settled, each with its axis.
    pub(crate) fn bands(&self) -> impl Iterator<Item = (Axis, &'t FactorBands, BandFound)> {
        self.steps.iter().filter_map(|(_, action)| match action {
            Action::Band(bands, axis, found) => Some((*axis, *bands, *found)),
            _ => None,
        })
    }
}

/// From the lowest to the highest condition that the air may have, in the unit of the bands.
fn reach(bands: &FactorBands, axis: Axis, air: &AirState, within: AirHalfWidths) -> (f64, f64) {
    let humidity = |off: f64| match air.humidity {
        StatedHumidity::Relative(percent) => StatedHumidity::Relative(
            (percent + off * defaults::RELATIVE_HUMIDITY_WITHIN).clamp(0.0, 100.0),
        ),
        StatedHumidity::Absolute(grams) => {
            StatedHumidity::Absolute(grams * (1.0 + off * defaults::ABSOLUTE_HUMIDITY_WITHIN))
        }
        StatedHumidity::Unknown => StatedHumidity::Unknown,
    };
    let corners = [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0), (1.0, 1.0)].map(|(first, second)| {
        let corner = AirState {
            tube_celsius: air.tube_celsius + first * within.celsius,
            air_celsius: air.air_celsius + second * within.celsius,
            humidity: humidity(first),
            kilopascals: air.kilopascals + first * within.kilopascals,
        };
        condition(axis, bands.unit, &corner)
    });
    let corners = corners.into_iter().filter(|corner| corner.is_finite());
    corners.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
        (low.min(at), high.max(at))
    })
}
