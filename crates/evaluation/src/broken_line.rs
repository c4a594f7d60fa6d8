//! A printed table as a line that is straight between its rows, for many places at a time.
//!
//! [`crate::interpolation`] looks a place up by walking along the rows. Where a million places are looked up in the same
//! table it is quicker to write the line as one straight piece and a bend at each row,
//!
//! ```text
//! y(x) = y₀ + m₀·(x − x₀) + Σ above: (mᵢ − mᵢ₋₁)·max(x − xᵢ, 0) + Σ below: (mᵢ₋₁ − mᵢ)·min(x − xᵢ, 0)
//! ```
//!
//! which asks nothing of a place before it computes, so that a processor works out several places at once; and to leave
//! out the bends that no place reaches. A temperature known to within 1 K rarely reaches a second row.

/// Reach of the places: from the lowest to the highest there can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reach {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Reach {
    /// Anywhere.
    pub(crate) const ANYWHERE: Self = Self {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
    };

    /// At one place only.
    pub(crate) const fn at(place: f64) -> Self {
        Self {
            low: place,
            high: place,
        }
    }

    /// The one place there is, if it is one only.
    pub(crate) fn only(self) -> Option<f64> {
        (self.low.total_cmp(&self.high).is_eq()).then_some(self.low)
    }

    /// Further by so much on both sides.
    pub(crate) fn widened(self, by: f64) -> Self {
        Self {
            low: self.low - by,
            high: self.high + by,
        }
    }

    /// True if every place lies within two ends, and so clearly that no rounding leads outside.
    pub(crate) fn within(self, (low, high): (f64, f64)) -> bool {
        let margin = ROUNDING * self.low.abs().max(self.high.abs());
        match self.only() {
            Some(place) => low <= place && place <= high,
            None => low + margin <= self.low && self.high <= high - margin,
        }
    }

    /// The reach when places outside two ends are clamped to them.
    pub(crate) fn held(self, (low, high): (f64, f64)) -> Self {
        Self {
            low: hold(self.low, (low, high)),
            high: hold(self.high, (low, high)),
        }
    }
}

/// Relative error of rounding, as a part of what is added up.
const ROUNDING: f64 = 1e-12;

/// A place within two ends, or the nearer end. What is not a number is taken at the upper end: it is what a humidity beyond
/// saturation becomes on its way to the other kind.
#[inline]
pub(crate) fn hold(at: f64, (low, high): (f64, f64)) -> f64 {
    let at = if at <= high { at } else { high };
    if at < low { low } else { at }
}

/// A line that is straight between nodes, as far as it is reached.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BrokenLine {
    from: f64,
    value: f64,
    slope: f64,
    /// Nodes above the straight piece that the line is worked out from, and by how much the slope changes there.
    above: Vec<(f64, f64)>,
    /// The same below.
    below: Vec<(f64, f64)>,
}

impl BrokenLine {
    /// The line through nodes that rise, for places in this reach, which lies within the nodes. Nothing if there is no node.
    pub(crate) fn new(nodes: &[(f64, f64)], reach: Reach) -> Option<Self> {
        let pieces: Vec<Piece> = nodes.windows(2).filter_map(Piece::between).collect();
        let middle = reach.low + (reach.high - reach.low) / 2.0;
        let Some(base) = pieces
            .iter()
            .position(|piece| middle <= piece.to)
            .or_else(|| pieces.len().checked_sub(1))
        else {
            let (from, value) = *nodes.first()?;
            return Some(Self {
                from,
                value,
                slope: 0.0,
                above: Vec::new(),
                below: Vec::new(),
            });
        };
        let (mut above, mut below) = (Vec::new(), Vec::new());
        for (index, pair) in pieces.windows(2).enumerate() {
            let [before, after] = pair else { continue };
            let node = after.from;
            let change = after.slope - before.slope;
            if base <= index && node < reach.high {
                above.push((node, change));
            } else if index < base && reach.low < node {
                below.push((node, -change));
            }
        }
        let piece = pieces.get(base)?;
        Some(Self {
            from: piece.from,
            value: piece.value,
            slope: piece.slope,
            above,
            below,
        })
    }

    /// The value at one place.
    pub(crate) fn at(&self, place: f64) -> f64 {
        let mut value = [0.0];
        self.fill(&[place], &mut value);
        value.into_iter().sum()
    }

