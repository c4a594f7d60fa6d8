//! Gases with the same effect: the sum of the shares that each takes of its limit, against 1.
//!
//! `E = C₁/L₁ + C₂/L₂ + …`. Source: 29 CFR 1910.1000(d)(2)(i). That the gases act alike is for the user to say; the limits
//! are of one authority and one kind, since only those are set by one yardstick.

use stainbook_catalog::model::{Limit, Substance};
use stainbook_catalog::written::{GroupRow, LimitChoice, LimitKind};

use super::average::{duration, period_of, same_period};
use super::bounds::Bounds;
use super::result::{GroupResult, Member};
use super::{GroupMember, GroupMembers, doubts, substance_model};
use crate::evaluate::Evaluator;
use crate::judgement::{self, JudgedFigure, settings};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::{LimitComparison, LimitUsed, Recorded};

/// The sum of shares.
///
/// # Errors
///
/// A [`Refusal`]: the survey does not say that the gases act alike, two readings are of one gas, a gas has no such limit or
/// several, or a reading cannot speak to a limit of this kind.
pub(super) fn mixture(
    row: &GroupRow,
    evaluator: &Evaluator<'_>,
    parts: &GroupMembers<'_>,
    together: &mut GroupResult,
) -> Result<(), Refusal> {
    let draws = &parts.draws;
    let parts = parts.named(row.readings.iter().chain(&row.averages))?;
    together.of = parts.iter().map(|(id, known)| known.member(id)).collect();
    let names: Vec<&str> = parts
        .iter()
        .map(|(_, known)| known.substance.name.as_str())
        .collect();
    together.what = format!("sum of the shares of {}", names.join(" and "));
    let effect = row
        .same_effect
        .as_deref()
        .map(str::trim)
        .unwrap_or_default();
    if effect.is_empty() {
        return Err(Refusal::new(
            Code::SameEffectNotStated,
            "the survey does not say that these gases act alike",
            "write under `same_effect` what they do alike, as somebody who may say so has judged; gases that do not are each compared with their own limit",
        ));
    }
    if parts.len() < 2 {
        return Err(Refusal::new(
            Code::MixtureOfOne,
            "one gas is no mixture",
            "name a reading or an average for each gas",
        ));
    }
    let choice = row.limit.as_ref();
    let mut terms: Vec<(f64, &Bounds)> = Vec::new();
    let mut limits: Vec<(&str, Limit)> = Vec::new();
    for ((id, known), member) in parts.iter().zip(&mut together.of) {
        let substance = substance_model(evaluator, &known.substance).ok_or_else(|| {
            Refusal::new(
                Code::SubstanceUnusable,
                format!(
                    "the entry of {} cannot be computed with",
                    known.substance.name
                ),
                "have the entry checked",
            )
        })?;
        if let Some((other, _)) = limits
            .iter()
            .find(|(other, _)| *other == known.substance.id)
        {
            return Err(Refusal::new(
                Code::GasNamedTwice,
                format!("two of the parts are of {other}"),
                "name one reading or average for each gas; put several readings together by `method: average` first",
            ));
        }
        if let Some(group) = &known.substance.stands_for_group {
            return Err(Refusal::new(
                Code::GroupInMixture,
                judgement::of_group(group, &known.substance.name),
                "measure the gases of the group one by one",
            ));
        }
        let limit = the_limit(choice, &substance)?;
        speaks_to(id, known, &limit)?;
        let ppm = positive_limit(&limit, &substance)?;
        terms.push((1.0 / ppm, &known.ends));
        share(member, known, &limit, &substance, ppm);
        limits.push((&known.substance.id, limit));
    }
    one_authority_and_kind(&limits)?;
    let sum = Bounds::sum(&terms);
    together.flags = doubts(&parts);
    together.indicative = parts.iter().any(|(_, known)| {
        known
            .averaged_over
            .is_some_and(|over| super::average::LONGEST_PERIOD < over)
    });
    if together.indicative {
        together.flags.push(Flag::new(
            Code::IndicativeLongPeriod,
            "averages over more than 15 minutes from short-term tubes are indicative (scope of ISO 17621), and so is their sum",
        ));
    }
    together.statements.push(Statement::new(
        Code::SameEffectAsStated,
        format!("That these gases act alike ({effect}) is said by the survey."),
    ));
    together.statements.push(super::shared_statement());
    super::put(together, &sum, "1");
    let mut against = of_one(limits.first().map(|(_, limit)| limit), limits.len());
    let figure = JudgedFigure {
        span: sum.span(),
        bound_words: "the bound of the sum",
        flags: &together.flags,
    };
    judgement::decide(&mut against, &figure, 1.0, &evaluator.settings());
    against.directly_comparable = !together.indicative;
    together.against = vec![against];
    draws.add(together, &sum, "1");
    Ok(())
}

