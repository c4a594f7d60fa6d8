//! One result: the answer, what was done to the reading, what to doubt, and the limits.

use stainbook_core::print::{self, to_significant_at_most as short_number};
use stainbook_evaluation::result::{
    AirDrawn, Amount, Basis, ConvertedAmount, CorrectionApplied, EffectOnReading, LimitComparison,
    MonteCarlo, Uncertainty, Verdict,
};
use stainbook_evaluation::{ReadingResult, Status};

use super::probability::probability_words;
use super::shared::{Shared, not_compared_because};
use super::{Detail, WIDTH};
use crate::Colour;
use crate::limit_name::limit_name;
use crate::lines::{columns, if_stated, push_hanging};
use crate::result_value::{judged_at, value};

/// Verdicts in the order in which they are told, each with the head of its line.
pub(super) const VERDICTS: [(&str, Option<Verdict>); 4] = [
    ("ABOVE", Some(Verdict::Above)),
    ("cannot tell", Some(Verdict::CannotTell)),
    ("below", Some(Verdict::Below)),
    ("not compared", None),
];

pub(super) fn one(
    out: &mut String,
    result: &ReadingResult,
    shared: &Shared,
    detail: Detail,
    colour: Colour,
) {
    let place = if_stated(result.place.as_ref(), |place| format!("  {place}"));
    let at = if_stated(result.at.as_ref(), |at| format!("  {at}"));
    out.push_str(&colour.bold(&format!("{}{place}", result.id)));
    out.push_str(&at);
    out.push('\n');
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<14}"), text, WIDTH);
    line("result", &answer(result));
    if let Some(also) = &result.converted {
        line("also as", &also_words(also, result));
    }
    if let Some(judged_at) = judged_at(result) {
        line("judged at", &judged_at);
    }
    if let Some(refusal) = &result.refusal {
        line("instead", &refusal.remedy);
    }
    if let Some(repeat) = &result.repeat_with {
        line("repeat", &repeat.text);
    }
    for flag in &result.flags {
        line("FLAG", &format!("{} [{}]", flag.text, flag.code));
    }
    if let Some(reading) = &result.reading {
        line(
            "reading",
            &format!(
                "{} {} {}",
                digits_of(reading),
                reading.unit,
                if result.has_scale() {
                    "on the scale"
                } else {
                    "by the leaflet's thresholds"
                }
            ),
        );
    }
    let steps = columns(
        &result
            .corrections
            .iter()
            .map(correction_row)
            .collect::<Vec<_>>(),
    );
    let wide = steps
        .iter()
        .map(|step| step.chars().count())
        .max()
        .unwrap_or(0);
    for (step, correction) in steps.iter().zip(&result.corrections) {
        let head = format!("    {step:<wide$}  ");
        push_hanging(out, &head, &correction.from.words, WIDTH);
    }
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<14}"), text, WIDTH);
    for gas in &result.interferents {
        let level = if_stated(gas.level.as_ref(), |level| format!(" {level}"));
        let share = match (gas.share_on_scale, &gas.unit) {
            (Some(share), Some(unit)) => {
                format!(", {} {unit} on the scale", short_number(share, 2))
            }
            _ => String::new(),
        };
        line(
            "other gas",
            &format!("{}{level}: {}{share}", gas.substance, gas.effect.words()),
        );
    }
    // Of several gases each carries the same figure: the result with none of them taken off.
    let uncorrected = result
        .interferents
        .iter()
        .filter(|gas| gas.effect == EffectOnReading::Subtracted)
        .find_map(|gas| gas.uncorrected)
        .zip(result.concentration.as_ref());
    if let Some((uncorrected, corrected)) = uncorrected {
        line(
            "uncorrected",
            &format!(
                "{} {} if nothing were taken off for other gases",
                short_number(uncorrected, 3),
                corrected.unit
            ),
        );
    }
    if let Some(uncertainty) = &result.uncertainty {
        line("uncertainty", &budget_words(uncertainty));
        if let Some(drawn) = &uncertainty.monte_carlo {
            line("drawn", &drawn_words(drawn, &uncertainty.unit));
        }
    }
    let air = result.air_drawn.as_ref().filter(|_| detail == Detail::Full);
    for (name, verdict) in VERDICTS {
        for limits in limits_with(&result.against, (verdict, air), detail) {
            line(name, &limits);
        }
    }
    let own = result
        .statements
        .iter()
        .map(|statement| statement.text.clone())
        .chain(not_compared_because(result));
    for text in own.filter(|text| !shared.holds(text)) {
        line("note", &text);
    }
    if let Some(sheet) = &result.sheet {
        line(
            "sheet",
            &format!(
                "{}, revision {} ({})",
                sheet.id, sheet.revision, sheet.chosen
            ),
        );
    }
    if detail == Detail::Full {
        full(out, result);
    }
}

