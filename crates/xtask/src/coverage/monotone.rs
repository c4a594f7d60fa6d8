//! A higher reading never weakens "above" and never brings "below" about, and the printed probability never falls.

use stainbook::reading::Verdict;

use super::asked::{Answer, Answers, AskedReadings};
use super::reader::{Glass, READS_TO, as_written};
use super::scale::TriedScale;

/// Number of readings to a space, more than any person tells apart.
const TO_A_SPACE: u32 = 20;
/// Certainties, percent: guards of 10, 5 and 1 %.
const CERTAINTIES: [u32; 3] = [90, 95, 99];
/// Fall of a printed probability that is none.
const NOISE: f64 = 1e-12;

/// Pairs that were compared, and those in which the rule did not hold.
#[derive(Clone, Debug, Default)]
pub(super) struct Compared {
    /// Number of neighbouring readings held against a limit.
    pub(super) cases: usize,
    /// Those in which the higher one weakens "above" or brings "below" about.
    pub(super) weaker: Vec<String>,
    /// Those in which the printed probability falls.
    pub(super) falls: Vec<String>,
}

impl Compared {
    /// With what else was compared.
    pub(super) fn and(mut self, other: Self) -> Self {
        self.cases += other.cases;
        self.weaker.extend(other.weaker);
        self.falls.extend(other.falls);
        self
    }
}

/// Finely spaced readings, for every reader and every certainty.
pub(super) fn questions(scale: &TriedScale) -> Vec<AskedReadings> {
    let spaces = u32::try_from(scale.marks.len().saturating_sub(1)).unwrap_or(0);
    let readings: Vec<f64> = (0..=spaces * TO_A_SPACE)
        .map(|place| f64::from(place) / f64::from(TO_A_SPACE))
        .map(|place| as_written(Glass::Even.value(&scale.marks, place)))
        .collect();
    let certain = |certainty| {
        READS_TO.map(|(reads_to, _)| AskedReadings {
            readings: readings.clone(),
            reads_to,
            certainty,
        })
    };
    CERTAINTIES.into_iter().flat_map(certain).collect()
}

/// Compares neighbours. A refused reading counts as the next one inside.
pub(super) fn compare(
    scale: &TriedScale,
    questions: &[AskedReadings],
    answers: &Answers,
) -> Compared {
    let mut compared = Compared::default();
    for (question, of) in questions.iter().zip(&answers.of) {
        let name = |index: usize| match index
            .checked_sub(1)
            .map(|index| question.readings.get(index))
        {
            None => "below first mark".to_owned(),
            Some(Some(reading)) => reading.to_string(),
            Some(None) => "beyond last mark".to_owned(),
        };
        let given: Vec<(usize, &Answer)> = of
            .iter()
            .enumerate()
            .filter(|(_, answer)| answer.interval.is_some())
            .collect();
        for pair in given.windows(2) {
            let [(low_index, low), (high_index, high)] = pair else {
                continue;
            };
            for (limit, (at, _)) in answers.limits.iter().enumerate() {
                let verdicts = [low, high].map(|it| it.verdicts.get(limit).copied().flatten());
                let above = [low, high].map(|it| it.above.get(limit).copied().flatten());
                compared.cases += 1;
                let words = || {
                    format!(
                        "{}, {} %, {}, limit {at:.6}: {} -> {}: {:?} {:?} -> {:?} {:?}",
                        scale.words(),
                        question.certainty,
                        question.reads_to,
                        name(*low_index),
                        name(*high_index),
                        verdicts[0],
                        above[0],
                        verdicts[1],
                        above[1],
                    )
                };
                if strength(verdicts[1]) < strength(verdicts[0]) {
                    compared.weaker.push(words());
                }
                if matches!(above, [Some(a), Some(b)] if b < a - NOISE) {
                    compared.falls.push(words());
                }
            }
        }
    }
    compared
}

/// Rank of a verdict between "below" and "above".
fn strength(verdict: Option<Verdict>) -> i32 {
    match verdict {
        Some(Verdict::Below) => -1,
        Some(Verdict::Above) => 1,
        Some(Verdict::CannotTell) | None => 0,
    }
}
