//! Entries of lists and mappings in brackets.

use super::gaps::{column, comma_after, comments, end_of, line_end, line_start, next_line};
use super::habits::{Habits, Spacing, model_in};
use super::{Edit, EditRefusal, NewEntry, Route, pairs};
use crate::document::{Document, Node};

/// An entry in brackets.
struct BracketEntry {
    value: crate::document::NodeId,
    start: usize,
    end: usize,
}

fn entries(document: &Document, holder: Node<'_>) -> Vec<BracketEntry> {
    let text = document.text();
    let entry = |key: Option<Node<'_>>, value: Node<'_>| BracketEntry {
        value: value.id(),
        start: key.unwrap_or(value).range().start,
        end: end_of(text, key, value),
    };
    let fields = pairs(document, holder).map(|(key, value)| entry(Some(key), value));
    if holder.is_mapping() {
        fields.collect()
    } else {
        holder.items().map(|item| entry(None, item)).collect()
    }
}

/// Refuses `[name: value]`, a mapping that has no brackets of its own.
fn bracketed(place: &Route<'_>) -> Result<(), EditRefusal> {
    let sign = if place.value.is_list() { b'[' } else { b'{' };
    let start = place.value.range().start;
    if place.document.text().as_bytes().get(start) == Some(&sign) {
        Ok(())
    } else {
        Err(place.unusual())
    }
}

/// True if nothing but blanks stands before an entry on its line.
fn begins_line(text: &str, start: usize) -> bool {
    let line = line_start(text, start);
    0 < line
        && text
            .get(line..start)
            .is_some_and(|before| before.trim().is_empty())
}

/// Rest of a line.
fn rest(text: &str, from: usize) -> &str {
    text.get(from..line_end(text, from))
        .unwrap_or_default()
        .trim()
}

pub(super) fn insert(
    place: &Route<'_>,
    index: usize,
    entry: &NewEntry<'_>,
) -> Result<Vec<Edit>, EditRefusal> {
    bracketed(place)?;
    let (document, text, holder) = (place.document, place.document.text(), place.value);
    let entries = entries(document, holder);
    let habits = Habits::of(document);
    let spacing = Spacing::of(document, Some(holder));
    let new = if let Some(key) = entry.key {
        habits.field_in_brackets(key, entry.value, Some(holder), spacing)
    } else {
        let beside = index.checked_sub(1).and_then(|index| holder.item(index));
        let like = beside
            .filter(|beside| entry.value.is_same_kind(*beside))
            .or_else(|| model_in(holder, None, entry.value));
        habits.in_brackets(entry.value, like)
    };
    let range = holder.range();
    let Some(last) = entries.len().checked_sub(1) else {
        let inside = range.start + 1..range.end.saturating_sub(1).max(range.start + 1);
        let is_blank = text
            .get(inside.clone())
            .is_some_and(|t| t.trim().is_empty());
        let end = if is_blank { inside.end } else { inside.start };
        return Ok(vec![place.edit(inside.start..end, new)]);
    };
    let beside = entries
        .get(index.min(last))
        .ok_or_else(|| place.unusual())?;
    let between = if begins_line(text, beside.start) {
        let indent = text.get(line_start(text, beside.start)..beside.start);
        format!(",{}{}", habits.line_break, indent.unwrap_or_default())
    } else {
        spacing.comma().to_owned()
    };
    let Some(before) = index.checked_sub(1).and_then(|index| entries.get(index)) else {
        return Ok(vec![
            place.edit(beside.start..beside.start, format!("{new}{between}")),
        ]);
    };
    let comma = comma_after(text, before.end);
    let after = comma.map_or(before.end, |comma| comma + 1);
    if !rest(text, after).starts_with('#') {
        return Ok(vec![
            place.edit(before.end..before.end, format!("{between}{new}")),
        ]);
    }
    // The comment speaks of the entry before it.
    let line = line_end(text, after);
    let indent = " ".repeat(column(text, beside.start));
    let lines = format!("{}{indent}{new}", habits.line_break);
    Ok(if comma.is_some() {
        vec![place.edit(line..line, format!("{lines},"))]
    } else {
        vec![
            place.edit(before.end..before.end, ","),
            place.edit(line..line, lines),
        ]
    })
}

pub(super) fn remove(holder: &Route<'_>, entry: &Route<'_>) -> Result<Vec<Edit>, EditRefusal> {
    bracketed(holder)?;
    let (document, text) = (holder.document, holder.document.text());
    let entries = entries(document, holder.value);
    let id = entry.value.id();
    let index = entries.iter().position(|entry| entry.value == id);
    let index = index.ok_or_else(|| entry.unusual())?;
    let own = entries.get(index).ok_or_else(|| entry.unusual())?;
    let comma = comma_after(text, own.end);
    let after = comma.map_or(own.end, |comma| comma + 1);
    let behind = rest(text, after);
    let has_lines = begins_line(text, own.start)
        && (behind.is_empty() || behind.starts_with('#'))
        && !text.get(own.end..after).is_some_and(|t| t.contains('\n'));
    let lines = line_start(text, own.start)..next_line(text, after);
    let range = holder.value.range();
    if entries.len() == 1 {
        let inside = range.start + 1..range.end.saturating_sub(1);
        let around = [inside.start..own.start, own.end..inside.end];
        let is_free = around.iter().all(|gap| comments(document, gap).is_empty());
        return Ok(if is_free {
            vec![entry.edit(inside, "")]
        } else if has_lines {
            vec![entry.edit(lines, "")]
        } else {
            without(entry, own, comma)
        });
    }
    if let Some(next) = entries.get(index + 1) {
        return Ok(if comments(document, &(own.end..next.start)).is_empty() {
            vec![entry.edit(own.start..next.start, "")]
        } else if has_lines {
            vec![entry.edit(lines, "")]
        } else {
            without(entry, own, comma)
        });
    }
    let before = index.checked_sub(1).and_then(|index| entries.get(index));
    let before = before.ok_or_else(|| entry.unusual())?;
    let before_comma = comma_after(text, before.end).ok_or_else(|| entry.unusual())?;
    let free = comments(document, &(before.end..own.start)).is_empty();
    if free && !(has_lines && behind.starts_with('#')) {
        return Ok(vec![entry.edit(before.end..own.end, "")]);
    }
    let mut edits = if has_lines {
        vec![entry.edit(lines, "")]
    } else {
        without(entry, own, comma)
    };
    if comma.is_none() {
        edits.push(entry.edit(before_comma..before_comma + 1, ""));
    }
    Ok(edits)
}

/// An entry and its comma taken out from among comments.
fn without(place: &Route<'_>, own: &BracketEntry, comma: Option<usize>) -> Vec<Edit> {
    let mut edits = vec![place.edit(own.start..own.end, "")];
    edits.extend(comma.map(|comma| place.edit(comma..comma + 1, "")));
    edits
}
