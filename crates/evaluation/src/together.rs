//! Several readings judged together: averages over time, mixtures of gases that act alike, the tests of EN 689, gases that
//! disturb each other's tubes, repeats and blanks.
//!
//! The survey says which readings belong together; it is never guessed. Less-than and more-than results are carried as
//! bounds, and a verdict then holds for both ends. What several readings have in common (scale and lot, the pump) does not
//! average out; [`result`] has what comes out.

use std::collections::BTreeMap;

use stainbook_catalog::model::Substance;
use stainbook_catalog::written::{Conditions, GroupRow, Reading, TogetherMethod};

use crate::evaluate::Evaluator;
use crate::evaluated::Evaluated;
use crate::judgement::{self, JudgedFigure, doubtful};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::{LimitComparison, SubstanceUsed};
use crate::survey_faults::TogetherFault;

pub(crate) mod average;
mod blanks;
mod bounds;
mod correlated_estimate;
mod exposure_group;
mod group_draws;
mod leak_tests;
pub(crate) mod method;
mod mixture;
mod mutual;
mod repeats;
pub mod result;

use bounds::Bounds;
use correlated_estimate::CorrelatedEstimate;
use group_draws::GroupDraws;
use method::GroupMethod;
use result::{GroupResult, Member};

/// The readings as typed, in the order of the results, and the rows that say which of them belong together.
pub(crate) struct GroupInputs<'s> {
    /// The readings; none for a row that could not be read.
    pub(crate) readings: Vec<Option<&'s Reading>>,
    /// The conditions that stand once.
    pub(crate) conditions: &'s Conditions,
    /// Initials of the reader.
    pub(crate) by: Option<&'s str>,
    /// The survey's rows of readings together.
    pub(crate) rows: &'s [GroupRow],
    /// Faults of the rows, by their index.
    pub(crate) faults: BTreeMap<usize, &'s TogetherFault>,
}

/// Everything that several readings say together, in this order: blanks, repeats, then the survey's rows in their order.
///
/// Results learn from it what concerns them alone: that their pump leaked that day, that a blank of their lot was stained, that another gas of the survey
/// disturbs their tube.
pub(crate) fn all<'b>(
    evaluator: &Evaluator<'b>,
    taken: &GroupInputs<'_>,
    results: &mut [Evaluated<'b>],
) -> Vec<GroupResult> {
    leak_tests::carry(taken, results);
    let mut together = blanks::all(taken, results);
    // What is solved for stands in place of the readings it was solved from, wherever the row stands.
    let mut parts = GroupMembers::of(taken, results, evaluator);
    let mut solved: BTreeMap<usize, GroupResult> = BTreeMap::new();
    for (index, row) in taken.rows.iter().enumerate() {
        if row.method == Some(TogetherMethod::MutualInterference) {
            let fault = taken.faults.get(&index).copied();
            // Solving changes the results, so that nothing is solved that is refused.
            let done = finished(row, fault, |together| match fault {
                Some(_) => Ok(()),
                None => mutual::solve(row, evaluator, taken, results, &mut parts, together),
            });
            solved.insert(index, done);
        }
    }
    together.extend(repeats::all(evaluator, taken, results, &parts));
    for (index, row) in taken.rows.iter().enumerate() {
        let fault = taken.faults.get(&index).copied();
        let done = match row.method {
            Some(TogetherMethod::Average) => finished(row, fault, |together| {
                let ends = average::average(row, evaluator, &parts, together)?;
                if fault.is_none() {
                    parts.add_average(row, together, ends);
                }
                Ok(())
            }),
            Some(TogetherMethod::Mixture) => finished(row, fault, |together| {
                mixture::mixture(row, evaluator, &parts, together)
            }),
            Some(TogetherMethod::ExposureGroup) => finished(row, fault, |together| {
                exposure_group::test(row, evaluator, &parts, together)
            }),
            Some(TogetherMethod::MutualInterference) => match solved.remove(&index) {
                Some(done) => done,
                None => continue,
            },
            None => finished(row, fault, |_| {
                Err(Refusal::new(
                    Code::TogetherUnreadable,
                    "it does not say what is done with the readings",
                    "write `method`: `average`, `mixture`, `exposure group` or `mutual interference`",
                ))
            }),
        };
        together.push(done);
    }
    together
}

