//! One stroke count at one level: which reading comes out as it, how far the count reaches, and what it could say.

use stainbook_catalog::model::{FactorValue, MeasuringRange, ResponseFactor, Scale};
use stainbook_core::elementary::ln;

use crate::found::{JudgedHere, Way};
use crate::question::SoughtLevel;
use crate::trial::{Bench, Trial};
use stainbook_evaluation::interpolation::along;
use stainbook_evaluation::outcome::{Code, Flag, Refusal};
use stainbook_evaluation::result::{LimitUsed, Verdict};

/// Number of halvings of an interval: more than a number has digits.
const HALVINGS: usize = 60;

/// Readings this close, relative to themselves, are one.
const SAME: f64 = 1e-12;

/// Tolerance at the ends of a stroke count's measuring range, for rounding on the way there and back.
const END: f64 = 1e-9;

/// Readings tried along a stroke count's part of the scale, in rising order.
pub(crate) struct Sweep {
    trials: Vec<Trial>,
}

/// Reasons for which one stroke count does not read a level.
#[derive(Clone, Debug)]
pub(crate) enum NoWay {
    /// The level lies beside what it measures.
    Beside,
    /// There is no value anywhere.
    Refused(Refusal),
}

impl Sweep {
    /// Tries the ends of a stroke count's part of the scale, the marks between them, and the middles between those.
    pub(crate) fn of(bench: &mut Bench<'_, '_, '_>, row: Option<&ResponseFactor>) -> Self {
        let Some((low, high)) = readings(bench.scale, bench.range, row) else {
            return Self { trials: Vec::new() };
        };
        let mut at: Vec<f64> = vec![low];
        at.extend(
            bench
                .scale
                .marks
                .iter()
                .copied()
                .filter(|mark| low < *mark && *mark < high),
        );
        at.push(high);
        let middles: Vec<f64> = at
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((a * b).sqrt()),
                _ => None,
            })
            .collect();
        at.extend(middles);
        at.sort_by(f64::total_cmp);
        at.dedup_by(|b, a| *b <= *a * (1.0 + SAME));
        let mut trials: Vec<Trial> = at.into_iter().map(|reading| bench.at(reading)).collect();
        // Where a value begins within the scale, because other gases or the rows of a table leave none before it.
        let first = trials.iter().position(|trial| trial.ppm.is_some());
        if let Some(place) = first.filter(|place| 0 < *place) {
            let border = border(&trials, place, place - 1, bench);
            trials.extend(border);
            trials.sort_by(|a, b| a.reading.total_cmp(&b.reading));
        }
        let last = trials.iter().rposition(|trial| trial.ppm.is_some());
        if let Some(place) = last.filter(|place| place + 1 < trials.len() && first.is_some()) {
            let border = border(&trials, place, place + 1, bench);
            trials.extend(border);
        }
        trials.sort_by(|a, b| a.reading.total_cmp(&b.reading));
        Self { trials }
    }

    /// The trials that have a value, with it.
    fn measured(&self) -> impl DoubleEndedIterator<Item = (f64, &Trial)> {
        self.trials
            .iter()
            .filter_map(|trial| Some((trial.ppm?, trial)))
    }

    /// Flags of the evaluation, whatever the reading.
    pub(crate) fn flags(&self) -> Option<Vec<Flag>> {
        self.trials.first().map(|trial| trial.result.flags.clone())
    }

    /// The lowest and highest concentration, in ppm.
    pub(crate) fn ends(&self) -> Option<(f64, f64)> {
        let lowest = self.measured().map(|(ppm, _)| ppm).reduce(f64::min)?;
        let highest = self.measured().map(|(ppm, _)| ppm).reduce(f64::max)?;
        Some((lowest, highest))
    }

    /// The reading that comes out as a level.
    pub(crate) fn reading_for(
        &self,
        ppm: f64,
        bench: &mut Bench<'_, '_, '_>,
    ) -> Result<Trial, NoWay> {
        let Some((lowest, highest)) = self.ends() else {
            let why = self.trials.iter().find_map(Trial::why_not);
            return Err(NoWay::Refused(why.unwrap_or_else(off_the_scale)));
        };
        if ppm < lowest * (1.0 - END) || highest * (1.0 + END) < ppm {
            return Err(NoWay::Beside);
        }
        let measured: Vec<(f64, &Trial)> = self.measured().collect();
        let between = measured.windows(2).find_map(|pair| match pair {
            [(a, low), (b, high)] if *a <= ppm && ppm <= *b => Some((low.reading, high.reading)),
            _ => None,
        });
        let Some((mut low, mut high)) = between else {
            // On an end, but for rounding.
            let nearest = measured
                .iter()
                .min_by(|a, b| (a.0 - ppm).abs().total_cmp(&(b.0 - ppm).abs()));
            return nearest.map_or(Err(NoWay::Beside), |(_, trial)| Ok((*trial).clone()));
        };
        for _ in 0..HALVINGS {
            if high <= low * (1.0 + SAME) {
                break;
            }
            let middle = bench.at(f64::midpoint(low, high));
            match middle.ppm {
                Some(found) if found < ppm => low = middle.reading,
                Some(_) => high = middle.reading,
                None => return Err(refused(&middle)),
            }
        }
        // Of both ends of what is left the nearer one, so that a level on a mark comes out on the mark.
        let (a, b) = (bench.at(low), bench.at(high));
        let off = |trial: &Trial| trial.ppm.map_or(f64::INFINITY, |found| (found - ppm).abs());
        let nearer = if off(&a) < off(&b) { a } else { b };
        if nearer.ppm.is_some() {
            Ok(nearer)
        } else {
            Err(refused(&nearer))
        }
    }

    /// Up to which concentration a reading says `below` a limit and from which on `above`, in ppm.
    fn thresholds(
        &self,
        limit: &LimitUsed,
        bench: &mut Bench<'_, '_, '_>,
    ) -> (Option<f64>, Option<f64>) {
        let says = |trial: &Trial, verdict: Verdict| {
            verdict_of(trial, limit).and_then(|(given, _, _)| given) == Some(verdict)
        };
        let last_below = self
            .measured()
            .enumerate()
            .filter(|(_, (_, trial))| says(trial, Verdict::Below))
            .last();
        let below = last_below.map(
            |(place, (ppm, trial))| match self.measured().nth(place + 1) {
                None => ppm,
                Some((_, next)) => {
                    edge(bench, trial, next, |trial| says(trial, Verdict::Below)).unwrap_or(ppm)
                }
            },
        );
        let first_above = self
            .measured()
            .enumerate()
            .find(|(_, (_, trial))| says(trial, Verdict::Above));
        let above = first_above.map(|(place, (ppm, trial))| {
            let before = place
                .checked_sub(1)
                .and_then(|place| self.measured().nth(place));
            match before {
                None => ppm,
                Some((_, before)) => {
                    edge(bench, trial, before, |trial| says(trial, Verdict::Above)).unwrap_or(ppm)
                }
            }
        });
        (below, above)
    }
}

