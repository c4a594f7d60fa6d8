//! Departures of single points from the curve of their neighbours.

use stainbook_core::elementary::{exp, ln};

/// Relative tolerance of a point about the curve through its neighbours, beyond the printed digits, as a part of itself:
/// corrections are smooth, and a parabola of the logarithm follows them this closely. Common practice, no source; the
/// generated honest sheets of the tests stay within it.
const BEYOND_ROUNDING: f64 = 0.04;
/// The same at the two ends, where the curve has to be carried on.
const BEYOND_ROUNDING_AT_END: f64 = 0.12;
/// With fewer points there is no trend.
const FEWEST: usize = 4;
/// A parabola goes through so many points.
const NEIGHBOURS: usize = 3;

/// A point of a curve whose values are above zero.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sample {
    x: f64,
    /// The logarithm of the value.
    y: f64,
    /// Relative half-width of the rounding.
    relative: f64,
}

impl Sample {
    /// A point with what its digits leave open; nothing if its value is not above zero.
    pub(crate) fn new(x: f64, value: f64, half_step: f64) -> Option<Self> {
        (0.0 < value).then(|| Self {
            x,
            y: ln(value),
            relative: half_step / value,
        })
    }
}

/// A point that leaves the trend.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Off {
    pub(crate) index: usize,
    /// Value expected from the neighbours.
    pub(crate) expected: f64,
    /// Tolerance about that value.
    pub(crate) tolerance: f64,
}

/// The one point that leaves the trend of the others, the conditions rising.
///
/// A slip upsets the curves through its neighbours too, so the point is named without which the rest is smoothest.
pub(crate) fn off_the_trend(samples: &[Sample]) -> Option<Off> {
    if samples.len() < FEWEST {
        return None;
    }
    // Most tables have no odd point, and then there is nobody to look for.
    if (0..samples.len()).all(|index| departure(samples, index).is_none()) {
        return None;
    }
    let suspects = (0..samples.len()).filter_map(|index| {
        let others = samples
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index);
        let rest: Vec<Sample> = others.map(|(_, sample)| *sample).collect();
        Some((index, roughness(&rest)?))
    });
    let (suspect, _) = suspects.min_by(|a, b| a.1.total_cmp(&b.1))?;
    departure(samples, suspect)
}

/// Departure of a point from the curve through its neighbours; nothing if there is none.
fn departure(samples: &[Sample], index: usize) -> Option<Off> {
    let sample = samples.get(index)?;
    let (predicted, rounding) = by_neighbours(samples, index)?;
    let at_end = index == 0 || index + 1 == samples.len();
    let slack = if at_end {
        BEYOND_ROUNDING_AT_END
    } else {
        BEYOND_ROUNDING
    };
    let tolerance = rounding + sample.relative + slack;
    let expected = exp(predicted);
    let leaves = (sample.y - predicted).abs() > tolerance;
    leaves.then_some(Off {
        index,
        expected,
        tolerance: expected * tolerance,
    })
}

/// The logarithm of the value at a point by the parabola through the three nearest others, and what their digits leave open.
fn by_neighbours(samples: &[Sample], index: usize) -> Option<(f64, f64)> {
    let at = samples.get(index)?.x;
    // The conditions rise, so the three nearest are among three on either side.
    let first = index.saturating_sub(NEIGHBOURS);
    let last = (index + NEIGHBOURS).min(samples.len() - 1);
    let mut nearest: [Option<&Sample>; NEIGHBOURS] = [None; NEIGHBOURS];
    for other in (first..=last).filter(|other| *other != index) {
        let mut candidate = samples.get(other);
        for place in &mut nearest {
            let distance = |sample: Option<&Sample>| {
                sample.map_or(f64::INFINITY, |sample| (sample.x - at).abs())
            };
            if distance(candidate) < distance(*place) {
                std::mem::swap(place, &mut candidate);
            }
        }
    }
    let mut value = 0.0;
    let mut rounding = 0.0;
    for (i, sample) in nearest.iter().enumerate() {
        let sample = (*sample)?;
        let mut weight = 1.0;
        for (j, other) in nearest.iter().enumerate() {
            if i != j {
                weight *= (at - (*other)?.x) / (sample.x - (*other)?.x);
            }
        }
        value += weight * sample.y;
        rounding += weight.abs() * sample.relative;
    }
    value.is_finite().then_some((value, rounding))
}

/// Change of the slope from step to step, without regard to place.
fn roughness(samples: &[Sample]) -> Option<f64> {
    let slopes: Vec<(f64, f64)> = samples
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((f64::midpoint(a.x, b.x), (b.y - a.y) / (b.x - a.x))),
            _ => None,
        })
        .collect();
    let bends: Vec<f64> = slopes
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((b.1 - a.1) / (b.0 - a.0)),
            _ => None,
        })
        .collect();
    let mean = bends.iter().sum::<f64>()
        / f64::from(u32::try_from(bends.len()).ok().filter(|count| 0 < *count)?);
    // Even bending is no roughness; with two bends or one only their size can tell.
    let spread: f64 = bends.iter().map(|bend| (bend - mean) * (bend - mean)).sum();
    let size: f64 = bends.iter().map(|bend| bend * bend).sum();
    Some(if 2 < bends.len() { spread } else { size })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(points: &[(f64, f64)]) -> Option<usize> {
        let samples: Vec<Sample> = points
            .iter()
            .map(|(x, y)| Sample::new(*x, *y, 0.005).unwrap())
            .collect();
        off_the_trend(&samples).map(|off| off.index)
    }

    #[test]
    fn honest_tables_have_no_odd_point() {
        for table in [
            &[
                (0.0, 1.25),
                (10.0, 1.10),
                (20.0, 1.00),
                (30.0, 0.93),
                (40.0, 0.88),
            ][..],
            &[
                (0.0, 1.30),
                (10.0, 1.12),
                (20.0, 1.00),
                (30.0, 0.92),
                (40.0, 0.86),
            ],
            &[
                (0.0, 2.4),
                (10.0, 1.5),
                (20.0, 1.0),
                (30.0, 0.75),
                (40.0, 0.6),
            ],
            &[
                (5.0, 1.36),
                (10.0, 1.22),
                (15.0, 1.10),
                (20.0, 1.00),
                (27.0, 0.89),
                (35.0, 0.79),
            ],
            &[
                (15.0, 1.12),
                (30.0, 1.05),
                (50.0, 1.00),
                (70.0, 0.96),
                (90.0, 0.93),
            ],
        ] {
            assert_eq!(found(table), None, "{table:?}");
        }
    }

    #[test]
    fn a_slipped_point_is_named() {
        for (table, index) in [
            (
                &[
                    (0.0, 1.25),
                    (10.0, 1.01),
                    (20.0, 1.00),
                    (30.0, 0.93),
                    (40.0, 0.88),
                ][..],
                1,
            ),
            (
                &[
                    (0.0, 1.25),
                    (10.0, 1.10),
                    (20.0, 1.00),
                    (30.0, 0.39),
                    (40.0, 0.88),
                ],
                3,
            ),
            (
                &[
                    (0.0, 12.5),
                    (10.0, 1.10),
                    (20.0, 1.00),
                    (30.0, 0.93),
                    (40.0, 0.88),
                ],
                0,
            ),
            (
                &[
                    (0.0, 1.25),
                    (10.0, 1.10),
                    (20.0, 1.00),
                    (30.0, 0.93),
                    (40.0, 8.8),
                ],
                4,
            ),
        ] {
            assert_eq!(found(table), Some(index), "{table:?}");
        }
    }
}
