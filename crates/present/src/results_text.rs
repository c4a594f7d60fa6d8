//! Results as a person reads them: the answer first, then what was done with the reading, then what to doubt.

use stainbook_core::print;
use stainbook_reading::{Evaluation, ReadingResult, Status};
use stainbook_reading::result::{Against, CorrectionApplied, Uncertainty, Verdict};

use crate::counts::counted;
use crate::lines::{columns, push_hanging};
use crate::Colour;

/// Lines are wrapped here.
pub const WIDTH: usize = 96;

/// How much is said of each result.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// What is needed to act on it and to check it by hand.
    #[default]
    Compact,
    /// The whole budget of uncertainty and the digest as well.
    Full,
}

/// All results of a survey, a line that counts them, and the cautions.
pub fn render(evaluation: &Evaluation, detail: Detail, colour: Colour) -> String {
    let mut out = String::new();
    head(&mut out, evaluation, colour);
    for result in &evaluation.results {
        out.push('\n');
        one(&mut out, result, detail, colour);
    }
    out.push('\n');
    push_hanging(&mut out, "", &summary(evaluation), WIDTH);
    let cautions: Vec<&str> = evaluation.cautions.iter().map(|caution| caution.text.as_str()).collect();
    push_hanging(&mut out, "Mind: ", &cautions.join(" "), WIDTH);
    out
}

fn head(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    let title = evaluation.title.as_deref().or(evaluation.survey.as_deref()).unwrap_or("Survey");
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
        let revision = evaluation.catalog_revision.as_ref().map(|r| format!(" of {r}")).unwrap_or_default();
        parts.push(format!("evaluated with catalog {catalog}{revision}"));
    }
    push_hanging(out, "", &parts.join(", "), WIDTH);
}

/// `17 readings: 12 measured, 2 less than, 1 more than, 2 refused; 9 carry flags`.
pub fn summary(evaluation: &Evaluation) -> String {
    let count = |status: Status| evaluation.results.iter().filter(|result| result.status == status).count();
    let parts: Vec<String> = [
        (Status::Measured, "measured"),
        (Status::LessThan, "less than what could be read"),
        (Status::MoreThan, "more than what could be read"),
        (Status::Refused, "refused"),
    ]
    .into_iter()
    .map(|(status, words)| (count(status), words))
    .filter(|(count, _)| 0 < *count)
    .map(|(count, words)| format!("{count} {words}"))
    .collect();
    let flagged = evaluation.results.iter().filter(|result| !result.flags.is_empty()).count();
    let flags = match flagged {
        0 => String::new(),
        1 => "; 1 carries flags".to_owned(),
        n => format!("; {n} carry flags"),
    };
    format!("{}: {}{flags}", counted(evaluation.results.len(), "reading"), parts.join(", "))
}

fn one(out: &mut String, result: &ReadingResult, detail: Detail, colour: Colour) {
    let place = result.place.as_ref().map(|place| format!("  {place}")).unwrap_or_default();
    let at = result.at.as_ref().map(|at| format!("  {at}")).unwrap_or_default();
    out.push_str(&colour.bold(&format!("{}{place}", result.id)));
    out.push_str(&at);
    out.push('\n');
    let mut line = |name: &str, text: &str| push_hanging(out, &format!("  {name:<12}"), text, WIDTH);
    line("result", &answer(result));
    if let Some(also) = &result.also_as {
        let at = &also.conditions;
        let text = format!(
            "{} {} at {} {} and {} {} ({})",
            also.text,
            also.unit,
            print::to_significant(at.temperature.value, 3),
            at.temperature.unit,
            print::to_significant(at.pressure.value, 4),
            at.pressure.unit,
            at.origin
        );
        line("also as", &text);
    }
    if let Some(refusal) = &result.refusal {
        line("instead", &refusal.instead);
    }
    if let Some(repeat) = &result.repeat_with {
        line("repeat", &repeat.text);
    }
    if let Some(reading) = &result.reading {
        line("reading", &format!("{} {} on the scale", reading.text, reading.unit));
    }
    if !result.corrections.is_empty() {
        for row in columns(&result.corrections.iter().map(correction_row).collect::<Vec<_>>()) {
            out.push_str("    ");
            out.push_str(&row);
            out.push('\n');
        }
    }
    let mut line = |name: &str, text: &str| push_hanging(out, &format!("  {name:<12}"), text, WIDTH);
    if let Some(uncertainty) = &result.uncertainty {
        line("doubt", &budget_words(uncertainty));
    }
    for gas in &result.other_gases {
        let level = gas.level.as_ref().map(|level| format!(" {level}")).unwrap_or_default();
        let share = match (gas.share_on_scale, &gas.unit) {
            (Some(share), Some(unit)) => format!(", {} {unit} on the scale", print::to_significant(share, 2)),
            _ => String::new(),
        };
        line("other gas", &format!("{}{level}: {}{share}", gas.substance, gas.effect.replace('_', " ")));
    }
    for (index, against) in result.against.iter().enumerate() {
        line(if index == 0 { "limits" } else { "" }, &against_words(against, colour));
    }
    for statement in &result.statements {
        line("note", &statement.text);
    }
    for flag in &result.flags {
        line("FLAG", &format!("{} [{}]", flag.text, flag.code));
    }
    if let Some(sheet) = &result.sheet {
        line("sheet", &format!("{}, revision {}, found {}", sheet.id, sheet.revision, sheet.chosen));
    }
    if detail == Detail::Full {
        full(out, result);
    }
}

