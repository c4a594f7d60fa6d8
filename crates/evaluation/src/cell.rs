//! The piece of a scale that a reading stands for.
//!
//! Nobody reads a point. Whoever reads to a quarter of a space says the same of everything that ends within an eighth of a
//! space to either side. The places are along the glass, evenly divided by eye; which concentrations lie there depends on how
//! the scale runs between its marks, which few leaflets say. So the upper end is taken as if it ran evenly, the lower one
//! as if it ran logarithmically: each is then the outermost of the two.

use stainbook_catalog::model::Scale;
use stainbook_catalog::written::tube::ScaleRuns;
use stainbook_core::elementary::{ln, powf};

/// Relative tolerance within which a number is the same as a mark: what a conversion between units rounds.
pub(crate) const SAME_MARK: f64 = 1e-9;

/// The piece of scale that a reading stands for, or the open piece before the first or behind the last mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Its ends, as if the scale ran evenly between its marks.
    even: [f64; 2],
    /// Its ends, as if the scale ran logarithmically.
    logarithmic: [f64; 2],
    /// The standard uncertainty that the reader stated in place of the cell; zero if there is none.
    stated: f64,
}

/// One way to see a cell: its middle, and the variance of what the reader's eye leaves open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Middle {
    pub(crate) at: f64,
    pub(crate) variance: f64,
}

/// A cell as trials draw from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct DrawnCell {
    pub(crate) at: f64,
    pub(crate) half_width: f64,
}

impl Cell {
    /// Of a stain whose short and long side were read to a part of a space; both are one for a sharp front. A stated standard
    /// uncertainty takes the place of the parts.
    pub(crate) fn new(
        scale: &Scale,
        [short, long]: [f64; 2],
        part: f64,
        stated: Option<f64>,
    ) -> Self {
        if let Some(stated) = stated {
            return Self {
                even: [short, long],
                logarithmic: [short, long],
                stated,
            };
        }
        let marks = &scale.marks;
        let half = part / 2.0;
        let (from, to) = (place(marks, short), place(marks, long));
        let [lower, upper] = if scale.unnumbered.is_empty() {
            [(from - half).max(0.0), to + half]
        } else {
            // Counted in the finest lines, so that both ends rise with the reading where a coarse space follows a fine one.
            let [from, to] = [from, to].map(|place| in_lines(scale, place));
            [(from - half).max(0.0), to + half].map(|lines| of_lines(scale, lines))
        };
        let even = [lower, upper].map(|place| value(marks, place, ScaleRuns::Evenly));
        let logarithmic =
            [lower, upper].map(|place| value(marks, place, ScaleRuns::Logarithmically));
        let (even, logarithmic) = match scale.runs {
            None => (even, logarithmic),
            Some(ScaleRuns::Evenly) => (even, even),
            Some(ScaleRuns::Logarithmically) => (logarithmic, logarithmic),
        };
        Self {
            even,
            logarithmic,
            stated: 0.0,
        }
    }

    /// All that lies between two ends.
    pub(crate) fn between(low: f64, high: f64) -> Self {
        Self {
            even: [low, high],
            logarithmic: [low, high],
            stated: 0.0,
        }
    }

    /// The lower end.
    pub(crate) fn lowest(&self) -> f64 {
        self.logarithmic[0]
    }

    /// The upper end.
    pub(crate) fn highest(&self) -> f64 {
        self.even[1]
    }

    /// The cell as it counts for an upper end, and for what is printed beside a value.
    pub(crate) fn for_upper_end(&self) -> Middle {
        self.middle(self.even)
    }

    /// The cell as it counts for a lower end.
    pub(crate) fn for_lower_end(&self) -> Middle {
        self.middle(self.logarithmic)
    }

    /// The standard uncertainty that the reader stated; zero if there is none.
    pub(crate) fn stated(&self) -> f64 {
        self.stated
    }

    /// Half the width of the evenly divided cell.
    pub(crate) fn half_width(&self) -> f64 {
        (self.even[1] - self.even[0]) / 2.0
    }

    /// The cell as it is drawn from for a lower and for an upper end.
    pub(crate) fn drawn(&self) -> [DrawnCell; 2] {
        [self.logarithmic, self.even].map(|[low, high]| DrawnCell {
            at: f64::midpoint(low, high),
            half_width: (high - low) / 2.0,
        })
    }

