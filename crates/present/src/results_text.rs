//! Results as a person reads them: all of them at a glance, then each with what was done to the reading and what to doubt.
//!
//! What holds for several readings is said once, at the end.

use std::collections::BTreeMap;

use stainbook_core::print;
use stainbook_reading::result::{Against, AlsoAs, CorrectionApplied, Uncertainty, Verdict};
use stainbook_reading::{Evaluation, ReadingResult, Status};

use crate::Colour;
use crate::counts::counted;
use crate::lines::{columns, push_hanging};

/// Lines are wrapped here.
pub const WIDTH: usize = 96;

/// How much is said of each result.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// What is needed to act on it and to check it by hand.
    #[default]
    Compact,
    /// The whole budget of uncertainty, the reasons behind each verdict and the digest as well.
    Full,
}

/// All results of a survey at a glance, then each by itself, and the cautions.
pub fn render(evaluation: &Evaluation, detail: Detail, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, evaluation, colour);
    out.push('\n');
    glance(&mut out, evaluation, colour);
    let shared = Shared::of(evaluation);
    for result in &evaluation.results {
        out.push('\n');
        one(&mut out, result, &shared, detail, colour);
    }
    out.push('\n');
    shared.render(&mut out, evaluation);
    cautions(&mut out, evaluation);
    out
}

/// All results at a glance and one of them by itself: the one with the most to show.
pub fn example(evaluation: &Evaluation, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, evaluation, colour);
    out.push('\n');
    glance(&mut out, evaluation, colour);
    let shared = Shared::default();
    // A verdict is worth more than another step or flag.
    let to_show = |result: &&ReadingResult| {
        let verdict = if worst(result).is_some() { 3 } else { 0 };
        verdict + result.corrections.len() + result.other_gases.len() + result.flags.len()
    };
    let with_value = evaluation
        .results
        .iter()
        .filter(|result| result.status == Status::Measured);
    // The first of equals, so that the answer is the same each time.
    if let Some(result) = with_value.rev().max_by_key(to_show) {
        out.push('\n');
        one(&mut out, result, &shared, Detail::Compact, colour);
    }
    out.push('\n');
    cautions(&mut out, evaluation);
    out
}

fn head(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    let title = evaluation
        .title
        .as_deref()
        .or(evaluation.survey.as_deref())
        .unwrap_or("Readings of a table");
    out.push_str(&colour.bold(title));
    out.push('\n');
    let mut parts = Vec::new();
    if let Some(survey) = &evaluation.survey {
        parts.push(format!("survey {survey}"));
    }
    if let Some(by) = &evaluation.by {
        parts.push(format!("drawn and read by {by}"));
    }
    if let Some(catalog) = &evaluation.catalog {
        let revision = evaluation
            .catalog_revision
            .as_ref()
            .map(|r| format!(" of {r}"))
            .unwrap_or_default();
        parts.push(format!("evaluated with catalog {catalog}{revision}"));
    }
    push_hanging(out, "", &parts.join(", "), WIDTH);
}

/// One line for each reading, and the line that counts them.
fn glance(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    let rows: Vec<Vec<String>> = evaluation.results.iter().map(glance_row).collect();
    for (line, result) in columns(&rows).iter().zip(&evaluation.results) {
        let worst = worst(result);
        let line = match (result.status, worst) {
            (Status::Refused, _) | (_, Some(Verdict::Above)) => colour.red(line),
            (_, Some(Verdict::CannotTell)) => colour.amber(line),
            _ => line.clone(),
        };
        out.push_str("  ");
        out.push_str(&line);
        out.push('\n');
    }
    push_hanging(out, "", &summary(evaluation), WIDTH);
}

fn glance_row(result: &ReadingResult) -> Vec<String> {
    let place: String = shortened(result.place.as_deref().unwrap_or_default(), 30);
    let gas = result
        .substance
        .as_ref()
        .map(|substance| shortened(&substance.name, 18))
        .unwrap_or_default();
    let limits = if result.status == Status::Refused {
        String::new()
    } else {
        verdicts(result)
    };
    let flags = match result.flags.len() {
        0 => String::new(),
        n => counted(n, "flag"),
    };
    vec![result.id.clone(), place, gas, value(result), limits, flags]
}

fn shortened(text: &str, longest: usize) -> String {
    if text.chars().count() <= longest {
        return text.to_owned();
    }
    let kept: String = text.chars().take(longest - 1).collect();
    format!("{}…", kept.trim_end())
}

/// `ABOVE 2, below 1`. Where nothing worse is said, the limits that a tube cannot speak to are counted as well: "below"
/// alone would promise too much.
fn verdicts(result: &ReadingResult) -> String {
    let count = |verdict| {
        result
            .against
            .iter()
            .filter(|against| against.verdict == verdict)
            .count()
    };
    let mut parts = Vec::new();
    for (verdict, words) in [
        (Verdict::Above, "ABOVE"),
        (Verdict::CannotTell, "cannot tell"),
        (Verdict::Below, "below"),
    ] {
        match count(Some(verdict)) {
            0 => {}
            n => parts.push(format!("{words} {n}")),
        }
    }
    match (worst(result), count(None)) {
        (Some(Verdict::Below), n) if 0 < n => parts.push(format!("{n} not compared")),
        (None, _) => parts.push("no limit compared".to_owned()),
        _ => {}
    }
    parts.join(", ")
}

