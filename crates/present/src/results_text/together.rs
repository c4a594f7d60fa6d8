//! Readings together: a line each at a glance, then each by itself.

use stainbook_core::print::{self, to_significant_at_most as short_number};
use stainbook_evaluation::result::{
    Decision, EndsOf, GroupMethod, GroupResult, GroupStatus, LimitComparison, Member, Period,
    Solved, Test, TogetherUncertainty, Verdict,
};
use stainbook_evaluation::{Evaluation, Status};

use super::glance::{push_lines, rows_with, shortened, verdicts, worst_of};
use super::one::{VERDICTS, drawn_words, draws_in_full, limits_with};
use super::{Detail, WIDTH};
use crate::Colour;
use crate::lines::push_hanging;

/// One line for each, under the readings.
pub(super) fn glance(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    if evaluation.together.is_empty() {
        return;
    }
    out.push_str("  together\n");
    let rows: Vec<Vec<String>> = evaluation.together.iter().map(glance_row).collect();
    let said = evaluation.together.iter().map(said_of);
    for (line, together) in rows_with(&rows, said).iter().zip(&evaluation.together) {
        push_lines(out, line, |line| match worst(together) {
            Worst::Bad => colour.red(line),
            Worst::Doubtful => colour.amber(line),
            Worst::Good => line.to_owned(),
        });
    }
}

fn glance_row(together: &GroupResult) -> Vec<String> {
    vec![
        shortened(&together.id, 16),
        shortened(&together.what, 34),
        in_short(&figure(together)),
    ]
}

/// Tests and limits at a glance.
fn said_of(together: &GroupResult) -> String {
    let tested: Vec<&str> = together
        .tests
        .iter()
        .filter(|test| !matches!(test.decision, Decision::AsExpected))
        .map(|test| test.decision.words())
        .collect();
    if together.status == GroupStatus::Refused {
        String::new()
    } else {
        match (tested.is_empty(), all_against(together).is_empty()) {
            (false, _) => tested.join(", "),
            (true, false) => verdicts(&all_against(together)),
            (true, true) => String::new(),
        }
    }
}

enum Worst {
    Bad,
    Doubtful,
    Good,
}

fn worst(together: &GroupResult) -> Worst {
    let tested = |decision| together.tests.iter().any(|test| test.decision == decision);
    match worst_of(&all_against(together)) {
        _ if together.status == GroupStatus::Refused || tested(Decision::NonCompliance) => {
            Worst::Bad
        }
        Some(Verdict::Above) => Worst::Bad,
        Some(Verdict::CannotTell) => Worst::Doubtful,
        _ if tested(Decision::NoDecision) || tested(Decision::NotAsExpected) => Worst::Doubtful,
        _ => Worst::Good,
    }
}

fn all_against(together: &GroupResult) -> Vec<LimitComparison> {
    together
        .against
        .iter()
        .chain(together.solved.iter().flat_map(|solved| &solved.against))
        .cloned()
        .collect()
}

/// `12 ± 4 ppm`, `less than 5 ppm`, `none`; what was solved one behind the other.
fn figure(together: &GroupResult) -> String {
    if together.status == GroupStatus::Refused {
        return "none".to_owned();
    }
    if !together.solved.is_empty() {
        let each: Vec<String> = together
            .solved
            .iter()
            .map(|solved| format!("{} {}", solved.text, solved.unit))
            .collect();
        return each.join(", ");
    }
    match (&together.text, together.unit.as_deref()) {
        (Some(text), Some("1") | None) => text.clone(),
        (Some(text), Some(unit)) => format!("{text} {unit}"),
        (None, _) => String::new(),
    }
}

/// A figure with what a bound reaches in few words, never without it: `less than 0.200 (95 %: 0.292) ppm`.
fn in_short(figure: &str) -> String {
    figure
        .replace("(with 95 %: less than ", "(95 %: ")
        .replace("(with 95 %: more than ", "(95 %: ")
        .replace("(with 95 %: ", "(95 %: ")
}

/// A part of a value that is no more than what the arithmetic rounds away.
const ROUNDING: f64 = 1e-9;

/// Residual of the reading when the values are put back into the equations that gave them.
fn left_over(residual: f64, solved: &Solved) -> String {
    let size = format!("{} {}", short_number(residual, 2), solved.unit);
    let reading = solved.value.unwrap_or_default().abs();
    if residual.abs() <= ROUNDING * reading {
        format!("; put back in, nothing is left over ({size})")
    } else {
        format!("; put back in, {size} is left over")
    }
}

