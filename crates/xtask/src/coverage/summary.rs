//! Figures of many scales drawn together, and held against the targets.

use super::Tried;
use super::measures::{Measured, WrongAtLimit};
use super::reader::Glass;

/// Coverage of the interval over a whole scale.
const COVERAGE: (f64, f64) = (0.95, 0.985);
/// The most where only marks are read. With marks 2.6 times apart and tubes that are within 15 %, rounding to a mark is nearly
/// all of the uncertainty, and never more than half a space: it is covered whole.
const COVERAGE_TO_A_MARK: f64 = 0.99;
/// Coverage of the interval over a third of a scale.
const COVERAGE_OF_THIRD: (f64, f64) = (0.94, 0.999);
/// A wrong verdict with the truth at a limit, and what numbers may add to it.
const WRONG: f64 = 0.05;
const NUMERICAL: f64 = 0.002;
/// "Below" at half a limit and "above" at twice of one, in whole percent, by the number of parts that a person reads.
const POWER: [(u32, f64, f64); 4] = [
    (1, 42.0, 48.0),
    (2, 73.0, 77.0),
    (4, 86.0, 88.0),
    (10, 91.0, 92.0),
];

/// The lowest and the highest of a figure, each with where it is.
#[derive(Clone, Debug)]
pub(super) struct Range {
    pub(super) low: (f64, String),
    pub(super) high: (f64, String),
}

impl Range {
    fn of(figures: impl Iterator<Item = (f64, String)>) -> Self {
        let none = Self {
            low: (f64::INFINITY, String::new()),
            high: (f64::NEG_INFINITY, String::new()),
        };
        figures.fold(none, |mut range, figure| {
            if figure.0 < range.low.0 {
                range.low.clone_from(&figure);
            }
            if range.high.0 < figure.0 {
                range.high = figure;
            }
            range
        })
    }
}

/// One way of reading, over many scales.
#[derive(Clone, Debug)]
pub(super) struct Summary {
    pub(super) coverage: Range,
    pub(super) thirds: Range,
    /// The worst wrong verdicts at a limit, and their mean over limits along the scales.
    pub(super) below: (Range, f64),
    pub(super) above: (Range, f64),
    /// "Below" at half and "above" at twice a limit, mean over the demo's scales at their own stroke counts.
    pub(super) power: [f64; 2],
}

impl Summary {
    /// Of the way with this place.
    pub(super) fn of(tried: &[Tried], way: usize) -> Self {
        let each = || {
            tried
                .iter()
                .filter_map(move |one| Some((one, one.measured.get(way)?)))
        };
        let wrong = |side: fn(&Measured) -> &Vec<WrongAtLimit>| {
            let all = each().flat_map(move |(one, it)| side(it).iter().map(move |at| (one, at)));
            let range = Range::of(all.clone().map(|(one, at)| {
                (
                    at.probability,
                    format!("{}, limit {:.6} ({})", one.scale.words(), at.limit, at.name),
                )
            }));
            let on_scale = all.filter(|(one, at)| {
                let (first, last) = one.scale.ends();
                first <= at.limit && at.limit <= last
            });
            (range, mean(on_scale.map(|(_, at)| at.probability)))
        };
        let home = || each().filter(|(one, _)| one.demo && one.scale.home);
        let thirds = each().flat_map(|(one, it)| {
            let third = |(index, third): (usize, &f64)| {
                (
                    *third,
                    format!("{}, third {}", one.scale.words(), index + 1),
                )
            };
            it.thirds.iter().enumerate().map(third).collect::<Vec<_>>()
        });
        Self {
            coverage: Range::of(each().map(|(one, it)| (it.coverage, one.scale.words()))),
            thirds: Range::of(thirds),
            below: wrong(|it| &it.below),
            above: wrong(|it| &it.above),
            power: [
                mean(home().map(|(_, it)| mean(it.below_at_half.iter().copied()))),
                mean(home().map(|(_, it)| mean(it.above_at_twice.iter().copied()))),
            ],
        }
    }

    /// Misses of targets.
    pub(super) fn misses(&self, parts: u32, glass: Glass) -> Vec<String> {
        let mut misses = Vec::new();
        let mut miss = |what: &str, (figure, place): &(f64, String)| {
            misses.push(format!(
                "{parts} to a space, {glass:?} glass: {what} {:.2} %: {place}",
                figure * 100.0
            ));
        };
        let (least, most) = COVERAGE;
        let most = if parts == 1 { COVERAGE_TO_A_MARK } else { most };
        for (what, range, (least, most)) in [
            ("coverage", &self.coverage, (least, most)),
            ("coverage of a third", &self.thirds, COVERAGE_OF_THIRD),
        ] {
            if range.low.0 < least {
                miss(what, &range.low);
            }
            if most < range.high.0 {
                miss(what, &range.high);
            }
        }
        for (what, (range, _)) in [
            ("wrong `below`", &self.below),
            ("wrong `above`", &self.above),
        ] {
            if WRONG + NUMERICAL < range.high.0 {
                miss(what, &range.high);
            }
        }
        misses
    }
}

/// Misses of how often a verdict has to be said, in the mean of both kinds of glass, for a reader of so many parts.
pub(super) fn power_misses(parts: u32, glasses: &[&Summary]) -> Vec<String> {
    let Some((_, below, above)) = POWER.iter().find(|(of, ..)| *of == parts) else {
        return Vec::new();
    };
    let reached = |side: fn(&Summary) -> f64| mean(glasses.iter().map(|of| side(of)));
    [
        ("`below` at half", below, reached(|of| of.power[0])),
        ("`above` at twice", above, reached(|of| of.power[1])),
    ]
    .into_iter()
    .map(|(what, wanted, reached)| (what, wanted, reached * 100.0))
    .filter(|(_, wanted, reached)| reached.round() < **wanted)
    .map(|(what, wanted, reached)| {
        format!(
            "{parts} to a space: {what} {reached:.1} %, {wanted:.0} % wanted, mean of the demo's scales"
        )
    })
    .collect()
}

/// The mean; not a number of none.
fn mean(figures: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = figures.fold((0.0, 0.0), |(sum, count), figure| {
        (sum + figure, count + 1.0)
    });
    sum / count
}
