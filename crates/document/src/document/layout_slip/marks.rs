//! The marks that are tried in one line.

use std::ops::Range;

use super::slip_line::{SlipLine, is_glued, names_a_field};
use super::{LayoutKind, LayoutSlip, STEP};

/// Places in a line for a mark of one kind.
const MOST_PLACES: usize = 24;
/// Lines above and below from which an indentation is taken.
const NEIGHBOURS: usize = 8;

/// Widths that the lines around have, the nearest first, and two more than those above.
fn widths(lines: &[SlipLine<'_>], index: usize) -> Vec<usize> {
    let content = |line: &&SlipLine<'_>| line.is_content() && !line.text.starts_with('\t');
    let above = lines
        .get(..index)
        .unwrap_or_default()
        .iter()
        .rev()
        .filter(content)
        .take(NEIGHBOURS);
    let below = lines
        .get(index + 1..)
        .unwrap_or_default()
        .iter()
        .filter(content)
        .take(NEIGHBOURS);
    // Whatever it lies in begins farther up, and farther to the left each time.
    let mut leftmost = usize::MAX;
    let holders = lines.get(..index).unwrap_or_default().iter().rev();
    let holders = holders.filter(content).filter_map(|line| {
        let is_holder = line.indent() < leftmost;
        leftmost = leftmost.min(line.indent());
        is_holder.then(|| line.indent())
    });
    let mut widths: Vec<usize> = Vec::new();
    let deeper = above.clone().take(1).map(|line| line.indent() + STEP);
    let all = above
        .map(SlipLine::indent)
        .chain(below.map(SlipLine::indent));
    for width in all.chain(deeper).chain(holders) {
        if !widths.contains(&width) {
            widths.push(width);
        }
    }
    widths
}

pub(super) fn tabs(
    lines: &[SlipLine<'_>],
    index: usize,
    line: &SlipLine<'_>,
    slips: &mut Vec<LayoutSlip>,
) {
    let lead = line.indent();
    if line
        .text
        .get(..lead)
        .is_some_and(|lead| lead.contains('\t'))
    {
        let bytes = line.start..line.start + lead;
        for width in widths(lines, index) {
            slips.push(LayoutSlip {
                kind: LayoutKind::Tab,
                bytes: bytes.clone(),
                instead: " ".repeat(width),
                shown: bytes.clone(),
            });
        }
    }
    for (at, _) in line.text.match_indices('\t').filter(|(at, _)| lead <= *at) {
        let bytes = line.start + at..line.start + at + 1;
        slips.push(LayoutSlip {
            kind: LayoutKind::Tab,
            instead: " ".to_owned(),
            shown: bytes.clone(),
            bytes,
        });
    }
}

pub(super) fn signs(line: &SlipLine<'_>, slips: &mut Vec<LayoutSlip>) {
    for (at, _) in line.text.match_indices('#').take(MOST_PLACES) {
        if is_glued(line.text, at) {
            let at = line.start + at;
            slips.push(LayoutSlip {
                kind: LayoutKind::Sign,
                bytes: at..at + 1,
                instead: String::new(),
                shown: at..line.end().max(at + 1),
            });
        }
    }
}

/// A mark put in, shown at the character before it or after it.
fn put_in(kind: LayoutKind, at: usize, mark: &str, shown: Range<usize>) -> LayoutSlip {
    LayoutSlip {
        kind,
        bytes: at..at,
        instead: mark.to_owned(),
        shown,
    }
}

/// Ends of values in a line: before a comma or a closing bracket, and the end, each with the character before it.
fn ends_of_values(line: &SlipLine<'_>) -> Vec<(usize, usize)> {
    let mut ends = Vec::new();
    let mut last = None;
    for (at, character, _, _) in line.characters() {
        let closes = matches!(character, ',' | '}' | ']');
        if let (true, Some(last)) = (closes, last) {
            ends.push(last);
        }
        if !character.is_whitespace() {
            last = Some((at + character.len_utf8(), at));
        }
    }
    // The end is where a mark is forgotten most.
    ends.extend(last);
    ends.reverse();
    ends.dedup();
    ends.truncate(MOST_PLACES);
    ends
}

/// Beginnings of values in a line: after a colon, a dash, a comma or an opening bracket.
fn beginnings(line: &SlipLine<'_>) -> Vec<(usize, char)> {
    let mut found = Vec::new();
    let mut opens = true;
    for (at, character, before, _) in line.characters() {
        if character.is_whitespace() {
            continue;
        }
        let after_mark = before.is_whitespace() || matches!(before, '[' | '{' | ',');
        if opens && after_mark {
            found.push((at, character));
        }
        opens = matches!(character, ':' | '-' | ',' | '[' | '{');
    }
    found.truncate(MOST_PLACES);
    found
}

pub(super) fn closing_brackets(line: &SlipLine<'_>, slips: &mut Vec<LayoutSlip>) {
    for (end, last) in ends_of_values(line) {
        for mark in ["}", "]"] {
            slips.push(put_in(LayoutKind::ClosingBracket, end, mark, last..end));
        }
    }
}

pub(super) fn opening_brackets(line: &SlipLine<'_>, slips: &mut Vec<LayoutSlip>) {
    for (at, character) in beginnings(line) {
        for mark in ["{", "["] {
            let shown = at..at + character.len_utf8();
            slips.push(put_in(LayoutKind::OpeningBracket, at, mark, shown));
        }
    }
}

pub(super) fn quotes(line: &SlipLine<'_>, slips: &mut Vec<LayoutSlip>) {
    if line.text.matches('"').count().is_multiple_of(2) {
        return;
    }
    let marks: Vec<usize> = line
        .text
        .match_indices('"')
        .map(|(at, _)| line.start + at)
        .collect();
    // Where quotes do not pair, what stands in them is not known: all commas and brackets are tried.
    let bytes = line.text.as_bytes();
    let closing = (0..bytes.len())
        .filter(|at| matches!(bytes.get(*at), Some(b',' | b'}' | b']')))
        .map(|at| line.start + at)
        .chain([line.end()]);
    for at in closing {
        let opened = marks.iter().rev().find(|mark| **mark < at);
        if let Some(opened) = opened.filter(|opened| **opened + 1 < at) {
            slips.push(put_in(LayoutKind::Quote, at, "\"", *opened..at));
        }
    }
    let text = line.text;
    for (at, _) in text.match_indices([':', '-', ',', '[', '{']) {
        let rest = text.get(at + 1..).unwrap_or_default();
        let begins = line.start + text.len() - rest.trim_start().len();
        let closed = marks.iter().find(|mark| begins < **mark);
        if let Some(closed) = closed {
            slips.push(put_in(LayoutKind::Quote, begins, "\"", begins..*closed));
        }
    }
}

pub(super) fn colons(line: &SlipLine<'_>, slips: &mut Vec<LayoutSlip>) {
    for (at, _) in beginnings(line) {
        let rest = line.text.get(at - line.start..).unwrap_or_default();
        let length = rest
            .bytes()
            .take_while(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'_'))
            .count();
        let (word, after) = rest.split_at_checked(length).unwrap_or_default();
        let end = at + length;
        match after.chars().next() {
            _ if word.is_empty() => {}
            None | Some(' ' | ',' | '}' | ']') => {
                slips.push(put_in(LayoutKind::Colon, end, ":", at..end));
            }
            Some('{' | '[') => slips.push(put_in(LayoutKind::Colon, end, ": ", at..end)),
            Some(':') => {
                let spaced = after
                    .get(1..)
                    .is_none_or(|after| after.is_empty() || after.starts_with(' '));
                if !spaced {
                    slips.push(put_in(LayoutKind::Colon, end + 1, " ", at..end));
                }
            }
            Some(_) => {}
        }
    }
}

pub(super) fn commas(line: &SlipLine<'_>, inside: bool, slips: &mut Vec<LayoutSlip>) {
    let mut token = line.start;
    let mut found = Vec::new();
    let mut inside = inside;
    for (at, character, before, next) in line.characters() {
        inside |= matches!(character, '[' | '{');
        if character.is_whitespace() {
            let parts =
                inside && !before.is_whitespace() && !matches!(before, ',' | ':' | '[' | '{' | '-');
            let rest = line
                .text
                .get(at - line.start..)
                .unwrap_or_default()
                .trim_start();
            if parts && !rest.is_empty() && !rest.starts_with([',', ']', '}', '#']) {
                found.push((
                    !names_a_field(rest),
                    put_in(LayoutKind::Comma, at, ",", token..at),
                ));
            }
        } else if matches!(character, ',' | ':' | '[' | '{') || before.is_whitespace() {
            token = if matches!(character, ',' | ':' | '[' | '{') {
                at + 1
            } else if token == at
                || line
                    .text
                    .get(token - line.start..at - line.start)
                    .is_some_and(|between| between.trim().is_empty())
            {
                at
            } else {
                token
            };
        } else if matches!(next, '{' | '[') && !matches!(before, ' ') {
            token = token.min(at);
        }
    }
    let end = line.end();
    if !inside {
        return;
    }
    found.push((
        true,
        put_in(LayoutKind::Comma, end, ",", token.min(end)..end),
    ));
    found.sort_by_key(|(text, _)| *text);
    slips.extend(found.into_iter().take(MOST_PLACES).map(|(_, slip)| slip));
}

pub(super) fn indentation(
    lines: &[SlipLine<'_>],
    index: usize,
    line: &SlipLine<'_>,
    slips: &mut Vec<LayoutSlip>,
) {
    let lead = line.indent();
    if !line.is_content() || line.text.get(..lead).is_none_or(|lead| lead.contains('\t')) {
        return;
    }
    let widths = widths(lines, index).into_iter();
    slips.extend(
        widths
            .filter(|width| *width != lead)
            .map(|width| reindented(line, width)),
    );
}

pub(super) fn reindented(line: &SlipLine<'_>, width: usize) -> LayoutSlip {
    let lead = line.indent();
    let first = line.content().chars().next().map_or(0, char::len_utf8);
    LayoutSlip {
        kind: LayoutKind::Indentation,
        bytes: line.start..line.start + lead,
        instead: " ".repeat(width),
        shown: line.start..line.start + lead + first,
    }
}