    /// Fills `out` with the values at places.
    pub(crate) fn fill(&self, places: &[f64], out: &mut [f64]) {
        let (from, value, slope) = (self.from, self.value, self.slope);
        for (out, place) in out.iter_mut().zip(places) {
            *out = value + slope * (place - from);
        }
        for &(node, change) in &self.above {
            for (out, place) in out.iter_mut().zip(places) {
                *out += change * beyond(place - node);
            }
        }
        for &(node, change) in &self.below {
            for (out, place) in out.iter_mut().zip(places) {
                *out -= change * beyond(node - place);
            }
        }
    }
}

/// Distance of a place beyond a node, or nothing.
#[inline]
fn beyond(difference: f64) -> f64 {
    if 0.0 < difference { difference } else { 0.0 }
}

/// One straight piece.
#[derive(Clone, Copy, Debug)]
struct Piece {
    from: f64,
    to: f64,
    value: f64,
    slope: f64,
}

impl Piece {
    fn between(nodes: &[(f64, f64)]) -> Option<Self> {
        let [(from, value), (to, next)] = nodes else {
            return None;
        };
        Some(Self {
            from: *from,
            to: *to,
            value: *value,
            slope: (next - value) / (to - from),
        })
    }
}

/// A table against condition and reading, straight along both between its nodes (bilinear), as far as it is reached: one
/// broken line along the reading for the straight piece that most conditions lie in, one for its slope along the condition,
/// and one for the change of that slope at each column that is reached.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BrokenSurface {
    base: BrokenLine,
    /// Along the condition: from which column, on which side of it, and the line of slopes.
    along: Vec<(f64, ColumnSide, BrokenLine)>,
}

/// On which side of a column a slope counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum ColumnSide {
    Both,
    Above,
    Below,
}

impl BrokenSurface {
    /// The surface through the values at columns and lines that rise, for conditions and readings in these reaches, which
    /// lie within columns and lines. Nothing if a value is missing.
    pub(crate) fn new(
        columns: &[f64],
        lines: &[f64],
        values: &[Vec<f64>],
        condition: Reach,
        reading: Reach,
    ) -> Option<Self> {
        // For each line of the table its own broken line along the condition.
        let of_lines: Vec<BrokenLine> = values
            .iter()
            .map(|row| {
                let nodes: Vec<(f64, f64)> =
                    columns.iter().copied().zip(row.iter().copied()).collect();
                BrokenLine::new(&nodes, condition)
            })
            .collect::<Option<_>>()?;
        let along_reading = |of: &dyn Fn(&BrokenLine) -> Option<f64>| {
            let nodes: Vec<(f64, f64)> = lines
                .iter()
                .zip(&of_lines)
                .map(|(reading, line)| Some((*reading, of(line)?)))
                .collect::<Option<_>>()?;
            BrokenLine::new(&nodes, reading)
        };
        if let Some(place) = condition.only() {
            return Some(Self {
                base: along_reading(&|line| Some(line.at(place)))?,
                along: Vec::new(),
            });
        }
        // All of them have the same nodes along the condition.
        let first = of_lines.first()?;
        let mut along = vec![(
            first.from,
            ColumnSide::Both,
            along_reading(&|line| Some(line.slope))?,
        )];
        for (index, (node, _)) in first.above.iter().enumerate() {
            let changes = along_reading(&|line| line.above.get(index).map(|bend| bend.1))?;
            along.push((*node, ColumnSide::Above, changes));
        }
        for (index, (node, _)) in first.below.iter().enumerate() {
            let changes = along_reading(&|line| line.below.get(index).map(|bend| bend.1))?;
            along.push((*node, ColumnSide::Below, changes));
        }
        Some(Self {
            base: along_reading(&|line| Some(line.value))?,
            along,
        })
    }

