//! All readings at a glance, a line each.

use stainbook_evaluation::result::{ACT_AS_IF_ABOVE, LimitComparison, Verdict};
use stainbook_evaluation::{Evaluation, ReadingResult, Status};

use super::one::VERDICTS;
use super::{WIDTH, summary};
use crate::Colour;
use crate::counts::counted;
use crate::lines::{columns, if_stated, printable, push_hanging};
use crate::result_value::short_value;

/// One line for each reading, and the line that counts them.
pub(super) fn glance(out: &mut String, evaluation: &Evaluation, colour: Colour) {
    let rows: Vec<Vec<String>> = evaluation.results.iter().map(glance_row).collect();
    let said = evaluation.results.iter().map(|result| {
        if result.status == Status::Refused {
            String::new()
        } else {
            verdicts(&result.against)
        }
    });
    for (line, result) in rows_with(&rows, said).iter().zip(&evaluation.results) {
        push_lines(out, line, |line| match (result.status, worst(result)) {
            (Status::Refused, _) | (_, Some(Verdict::Above)) => colour.red(line),
            (_, Some(Verdict::CannotTell)) => colour.amber(line),
            _ => line.to_owned(),
        });
    }
    super::together::glance(out, evaluation, colour);
    push_hanging(out, "", &summary(evaluation), WIDTH);
}

fn glance_row(result: &ReadingResult) -> Vec<String> {
    let place: String = shortened(result.place.as_deref().unwrap_or_default(), 24);
    let gas = if_stated(result.substance.as_ref(), |substance| {
        shortened(&substance.name, 18)
    });
    let flags = match result.flags.len() {
        0 => String::new(),
        n => counted(n, "flag"),
    };
    vec![
        shortened(&result.id, 16),
        place,
        gas,
        short_value(result),
        flags,
    ]
}

/// Widest line of the glance, in which the reason of a verdict stands beside it.
const GLANCE_WIDTH: usize = 120;

/// Indent of what is said below a row.
const BELOW: &str = "       ";

/// Rows as lines with what is said of each: behind it, or where there is no room for that below it.
pub(super) fn rows_with(rows: &[Vec<String>], said: impl Iterator<Item = String>) -> Vec<String> {
    let heads = columns(rows);
    let widest = heads
        .iter()
        .map(|head| head.chars().count())
        .max()
        .unwrap_or(0);
    heads
        .iter()
        .zip(said)
        .map(|(head, said)| {
            let said = printable(&said);
            let behind = format!("  {head:<widest$}  {said}");
            if behind.chars().count() <= GLANCE_WIDTH {
                return behind.trim_end().to_owned();
            }
            let mut line = format!("  {}\n", head.trim_end());
            push_hanging(&mut line, BELOW, &said, WIDTH);
            line.truncate(line.trim_end().len());
            line
        })
        .collect()
}

/// Puts out a row line by line, each in its colour.
pub(super) fn push_lines(out: &mut String, row: &str, coloured: impl Fn(&str) -> String) {
    for line in row.lines() {
        out.push_str(&coloured(line));
        out.push('\n');
    }
}

pub(super) fn shortened(text: &str, longest: usize) -> String {
    let text = printable(text);
    if text.chars().count() <= longest {
        return text.into_owned();
    }
    let kept: String = text.chars().take(longest - 1).collect();
    format!("{}…", kept.trim_end())
}

/// `ABOVE 2, cannot tell 1 (no leak test recorded), below 1`. Where nothing worse is said, the limits that a tube cannot speak to are counted as well: "below"
/// alone would promise too much.
pub(super) fn verdicts(limits: &[LimitComparison]) -> String {
    let mut parts = Vec::new();
    for (words, verdict) in VERDICTS
        .into_iter()
        .filter(|(_, verdict)| verdict.is_some())
    {
        let mut groups: Vec<(String, usize)> = Vec::new();
        for against in limits.iter().filter(|against| against.verdict == verdict) {
            let beside = beside(against);
            match groups.iter_mut().find(|(known, _)| *known == beside) {
                Some((_, count)) => *count += 1,
                None => groups.push((beside, 1)),
            }
        }
        let each = groups
            .iter()
            .map(|(beside, count)| format!("{words} {count}{beside}"));
        parts.extend(each);
    }
    let not_compared = limits
        .iter()
        .filter(|against| against.verdict.is_none())
        .count();
    match (worst_of(limits), not_compared) {
        (Some(Verdict::Below), n) if 0 < n => parts.push(format!("{n} not compared")),
        (None, _) => parts.push("no limit compared".to_owned()),
        _ => {}
    }
    parts.join(", ")
}

/// Words behind a verdict and how often it was reached: `; reads above: act as if above (pump of another kind)`.
fn beside(against: &LimitComparison) -> String {
    let act = if against.act_as_if.is_some() {
        ACT_AS_IF_ABOVE
    } else {
        ""
    };
    match against.beside_in_words() {
        beside if beside.is_empty() => act.to_owned(),
        beside => format!("{act} ({beside})"),
    }
}

/// Above before cannot tell before below.
pub(super) fn worst(result: &ReadingResult) -> Option<Verdict> {
    worst_of(&result.against)
}

pub(super) fn worst_of(limits: &[LimitComparison]) -> Option<Verdict> {
    let rank = |verdict: Verdict| match verdict {
        Verdict::Above => 2,
        Verdict::CannotTell => 1,
        Verdict::Below => 0,
    };
    limits
        .iter()
        .filter_map(|against| against.verdict)
        .max_by_key(|verdict| rank(*verdict))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_end_in_dots() {
        assert_eq!(
            shortened("brine wash at the dosing valve", 12),
            "brine wash…"
        );
    }
}