/// Between a trial with a value and one without, the last reading that has one.
fn border(
    trials: &[Trial],
    with: usize,
    without: usize,
    bench: &mut Bench<'_, '_, '_>,
) -> Option<Trial> {
    let (mut inside, mut outside) = (trials.get(with)?.reading, trials.get(without)?.reading);
    let mut found = None;
    for _ in 0..HALVINGS {
        let middle = bench.at(f64::midpoint(inside, outside));
        if middle.ppm.is_some() {
            inside = middle.reading;
            found = Some(middle);
        } else {
            outside = middle.reading;
        }
    }
    found
}

/// Between a trial that has a property and one that has not, the last one that has it, in ppm.
fn edge(
    bench: &mut Bench<'_, '_, '_>,
    has: &Trial,
    has_not: &Trial,
    holds: impl Fn(&Trial) -> bool,
) -> Option<f64> {
    let (mut inside, mut outside, mut ppm) = (has.reading, has_not.reading, has.ppm);
    // A threshold is printed to three digits; it need not be known to fifteen.
    for _ in 0..HALVINGS / 3 {
        let middle = bench.at(f64::midpoint(inside, outside));
        if middle.ppm.is_some() && holds(&middle) {
            inside = middle.reading;
            ppm = middle.ppm;
        } else {
            outside = middle.reading;
        }
    }
    ppm
}

fn refused(trial: &Trial) -> NoWay {
    NoWay::Refused(trial.why_not().unwrap_or_else(off_the_scale))
}

fn off_the_scale() -> Refusal {
    Refusal::new(
        Code::RangeOffTheScale,
        "the range of this stroke count is not on the scale",
        "have the sheet checked",
    )
}

/// The part of the scale that the leaflet vouches for at a stroke count: its printed range, within the marks.
pub(crate) fn readings(
    scale: &Scale,
    range: &MeasuringRange,
    row: Option<&ResponseFactor>,
) -> Option<(f64, f64)> {
    let (first, last) = (*scale.marks.first()?, *scale.marks.last()?);
    let (low, high) = match row.map(|row| (row, &row.factor)) {
        None => (range.from / range.multiplier, range.to / range.multiplier),
        Some((row, FactorValue::Single(factor))) => (
            row.from / (range.multiplier * factor),
            row.to / (range.multiplier * factor),
        ),
        Some((row, FactorValue::ByReading(points, between))) => {
            let printed = |reading: f64| {
                along(points, reading, *between)
                    .ok()
                    .map(|found| reading * range.multiplier * found.value)
            };
            // Outside its rows the factor is not printed.
            let (from, to) = (points.first()?.0.max(first), points.last()?.0.min(last));
            (
                printed_at(row.from, from, to, printed),
                printed_at(row.to, from, to, printed),
            )
        }
    };
    let (low, high) = (low.max(first), high.min(last));
    (low < high * (1.0 + SAME)).then_some((low, high.max(low)))
}

