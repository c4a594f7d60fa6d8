//! The glass, and the people who read it: every position that somebody may write down, and the stretch of glass for which it
//! stands.

use stainbook_core::elementary::{ln, powf};

/// Course of the scale between two marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Glass {
    /// The place is a straight line of the value.
    Even,
    /// The place is a straight line of the value's logarithm.
    Logarithmic,
}

/// A person who reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reader {
    /// Number of parts of a space that the person tells apart.
    pub(super) parts: u32,
    /// Statement of the person about that: of [`READS_TO`].
    pub(super) says: &'static str,
    /// Division of a space by eye: the value that is written down for a place.
    pub(super) divides: Glass,
}

/// Words of a survey for how finely somebody reads, with the number of parts of a space.
pub(super) const READS_TO: [(&str, u32); 4] = [
    ("nearest mark", 1),
    ("half", 2),
    ("quarter", 4),
    ("tenth", 10),
];

impl Reader {
    /// One who divides evenly, and says how finely.
    pub(super) fn honest((says, parts): (&'static str, u32)) -> Self {
        Self {
            parts,
            says,
            divides: Glass::Even,
        }
    }

    /// Values that the person may write down, from the first mark to the last.
    pub(super) fn readings(&self, marks: &[f64]) -> Vec<f64> {
        self.places(marks)
            .map(|place| self.divides.value(marks, place))
            .map(as_written)
            .collect()
    }

    /// Ends of the stretches of glass that the person writes down as these, one more than there are readings.
    pub(super) fn cells(&self, marks: &[f64], glass: Glass) -> Vec<f64> {
        let half = 0.5 / f64::from(self.parts);
        let ends = self.places(marks).map(|place| place + half);
        std::iter::once(0.0)
            .chain(ends)
            .map(|place| glass.value(marks, place))
            .collect()
    }

    /// Places in spaces from the first mark on.
    fn places(&self, marks: &[f64]) -> impl Iterator<Item = f64> + use<> {
        let parts = self.parts;
        let spaces = u32::try_from(marks.len().saturating_sub(1)).unwrap_or(0);
        (0..=spaces * parts).map(move |part| f64::from(part) / f64::from(parts))
    }
}

impl Glass {
    /// Value at a place, counted in spaces from the first mark on; beyond the last mark that of the last.
    pub(super) fn value(self, marks: &[f64], place: f64) -> f64 {
        let mut left = place;
        for pair in marks.windows(2) {
            let [a, b] = pair else { continue };
            if left <= 1.0 {
                return match self {
                    Self::Even => a + (b - a) * left,
                    Self::Logarithmic => a * powf(b / a, left),
                };
            }
            left -= 1.0;
        }
        marks.last().copied().unwrap_or(f64::NAN)
    }
}

/// A number as somebody writes it, without the noise of the arithmetic.
pub(super) fn as_written(value: f64) -> f64 {
    format!("{value:.9e}").parse().unwrap_or(value)
}

/// Numbers from the first to the last, in equal steps of their logarithm.
pub(super) fn spaced(first: f64, last: f64, count: u32) -> impl Iterator<Item = f64> {
    let width = ln(last / first);
    (0..count).map(move |index| {
        let part = f64::from(index) / f64::from(count.saturating_sub(1).max(1));
        first * stainbook_core::elementary::exp(width * part)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARKS: [f64; 3] = [1.0, 2.0, 8.0];

    #[test]
    fn readings_divide_each_space() {
        let half = Reader::honest(("half", 2));
        assert_eq!(half.readings(&MARKS), [1.0, 1.5, 2.0, 5.0, 8.0]);
        assert_eq!(
            half.cells(&MARKS, Glass::Even),
            [1.0, 1.25, 1.75, 3.5, 6.5, 8.0]
        );
        let by_eye = Reader {
            divides: Glass::Logarithmic,
            ..half
        };
        assert!((by_eye.readings(&MARKS)[3] - 4.0).abs() < 1e-9);
    }

    #[test]
    fn logarithmic_glass_has_its_middle_at_the_geometric_mean() {
        let mark = Reader::honest(("nearest mark", 1));
        let cells = mark.cells(&MARKS, Glass::Logarithmic);
        assert!((cells[1] - 2.0_f64.sqrt()).abs() < 1e-12);
        assert!((cells[2] - 4.0).abs() < 1e-12);
        assert_eq!(cells.len(), mark.readings(&MARKS).len() + 1);
    }
}