    /// Fills `out` with the values at conditions and readings; `line` is room to work in.
    pub(crate) fn fill(
        &self,
        conditions: &[f64],
        readings: &[f64],
        line: &mut [f64],
        out: &mut [f64],
    ) {
        self.base.fill(readings, out);
        for (node, side, slopes) in &self.along {
            slopes.fill(readings, line);
            let each = out.iter_mut().zip(conditions).zip(line.iter());
            match side {
                ColumnSide::Both => each.for_each(|((out, at), slope)| *out += slope * (at - node)),
                ColumnSide::Above => {
                    each.for_each(|((out, at), slope)| *out += slope * beyond(at - node));
                }
                ColumnSide::Below => {
                    each.for_each(|((out, at), slope)| *out -= slope * beyond(node - at));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use stainbook_catalog::written::tube::Between;

    use super::*;
    use crate::interpolation::{across, along};

    fn nodes() -> impl Strategy<Value = Vec<(f64, f64)>> {
        prop::collection::vec((0.5..20.0_f64, 0.2..3.0_f64), 1..9).prop_map(|steps| {
            let mut at = -20.0;
            steps
                .into_iter()
                .map(|(step, factor)| {
                    at += step;
                    (at, factor)
                })
                .collect()
        })
    }

    /// Part of the span of rising numbers.
    fn part(low: f64, high: f64, (a, b): (f64, f64)) -> Reach {
        let (a, b) = (a.min(b), a.max(b));
        Reach {
            low: low + (high - low) * a,
            high: low + (high - low) * b,
        }
        .held((low, high))
    }

    proptest! {
        #[test]
        fn a_line_is_the_table_within_its_reach(
            nodes in nodes(), a in 0.0..=1.0_f64, b in 0.0..=1.0_f64, share in 0.0..=1.0_f64,
        ) {
            let reach = part(nodes[0].0, nodes[nodes.len() - 1].0, (a, b));
            let line = BrokenLine::new(&nodes, reach).unwrap();
            for place in [reach.low, reach.high, reach.low + (reach.high - reach.low) * share] {
                let place = hold(place, (reach.low, reach.high));
                let expected = along(&nodes, place, Between::Linear).unwrap().value;
                prop_assert!((line.at(place) - expected).abs() < 1e-12, "{place} {expected}");
            }
        }

        #[test]
        fn a_surface_is_the_table_within_its_reach(
            columns in nodes(), lines in nodes(), values in prop::collection::vec(0.1..50.0_f64, 81),
            conditions in (0.0..=1.0_f64, 0.0..=1.0_f64), readings in (0.0..=1.0_f64, 0.0..=1.0_f64),
            at in prop::collection::vec((0.0..=1.0_f64, 0.0..=1.0_f64), 7),
        ) {
            let columns: Vec<f64> = columns.iter().map(|node| node.0).collect();
            let lines: Vec<f64> = lines.iter().map(|node| node.0).collect();
            let values: Vec<Vec<f64>> =
                values.chunks(9).take(lines.len()).map(|row| row[..columns.len()].to_vec()).collect();
            let condition = part(columns[0], columns[columns.len() - 1], conditions);
            let reading = part(lines[0], lines[lines.len() - 1], readings);
            let surface = BrokenSurface::new(&columns, &lines, &values, condition, reading).unwrap();
            let place = |reach: Reach, share: f64| {
                hold(reach.low + (reach.high - reach.low) * share, (reach.low, reach.high))
            };
            let cs: Vec<f64> = at.iter().map(|at| place(condition, at.0)).collect();
            let rs: Vec<f64> = at.iter().map(|at| place(reading, at.1)).collect();
            let (mut room, mut found) = (vec![0.0; 7], vec![0.0; 7]);
            surface.fill(&cs, &rs, &mut room, &mut found);
            for ((c, r), found) in cs.iter().zip(&rs).zip(found) {
                let expected = across(&columns, &lines, &values, *c, *r, Between::Linear).unwrap().value;
                prop_assert!((found - expected).abs() < 1e-10, "{c} {r}: {found} {expected}");
            }
        }
    }

    #[test]
    fn what_no_place_reaches_is_left_out() {
        let nodes = [(-5.0, 1.42), (5.0, 1.20), (20.0, 1.00), (45.0, 0.75)];
        for (low, high, bends) in [(11.0, 13.0, 0), (19.0, 21.0, 1), (-5.0, 45.0, 2)] {
            let line = BrokenLine::new(&nodes, Reach { low, high }).unwrap();
            assert_eq!(line.above.len() + line.below.len(), bends, "{low} {high}");
        }
    }

    #[test]
    fn held_at_the_ends_and_not_a_number_at_the_upper_one() {
        for (at, held) in [(0.5, 1.0), (1.5, 1.5), (2.5, 2.0), (f64::NAN, 2.0)] {
            assert!((hold(at, (1.0, 2.0)) - held).abs() < 1e-15, "{at}");
        }
    }

    #[test]
    fn within_means_clearly_within() {
        let reach = Reach {
            low: 1.0,
            high: 2.0,
        };
        assert!(reach.within((0.9, 2.1)));
        assert!(!reach.within((1.0, 2.0)));
        assert!(!Reach::ANYWHERE.within((0.9, 2.1)));
        assert!(Reach::at(1.0).within((1.0, 2.0)));
        assert!(!Reach::at(f64::NAN).within((1.0, 2.0)));
    }
}