/// Above before cannot tell before below.
fn worst(result: &ReadingResult) -> Option<Verdict> {
    let rank = |verdict: Verdict| match verdict {
        Verdict::Above => 2,
        Verdict::CannotTell => 1,
        Verdict::Below => 0,
    };
    result
        .against
        .iter()
        .filter_map(|against| against.verdict)
        .max_by_key(|verdict| rank(*verdict))
}

/// `17 readings: 12 measured, 2 less than a bound, 1 more than a bound, 2 refused; 9 carry flags`.
pub fn summary(evaluation: &Evaluation) -> String {
    let count = |status: Status| {
        evaluation
            .results
            .iter()
            .filter(|result| result.status == status)
            .count()
    };
    let parts: Vec<String> = [
        (Status::Measured, "measured"),
        (Status::LessThan, "less than a bound"),
        (Status::MoreThan, "more than a bound"),
        (Status::Refused, "refused"),
    ]
    .into_iter()
    .map(|(status, words)| (count(status), words))
    .filter(|(count, _)| 0 < *count)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    let flagged = evaluation
        .results
        .iter()
        .filter(|result| !result.flags.is_empty())
        .count();
    let flags = match flagged {
        0 => String::new(),
        1 => "; 1 carries flags".to_owned(),
        n => format!("; {n} carry flags"),
    };
    format!(
        "{}: {}{flags}",
        counted(evaluation.results.len(), "reading"),
        parts.join(", ")
    )
}

/// What is said of several readings: said once, with the readings that it is about.
#[derive(Default)]
struct Shared {
    by_text: BTreeMap<String, Vec<String>>,
}

impl Shared {
    fn of(evaluation: &Evaluation) -> Self {
        let mut shared = Self::default();
        for result in &evaluation.results {
            let statements = result
                .statements
                .iter()
                .map(|statement| statement.text.clone());
            for text in statements.chain(not_compared_because(result)) {
                shared
                    .by_text
                    .entry(text)
                    .or_default()
                    .push(result.id.clone());
            }
        }
        shared.by_text.retain(|_, ids| 1 < ids.len());
        shared
    }

    fn holds(&self, text: &str) -> bool {
        self.by_text.contains_key(text)
    }

    fn render(&self, out: &mut String, evaluation: &Evaluation) {
        for (text, ids) in &self.by_text {
            let about = if ids.len() == evaluation.results.len() {
                "all".to_owned()
            } else {
                ids.join(", ")
            };
            push_hanging(out, "Note: ", &format!("{text} ({about})"), WIDTH);
        }
    }
}

/// Why limits are not compared with, each reason once.
fn not_compared_because(result: &ReadingResult) -> Vec<String> {
    let mut reasons: Vec<String> = result
        .against
        .iter()
        .filter(|against| against.verdict.is_none())
        .filter_map(|against| Some(format!("Not compared: {}", against.reason.as_ref()?)))
        .collect();
    reasons.dedup();
    reasons
}

fn one(out: &mut String, result: &ReadingResult, shared: &Shared, detail: Detail, colour: Colour) {
    let place = result
        .place
        .as_ref()
        .map(|place| format!("  {place}"))
        .unwrap_or_default();
    let at = result
        .at
        .as_ref()
        .map(|at| format!("  {at}"))
        .unwrap_or_default();
    out.push_str(&colour.bold(&format!("{}{place}", result.id)));
    out.push_str(&at);
    out.push('\n');
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<14}"), text, WIDTH);
    line("result", &answer(result));
    if let Some(also) = &result.also_as {
        line("also as", &also_words(also, result));
    }
    if let Some(refusal) = &result.refusal {
        line("instead", &refusal.instead);
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
            &format!("{} {} on the scale", reading.text, reading.unit),
        );
    }
    for row in columns(
        &result
            .corrections
            .iter()
            .map(correction_row)
            .collect::<Vec<_>>(),
    ) {
        out.push_str("    ");
        out.push_str(&row);
        out.push('\n');
    }
    let mut line =
        |name: &str, text: &str| push_hanging(out, &format!("  {name:<14}"), text, WIDTH);
    for gas in &result.other_gases {
        let level = gas
            .level
            .as_ref()
            .map(|level| format!(" {level}"))
            .unwrap_or_default();
        let share = match (gas.share_on_scale, &gas.unit) {
            (Some(share), Some(unit)) => {
                format!(", {} {unit} on the scale", short_number(share, 2))
            }
            _ => String::new(),
        };
        line(
            "other gas",
            &format!(
                "{}{level}: {}{share}",
                gas.substance,
                gas.effect.replace('_', " ")
            ),
        );
    }
    if let Some(uncertainty) = &result.uncertainty {
        line("± comes from", &budget_words(uncertainty));
    }
    for (name, verdict) in [
        ("ABOVE", Verdict::Above),
        ("cannot tell", Verdict::CannotTell),
        ("below", Verdict::Below),
    ] {
        let limits = limits_with(result, Some(verdict), detail);
        if !limits.is_empty() {
            line(name, &limits);
        }
    }
    let not_compared = limits_with(result, None, detail);
    if !not_compared.is_empty() {
        line("not compared", &not_compared);
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
        let [low, high] = u.interval;
        let decimals = print::decimals_for(u.expanded);
        let end = |end: f64| {
            decimals.map_or_else(
                || print::number(end),
                |decimals| print::to_decimals(end, decimals),
            )
        };
        text.push_str(&format!(
            " ({} coverage: {} to {})",
            percent(u.coverage),
            end(low),
            end(high)
        ));
    }
    if concentration.basis != "air as it is" {
        text.push_str(&format!(", {}", concentration.basis));
    }
    text
}

