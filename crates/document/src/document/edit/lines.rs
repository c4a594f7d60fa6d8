//! Entries of lists and mappings on lines of their own.

use std::ops::Range;

use super::gaps::{
    colon_after, column, comments, end_of, end_of_lines, line_end, line_start, next_line,
};
use super::habits::{Habits, model_in};
use super::{Edit, EditRefusal, NewEntry, Route, pairs};
use crate::document::{Document, Node};

/// An entry on lines of its own.
pub(super) struct LineEntry<'d> {
    key: Option<Node<'d>>,
    value: Node<'d>,
    /// The key's first byte, or the dash.
    pub(super) start: usize,
}

/// The entries of a list or mapping in the order of the text; nothing if a dash is not found.
pub(super) fn entries<'d>(document: &'d Document, holder: Node<'d>) -> Option<Vec<LineEntry<'d>>> {
    let text = document.text();
    if holder.is_mapping() {
        let entry = |(key, value): (Node<'d>, Node<'d>)| LineEntry {
            key: Some(key),
            value,
            start: key.range().start,
        };
        return Some(pairs(document, holder).map(entry).collect());
    }
    let mut found: Vec<LineEntry<'d>> = Vec::new();
    let first = holder.range().start;
    let at = column(text, first);
    for value in holder.items() {
        let start = match found.last() {
            None => first,
            Some(before) => next_dash(text, end_of(text, None, before.value), at)?,
        };
        if text.as_bytes().get(start) != Some(&b'-') {
            return None;
        }
        found.push(LineEntry {
            key: None,
            value,
            start,
        });
    }
    Some(found)
}

/// The first dash in this column on a line below.
fn next_dash(text: &str, from: usize, at: usize) -> Option<usize> {
    let mut line = next_line(text, from);
    while line < text.len() {
        let content = text.get(line..line_end(text, line))?;
        let blanks = content.len() - content.trim_start_matches(' ').len();
        if blanks == at && content.as_bytes().get(blanks) == Some(&b'-') {
            return Some(line + blanks);
        }
        line = next_line(text, line);
    }
    None
}

/// Text before an entry on its line.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Before {
    /// Blanks alone: the lines are the entry's own.
    Blanks,
    /// Dashes of the lists that it is the first thing in.
    Dashes,
    /// Something else.
    Other,
}

pub(super) fn before(text: &str, start: usize) -> Before {
    let before = text.get(line_start(text, start)..start).unwrap_or_default();
    if before.bytes().all(|byte| byte == b' ') {
        Before::Blanks
    } else if before.bytes().all(|byte| matches!(byte, b' ' | b'-')) && !before.contains("--") {
        Before::Dashes
    } else {
        Before::Other
    }
}

pub(super) fn insert(
    place: &Route<'_>,
    index: usize,
    entry: &NewEntry<'_>,
) -> Result<Vec<Edit>, EditRefusal> {
    let (document, text) = (place.document, place.document.text());
    let entries = entries(document, place.value).ok_or_else(|| place.unusual())?;
    let first = entries.first().ok_or_else(|| place.unusual())?;
    let habits = Habits::of(document);
    let at = column(text, first.start);
    let neighbour = index.checked_sub(1).and_then(|index| entries.get(index));
    let new = if let Some(key) = entry.key {
        habits.field(key, entry.value, Some(place.value), at)
    } else {
        let like = neighbour
            .map(|neighbour| neighbour.value)
            .filter(|value| entry.value.is_same_kind(*value))
            .or_else(|| model_in(place.value, None, entry.value));
        habits.item(entry.value, like, at)
    };
    let (indent, line_break) = (" ".repeat(at), habits.line_break);
    let Some(neighbour) = neighbour else {
        return match before(text, first.start) {
            Before::Blanks => {
                let above = above_comments(text, line_start(text, first.start), at);
                let lines = format!("{indent}{new}{line_break}");
                Ok(vec![place.edit(above..above, lines)])
            }
            Before::Dashes => {
                let line = format!("{new}{line_break}{indent}");
                Ok(vec![place.edit(first.start..first.start, line)])
            }
            Before::Other => Err(place.unusual()),
        };
    };
    let end = end_of_lines(text, neighbour.key, neighbour.value);
    let end = below_comments(text, end, at);
    let lines = if text.len() <= end && !text.ends_with('\n') {
        format!("{line_break}{indent}{new}")
    } else {
        format!("{indent}{new}{line_break}")
    };
    Ok(vec![place.edit(end..end, lines)])
}