/// The reading between two others whose printed concentration is nearest to one that is wanted.
fn printed_at(
    wanted: f64,
    mut low: f64,
    mut high: f64,
    printed: impl Fn(f64) -> Option<f64>,
) -> f64 {
    if printed(low).is_none_or(|at| wanted <= at) {
        return low;
    }
    if printed(high).is_none_or(|at| at <= wanted) {
        return high;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if printed(middle).is_some_and(|at| at < wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Verdict, probability and reason for a limit.
type Verdicts = (Option<Verdict>, Option<f64>, Option<String>);

fn verdict_of(trial: &Trial, limit: &LimitUsed) -> Option<Verdicts> {
    trial
        .result
        .against
        .iter()
        .find(|against| against.limit == *limit)
        .map(|against| {
            (
                against.verdict,
                against.probability_above,
                against.reason.clone(),
            )
        })
}

/// The way to read a level with a stroke count.
///
/// `per_ppm` is what one ppm is in the unit of the level; `limits` are those that were named, none for all that the tube
/// speaks to.
pub(crate) fn way(
    trial: &Trial,
    sweep: &Sweep,
    bench: &Bench<'_, '_, '_>,
    level: &SoughtLevel,
    per_ppm: f64,
) -> Option<Way> {
    let (lowest, highest) = sweep.ends()?;
    let uncertainty = trial.result.uncertainty.as_ref()?;
    let value = trial.result.concentration.as_ref()?.value;
    let relative = uncertainty.expanded / value;
    let position = ln(trial.ppm? / lowest) / ln(highest / lowest);
    Some(Way {
        strokes: bench.range.strokes,
        scale: bench.scale.name.clone(),
        seconds: bench.range.seconds(),
        reading: trial.reading,
        reading_unit: bench.scale.unit.canonical().to_owned(),
        between_marks: marks_about(&bench.scale.marks, trial.reading),
        lowest: lowest * per_ppm,
        highest: highest * per_ppm,
        position: if position.is_finite() {
            position.clamp(0.0, 1.0)
        } else {
            0.5
        },
        expanded: relative * level.written.number(),
        relative_expanded: relative,
        coverage: uncertainty.coverage,
        judged: Vec::new(),
    })
}

/// Attainable judgement of a way against limits, each given as an evaluation gives it.
pub(crate) fn judged(
    trial: &Trial,
    sweep: &Sweep,
    bench: &mut Bench<'_, '_, '_>,
    per_ppm: f64,
    wanted: impl Fn(&LimitUsed) -> bool,
) -> Vec<JudgedHere> {
    let limits: Vec<LimitUsed> = trial
        .result
        .against
        .iter()
        .map(|against| against.limit.clone())
        .filter(|limit| wanted(limit))
        .collect();
    if limits.is_empty() {
        return Vec::new();
    }
    let no_stain = bench.no_stain();
    limits
        .iter()
        .map(|limit| {
            let (verdict, probability_above, reason) =
                verdict_of(trial, limit).unwrap_or((None, None, None));
            let (below, above) = sweep.thresholds(limit, bench);
            let unseen = verdict_of(&no_stain, limit).and_then(|(verdict, _, _)| verdict);
            JudgedHere {
                limit: limit.words(),
                kind: limit.kind.clone(),
                value: limit.as_ppm.map(|ppm| ppm * per_ppm),
                verdict,
                probability_above,
                below_up_to: below.map(|ppm| ppm * per_ppm),
                above_from: above.map(|ppm| ppm * per_ppm),
                no_stain_says_below: unseen == Some(Verdict::Below),
                reason,
            }
        })
        .collect()
}

/// The marks that a reading lies between.
fn marks_about(marks: &[f64], reading: f64) -> [f64; 2] {
    let near = |mark: f64| (mark - reading).abs() <= END * mark;
    if let Some(mark) = marks.iter().find(|mark| near(**mark)) {
        return [*mark, *mark];
    }
    let below = marks.iter().rev().find(|mark| **mark < reading);
    let above = marks.iter().find(|mark| reading < **mark);
    [
        below.or(above).copied().unwrap_or(reading),
        above.or(below).copied().unwrap_or(reading),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_about_a_reading() {
        let marks = [1.0, 2.0, 5.0];
        assert_eq!(marks_about(&marks, 2.0), [2.0, 2.0]);
        assert_eq!(marks_about(&marks, 3.0), [2.0, 5.0]);
        assert_eq!(marks_about(&marks, 5.0 + 1e-12), [5.0, 5.0]);
    }
}
