//! The lines in which a slip is looked for.

use std::collections::BTreeSet;

use super::bracket_runs::BracketRuns;
use super::slip_line::{SlipLine, is_glued};
use crate::document::Document;
use crate::finding::Finding;
use crate::rules;

/// Lines that are looked at, the nearest to what is blamed first.
const MOST_LINES: usize = 48;
/// Lines above and below the blamed one that may belong to the same list or group.
const FARTHEST: usize = 24;

/// Reason for looking at a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// Something is found there, or it looks odd: any mark may be missing.
    Closely,
    /// It stands among the lines about one that is blamed: it may begin in the wrong place.
    AtItsBeginning,
}

/// Numbers of the lines that are looked at: those of the findings with the lines about them, and those that look odd.
pub(super) fn near(
    document: &Document,
    lines: &[SlipLine<'_>],
    runs: &BracketRuns,
    findings: &[Finding],
) -> Vec<(usize, Look)> {
    let number = |at: usize| {
        lines
            .partition_point(|line| line.start <= at)
            .saturating_sub(1)
    };
    let step = |from: usize, up: bool| {
        let mut at = from;
        loop {
            at = if up { at.checked_sub(1)? } else { at + 1 };
            if lines.get(at)?.is_content() {
                return Some(at);
            }
        }
    };
    let mut chosen = Vec::new();
    let mut seen = BTreeSet::new();
    let mut take = |index: usize, look: Look| {
        if chosen.len() < MOST_LINES && seen.insert(index) {
            chosen.push((index, look));
        }
    };
    let first_syntax = |finding: &&Finding| finding.rule() == rules::YAML_SYNTAX.name;
    let syntax = findings.iter().filter(first_syntax);
    let others = findings.iter().filter(|finding| !first_syntax(finding));
    for (index, line) in lines.iter().enumerate() {
        if looks_odd(line) {
            take(index, Look::Closely);
        }
    }
    for index in &runs.open {
        take(*index, Look::Closely);
    }
    // Where the text breaks off, the slip may be a line away.
    let beside = if document.is_broken() {
        Look::Closely
    } else {
        Look::AtItsBeginning
    };
    let found: Vec<&Finding> = syntax.chain(others).collect();
    for finding in &found {
        let range = document.locate(finding.place());
        take(number(range.start), Look::Closely);
        take(number(range.end), Look::Closely);
    }
    for finding in found {
        let range = document.locate(finding.place());
        let here = number(range.start);
        for next in [step(here, true), step(here, false)].into_iter().flatten() {
            take(next, beside);
        }
        // A bracket is blamed where it is opened, and the slip may be in any line up to where it should be closed.
        if document.is_broken() {
            let mut at = here + 1;
            while runs.inside.contains(&at) {
                take(at, Look::Closely);
                at += 1;
            }
        }
        // A row or a field that begins in the wrong place is noticed where the next one does, a bracket where all end.
        let Some(width) = lines.get(here).map(SlipLine::indent) else {
            continue;
        };
        if !document.is_broken() {
            continue;
        }
        for up in [true, false] {
            let mut at = here;
            for _ in 0..FARTHEST {
                match step(at, up) {
                    Some(next)
                        if up || lines.get(next).is_some_and(|line| width < line.indent()) =>
                    {
                        at = next;
                    }
                    _ => break,
                }
                take(at, Look::AtItsBeginning);
                if lines.get(at).is_some_and(|line| line.indent() < width) {
                    break;
                }
            }
        }
    }
    chosen
}

/// True if a line has a tab, half a pair of quotes, brackets that do not pair, or a `#` glued to a word.
fn looks_odd(line: &SlipLine<'_>) -> bool {
    let text = line.text;
    let marks = text.contains('\t') || text.matches('"').count() % 2 == 1;
    (line.is_content() && marks) || text.match_indices('#').any(|(at, _)| is_glued(text, at))
}