/// `23 ± 12 ppm`, `less than 0.52 ppm`, `none`. Value and expanded uncertainty end at the same digit.
fn value(result: &ReadingResult) -> String {
    let Some(concentration) = &result.concentration else {
        return "none".to_owned();
    };
    let unit = &concentration.unit;
    match (result.status, &result.uncertainty) {
        (_, Some(uncertainty)) => {
            let (value, expanded) =
                print::with_uncertainty(concentration.value, uncertainty.expanded);
            format!("{value} ± {expanded} {unit}")
        }
        (Status::LessThan, None) => format!("less than {} {unit}", concentration.text),
        (Status::MoreThan, None) => format!("more than {} {unit}", concentration.text),
        (_, None) => format!("{} {unit}", concentration.text),
    }
}

fn also_words(also: &AlsoAs, result: &ReadingResult) -> String {
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
        correction.step.clone(),
        format!("× {}", short_number(correction.factor, 4)),
        format!("= {}", print::to_significant(correction.after, 3)),
        correction.from.words.clone(),
    ]
}

/// A number to so many digits, without the zeros at its end.
fn short_number(value: f64, digits: u32) -> String {
    let text = print::to_significant(value, digits);
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
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

/// The limits with this verdict, one behind the other.
fn limits_with(result: &ReadingResult, verdict: Option<Verdict>, detail: Detail) -> String {
    let words: Vec<String> = result
        .against
        .iter()
        .filter(|against| against.verdict == verdict)
        .map(|against| limit_words(against, detail))
        .collect();
    words.join("; ")
}

fn limit_words(against: &Against, detail: Detail) -> String {
    let limit = &against.limit;
    let over = limit
        .averaged_over
        .as_ref()
        .map(|over| format!(" over {over}"))
        .unwrap_or_default();
    let mut text = format!("{} {}{over} {}", limit.authority, limit.kind, limit.text);
    if let (Some(_), Some(probability)) = (against.verdict, against.probability_above) {
        text.push_str(&format!(" (P above {})", percent(probability)));
    }
    if detail == Detail::Full
        && against.verdict.is_some()
        && let Some(reason) = &against.reason
    {
        text.push_str(&format!(": {reason}"));
    }
    text
}

/// A probability or a coverage in percent. What is nearly sure is not printed as sure.
fn percent(part: f64) -> String {
    let value = part * 100.0;
    if 99.9 < value {
        ">99.9 %".to_owned()
    } else if value < 0.1 {
        "<0.1 %".to_owned()
    } else {
        format!("{} %", print::number((value * 10.0).round() / 10.0))
    }
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
                "{}{unit} ({}), {} % of the result, {} % of the variance; {}",
                print::to_significant(line.value, 3),
                line.distribution,
                short_number(line.relative * 100.0, 2),
                print::to_decimals(line.contribution, 0),
                line.origin
            );
            push_hanging(out, "    ", &format!("{}: {figures}", line.source), WIDTH);
        }
    }
    if let Some(digest) = &result.sheet_digest {
        push_hanging(out, "  digest        ", digest, WIDTH);
    }
}

fn cautions(out: &mut String, evaluation: &Evaluation) {
    let texts: Vec<&str> = evaluation
        .cautions
        .iter()
        .map(|caution| caution.text.as_str())
        .collect();
    push_hanging(out, "Mind: ", &texts.join(" "), WIDTH);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearly_sure_is_not_sure() {
        for (part, text) in [
            (0.95, "95 %"),
            (0.999_99, ">99.9 %"),
            (1.0, ">99.9 %"),
            (0.0, "<0.1 %"),
            (1e-9, "<0.1 %"),
            (0.123_4, "12.3 %"),
        ] {
            assert_eq!(percent(part), text);
        }
    }

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

    #[test]
    fn long_names_end_in_dots() {
        assert_eq!(
            shortened("brine wash at the dosing valve", 12),
            "brine wash…"
        );
    }
}