/// A row worked out. What a rule calls wrong counts where working the row out gives no reason of its own; where something
/// that was written is not known, the rest is not worked out at all.
fn finished(
    row: &GroupRow,
    fault: Option<&TogetherFault>,
    fill: impl FnOnce(&mut GroupResult) -> Result<(), Refusal>,
) -> GroupResult {
    let mut together = GroupResult::empty(
        row.id.as_deref().unwrap_or_default(),
        row.method.map_or(GroupMethod::NotStated, GroupMethod::from),
    );
    let refused = |fault: &TogetherFault| Err(fault.refusal.clone());
    let filled = match fault {
        Some(fault) if fault.unreadable => refused(fault),
        Some(fault) => fill(&mut together).and_then(|()| refused(fault)),
        None => fill(&mut together),
    };
    if let Err(refusal) = filled {
        together = GroupResult {
            status: result::GroupStatus::Refused,
            refusal: Some(refusal),
            unit: None,
            value: None,
            lowest: None,
            highest: None,
            text: None,
            with_uncertainty: result::EndsOf::default(),
            uncertainty: None,
            monte_carlo: None,
            against: Vec::new(),
            ..together
        };
    }
    together
}

/// Possible members of a row: readings, and averages of rows above it.
struct GroupMembers<'b> {
    found: BTreeMap<String, Result<GroupMember, Refusal>>,
    /// Models for draws of their figures.
    draws: GroupDraws<'b>,
}

/// A reading or an average.
#[derive(Clone, Debug)]
struct GroupMember {
    substance: SubstanceUsed,
    ends: Bounds,
    minutes: Option<f64>,
    /// The period of an average, in minutes; nothing for a reading.
    averaged_over: Option<f64>,
    /// Flags that make a verdict doubtful.
    flags: Vec<Flag>,
    blank: bool,
}

impl<'b> GroupMembers<'b> {
    fn of(taken: &GroupInputs<'_>, results: &[Evaluated<'b>], evaluator: &Evaluator<'b>) -> Self {
        let mut found = BTreeMap::new();
        for (result, reading) in results.iter().zip(&taken.readings) {
            let known = reading_known(result, *reading);
            // Of two readings with one name neither is meant.
            if found.insert(result.id.clone(), known).is_some() {
                found.insert(
                    result.id.clone(),
                    Err(Refusal::new(
                        Code::IdRepeated,
                        format!("two readings of the survey are called `{}`", result.id),
                        "give each reading an `id` of its own",
                    )),
                );
            }
        }
        let readings = results.iter().zip(taken.readings.iter().copied());
        Self {
            found,
            draws: GroupDraws::of(evaluator.monte_carlo(), readings),
        }
    }

    fn add_average(&mut self, row: &GroupRow, together: &GroupResult, ends: Bounds) {
        let (Some(id), Some(substance), Some(period)) =
            (&row.id, &together.substance, &together.period)
        else {
            return;
        };
        self.found.insert(
            id.clone(),
            Ok(GroupMember {
                substance: substance.clone(),
                ends,
                minutes: None,
                averaged_over: Some(period.over),
                flags: together.flags.clone(),
                blank: false,
            }),
        );
    }

    /// The parts of these names.
    ///
    /// # Errors
    ///
    /// A [`Refusal`]: there is none of a name, it was refused itself, it is a blank, or a name stands twice.
    fn named<'n>(
        &self,
        names: impl Iterator<Item = &'n String>,
    ) -> Result<Vec<(&'n str, &GroupMember)>, Refusal> {
        let mut parts: Vec<(&str, &GroupMember)> = Vec::new();
        for name in names {
            if parts.iter().any(|(known, _)| known == name) {
                return Err(Refusal::new(
                    Code::ReadingNamedTwice,
                    format!("`{name}` is named twice"),
                    "name each reading once",
                ));
            }
            let known = match self.found.get(name) {
                Some(Ok(known)) => known,
                Some(Err(refusal)) => return Err(refusal.clone()),
                None => {
                    return Err(Refusal::new(
                        Code::ReadingUnknown,
                        format!("there is no reading `{name}`, and no average of this name above"),
                        "write the `id` of a reading under `readings`, or that of an average that stands above under `averages`",
                    ));
                }
            };
            if known.blank {
                return Err(Refusal::new(
                    Code::BlankAmongReadings,
                    format!("`{name}` is a blank: it says nothing about the air of the workplace"),
                    "take it off the list",
                ));
            }
            parts.push((name, known));
        }
        if parts.is_empty() {
            return Err(Refusal::new(
                Code::NoReadings,
                "no reading is named",
                "name the readings by their `id`",
            ));
        }
        Ok(parts)
    }
}

