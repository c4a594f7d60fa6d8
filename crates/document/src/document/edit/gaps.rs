//! The text between values: lines, colons, commas and comments.

use std::ops::Range;

use crate::document::tree::{NodeKind, Style};
use crate::document::{Document, Node, NodeId};

/// Start of the line that a byte stands in; a byte order mark belongs to no line.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    let before = text.get(..at).unwrap_or_default();
    match before.rfind('\n') {
        Some(newline) => newline + 1,
        None if before.starts_with('\u{feff}') => '\u{feff}'.len_utf8(),
        None => 0,
    }
}

/// Column of a byte, in bytes from 0.
pub(super) fn column(text: &str, at: usize) -> usize {
    at - line_start(text, at).min(at)
}

/// End of the line that a byte stands in, before its line break.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    at + line.strip_suffix('\r').unwrap_or(line).len()
}

/// Start of the next line; the end of the text after the last one.
pub(super) fn next_line(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    rest.find('\n')
        .map_or(text.len(), |newline| at + newline + 1)
}

/// The first byte from here on that is neither blank nor in a comment.
pub(super) fn first_of_meaning(text: &str, from: usize) -> usize {
    let bytes = text.as_bytes();
    let mut at = from;
    loop {
        match bytes.get(at) {
            Some(b' ' | b'\t' | b'\n' | b'\r') => at += 1,
            Some(b'#') => at = line_end(text, at),
            _ => return at,
        }
    }
}

/// The comma that follows an entry in brackets.
pub(super) fn comma_after(text: &str, end: usize) -> Option<usize> {
    let at = first_of_meaning(text, end);
    (text.as_bytes().get(at) == Some(&b',')).then_some(at)
}

/// The colon between a key and its value. Nothing where it is left out, as in brackets it may be.
pub(super) fn colon_after(text: &str, key: Node<'_>) -> Option<usize> {
    let at = first_of_meaning(text, key.range().end);
    (text.as_bytes().get(at) == Some(&b':')).then_some(at)
}

/// The first byte of a value that follows a colon or a dash: of a block its `|` or `>`, not the lines below.
pub(super) fn start_of(text: &str, sign: usize, value: Node<'_>) -> usize {
    let start = value.range().start;
    if !is_block(value) {
        return start;
    }
    let head = first_of_meaning(text, sign);
    let is_head = matches!(text.as_bytes().get(head), Some(b'|' | b'>'));
    if is_head && head < start { head } else { start }
}

/// True of text on lines of its own after `|` or `>`.
pub(super) fn is_block(value: Node<'_>) -> bool {
    matches!(
        value.kind(),
        NodeKind::Scalar(Style::Literal | Style::Folded)
    )
}

/// True if between these bytes are only blanks and comments.
pub(super) fn is_gap(text: &str, range: &Range<usize>) -> bool {
    range.end <= first_of_meaning(text, range.start)
}

/// The end of what an entry says: of a value that is absent, its colon.
pub(super) fn end_of(text: &str, key: Option<Node<'_>>, value: Node<'_>) -> usize {
    let own = value.range().end;
    let last = match value.kind() {
        NodeKind::Mapping if !value.is_in_brackets() => value
            .entries()
            .last()
            .map(|(key, value)| end_of(text, Some(key), value)),
        NodeKind::Sequence if !value.is_in_brackets() => {
            value.items().last().map(|item| end_of(text, None, item))
        }
        _ => None,
    };
    let colon = key.and_then(|key| colon_after(text, key));
    let end = own.max(last.unwrap_or_default());
    end.max(colon.map_or(0, |colon| colon + 1))
}

/// The end of the lines of an entry, the comment behind it and its line break included.
pub(super) fn end_of_lines(text: &str, key: Option<Node<'_>>, value: Node<'_>) -> usize {
    let mut end = next_line(text, end_of(text, key, value));
    // Such a block keeps the blank lines that follow it.
    while keeps_blank_lines(text, value) && end < text.len() {
        let line = text.get(end..line_end(text, end)).unwrap_or_default();
        if !line.bytes().all(|byte| byte == b' ') {
            break;
        }
        end = next_line(text, end);
    }
    end
}

/// True if the last text of a value is a block that ends with all its blank lines.
pub(super) fn keeps_blank_lines(text: &str, value: Node<'_>) -> bool {
    match value.kind() {
        NodeKind::Scalar(Style::Literal | Style::Folded) => {
            let lines = text.get(..line_start(text, value.range().start));
            let lines = lines.unwrap_or_default().lines().rev();
            let head = lines.map(str::trim).find(|line| !line.is_empty());
            let mut words = head.unwrap_or_default().split_whitespace();
            words.any(|word| word.starts_with(['|', '>']) && word.contains('+'))
        }
        NodeKind::Scalar(_) => false,
        NodeKind::Mapping => {
            let last = value.entries().last();
            last.is_some_and(|(_, value)| keeps_blank_lines(text, value))
        }
        NodeKind::Sequence => {
            let last = value.items().last();
            last.is_some_and(|item| keeps_blank_lines(text, item))
        }
    }
}

/// The comments that begin within these bytes, up to the ends of their lines.
pub(super) fn comments(document: &Document, within: &Range<usize>) -> Vec<Range<usize>> {
    let text = document.text();
    let mut found = Vec::new();
    let mut from = within.start;
    let scalars = (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| matches!(node.kind(), NodeKind::Scalar(_)));
    for scalar in scalars {
        let range = scalar.range();
        if range.end <= from {
            continue;
        }
        if within.end <= range.start {
            break;
        }
        in_gap(text, from..range.start.max(from), &mut found);
        from = range.end;
    }
    in_gap(text, from..within.end.max(from), &mut found);
    found
}

fn in_gap(text: &str, gap: Range<usize>, found: &mut Vec<Range<usize>>) {
    let mut at = gap.start;
    while let Some(sign) = text.get(at..gap.end).and_then(|gap| gap.find('#')) {
        let start = at + sign;
        let end = line_end(text, start);
        let before = start.checked_sub(1).and_then(|at| text.as_bytes().get(at));
        if matches!(before, None | Some(b' ' | b'\t' | b'\n' | b'\r' | 0xbf)) {
            found.push(start..end);
            at = end.max(start + 1);
        } else {
            at = start + 1;
        }
    }
}