    fn middle(&self, [low, high]: [f64; 2]) -> Middle {
        let half = (high - low) / 2.0;
        Middle {
            at: f64::midpoint(low, high),
            variance: half * half / 3.0 + self.stated * self.stated,
        }
    }
}

/// True if a number is one of the marks.
pub(crate) fn is_on_mark(marks: &[f64], number: f64) -> bool {
    marks.iter().any(|mark| is_mark(*mark, number))
}

/// Part of the piece between two lines within which a reading lies on one of them: lines without a number are read off and rounded.
const ON_LINE: f64 = 0.05;

/// True if a number is one of the marks, or lies on a line without a number, however the scale runs.
pub(crate) fn is_on_line(scale: &Scale, number: f64) -> bool {
    if is_on_mark(&scale.marks, number) {
        return true;
    }
    let Some((below, pair)) = scale
        .marks
        .windows(2)
        .enumerate()
        .find(|(_, pair)| matches!(pair, [a, b] if *a <= number && number <= *b))
    else {
        return false;
    };
    let [a, b] = *pair else { return false };
    let pieces = f64::from(scale.unnumbered_at(below) + 1);
    let evenly = (number - a) / (b - a);
    let logarithmically = ln(number / a) / ln(b / a);
    [evenly, logarithmically].into_iter().any(|part| {
        let lines = part * pieces;
        (lines - lines.round()).abs() <= ON_LINE && 1.0 < pieces
    })
}

/// Number of pieces into which printed lines without a number divide each space between two marks.
fn pieces_of_spaces(scale: &Scale) -> impl Iterator<Item = f64> {
    let spaces = scale.marks.len().saturating_sub(1);
    (0..spaces).map(|space| f64::from(scale.unnumbered_at(space) + 1))
}

/// A place along the marks, counted in pieces between the finest lines.
fn in_lines(scale: &Scale, place: f64) -> f64 {
    let mut rest = place;
    let mut lines = 0.0;
    for pieces in pieces_of_spaces(scale) {
        lines += pieces * rest.clamp(0.0, 1.0);
        rest -= 1.0;
    }
    lines
}

/// The place along the marks that is so many pieces from the first; behind the last mark there is none.
fn of_lines(scale: &Scale, lines: f64) -> f64 {
    let mut rest = lines;
    let mut place = 0.0;
    for pieces in pieces_of_spaces(scale) {
        place += (rest / pieces).clamp(0.0, 1.0);
        rest -= pieces;
    }
    place
}

fn is_mark(mark: f64, number: f64) -> bool {
    (mark - number).abs() <= SAME_MARK * mark
}

/// The place of a number along the marks: 2.5 is half way from the third to the fourth.
fn place(marks: &[f64], number: f64) -> f64 {
    let mut place = 0.0;
    for pair in marks.windows(2) {
        let [a, b] = *pair else { continue };
        if is_mark(a, number) {
            return place;
        }
        if number < b && !is_mark(b, number) {
            return place + (number - a) / (b - a);
        }
        place += 1.0;
    }
    place
}

