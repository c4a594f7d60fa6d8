//! The average over a period of readings that each stand for a time.
//!
//! `(C₁·T₁ + C₂·T₂ + …) / period`. Source: 29 CFR 1910.1000(d)(1)(i). The rule counts time without a reading as without
//! exposure; here the survey has to say so, and otherwise the average has no upper bound.

use stainbook_catalog::model::Limit;
use stainbook_catalog::written::{GroupRow, LimitKind, Rest};
use stainbook_core::{Duration, exposure::SHIFT_HOURS, print};

use super::bounds::Bounds;
use super::result::{GroupResult, Period, RestTaken};
use super::{GroupMembers, doubts, one_gas, substance_model};
use crate::evaluate::Evaluator;
use crate::judgement::{self, JudgedFigure};
use crate::outcome::{Code, Flag, Refusal, Statement};
use crate::result::LimitComparison;

/// The longest reference period that detector tubes for short-term measurement are meant for, in minutes. Source: scope of
/// ISO 17621:2015.
pub(crate) const LONGEST_PERIOD: f64 = 15.0;

/// Relative tolerance of sums of minutes, for rounding.
const ROUNDING: f64 = 1e-9;

/// The average over the period that the row states.
///
/// # Errors
///
/// A [`Refusal`]: a reading is missing or refused, or does not say how long it stands for.
pub(super) fn average(
    row: &GroupRow,
    evaluator: &Evaluator<'_>,
    parts: &GroupMembers<'_>,
    together: &mut GroupResult,
) -> Result<Bounds, Refusal> {
    let draws = &parts.draws;
    let parts = parts.named(row.readings.iter())?;
    together.of = parts.iter().map(|(id, known)| known.member(id)).collect();
    let gas = one_gas(&parts)?;
    let over = row
        .over
        .as_ref()
        .map_or(SHIFT_HOURS * 60.0, |over| over.value().minutes());
    together.what = format!("{} average of {}", duration(over), gas.name);
    together.substance = Some(gas.clone());
    let times = parts
        .iter()
        .map(|(id, known)| {
            known.minutes.filter(|minutes| 0.0 < *minutes).ok_or_else(|| {
                Refusal::new(
                    Code::TimeMissing,
                    format!("reading `{id}` does not say how long it stands for"),
                    "write `stands_for` with the time during which the air was like that, as somebody who was there judges it",
                )
            })
        })
        .collect::<Result<Vec<f64>, _>>()?;
    if over <= 0.0 {
        return Err(Refusal::new(
            Code::NoPeriod,
            "the period of the average is zero",
            "write the period of the limit under `over`: `8 h` or `15 min`",
        ));
    }
    let covered: f64 = times.iter().sum();
    let terms = |by: f64| -> Vec<(f64, &Bounds)> {
        times
            .iter()
            .zip(&parts)
            .map(|(minutes, (_, known))| (minutes / by, &known.ends))
            .collect()
    };
    let over_covered = Bounds::sum(&terms(covered));
    let full = over * (1.0 - ROUNDING) <= covered;
    let longer = over * (1.0 + ROUNDING) < covered;
    if longer {
        too_long(covered, over, &gas.name, together)?;
    }
    let (ends, rest) = match row.rest {
        _ if full => (Bounds::sum(&terms(over)), RestTaken::NothingLeft),
        Some(Rest::WithoutExposure) => (Bounds::sum(&terms(over)), RestTaken::WithoutExposure),
        Some(Rest::LikeSampled) => (over_covered.clone(), RestTaken::LikeSampled),
        None => {
            together.flags.push(Flag::new(
                Code::TimeNotCovered,
                format!(
                    "no reading stands for {} of the {}, and the survey does not say what was in that time: the average has no upper bound",
                    duration(over - covered),
                    duration(over)
                ),
            ));
            (
                Bounds {
                    highest: None,
                    ..Bounds::sum(&terms(over))
                },
                RestTaken::Unknown,
            )
        }
    };
    together.period = Some(Period {
        over,
        covered,
        not_covered: (over - covered).max(0.0),
        rest: rest.into(),
        over_covered: over_covered.numbers(),
    });
    together.flags.extend(doubts(&parts));
    if LONGEST_PERIOD * (1.0 + ROUNDING) < over {
        together.indicative = true;
        together.flags.push(Flag::new(
            Code::IndicativeLongPeriod,
            "tubes for short-term measurement are not meant for reference periods above 15 minutes (scope of ISO 17621): the average is indicative",
        ));
    }
    together.statements.push(Statement::new(
        Code::RestsOnTime,
        "The average rests on each reading standing for its time; its uncertainty does not cover how the air varied in between.",
    ));
    together.statements.push(super::shared_statement());
    super::put(together, &ends, "ppm");
    together.against = against(evaluator, together, &ends, over);
    draws.add(together, &ends, "ppm");
    Ok(ends)
}