fn answer(result: &ReadingResult) -> String {
    let substance = match &result.substance {
        Some(substance) => match &substance.stands_for_group {
            Some(group) => format!("{group}, as {}: ", substance.name),
            None => format!("{} ", substance.name),
        },
        None => String::new(),
    };
    let Some(concentration) = &result.concentration else {
        let why = result
            .refusal
            .as_ref()
            .map_or("", |refusal| refusal.text.as_str());
        return format!("{substance}NONE: {why}");
    };
    let mut text = format!("{substance}{}", value(result));
    if let Some(u) = &result.uncertainty {
        text.push_str(&format!(
            ", with {} coverage",
            print::probability_in_percent(u.coverage)
        ));
    }
    if concentration.basis != Basis::AirAsItIs {
        text.push_str(&format!(", {}", concentration.basis.words()));
    }
    text
}

fn also_words(also: &ConvertedAmount, result: &ReadingResult) -> String {
    let at = &also.conditions;
    // As many digits as the answer itself is worth.
    let relative = result
        .uncertainty
        .as_ref()
        .zip(result.concentration.as_ref())
        .map(|(u, c)| u.expanded / c.value);
    let number = match relative {
        Some(relative) => print::with_uncertainty(also.value, also.value * relative).0,
        None => also.text.clone(),
    };
    let bound = match result.status {
        Status::LessThan => "less than ",
        Status::MoreThan => "more than ",
        Status::Measured | Status::Refused => "",
    };
    format!(
        "{bound}{number} {} at {} {} and {} {} ({})",
        also.unit,
        short_number(at.temperature.value, 4),
        at.temperature.unit,
        short_number(at.pressure.value, 5),
        at.pressure.unit,
        at.origin
    )
}

fn correction_row(correction: &CorrectionApplied) -> Vec<String> {
    vec![
        correction.step.name().to_owned(),
        format!("× {}", short_number(correction.factor, 4)),
        format!("= {}", print::to_significant(correction.after, 3)),
    ]
}

/// The reading as it was typed; one that was worked out (a bound at another stroke count) to three digits.
fn digits_of(reading: &Amount) -> String {
    const LONGEST_TYPED: usize = 8;
    if reading.text.len() <= LONGEST_TYPED {
        reading.text.clone()
    } else {
        short_number(reading.value, 3)
    }
}

/// The sources that make up the uncertainty, largest first, as far as they matter.
fn budget_words(uncertainty: &Uncertainty) -> String {
    let mut lines: Vec<_> = uncertainty
        .budget
        .iter()
        .filter(|line| 1.0 <= line.contribution)
        .collect();
    lines.sort_by(|a, b| b.contribution.total_cmp(&a.contribution));
    let parts: Vec<String> = lines
        .iter()
        .map(|line| {
            format!(
                "{} {} %",
                line.source,
                print::to_decimals(line.contribution, 0)
            )
        })
        .collect();
    parts.join(", ")
}

/// Results of the Monte Carlo method, beside the law of propagation. The unit of a plain number is empty.
pub(super) fn drawn_words(drawn: &MonteCarlo, unit: &str) -> String {
    format!(
        "{} coverage: {}{}, median {}, by {} draws from seed {}; {}",
        print::probability_in_percent(drawn.coverage),
        ends_in_words(&drawn.text[0]),
        behind(unit),
        short_number(drawn.median, 3),
        drawn.draws,
        drawn.seed,
        if drawn.agrees {
            "it bears the interval out"
        } else {
            "the interval is rough here"
        }
    )
}

/// A unit behind a number.
fn behind(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    }
}

/// `15 to 36`, `at least 15`.
fn ends_in_words(ends: &[Option<String>; 2]) -> String {
    match ends {
        [Some(low), Some(high)] => format!("{low} to {high}"),
        [low, _] => format!("at least {}", low.as_deref().unwrap_or_default()),
    }
}

/// The limits with this verdict, one behind the other; those with the same reason share a line.
pub(super) fn limits_with(
    limits: &[LimitComparison],
    (verdict, air): (Option<Verdict>, Option<&AirDrawn>),
    detail: Detail,
) -> Vec<String> {
    // A verdict that cannot be told has to say why, or it seems to contradict its own figure.
    let said = match verdict {
        Some(Verdict::CannotTell) => true,
        Some(_) => detail == Detail::Full,
        None => false,
    };
    // Heads and tails of lines, each with its limits.
    let mut groups: Vec<([String; 2], Vec<String>)> = Vec::new();
    for against in limits.iter().filter(|against| against.verdict == verdict) {
        let reason = against.reason.as_deref().filter(|_| said);
        let tail = reason.map_or_else(String::new, |reason| format!(": {reason}"));
        let group = [head(against, air), tail];
        let words = limit_words(against, air.is_some());
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, limits)) => limits.push(words),
            None => groups.push((group, vec![words])),
        }
    }
    groups
        .into_iter()
        .map(|([head, tail], limits)| format!("{head}{}{tail}", limits.join("; ")))
        .collect()
}