/// Each by itself.
pub(super) fn each(out: &mut String, evaluation: &Evaluation, detail: Detail, colour: Colour) {
    for together in &evaluation.together {
        out.push('\n');
        one(out, together, detail, colour);
    }
}

fn one(out: &mut String, together: &GroupResult, detail: Detail, colour: Colour) {
    out.push_str(&colour.bold(&format!("{}  {}", together.id, together.what)));
    out.push_str(&format!("  {}\n", together.method.name()));
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<14}"), text, WIDTH);
    match &together.refusal {
        Some(refusal) => {
            line("result", &format!("NONE: {}", refusal.text));
            line("instead", &refusal.remedy);
        }
        None if together.solved.is_empty() && together.text.is_some() => {
            line("result", &answer(together));
        }
        None => {}
    }
    for solved in &together.solved {
        let gas = solved
            .substance
            .as_ref()
            .map_or("", |substance| substance.name.as_str());
        let mut text = format!(
            "{gas} {} {} ({}{}), {} without taking the other into account",
            solved.text,
            solved.unit,
            solved.reading,
            factor_words(solved.coverage_factor, solved.effective_degrees_of_freedom),
            bound_or_value(solved, together)
        );
        if let Some(residual) = solved.residual {
            text.push_str(&left_over(residual, solved));
        }
        line("result", &text);
        if let Some(drawn) = &solved.monte_carlo {
            let words = drawn_words(drawn, &solved.unit);
            line("drawn", &format!("{}: {words}", solved.reading));
        }
    }
    for test in &together.tests {
        line("test", &tested(test));
    }
    for flag in &together.flags {
        line("FLAG", &format!("{} [{}]", flag.text, flag.code));
    }
    if !together.of.is_empty() {
        let of: Vec<String> = together.of.iter().map(member).collect();
        let name = if together.method == GroupMethod::Blank {
            "of its lot"
        } else {
            "made of"
        };
        line(name, &of.join("; "));
    }
    if let Some(period) = &together.period {
        line("time", &time(period));
    }
    if let Some(uncertainty) = &together.uncertainty {
        line("uncertainty", &budget(uncertainty));
    }
    let unit = together.unit.as_deref().filter(|unit| *unit != "1");
    if let Some(drawn) = &together.monte_carlo {
        line("drawn", &drawn_words(drawn, unit.unwrap_or_default()));
    }
    let groups = std::iter::once((String::new(), &together.against)).chain(
        together
            .solved
            .iter()
            .map(|solved| (format!("{}: ", solved.reading), &solved.against)),
    );
    for (head, against) in groups {
        for (name, verdict) in VERDICTS {
            for limits in limits_with(against, (verdict, None), detail) {
                line(name, &format!("{head}{limits}"));
            }
        }
    }
    let mut reasons: Vec<&str> = together
        .against
        .iter()
        .filter(|against| against.verdict.is_none())
        .filter_map(|against| against.reason.as_deref())
        .collect();
    reasons.dedup();
    for reason in reasons {
        line("note", &format!("Not compared: {reason}"));
    }
    // What holds for every figure of its kind is for who asks for everything.
    if detail == Detail::Full {
        if let Some(drawn) = &together.monte_carlo {
            line("draws", &draws_in_full(drawn, unit.unwrap_or_default()));
        }
        for solved in &together.solved {
            if let Some(drawn) = &solved.monte_carlo {
                let words = draws_in_full(drawn, &solved.unit);
                line("draws", &format!("{}: {words}", solved.reading));
            }
        }
        for statement in &together.statements {
            line("note", &statement.text);
        }
    }
}

fn answer(together: &GroupResult) -> String {
    let mut text = figure(together);
    if together.unit.as_deref() == Some("1") {
        text = format!("{text} of 1");
    }
    if let Some(uncertainty) = &together.uncertainty {
        text.push_str(&format!(
            ", with {} coverage{}",
            print::probability_in_percent(uncertainty.coverage),
            factor_words(
                uncertainty.coverage_factor,
                uncertainty.effective_degrees_of_freedom
            )
        ));
    }
    if together.indicative {
        text.push_str(", indicative");
    }
    text
}