/// A shift that is longer than the period of its limit: the dose counts whole. For a short period that makes no sense.
fn too_long(covered: f64, over: f64, gas: &str, together: &mut GroupResult) -> Result<(), Refusal> {
    if over <= LONGEST_PERIOD * (1.0 + ROUNDING) {
        return Err(Refusal::new(
            Code::LongerThanPeriod,
            format!(
                "the readings stand for {}, longer than the period of {}",
                duration(covered),
                duration(over)
            ),
            format!(
                "name only the readings of the {} with the most {gas}",
                duration(over)
            ),
        ));
    }
    together.flags.push(Flag::new(
        Code::LongerThanPeriod,
        format!(
            "the readings stand for {}; all of it counts as if taken in within {}, so that a long shift is not averaged down (as HSE EH40 does, from memory)",
            duration(covered),
            duration(over)
        ),
    ));
    Ok(())
}

/// The comparison with limits that are averages.
fn against(
    evaluator: &Evaluator<'_>,
    together: &GroupResult,
    ends: &Bounds,
    over: f64,
) -> Vec<LimitComparison> {
    let Some(gas) = &together.substance else {
        return Vec::new();
    };
    let Some(substance) = substance_model(evaluator, gas) else {
        return Vec::new();
    };
    let settings = evaluator.settings();
    substance
        .limits
        .iter()
        .filter(|limit| settings.names(limit))
        .filter_map(|limit| Some((limit, period_of(limit)?)))
        .map(|(limit, period)| {
            let mut against = judgement::not_yet(limit, &substance);
            if let Some(group) = &gas.stands_for_group {
                return judgement::not_compared(against, judgement::of_group(group, &gas.name));
            }
            if !same_period(period, over) {
                let words = format!(
                    "the limit is an average over {}, this one is over {}",
                    duration(period),
                    duration(over)
                );
                return judgement::not_compared(against, words);
            }
            let Some(at) = against.limit.as_ppm else {
                return judgement::not_compared(
                    against,
                    judgement::NO_CONDITIONS_OF_LIMIT.to_owned(),
                );
            };
            let figure = JudgedFigure {
                span: ends.span(),
                bound_words: "the bound of the average",
                flags: &together.flags,
            };
            judgement::decide(&mut against, &figure, at, &settings);
            if together.indicative {
                against.directly_comparable = false;
                let reason = against
                    .reason
                    .take()
                    .map(|reason| format!("{reason}; indicative"));
                against.reason = Some(reason.unwrap_or_else(|| {
                    "indicative: an average over more than 15 minutes from short-term tubes"
                        .to_owned()
                }));
            }
            against
        })
        .collect()
}

/// The period of a limit that is an average, in minutes: 8 h and 15 min where the source says nothing else.
pub(crate) fn period_of(limit: &Limit) -> Option<f64> {
    let usual = match limit.kind {
        LimitKind::EightHours => SHIFT_HOURS * 60.0,
        LimitKind::ShortTerm => LONGEST_PERIOD,
        LimitKind::Ceiling | LimitKind::Danger => return None,
    };
    Some(
        limit
            .averaged_over
            .as_ref()
            .map_or(usual, |period| period.value().minutes()),
    )
}

/// True if two periods are the same.
pub(super) fn same_period(a: f64, b: f64) -> bool {
    (a - b).abs() <= a.max(b) * 1e-6
}

/// A number of minutes as people say it.
pub(super) fn duration(minutes: f64) -> String {
    let hours = Duration::from_minutes(minutes).map_or(0.0, Duration::hours);
    let short = |number: f64| print::number((number * 100.0).round() / 100.0);
    if minutes < 60.0 {
        format!("{} min", short(minutes))
    } else if (hours * 4.0 - (hours * 4.0).round()).abs() < 1e-9 {
        format!("{} h", short(hours))
    } else {
        format!(
            "{} h {} min",
            short(hours.floor()),
            short(minutes - hours.floor() * 60.0)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations() {
        for (minutes, words) in [
            (15.0, "15 min"),
            (480.0, "8 h"),
            (90.0, "1.5 h"),
            (100.0, "1 h 40 min"),
            (7.5, "7.5 min"),
        ] {
            assert_eq!(duration(minutes), words);
        }
    }
}
