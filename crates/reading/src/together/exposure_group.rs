//! The tests of EN 689:2018 for the exposure of people who do the same work: the preliminary test for 3 to 5 values, the
//! group test for 6 and more.
//!
//! Only over values that the survey says stand for a reference period each and belong to one exposure group. Sources: the
//! preliminary test's 3 values below 0.1, 4 below 0.15 and 5 below 0.2 of the limit: 4 and 0.15 seen in a public R package
//! that follows the standard, the others from memory, as is strictly below rather than at or below; the group test: the same
//! package, and see [`super::tolerance_factor`].

use stainbook_catalog::model::Limit;
use stainbook_catalog::written::{LimitKind, Together as Row};
use stainbook_core::print;

use super::average::LONGEST_PERIOD;
use super::mixture::{positive_limit, speaks_to, the_limit};
use super::result::{Decision, Named, Outcome, Test, Together};
use super::shapiro_wilk::shapiro_wilk;
use super::tolerance_factor::tolerance_factor;
use super::{Known, Parts, doubts, one_gas, substance_model};
use crate::evaluate::Evaluator;
use crate::judgement;
use crate::result::{Refusal, Remark};

/// The preliminary test: how many values, and below which part of the limit all of them have to be.
const PRELIMINARY: [(usize, f64); 3] = [(3, 0.1), (4, 0.15), (5, 0.2)];

/// Below this probability values are called not lognormal. Common practice.
const LEVEL: f64 = 0.05;

/// The test that the number of values calls for.
///
/// # Errors
///
/// A [`Refusal`]: the survey does not say that the values stand for reference periods of one group, there are fewer than
/// three, or the group test meets a bound.
pub(super) fn test(
    row: &Row,
    evaluator: &Evaluator<'_>,
    parts: &Parts,
    together: &mut Together,
) -> Result<(), Refusal> {
    let parts = parts.named(row.readings.iter().chain(&row.averages))?;
    together.of = parts.iter().map(|(id, known)| known.member(id)).collect();
    let gas = one_gas(&parts)?;
    let group = row
        .exposure_group
        .as_deref()
        .map(str::trim)
        .unwrap_or_default();
    together.what = if group.is_empty() {
        format!("exposure to {}", gas.name)
    } else {
        format!("exposure of {group} to {}", gas.name)
    };
    together.substance = Some(gas.clone());
    if group.is_empty() {
        return Err(Refusal::new(
            "group-not-stated",
            "the survey does not say whose exposure this is",
            "write under `exposure_group` which people do the same work in the same air; values of different groups are not tested together",
        ));
    }
    if row.represents_reference_period != Some(true) {
        return Err(Refusal::new(
            "not-for-a-period",
            "the survey does not say that each value stands for a whole reference period",
            "write `represents_reference_period: true` if that is so; if not, measure over the period or put readings together by `method: average`",
        ));
    }
    if let Some(name) = &gas.stands_for_group {
        return Err(Refusal::new(
            "group-of-gases",
            judgement::of_group(name, &gas.name),
            "measure the gas by itself",
        ));
    }
    let substance = substance_model(evaluator, &gas).ok_or_else(|| {
        Refusal::new(
            "substance-unusable",
            format!("the entry of {} cannot be computed with", gas.name),
            "have the entry checked",
        )
    })?;
    let limit = the_limit(row.limit.as_ref(), &substance)?;
    if !matches!(limit.kind, LimitKind::EightHours | LimitKind::ShortTerm) {
        return Err(Refusal::new(
            "not-an-average",
            format!(
                "a limit of the kind {} has no reference period",
                judgement::kind_name(limit.kind)
            ),
            "each reading is compared with it by itself; name an 8-hour average or a short-term limit here",
        ));
    }
    for (id, known) in &parts {
        speaks_to(id, known, &limit)?;
    }
    let at = positive_limit(&limit, &substance)?;
    together.flags = doubts(&parts);
    together.indicative =
        super::average::period_of(&limit).is_some_and(|over| LONGEST_PERIOD * (1.0 + 1e-9) < over);
    if together.indicative {
        together.flags.push(Remark::new(
            "indicative-long-period",
            "the values are averages over more than 15 minutes from short-term tubes (scope of ISO 17621): the test is indicative",
        ));
    }
    if let Some(flag) = together
        .flags
        .iter()
        .find(|flag| flag.code != "indicative-long-period")
    {
        together.statements.push(Remark::new(
            "rests-on-doubtful",
            format!("The test rests on a doubtful value: {}", flag.text),
        ));
    }
    together.statements.push(Remark::new(
        "group-as-stated",
        "That the values stand for reference periods of one exposure group is said by the survey.",
    ));
    together.statements.push(Remark::new(
        "test-without-uncertainty",
        "The tests of EN 689 compare the values as they are; the uncertainty of each stands with its reading.",
    ));
    let done = match parts.len() {
        0..=2 => Err(Refusal::new(
            "too-few-values",
            format!(
                "{} values are too few: the preliminary test needs 3",
                parts.len()
            ),
            "measure at least 3 times, on different days or shifts",
        )),
        n @ 3..=5 => Ok(vec![preliminary(n, &parts, at, &limit)]),
        _ => group_test(&parts, at, &limit),
    }?;
    let doubtful = done
        .iter()
        .any(|test| test.decision == Decision::NotAsExpected);
    if doubtful {
        together.flags.push(Remark::new(
            "not-lognormal",
            "the values do not look lognormal, which the group test takes for granted: look at a probability plot, and at whether they are of one group",
        ));
    }
    together.tests = done;
    together.status = Outcome::Measured;
    Ok(())
}