/// The one limit of a gas that is meant.
///
/// # Errors
///
/// A [`Refusal`]: the choice is not one authority and one kind, or the gas has no such limit, or several.
pub(super) fn the_limit(
    choice: Option<&LimitChoice>,
    substance: &Substance,
) -> Result<Limit, Refusal> {
    let narrow = choice.filter(|choice| {
        choice.kind.is_some() && (choice.authority.is_some() || choice.source.is_some())
    });
    let Some(choice) = narrow else {
        return Err(Refusal::new(
            Code::LimitNotStated,
            "it does not say which limits are meant",
            "write `limit` with `authority` (or `source`) and `kind`, as in `limit: {authority: US OSHA, kind: 8-hour average}`",
        ));
    };
    let mut found = substance
        .limits
        .iter()
        .filter(|limit| settings::is(choice, limit));
    match (found.next(), found.next()) {
        (Some(limit), None) => Ok(limit.clone()),
        (None, _) => Err(Refusal::new(
            Code::NoSuchLimit,
            format!(
                "{} has no {} limit",
                substance.name,
                settings::words(choice)
            ),
            "name an authority and a kind of limit that every gas here has; `stainbook sheet` shows the limits of a gas",
        )),
        (Some(_), Some(_)) => Err(Refusal::new(
            Code::SeveralSuchLimits,
            format!(
                "{} has several {} limits",
                substance.name,
                settings::words(choice)
            ),
            "name the `source` as well",
        )),
    }
}

/// The limit in ppm, at its own conditions.
///
/// # Errors
///
/// A [`Refusal`]: the source does not say at which conditions its mg/m³ are meant, or the limit is zero.
pub(super) fn positive_limit(limit: &Limit, substance: &Substance) -> Result<f64, Refusal> {
    judgement::limit_in_ppm(limit, substance)
        .filter(|ppm| 0.0 < *ppm)
        .ok_or_else(|| {
            Refusal::new(
                Code::LimitNotComparable,
                format!(
                    "the limit of {}, {}, cannot be compared with: {}",
                    substance.name,
                    limit.at_most.text(),
                    judgement::NO_CONDITIONS_OF_LIMIT
                ),
                "state the conditions in the entry of the source",
            )
        })
}

/// A reading speaks to ceilings and short-term limits, an average to limits over its own period; neither to the other.
///
/// # Errors
///
/// A [`Refusal`] that says which it would have to be.
pub(super) fn speaks_to(id: &str, known: &GroupMember, limit: &Limit) -> Result<(), Refusal> {
    let kind = limit.kind.name();
    match (known.averaged_over, period_of(limit)) {
        (None, Some(period)) if limit.kind == LimitKind::EightHours => Err(Refusal::new(
            Code::ReadingAgainstLongLimit,
            format!(
                "reading `{id}` is of minutes, the limit of {} is an average over {}",
                known.substance.name,
                duration(period)
            ),
            "put the readings of the shift together by `method: average`, and name that average under `averages`",
        )),
        (None, _) => Ok(()),
        (Some(over), Some(period)) if same_period(over, period) => Ok(()),
        (Some(over), Some(period)) => Err(Refusal::new(
            Code::PeriodDiffers,
            format!(
                "`{id}` is an average over {}, the limit of {} is one over {}",
                duration(over),
                known.substance.name,
                duration(period)
            ),
            "average over the period of the limit",
        )),
        (Some(over), None) => Err(Refusal::new(
            Code::AverageAgainstCeiling,
            format!(
                "`{id}` is an average over {}; a limit of the kind {kind} is not for averages",
                duration(over)
            ),
            "name the readings themselves",
        )),
    }
}

fn share(member: &mut Member, known: &GroupMember, limit: &Limit, substance: &Substance, ppm: f64) {
    let ends = known.ends.numbers();
    member.limit = Some(judgement::not_yet(limit, substance).limit);
    member.share = Some(super::result::EndsOf {
        lowest: ends.lowest.map(|lowest| lowest / ppm),
        highest: ends.highest.map(|highest| highest / ppm),
    });
}

/// # Errors
///
/// A [`Refusal`] if the limits are not of one authority.
fn one_authority_and_kind(limits: &[(&str, Limit)]) -> Result<(), Refusal> {
    let Some((_, first)) = limits.first() else {
        return Ok(());
    };
    let other = limits
        .iter()
        .find(|(_, limit)| limit.authority != first.authority || limit.kind != first.kind);
    match other {
        None => Ok(()),
        Some((_, other)) => Err(Refusal::new(
            Code::LimitsOfTwoAuthorities,
            format!(
                "the limits are of {} and of {}",
                first.authority, other.authority
            ),
            "name limits of one authority and one kind",
        )),
    }
}

/// The sum is compared with 1.
fn of_one(first: Option<&Limit>, gases: usize) -> LimitComparison {
    let (authority, kind, source) = first.map_or_else(Default::default, |limit| {
        (
            limit.authority.clone(),
            limit.kind.name().to_owned(),
            limit.source.clone(),
        )
    });
    LimitComparison {
        limit: LimitUsed {
            text: "1".to_owned(),
            value: 1.0,
            unit: "1".to_owned(),
            kind: Recorded::Other(format!("sum of {gases} shares of the {kind} limits")),
            averaged_over: None,
            authority,
            edition: String::new(),
            catalog: first.map(|limit| limit.catalog.clone()).unwrap_or_default(),
            replaces: None,
            as_ppm: None,
        },
        source,
        directly_comparable: true,
        probability_above: None,
        by: None,
        verdict: None,
        reason: None,
        act_as_if: None,
        said_beside: Vec::new(),
        other_period: None,
    }
}