/// The number at a place along the marks, whose ends cut it off.
fn value(marks: &[f64], at: f64, runs: ScaleRuns) -> f64 {
    let mut rest = at;
    for pair in marks.windows(2) {
        let [a, b] = *pair else { continue };
        if rest < 1.0 {
            return if rest <= 0.0 {
                a
            } else if runs == ScaleRuns::Evenly {
                a + rest * (b - a)
            } else {
                a * powf(b / a, rest)
            };
        }
        rest -= 1.0;
    }
    marks.last().copied().unwrap_or(f64::NAN)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(marks: &[f64], runs: Option<ScaleRuns>) -> Scale {
        let (book, _) = stainbook_catalog::Book::demo();
        let tube = book.tube_model("brinewash-chlorine-a-r2").unwrap();
        let mut scale = tube.scales[0].clone();
        scale.marks = marks.to_vec();
        scale.runs = runs;
        scale
    }

    const MARKS: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

    /// By hand: half of a space to either side of a mark, a quarter of a space about the middle of 2 to 5, and so on.
    #[test]
    fn ends_by_hand() {
        let root = f64::sqrt;
        for (ends, part, even, logarithmic) in [
            ([2.0, 2.0], 1.0, [1.5, 3.5], [root(2.0), root(10.0)]),
            (
                [3.5, 3.5],
                0.5,
                [2.75, 4.25],
                [2.0 * powf(2.5, 0.25), 2.0 * powf(2.5, 0.75)],
            ),
            // The ends of the scale cut a cell off.
            ([1.0, 1.0], 1.0, [1.0, 1.5], [1.0, root(2.0)]),
            (
                [10.0, 10.0],
                0.5,
                [8.75, 10.0],
                [5.0 * powf(2.0, 0.75), 10.0],
            ),
            // An oblique front reaches from below its short side to above its long side.
            ([2.0, 5.0], 1.0, [1.5, 7.5], [root(2.0), root(50.0)]),
        ] {
            let cell = Cell::new(&scale(&MARKS, None), ends, part, None);
            for (found, wanted) in [(cell.even, even), (cell.logarithmic, logarithmic)] {
                for (found, wanted) in found.iter().zip(wanted) {
                    assert!((found - wanted).abs() < 1e-12, "{ends:?} {cell:?}");
                }
            }
            let evenly = Cell::new(&scale(&MARKS, Some(ScaleRuns::Evenly)), ends, part, None);
            assert_eq!(evenly.lowest(), cell.even[0]);
            let curved = Cell::new(
                &scale(&MARKS, Some(ScaleRuns::Logarithmically)),
                ends,
                part,
                None,
            );
            assert_eq!(curved.highest(), cell.logarithmic[1]);
        }
    }

    /// A mark as binary arithmetic has it is that mark.
    #[test]
    fn a_mark_is_found_with_a_tolerance() {
        let scale = scale(&[0.9, 1.8, 70.0, 140.0], None);
        for (mark, near) in [
            (1.8, f64::midpoint(1.7, 1.9)),
            (70.0, 69.999_999_999_999_99),
        ] {
            let at = |number: f64| Cell::new(&scale, [number, number], 0.5, None);
            assert_ne!(mark, near);
            for (one, other) in at(mark).even.iter().zip(at(near).even) {
                assert!((one - other).abs() < 1e-9, "{near}");
            }
            assert!(is_on_mark(&scale.marks, near));
        }
    }

    #[test]
    fn a_stated_uncertainty_takes_its_place() {
        let cell = Cell::new(&scale(&MARKS, None), [3.0, 4.0], 1.0, Some(0.2));
        assert_eq!((cell.lowest(), cell.highest()), (3.0, 4.0));
        let middle = cell.for_upper_end();
        assert!((middle.variance - (0.04 + 0.25 / 3.0)).abs() < 1e-12);
        assert_eq!(middle.at, 3.5);
    }

    /// A higher reading never has a lower end of its cell.
    #[test]
    fn ends_rise_with_the_reading() {
        let scale = scale(&MARKS, None);
        for part in [1.0, 0.5, 0.25, 0.1] {
            let mut before = [0.0; 3];
            for step in 0..=900 {
                let at = 1.0 + f64::from(step) * 0.01;
                let cell = Cell::new(&scale, [at, at], part, None);
                let now = [cell.lowest(), cell.for_upper_end().at, cell.highest()];
                assert!(before.iter().zip(now).all(|(a, b)| *a <= b), "{part} {at}");
                before = now;
            }
        }
    }

    /// By hand: between marks with four lines half a piece is a tenth of the space, and where a coarse space follows a fine one
    /// each end stays within its own.
    #[test]
    fn unnumbered_lines_are_the_finest() {
        let mut scale = scale(&MARKS, Some(ScaleRuns::Evenly));
        scale.unnumbered = vec![4, 0, 1];
        for (at, part, ends) in [
            (1.2, 1.0, [1.1, 1.3]),
            (2.0, 1.0, [1.9, 3.5]),
            (2.3, 1.0, [1.92, 3.8]),
            (5.0, 0.5, [4.25, 5.625]),
            (10.0, 1.0, [8.75, 10.0]),
        ] {
            let cell = Cell::new(&scale, [at, at], part, None);
            let on_line = is_on_line(&scale, at);
            assert_eq!(on_line, (at - 2.3).abs() > 0.1, "{at}");
            for (found, wanted) in cell.even.iter().zip(ends) {
                assert!((found - wanted).abs() < 1e-12, "{at} {cell:?}");
            }
        }
        let mut before = [0.0; 2];
        for step in 0..=900 {
            let at = 1.0 + f64::from(step) * 0.01;
            let cell = Cell::new(&scale, [at, at], 0.5, None);
            let now = [cell.lowest(), cell.highest()];
            assert!(before.iter().zip(now).all(|(a, b)| *a <= b + 1e-12), "{at}");
            before = now;
        }
    }
}
