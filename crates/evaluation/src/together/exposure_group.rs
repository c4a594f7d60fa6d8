//! The tests of EN 689:2018 for the exposure of people who do the same work: the preliminary test for 3 to 5 values, the
//! group test for 6 and more.
//!
//! Only over values that the survey says stand for a reference period each and belong to one exposure group. Bounds take part
//! with their ends, and no verdict rests on what a bound may stand for: see [`bounded`].

use stainbook_catalog::model::Limit;
use stainbook_catalog::written::{GroupRow, LimitKind};

use super::average::LONGEST_PERIOD;
use super::mixture::{positive_limit, speaks_to, the_limit};
use super::result::{Decision, GroupResult, GroupStatus, Test};
use super::{GroupMembers, doubts, one_gas, substance_model};
use crate::evaluate::Evaluator;
use crate::judgement;
use crate::outcome::{Code, Flag, MayRead, Refusal, Statement};

mod bounded;
mod group_test;
mod preliminary;

/// The test that the number of values calls for.
///
/// # Errors
///
/// A [`Refusal`]: the survey does not say that the values stand for reference periods of one group, there are fewer than
/// three, or all are the same.
pub(super) fn test(
    row: &GroupRow,
    evaluator: &Evaluator<'_>,
    parts: &GroupMembers<'_>,
    together: &mut GroupResult,
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
            Code::GroupNotStated,
            "the survey does not say whose exposure this is",
            "write under `exposure_group` which people do the same work in the same air; values of different groups are not tested together",
        ));
    }
    if row.represents_reference_period != Some(true) {
        return Err(Refusal::new(
            Code::NotForAPeriod,
            "the survey does not say that each value stands for a whole reference period",
            "write `represents_reference_period: true` if that is so; if not, measure over the period or put readings together by `method: average`",
        ));
    }
    if let Some(name) = &gas.stands_for_group {
        return Err(Refusal::new(
            Code::GroupOfGases,
            judgement::of_group(name, &gas.name),
            "measure the gas by itself",
        ));
    }
    let substance = substance_model(evaluator, &gas).ok_or_else(|| {
        Refusal::new(
            Code::SubstanceUnusable,
            format!("the entry of {} cannot be computed with", gas.name),
            "have the entry checked",
        )
    })?;
    let limit = the_limit(row.limit.as_ref(), &substance)?;
    if !matches!(limit.kind, LimitKind::EightHours | LimitKind::ShortTerm) {
        return Err(Refusal::new(
            Code::NotAnAverage,
            format!(
                "a limit of the kind {} has no reference period",
                limit.kind.name()
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
        together.flags.push(Flag::new(
            Code::IndicativeLongPeriod,
            "the values are averages over more than 15 minutes from short-term tubes (scope of ISO 17621): the test is indicative",
        ));
    }
    if let Some(flag) = together
        .flags
        .iter()
        .find(|flag| flag.code.may_read() != MayRead::AsGiven)
    {
        together.statements.push(Statement::new(
            Code::RestsOnDoubtful,
            format!("The test rests on a doubtful value: {}", flag.text),
        ));
    }
    together.statements.push(Statement::new(
        Code::GroupAsStated,
        "That the values stand for reference periods of one exposure group is said by the survey.",
    ));
    together.statements.push(Statement::new(
        Code::TestWithoutUncertainty,
        "The tests of EN 689 compare the values as they are; the uncertainty of each stands with its reading.",
    ));
    let mut done = match parts.len() {
        0..=2 => Err(Refusal::new(
            Code::TooFewValues,
            format!(
                "{} values are too few: the preliminary test needs 3",
                parts.len()
            ),
            "measure at least 3 times, on different days or shifts",
        )),
        n @ 3..=5 => Ok(vec![preliminary::preliminary(n, &parts, at, &limit)]),
        _ => group_test::group_test(&parts, at, &limit),
    }?;
    let doubtful = done
        .iter()
        .any(|test| test.decision == Decision::NotAsExpected);
    if doubtful {
        together.flags.push(Flag::new(
            Code::NotLognormal,
            "the values do not look lognormal, which the group test takes for granted: look at a probability plot, and at whether they are of one group",
        ));
    }
    for test in &mut done {
        withhold(test, &together.flags);
    }
    together.tests = done;
    together.status = GroupStatus::Measured;
    Ok(())
}

/// Withholds a decision that values do not bear which may have been read too low, or too high.
fn withhold(test: &mut Test, flags: &[Flag]) {
    let (doubts, act): (fn(MayRead) -> bool, _) = match test.decision {
        Decision::Compliance => (MayRead::too_low, ""),
        Decision::NonCompliance => (MayRead::too_high, "; act as if they did not comply"),
        _ => return,
    };
    if let Some(flag) = flags.iter().find(|flag| doubts(flag.code.may_read())) {
        test.decision = Decision::NoDecision;
        test.text = format!("{}; not to be relied on: {}{act}", test.text, flag.text);
    }
}

/// `0.1 times the US OSHA 8-hour average of 50 ppm`.
fn words(limit: &Limit) -> String {
    format!(
        "{} {} {}",
        limit.authority,
        limit.kind.name(),
        limit.at_most.text()
    )
}
