//! Probabilities that a result is wrong, and that it says something at all, for one scale and each way of reading it.

use stainbook::reading::Verdict;

use super::asked::{Answer, Answers};
use super::deviation::{AccuracyIs, DeviationSum, Deviations};
use super::reader::{Glass, Reader, spaced};
use super::scale::TriedScale;

/// Number of truths along a scale for which the interval is looked at.
const TRUTHS: u32 = 360;

/// A way in which readings come about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Way {
    /// Place of the reader among those who were asked about.
    pub(super) reader: usize,
    /// The glass.
    pub(super) glass: Glass,
    /// The accuracy in truth.
    pub(super) accuracy: AccuracyIs,
}

/// Probability of a wrong verdict with the truth at a limit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct WrongAtLimit {
    pub(super) probability: f64,
    /// The limit, in the unit of the scale.
    pub(super) limit: f64,
    pub(super) name: String,
}

/// Everything about one scale read in one way.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Measured {
    /// Coverage of the interval over the scale, and over its thirds, with the truth log-uniform.
    pub(super) coverage: f64,
    pub(super) thirds: [f64; 3],
    /// Share of readings that are refused.
    pub(super) refused: f64,
    /// With the truth at each limit, the chances of a wrong "below" and of a wrong "above".
    pub(super) below: Vec<WrongAtLimit>,
    pub(super) above: Vec<WrongAtLimit>,
    /// Chance of "below" with the truth at half of each limit, as far as that is on the scale.
    pub(super) below_at_half: Vec<f64>,
    /// Chance of "above" with the truth at twice of each limit, as far as that is on the scale.
    pub(super) above_at_twice: Vec<f64>,
}

/// Chances of each answer at one truth, for each way of reading.
struct Chances<'s> {
    scale: &'s TriedScale,
    ways: &'s [Way],
    /// For each way the ends of its cells.
    cells: Vec<Vec<f64>>,
    /// Distribution functions, each worked out once for the same deviations.
    sums: Vec<(Deviations, AccuracyIs, DeviationSum)>,
}

impl Chances<'_> {
    fn at(&mut self, truth: f64) -> Vec<Vec<f64>> {
        let stain = self.scale.stain(truth);
        let deviations = self.scale.deviations(stain);
        let ways = self.ways;
        ways.iter()
            .enumerate()
            .filter_map(|(index, way)| {
                let sum = self.sum(&deviations, way.accuracy);
                let (_, _, sum) = self.sums.get(sum)?;
                Some(cell_probabilities(self.cells.get(index)?, stain, sum))
            })
            .collect()
    }

    fn sum(&mut self, deviations: &Deviations, accuracy: AccuracyIs) -> usize {
        let known = self
            .sums
            .iter()
            .position(|(d, a, _)| *a == accuracy && d.is_like(deviations));
        known.unwrap_or_else(|| {
            let sum = DeviationSum::of(deviations, accuracy);
            self.sums.push((deviations.clone(), accuracy, sum));
            self.sums.len() - 1
        })
    }
}

/// Works out one scale, read in each of these ways. `readers` are those of the answers, in their order.
pub(super) fn measure(
    scale: &TriedScale,
    readers: &[Reader],
    answers: &Answers,
    ways: &[Way],
) -> Vec<Measured> {
    let cells = |way: &Way| {
        readers
            .get(way.reader)
            .map(|reader| reader.cells(&scale.marks, way.glass))
    };
    let mut chances = Chances {
        scale,
        ways,
        cells: ways.iter().filter_map(cells).collect(),
        sums: Vec::new(),
    };
    let said: Vec<&[Answer]> = ways
        .iter()
        .map(|way| answers.of.get(way.reader).map_or(&[][..], Vec::as_slice))
        .collect();
    let mut measured = vec![Measured::default(); ways.len()];
    for (index, truth) in truths(scale).enumerate() {
        for ((chances, said), measured) in chances.at(truth).iter().zip(&said).zip(&mut measured) {
            let wrong = |answer: &Answer| {
                answer
                    .interval
                    .is_some_and(|[low, high]| truth < low || high < truth)
            };
            let share = |of: &dyn Fn(&Answer) -> bool| share(chances, said, of) / f64::from(TRUTHS);
            // A refusal says nothing wrong.
            let covered = 1.0 / f64::from(TRUTHS) - share(&wrong);
            measured.coverage += covered;
            measured.refused += share(&|answer| answer.interval.is_none());
            if let Some(third) = measured.thirds.get_mut(index * 3 / TRUTHS as usize) {
                *third += 3.0 * covered;
            }
        }
    }
    let (first, last) = scale.ends();
    for (index, (limit, name)) in answers.limits.iter().enumerate() {
        if !limit.is_finite() {
            continue;
        }
        let mut says = |truth: f64, verdict: Verdict| -> Vec<f64> {
            let says =
                |answer: &Answer| answer.verdicts.get(index).copied().flatten() == Some(verdict);
            let chances = chances.at(truth);
            let said = chances.iter().zip(&said);
            said.map(|(chances, said)| share(chances, said, &says))
                .collect()
        };
        let wrong = says(*limit, Verdict::Below)
            .into_iter()
            .zip(says(*limit, Verdict::Above));
        for ((below, above), measured) in wrong.zip(&mut measured) {
            let at = |probability| WrongAtLimit {
                probability,
                limit: *limit,
                name: name.clone(),
            };
            measured.below.push(at(below));
            measured.above.push(at(above));
        }
        let on_scale = |truth: f64| first <= truth && truth <= last;
        if on_scale(limit / 2.0) {
            let said = says(limit / 2.0, Verdict::Below);
            for (said, measured) in said.into_iter().zip(&mut measured) {
                measured.below_at_half.push(said);
            }
        }
        if on_scale(limit * 2.0) {
            let said = says(limit * 2.0, Verdict::Above);
            for (said, measured) in said.into_iter().zip(&mut measured) {
                measured.above_at_twice.push(said);
            }
        }
    }
    measured
}

/// Chance of an answer of which this is so.
fn share(chances: &[f64], said: &[Answer], so: &dyn Fn(&Answer) -> bool) -> f64 {
    let so = chances.iter().zip(said).filter(|(_, answer)| so(answer));
    so.map(|(chance, _)| chance).sum()
}

/// Truths along a scale, each in the middle of an equal part of the logarithm.
fn truths(scale: &TriedScale) -> impl Iterator<Item = f64> {
    let (first, last) = scale.ends();
    let part = (last / first).sqrt();
    let inset = stainbook_core::elementary::powf(part, 1.0 / f64::from(TRUTHS));
    spaced(first * inset, last / inset, TRUTHS)
}

/// Probabilities that the stain ends before the first mark, in each cell, and behind the last mark.
fn cell_probabilities(cells: &[f64], stain: f64, sum: &DeviationSum) -> Vec<f64> {
    let ends: Vec<f64> = cells
        .iter()
        .map(|end| sum.below(end / stain - 1.0))
        .collect();
    let (Some(first), Some(last)) = (ends.first(), ends.last()) else {
        return Vec::new();
    };
    let between = ends.windows(2).map(|pair| match pair {
        [a, b] => b - a,
        _ => 0.0,
    });
    std::iter::once(*first)
        .chain(between)
        .chain(std::iter::once(1.0 - last))
        .collect()
}