/// `0.1 times the US OSHA 8-hour average of 50 ppm`.
fn words(limit: &Limit) -> String {
    format!(
        "{} {} {}",
        limit.authority,
        judgement::kind_name(limit.kind),
        limit.at_most.text()
    )
}

fn preliminary(n: usize, parts: &[(&str, &Known)], at: f64, limit: &Limit) -> Test {
    let part = PRELIMINARY
        .iter()
        .find(|(of, _)| *of == n)
        .map_or(0.0, |(_, part)| *part);
    let below = |known: &Known| {
        known
            .ends
            .highest
            .as_ref()
            .is_some_and(|highest| highest.value < part * at)
    };
    let above = |known: &Known| {
        known
            .ends
            .lowest
            .as_ref()
            .is_some_and(|lowest| at < lowest.value)
    };
    let too_high: Vec<&str> = parts
        .iter()
        .filter(|(_, known)| above(known))
        .map(|(id, _)| *id)
        .collect();
    let factor = print::number(part);
    let (decision, text) = if !too_high.is_empty() {
        (
            Decision::NonCompliance,
            format!("{} above the limit, {}", too_high.join(", "), words(limit)),
        )
    } else if parts.iter().all(|(_, known)| below(known)) {
        (
            Decision::Compliance,
            format!(
                "all {n} values are below {factor} times the limit, {}",
                words(limit)
            ),
        )
    } else {
        (
            Decision::NoDecision,
            format!(
                "not all {n} values are below {factor} times the limit, {}, and none is clearly above it: measure further, at least 6 values in all, for the group test",
                words(limit)
            ),
        )
    };
    let highest = parts
        .iter()
        .filter_map(|(_, known)| Some(known.ends.highest.as_ref()?.value))
        .fold(0.0, f64::max);
    Test {
        name: "EN 689 preliminary test".to_owned(),
        decision,
        text,
        figures: vec![
            Named::new("limit", at, "ppm"),
            Named::new("all below", part * at, "ppm"),
            Named::new("highest value or bound", highest, "ppm"),
        ],
    }
}

fn group_test(parts: &[(&str, &Known)], at: f64, limit: &Limit) -> Result<Vec<Test>, Refusal> {
    let logs = parts
        .iter()
        .map(|(id, known)| {
            known
                .ends
                .as_value()
                .map(|value| value.value.ln())
                .filter(|log| log.is_finite())
                .ok_or_else(|| {
                    Refusal::new(
                        "bound-in-group-test",
                        format!("`{id}` is a bound, and the group test needs values: what stands in for a bound decides its outcome"),
                        "repeat it with the stroke count that gives a value; bounds far below the limit can be judged by the preliminary test, 3 to 5 at a time as measured",
                    )
                })
        })
        .collect::<Result<Vec<f64>, _>>()?;
    let Some((of, factor)) = tolerance_factor(logs.len()) else {
        return Err(Refusal::new(
            "too-few-values",
            "the group test needs 6 values",
            "measure further",
        ));
    };
    let count = f64::from(u32::try_from(logs.len()).unwrap_or(u32::MAX));
    let mean = logs.iter().sum::<f64>() / count;
    let spread = (logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
    if spread < 1e-9 {
        return Err(Refusal::new(
            "no-spread",
            "all values are the same: they are read too coarsely for the group test, which lives on their spread",
            "read between the marks, or measure with a finer scale",
        ));
    }
    let u = (at.ln() - mean) / spread;
    let upper = (mean + factor * spread).exp();
    let decision = if factor <= u {
        Decision::Compliance
    } else {
        Decision::NonCompliance
    };
    let than = if factor <= u { "at least" } else { "less than" };
    let mut tests = vec![Test {
        name: "EN 689 group test".to_owned(),
        decision,
        text: format!(
            "U_R = {} is {than} U_T = {} for {of} values, against the limit, {}",
            print::to_significant(u, 4),
            print::to_decimals(factor, 3),
            words(limit)
        ),
        figures: vec![
            Named::new("limit", at, "ppm"),
            Named::new("geometric mean", mean.exp(), "ppm"),
            Named::new("geometric standard deviation", spread.exp(), "1"),
            Named::new("U_R", u, "1"),
            Named::new("U_T", factor, "1"),
            Named::new(
                "upper limit of the 95th percentile, 70 % confidence",
                upper,
                "ppm",
            ),
        ],
    }];
    if let Some(tested) = shapiro_wilk(&logs) {
        let normal = LEVEL <= tested.p;
        tests.push(Test {
            name: "Shapiro-Wilk".to_owned(),
            decision: if normal {
                Decision::AsExpected
            } else {
                Decision::NotAsExpected
            },
            text: format!(
                "the logarithms of the values {}; with few values the test sees little, so look at a probability plot as well",
                if normal {
                    "may well be normally distributed"
                } else {
                    "are hardly normally distributed"
                }
            ),
            figures: vec![Named::new("W", tested.w, "1"), Named::new("p", tested.p, "1")],
        });
    }
    Ok(tests)
}
