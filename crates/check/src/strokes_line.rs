//! The line that the multipliers of a tube lie on: `multiplier = (scale strokes / strokes)^b` with the tube's own b.

use stainbook_core::elementary::ln;

use crate::ScaleView;
use crate::printed::{Interval, same};

/// A range with its stroke count against that of the scale.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Anchor {
    /// Its row on the sheet.
    pub(crate) row: usize,
    /// The logarithm of scale strokes over strokes.
    pub(crate) strokes: f64,
    /// The logarithm of the multiplier as printed.
    pub(crate) multiplier: f64,
    /// The exponents that the printed digits leave open.
    pub(crate) exponent: Interval,
}

impl Anchor {
    /// The exponent that the printed figures give.
    pub(crate) fn own_exponent(&self) -> f64 {
        self.multiplier / self.strokes
    }
}

/// The ranges of a scale that say something about its exponent; nothing if a multiplier does not fall with the strokes, or a
/// stroke count is there twice, of which other rules speak.
pub(crate) fn anchors(view: &ScaleView<'_>) -> Option<Vec<Anchor>> {
    let scale_strokes = view.scale.printed_for_strokes.as_ref()?.value();
    if scale_strokes <= 0.0 {
        return None;
    }
    let mut anchors = Vec::new();
    let printed = |(row, _): &&(usize, _)| view.prints_multiplier(*row);
    for (row, range) in view.ranges.iter().filter(printed) {
        let strokes = range.strokes.as_ref()?.value();
        let printed = range.multiply_by.as_ref()?.value();
        if strokes <= 0.0 || printed <= 0.0 {
            return None;
        }
        if same(strokes, scale_strokes) {
            continue;
        }
        let multiplier = view.multiplier(range)?;
        let x = ln(scale_strokes / strokes);
        let (a, b) = (ln(multiplier.low) / x, ln(multiplier.high) / x);
        anchors.push(Anchor {
            row: *row,
            strokes: x,
            multiplier: ln(printed),
            exponent: Interval {
                low: a.min(b),
                high: a.max(b),
            },
        });
    }
    anchors.sort_by(|a, b| b.strokes.total_cmp(&a.strokes));
    let falls = anchors
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if b.strokes < a.strokes && b.multiplier < a.multiplier));
    // Above the scale's strokes the multiplier is below 1, and above 1 below them.
    let right_side = anchors
        .iter()
        .all(|anchor| 0.0 < anchor.strokes * anchor.multiplier);
    (falls && right_side).then_some(anchors)
}
