//! Repeats of one reading: their mean, and whether they differ by more than the sheet's repeatability explains.

use std::collections::BTreeMap;

use stainbook_catalog::written::Reading;
use stainbook_core::elementary::powi;
use stainbook_core::print;

use super::bounds::Bounds;
use super::correlated_estimate::{
    CorrelatedEstimate, GroupSource, Grows, SharedContribution, SourceKey,
};
use super::method::GroupMethod;
use super::result::{Decision, GroupResult, GroupStatus, NamedFigure, Test};
use super::{GroupInputs, GroupMember, GroupMembers, doubts, one_gas};
use crate::evaluate::Evaluator;
use crate::evaluated::Evaluated;
use crate::outcome::{Code, Flag, Refusal, Statement};
use stainbook_uncertainty::normal_range::critical_range;

/// Result of each set of repeats, in the order of the first reading of each.
pub(super) fn all(
    evaluator: &Evaluator<'_>,
    taken: &GroupInputs<'_>,
    results: &mut [Evaluated<'_>],
    parts: &GroupMembers<'_>,
) -> Vec<GroupResult> {
    sets(taken, results)
        .into_iter()
        .map(|ids| {
            let mut together = GroupResult::empty(&ids.join(" "), GroupMethod::Repeats);
            if let Err(refusal) = set(&ids, evaluator, results, parts, &mut together) {
                together.status = GroupStatus::Refused;
                together.refusal = Some(refusal);
            }
            together
        })
        .collect()
}

/// The readings that repeat each other, by name. A repeat of a repeat belongs to the same set.
fn sets(taken: &GroupInputs<'_>, results: &mut [Evaluated<'_>]) -> Vec<Vec<String>> {
    let repeat_of: BTreeMap<String, &str> = results
        .iter()
        .zip(&taken.readings)
        .filter_map(|(result, reading)| {
            let of = reading.and_then(|reading: &Reading| reading.repeat_of.as_deref())?;
            Some((result.id.clone(), of))
        })
        .collect();
    if repeat_of.is_empty() {
        return Vec::new();
    }
    let known: Vec<String> = results.iter().map(|result| result.id.clone()).collect();
    for result in results.iter_mut() {
        if let Some(of) = repeat_of.get(&result.id)
            && (!known.iter().any(|id| id == of) || *of == result.id)
        {
            result.raised_by_others.push(Flag::new(
                Code::RepeatOfUnknown,
                format!("it is said to repeat `{of}`, and there is no other reading of this name"),
            ));
        }
    }
    let first = |id: &str| {
        let mut first = id.to_owned();
        // Not more steps than there are readings: a circle ends as well.
        for _ in 0..known.len() {
            match repeat_of.get(&first) {
                Some(of) if known.iter().any(|id| id == of) => first = (*of).to_owned(),
                _ => break,
            }
        }
        first
    };
    let mut sets: Vec<(String, Vec<String>)> = Vec::new();
    for id in &known {
        let of = first(id);
        match sets.iter_mut().find(|(known, _)| *known == of) {
            Some((_, ids)) => ids.push(id.clone()),
            None => sets.push((of, vec![id.clone()])),
        }
    }
    sets.into_iter()
        .map(|(_, ids)| ids)
        .filter(|ids| 1 < ids.len())
        .collect()
}