fn answer(result: &ReadingResult) -> String {
    let substance = match &result.substance {
        Some(substance) => match &substance.stands_for_group {
            Some(group) => format!("{group} as {}: ", substance.name),
            None => format!("{} ", substance.name),
        },
        None => String::new(),
    };
    let Some(concentration) = &result.concentration else {
        let why = result.refusal.as_ref().map_or("", |refusal| refusal.text.as_str());
        return format!("{substance}NONE: {why}");
    };
    let unit = &concentration.unit;
    let bound = match result.status {
        Status::LessThan => "less than ",
        Status::MoreThan => "more than ",
        Status::Measured | Status::Refused => "",
    };
    let mut text = format!("{substance}{bound}{}", concentration.text);
    if let Some(u) = &result.uncertainty {
        text.push_str(&format!(" ± {}", u.text.expanded));
    }
    text.push_str(&format!(" {unit}"));
    if let Some(u) = &result.uncertainty {
        let [low, high] = &u.text.interval;
        text.push_str(&format!(" ({} coverage: {low} to {high} {unit})", percent(u.coverage)));
    }
    if concentration.basis != "air as it is" {
        text.push_str(&format!(", {}", concentration.basis));
    }
    text
}

fn correction_row(correction: &CorrectionApplied) -> Vec<String> {
    vec![
        correction.step.clone(),
        format!("× {}", print::to_significant(correction.factor, 4)),
        format!("= {}", print::to_significant(correction.after, 3)),
        correction.from.words.clone(),
    ]
}

/// The sources that make up the uncertainty, largest first, as far as they matter.
fn budget_words(uncertainty: &Uncertainty) -> String {
    let mut lines: Vec<_> = uncertainty.budget.iter().filter(|line| 0.5 <= line.contribution).collect();
    lines.sort_by(|a, b| b.contribution.total_cmp(&a.contribution));
    let parts: Vec<String> = lines
        .iter()
        .map(|line| format!("{} {} %", line.source, print::to_decimals(line.contribution, 0)))
        .collect();
    format!("from {}", parts.join(", "))
}

fn against_words(against: &Against, colour: Colour) -> String {
    let limit = &against.limit;
    let over = limit.averaged_over.as_ref().map(|over| format!(" over {over}")).unwrap_or_default();
    let name = format!("{} {}{over} {}", limit.authority, limit.kind, limit.text);
    let probability = against.probability_above.map(|p| format!(" (above with {})", percent(p))).unwrap_or_default();
    let reason = against.reason.as_ref().map(|reason| format!(", {reason}")).unwrap_or_default();
    match against.verdict {
        Some(Verdict::Below) => format!("{name}: {}{probability}{reason}", colour.green("below")),
        Some(Verdict::Above) => format!("{name}: {}{probability}{reason}", colour.red("ABOVE")),
        Some(Verdict::CannotTell) => format!("{name}: {}{probability}{reason}", colour.amber("cannot tell")),
        None => format!("{name}: not compared{reason}"),
    }
}

/// A probability or a coverage in percent. What is nearly sure is not printed as sure.
fn percent(part: f64) -> String {
    let value = part * 100.0;
    if 99.9 < value && value < 100.0 {
        ">99.9 %".to_owned()
    } else if 0.0 < value && value < 0.1 {
        "<0.1 %".to_owned()
    } else {
        format!("{} %", print::number((value * 10.0).round() / 10.0))
    }
}

fn full(out: &mut String, result: &ReadingResult) {
    if let Some(uncertainty) = &result.uncertainty {
        let mut rows = vec![["source", "input", "in the result", "share", "from"].map(ToOwned::to_owned).to_vec()];
        rows.extend(uncertainty.budget.iter().map(|line| {
            let unit = if line.unit == "1" { String::new() } else { format!(" {}", line.unit) };
            vec![
                line.source.clone(),
                format!("{}{unit} {}", print::to_significant(line.value, 3), line.distribution),
                format!("{} %", print::to_significant(line.relative * 100.0, 2)),
                format!("{} %", print::to_decimals(line.contribution, 0)),
                line.origin.clone(),
            ]
        }));
        for row in columns(&rows) {
            out.push_str("    ");
            out.push_str(&row);
            out.push('\n');
        }
    }
    if let Some(digest) = &result.sheet_digest {
        push_hanging(out, "  digest      ", digest, WIDTH);
    }
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn nearly_sure_is_not_sure() {
        for (part, text) in [(0.95, "95 %"), (0.99999, ">99.9 %"), (1.0, "100 %"), (1e-9, "<0.1 %"), (0.123_4, "12.3 %")] {
            assert_eq!(percent(part), text);
        }
    }
}