fn reading_known(
    result: &Evaluated<'_>,
    reading: Option<&Reading>,
) -> Result<GroupMember, Refusal> {
    let id = &result.id;
    if let Some(refusal) = result.refusal() {
        return Err(Refusal::new(
            Code::ReadingRefused,
            format!("reading `{id}` has no result: {}", refusal.text),
            refusal.remedy,
        ));
    }
    let (Some(reading), Some(substance)) = (reading, result.record.substance.clone()) else {
        return Err(Refusal::new(
            Code::ReadingRefused,
            format!("reading `{id}` has no result"),
            "look at the reading itself",
        ));
    };
    let ends = Bounds::of(result, reading).ok_or_else(|| {
        Refusal::new(
            Code::ReadingWithoutVolumeFraction,
            format!("the result of `{id}` cannot be given as a volume fraction"),
            "state the air temperature and the station pressure (an altitude is enough)",
        )
    })?;
    Ok(GroupMember {
        substance,
        ends,
        minutes: reading
            .stands_for
            .as_ref()
            .map(|period| period.value().minutes()),
        averaged_over: None,
        flags: doubtful::among(result),
        blank: reading.blank == Some(true),
    })
}

impl GroupMember {
    fn member(&self, id: &str) -> Member {
        Member {
            id: id.to_owned(),
            substance: Some(self.substance.id.clone()),
            status: self.ends.status(),
            ends: self.ends.numbers(),
            minutes: self.minutes,
            limit: None,
            share: None,
        }
    }
}

/// The one gas of several parts.
fn one_gas(parts: &[(&str, &GroupMember)]) -> Result<SubstanceUsed, Refusal> {
    let first = parts.first().map(|(_, known)| &known.substance);
    let other = parts
        .iter()
        .map(|(_, known)| &known.substance)
        .find(|substance| Some(*substance) != first);
    match (first, other) {
        (Some(first), None) => Ok(first.clone()),
        (Some(first), Some(other)) => Err(Refusal::new(
            Code::SeveralGases,
            format!(
                "the readings are of several gases: {} and {}",
                first.name, other.name
            ),
            "name readings of one gas; for gases that act alike use `method: mixture`",
        )),
        (None, _) => Err(Refusal::new(
            Code::NoReadings,
            "no reading is named",
            "name the readings by their `id`",
        )),
    }
}

/// The doubts about all parts, each once.
fn doubts(parts: &[(&str, &GroupMember)]) -> Vec<Flag> {
    let mut doubts: Vec<Flag> = Vec::new();
    for flag in parts.iter().flat_map(|(_, known)| &known.flags) {
        if !doubts.contains(flag) {
            doubts.push(flag.clone());
        }
    }
    doubts
}

/// The gas with its limits, as the catalog has it.
fn substance_model(evaluator: &Evaluator<'_>, used: &SubstanceUsed) -> Option<Substance> {
    evaluator.book().substance_model(&used.id).ok()
}

/// Compares with the short-term, ceiling and danger limits, as a single reading is.
fn against_directly(
    evaluator: &Evaluator<'_>,
    used: &SubstanceUsed,
    ends: &Bounds,
    flags: &[Flag],
    bound_words: &str,
) -> Vec<LimitComparison> {
    use stainbook_catalog::written::LimitKind;
    let Some(substance) = substance_model(evaluator, used) else {
        return Vec::new();
    };
    let settings = evaluator.settings();
    substance
        .limits
        .iter()
        .filter(|limit| limit.kind != LimitKind::EightHours)
        .filter(|limit| settings.names(limit) || limit.kind == LimitKind::Danger)
        .map(|limit| {
            let mut against = judgement::not_yet(limit, &substance);
            if let Some(group) = &used.stands_for_group {
                return judgement::not_compared(against, judgement::of_group(group, &used.name));
            }
            let Some(at) = against.limit.as_ppm else {
                return judgement::not_compared(
                    against,
                    judgement::NO_CONDITIONS_OF_LIMIT.to_owned(),
                );
            };
            let figure = JudgedFigure {
                span: ends.span(),
                bound_words,
                flags,
            };
            judgement::decide(&mut against, &figure, at, &settings);
            against
        })
        .collect()
}

/// Writes a figure, or its bounds, with its uncertainty.
fn put(together: &mut GroupResult, ends: &Bounds, unit: &str) {
    let numbers = ends.numbers();
    together.status = ends.outcome();
    together.unit = Some(unit.to_owned());
    together.value = ends.as_value().map(|known| known.value);
    together.lowest = numbers.lowest;
    together.highest = numbers.highest;
    together.text = Some(ends.text());
    together.with_uncertainty = ends.with_uncertainty();
    together.uncertainty = ends.as_value().map(CorrelatedEstimate::uncertainty);
}

/// Statement about the causes taken as common to several readings.
fn shared_statement() -> Statement {
    Statement::new(
        Code::SharedUncertainty,
        "Accuracy of scale and lot, the strokes of one pump, the sheet's tables and factors, thermometer, hygrometer and barometer are taken as common to all readings that share them and do not average out; reading, front and repeatability are each reading's own.",
    )
}