fn set(
    ids: &[String],
    evaluator: &Evaluator<'_>,
    results: &[Evaluated<'_>],
    parts: &GroupMembers<'_>,
    together: &mut GroupResult,
) -> Result<(), Refusal> {
    "repeats of one reading".clone_into(&mut together.what);
    let draws = &parts.draws;
    let parts = parts.named(ids.iter())?;
    together.of = parts.iter().map(|(id, known)| known.member(id)).collect();
    let gas = one_gas(&parts)?;
    together.what = format!("mean of {} readings of {}", parts.len(), gas.name);
    together.substance = Some(gas.clone());
    together.flags = doubts(&parts);
    let count = f64::from(u32::try_from(parts.len()).unwrap_or(u32::MAX));
    let terms: Vec<(f64, &Bounds)> = parts
        .iter()
        .map(|(_, known)| (1.0 / count, &known.ends))
        .collect();
    let mut mean = Bounds::sum(&terms);
    let sheets: Vec<Option<&str>> = ids
        .iter()
        .map(|id| {
            let result = results.iter().find(|result| result.id == *id)?;
            result.sheet_id()
        })
        .collect();
    let one_sheet = sheets.windows(2).all(|pair| pair.first() == pair.last());
    let values: Option<Vec<&CorrelatedEstimate>> = parts
        .iter()
        .map(|(_, known)| known.ends.as_value())
        .collect();
    if let Some(values) = values {
        if one_sheet {
            let test = spread(&values, count, &mut mean, together);
            together.tests.push(test);
        } else {
            together.statements.push(Statement::new(
                Code::RepeatsOfSeveralSheets,
                "The tubes are of several sheets: their spread is not held against one sheet's repeatability.",
            ));
        }
    } else {
        together.statements.push(Statement::new(
            Code::RepeatsWithBounds,
            "Some repeats are bounds: the mean lies between the ends, and the spread is not tested.",
        ));
        contradictions(&parts, together);
    }
    together.statements.push(super::shared_statement());
    super::put(together, &mean, "ppm");
    together.against = super::against_directly(
        evaluator,
        &gas,
        &mean,
        &together.flags,
        "the bound of the mean",
    );
    draws.add(together, &mean, "ppm");
    Ok(())
}

/// The range of the values against what repeatability and reading explain. Where they differ by more, the mean gets the
/// spread as it was found.
fn spread(
    values: &[&CorrelatedEstimate],
    count: f64,
    mean: &mut Bounds,
    together: &mut GroupResult,
) -> Test {
    let numbers = || values.iter().map(|figure| figure.value);
    let centre = numbers().sum::<f64>() / count;
    let found = (numbers().map(|x| powi(x - centre, 2)).sum::<f64>() / (count - 1.0)).sqrt();
    let range = numbers().fold(f64::MIN, f64::max) - numbers().fold(f64::MAX, f64::min);
    let own = |figure: &CorrelatedEstimate| -> f64 {
        figure
            .sources
            .values()
            .filter(|part| part.source.explains_repeats())
            .map(|part| part.amount * part.amount)
            .sum()
    };
    let own_variance = values.iter().map(|figure| own(figure)).sum::<f64>() / count;
    let explained = own_variance.sqrt();
    let most = critical_range(values.len()) * explained;
    let too_far = most < range;
    if too_far {
        together.flags.push(Flag::new(
            Code::RepeatsDiffer,
            format!(
                "the readings differ by {} ppm, more than the {} ppm that repeatability and reading explain for {} readings: the air changed, or one of the tubes was drawn or read wrongly",
                print::to_significant(range, 3),
                print::to_significant(most, 3),
                values.len()
            ),
        ));
        if let Some(known) = mean.as_value().cloned() {
            let more = (found * found - own_variance).max(0.0) / count;
            let mut known = known;
            known.sources.insert(
                SourceKey::new(GroupSource::SpreadOfRepeats, together.id.clone()),
                SharedContribution {
                    source: GroupSource::SpreadOfRepeats,
                    amount: more.sqrt(),
                    words: "spread of the repeats beyond repeatability and reading".to_owned(),
                    readings: values.len(),
                    found_for: together.id.clone(),
                    degrees_of_freedom: count - 1.0,
                    grows: Grows::Not,
                },
            );
            *mean = Bounds::value(known);
        }
    }
    Test {
        name: "spread of repeats".to_owned(),
        decision: if too_far {
            Decision::NotAsExpected
        } else {
            Decision::AsExpected
        },
        text: format!(
            "the range of {} readings against the critical range for 95 % (after ISO 5725-6, from memory), with the sheet's repeatability and the reading between the marks as the standard deviation",
            values.len()
        ),
        figures: vec![
            NamedFigure::new("range", range, "ppm"),
            NamedFigure::new("critical range", most, "ppm"),
            NamedFigure::new("standard deviation found", found, "ppm"),
            NamedFigure::new("standard deviation explained", explained, "ppm"),
        ],
    }
}

/// A bound that a value contradicts by more than its uncertainty.
fn contradictions(parts: &[(&str, &GroupMember)], together: &mut GroupResult) {
    for (id, known) in parts {
        for (other, value) in parts
            .iter()
            .filter_map(|(other, known)| Some((other, known.ends.as_value()?)))
        {
            let within = 2.0 * value.standard();
            let too_high = known
                .ends
                .highest
                .as_ref()
                .is_some_and(|end| end.value < value.value - within);
            let too_low = known
                .ends
                .lowest
                .as_ref()
                .is_some_and(|end| value.value + within < end.value);
            if known.ends.as_value().is_none() && (too_high || too_low) {
                together.flags.push(Flag::new(
                    Code::RepeatsDiffer,
                    format!("{other} contradicts the bound of {id}: the air changed, or one of the tubes was drawn or read wrongly"),
                ));
            }
        }
    }
}