/// Words between a verdict and its limits: `(sheet not verified) `, `the air drawn from 10:05 to 10:07 was below `.
fn head(against: &LimitComparison, air: Option<&AirDrawn>) -> String {
    let mut head = String::new();
    if against.act_as_if.is_some() {
        head.push_str("reads above: act as if above ");
    }
    if !against.said_beside.is_empty() {
        head.push_str(&format!("({}) ", against.beside_in_words()));
    }
    if let Some(air) = air.map(AirDrawn::in_words) {
        head.push_str(&match against.verdict {
            Some(Verdict::Below) => format!("{air} was below "),
            Some(Verdict::Above) => format!("{air} was above "),
            Some(Verdict::CannotTell) => format!("{air} against "),
            None => String::new(),
        });
    }
    head
}

fn limit_words(against: &LimitComparison, with_period: bool) -> String {
    let probability = against
        .verdict
        .and_then(|_| probability_words(against))
        .map(|probability| format!("above it with {probability}"));
    let period = against.other_period.clone().filter(|_| with_period);
    let beside: Vec<String> = probability.into_iter().chain(period).collect();
    let name = limit_name(&against.limit);
    if beside.is_empty() {
        return name;
    }
    format!("{name} ({})", beside.join("; "))
}

fn full(out: &mut String, result: &ReadingResult) {
    if let Some(uncertainty) = &result.uncertainty {
        for line in &uncertainty.budget {
            let unit = if line.unit == "1" {
                String::new()
            } else {
                format!(" {}", line.unit)
            };
            let figures = format!(
                "{}{unit} ({}{}), {} % of the result, {} % of the variance; {}",
                print::to_significant(line.value, 3),
                line.distribution,
                degrees_words(line.degrees_of_freedom),
                short_number(line.relative * 100.0, 2),
                print::to_decimals(line.contribution, 0),
                line.origin
            );
            push_hanging(out, "    ", &format!("{}: {figures}", line.source), WIDTH);
        }
        push_hanging(out, "    ", &coverage_words(uncertainty), WIDTH);
        if let Some(drawn) = &uncertainty.monte_carlo {
            push_hanging(out, "    ", &draws_in_full(drawn, &uncertainty.unit), WIDTH);
        }
    }
    if let Some(digest) = &result.sheet_digest {
        push_hanging(out, "  digest        ", digest, WIDTH);
    }
}

/// `, 9 degrees of freedom`; nothing for infinite ones.
fn degrees_words(degrees_of_freedom: Option<f64>) -> String {
    degrees_of_freedom.map_or_else(String::new, |degrees| {
        format!(", {} degrees of freedom", short_number(degrees, 3))
    })
}

/// The coverage factor and what it rests on.
fn coverage_words(uncertainty: &Uncertainty) -> String {
    let why = match uncertainty.effective_degrees_of_freedom {
        None => "no part rests on few readings".to_owned(),
        Some(degrees) => format!(
            "Student's t with {} effective degrees of freedom",
            short_number(degrees, 3)
        ),
    };
    format!(
        "all together: {} {} at the reading; the interval takes {} times what each of its ends would show ({why})",
        uncertainty.text.standard,
        uncertainty.unit,
        short_number(uncertainty.coverage_factor, 3)
    )
}

/// Everything that drawing gave.
pub(super) fn draws_in_full(drawn: &MonteCarlo, unit: &str) -> String {
    let unit = behind(unit);
    let apart = |end: usize| {
        let apart = drawn.apart.get(end).copied().flatten();
        apart.map_or_else(
            || "without end".to_owned(),
            |apart| print::to_significant(apart, 2),
        )
    };
    // Where each end is drawn with what holds there, there is none.
    let shortest = match &drawn.text[1] {
        [None, None] => String::new(),
        shortest => format!("shortest interval {}{unit}; ", ends_in_words(shortest)),
    };
    let number = match (drawn.adaptive, drawn.settled) {
        (true, Some(true)) => " (as many as the second digit took)",
        (true, _) => " (and the second digit still moved)",
        (false, _) => "",
    };
    format!(
        "drawn: {}{} draws{number}, {}, seed {}; the ends are {} and {}{unit} from those of the law \
         of propagation, {} is allowed ({})",
        shortest,
        drawn.draws,
        drawn.generator,
        drawn.seed,
        apart(0),
        apart(1),
        print::to_significant(drawn.tolerance, 1),
        drawn.method,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_numbers() {
        for (value, digits, text) in [
            (1.0, 4, "1"),
            (2.1, 4, "2.1"),
            (-8.0, 4, "-8"),
            (99.8, 5, "99.8"),
            (1200.0, 3, "1200"),
        ] {
            assert_eq!(short_number(value, digits), text);
        }
    }
}