/// The line above the comments that directly precede a line, each as far indented; those that begin the file are its own.
fn above_comments(text: &str, line: usize, at: usize) -> usize {
    let mut above = line;
    loop {
        let Some(before) = above.checked_sub(1) else {
            return line;
        };
        let start = line_start(text, before);
        let content = text.get(start..line_end(text, start)).unwrap_or_default();
        let blanks = content.len() - content.trim_start_matches(' ').len();
        if above <= start || !(content.trim_start().starts_with('#') && blanks == at) {
            return above;
        }
        above = start;
        if line_start(text, 0) == above {
            return line;
        }
    }
}

/// The line below the comments that follow and are indented further: they belong to the entry above.
pub(super) fn below_comments(text: &str, line: usize, at: usize) -> usize {
    let mut below = line;
    let mut next = line;
    while next < text.len() {
        let content = text.get(next..line_end(text, next)).unwrap_or_default();
        let blanks = content.len() - content.trim_start_matches(' ').len();
        next = next_line(text, next);
        match content.as_bytes().get(blanks) {
            None => {}
            Some(b'#') if at < blanks => below = next,
            Some(_) => break,
        }
    }
    below
}

pub(super) fn remove(holder: &Route<'_>, entry: &Route<'_>) -> Result<Vec<Edit>, EditRefusal> {
    let (document, text) = (holder.document, holder.document.text());
    let entries = entries(document, holder.value).ok_or_else(|| holder.unusual())?;
    let id = entry.value.id();
    let index = entries.iter().position(|entry| entry.value.id() == id);
    let index = index.ok_or_else(|| entry.unusual())?;
    let own = entries.get(index).ok_or_else(|| entry.unusual())?;
    let lines = line_start(text, own.start)..end_of_lines(text, own.key, own.value);
    let before = before(text, own.start);
    if before == Before::Other {
        return Err(entry.unusual());
    }
    if entries.len() == 1 {
        let empty = if holder.value.is_list() { "[]" } else { "{}" };
        if before == Before::Dashes || holder.is_root() {
            let end = end_of(text, own.key, own.value);
            return Ok(vec![entry.edit(own.start..end, empty)]);
        }
        let sign = after_sign(holder).ok_or_else(|| holder.unusual())?;
        return Ok(vec![
            entry.edit(sign..sign, format!(" {empty}")),
            entry.edit(lines, ""),
        ]);
    }
    if before == Before::Blanks {
        return Ok(vec![entry.edit(lines, "")]);
    }
    // The next entry takes the place behind the dash.
    let next = entries.get(index + 1).ok_or_else(|| entry.unusual())?;
    let between: Range<usize> = lines.end..next.start;
    let first = comments(document, &between).first().map(|c| c.start);
    Ok(vec![entry.edit(own.start..first.unwrap_or(next.start), "")])
}

/// The byte after the colon or dash that a value follows.
pub(super) fn after_sign(place: &Route<'_>) -> Option<usize> {
    let text = place.document.text();
    if let Some(key) = place.key {
        return colon_after(text, key).map(|colon| colon + 1);
    }
    let holder = place.holder.filter(|holder| !holder.is_in_brackets())?;
    let entries = entries(place.document, holder)?;
    let own = entries
        .iter()
        .find(|entry| entry.value.id() == place.value.id())?;
    Some(own.start + 1)
}