/// The reading by itself: `3.60`, or `less than 0.5`.
fn bound_or_value(solved: &Solved, together: &GroupResult) -> String {
    let number = print::to_significant(solved.uncorrected, 3);
    let own = together
        .of
        .iter()
        .find(|member| member.id == solved.reading);
    match own.map(|member| member.status) {
        Some(Status::LessThan) => format!("less than {number}"),
        Some(Status::MoreThan) => format!("more than {number}"),
        _ => number,
    }
}

/// `; k = 2.32, 9.8 effective degrees of freedom`; nothing for that of the normal distribution.
fn factor_words(coverage_factor: f64, degrees_of_freedom: Option<f64>) -> String {
    degrees_of_freedom.map_or_else(String::new, |degrees| {
        format!(
            "; k = {}, {} effective degrees of freedom",
            print::to_decimals(coverage_factor, 2),
            short_number(degrees, 2)
        )
    })
}

fn tested(test: &Test) -> String {
    let figures: Vec<String> = test
        .figures
        .iter()
        .map(|figure| {
            let unit = if figure.unit == "1" {
                String::new()
            } else {
                format!(" {}", figure.unit)
            };
            format!("{} {}{unit}", figure.name, short_number(figure.value, 3))
        })
        .collect();
    format!(
        "{}: {}; {} ({})",
        test.name,
        test.decision.words().to_uppercase(),
        test.text,
        figures.join(", ")
    )
}

fn member(member: &Member) -> String {
    let number = |number: f64| print::to_significant(number, 3);
    let mut text = format!("{} {}", member.id, ends(member.ends, member.status));
    if let Some(minutes) = member.minutes {
        text.push_str(&format!(" for {}", minutes_words(minutes)));
    }
    if let (Some(share), Some(limit)) = (member.share, &member.limit) {
        let of = match (share.lowest, share.highest) {
            (Some(low), Some(high)) if (high - low).abs() <= high.abs() * 1e-12 => number(high),
            (low, high) => format!(
                "{} to {}",
                low.map_or_else(|| "?".to_owned(), number),
                high.map_or_else(|| "?".to_owned(), number)
            ),
        };
        text.push_str(&format!(", {of} of {}", limit.text));
    }
    text
}

fn ends(ends: EndsOf, status: Status) -> String {
    let number = |number: Option<f64>| {
        number.map_or_else(|| "?".to_owned(), |number| print::to_significant(number, 3))
    };
    match status {
        Status::Refused => "no result".to_owned(),
        Status::LessThan => format!("less than {} ppm", number(ends.highest)),
        Status::MoreThan => format!("more than {} ppm", number(ends.lowest)),
        Status::Measured => {
            let (low, high) = (number(ends.lowest), number(ends.highest));
            if low == high {
                format!("{low} ppm")
            } else {
                format!("{low} to {high} ppm")
            }
        }
    }
}

fn time(period: &Period) -> String {
    let mut text = format!(
        "readings stand for {} of {}",
        minutes_words(period.covered),
        minutes_words(period.over)
    );
    if 0.0 < period.not_covered {
        text.push_str(&format!(
            "; the other {}: {}; over the sampled time alone {}",
            minutes_words(period.not_covered),
            period.rest,
            ends(period.over_covered, Status::Measured)
        ));
    }
    text
}

/// Minutes as people say them: `90 min`, `8 h`.
fn minutes_words(minutes: f64) -> String {
    let hours = minutes / 60.0;
    if 2.0 <= hours && (hours * 4.0 - (hours * 4.0).round()).abs() < 1e-9 {
        format!("{} h", print::number(hours))
    } else {
        format!("{} min", short_number(minutes, 3))
    }
}

fn budget(uncertainty: &TogetherUncertainty) -> String {
    let parts: Vec<String> = uncertainty
        .budget
        .iter()
        .filter(|line| 1.0 <= line.contribution)
        .map(|line| {
            let shared = if line.shared { ", in common" } else { "" };
            format!(
                "{}{shared} {} %",
                line.source,
                print::to_decimals(line.contribution, 0)
            )
        })
        .collect();
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times() {
        for (minutes, words) in [
            (15.0, "15 min"),
            (90.0, "90 min"),
            (480.0, "8 h"),
            (150.0, "2.5 h"),
        ] {
            assert_eq!(minutes_words(minutes), words);
        }
    }
}
