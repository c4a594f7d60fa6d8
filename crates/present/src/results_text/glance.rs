//! All readings at a glance, a line each.

use stainbook_evaluation::result::{LimitComparison, Verdict};
use stainbook_evaluation::{Evaluation, ReadingResult, Status};

use super::one::value;
use super::{WIDTH, summary};
use crate::Colour;
use crate::counts::counted;
use crate::lines::{columns, if_stated, printable, push_hanging};

/// One line for each reading, and the line that counts them.
pub(super) fn glance(out: &mut String, evaluation: &Evaluation, colour: Colour) {
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
    super::together::glance(out, evaluation, colour);
    push_hanging(out, "", &summary(evaluation), WIDTH);
}

fn glance_row(result: &ReadingResult) -> Vec<String> {
    let place: String = shortened(result.place.as_deref().unwrap_or_default(), 30);
    let gas = if_stated(result.substance.as_ref(), |substance| {
        shortened(&substance.name, 18)
    });
    let limits = if result.status == Status::Refused {
        String::new()
    } else {
        verdicts(&result.against)
    };
    let flags = match result.flags.len() {
        0 => String::new(),
        n => counted(n, "flag"),
    };
    vec![
        shortened(&result.id, 16),
        place,
        gas,
        value(result),
        limits,
        flags,
    ]
}

pub(super) fn shortened(text: &str, longest: usize) -> String {
    let text = printable(text);
    if text.chars().count() <= longest {
        return text.into_owned();
    }
    let kept: String = text.chars().take(longest - 1).collect();
    format!("{}…", kept.trim_end())
}

/// `ABOVE 2, below 1`. Where nothing worse is said, the limits that a tube cannot speak to are counted as well: "below"
/// alone would promise too much.
pub(super) fn verdicts(limits: &[LimitComparison]) -> String {
    let count = |verdict| {
        limits
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
    match (worst_of(limits), count(None)) {
        (Some(Verdict::Below), n) if 0 < n => parts.push(format!("{n} not compared")),
        (None, _) => parts.push("no limit compared".to_owned()),
        _ => {}
    }
    parts.join(", ")
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
