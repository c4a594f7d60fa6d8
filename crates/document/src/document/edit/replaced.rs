//! A value in the place of another.

use super::gaps::{column, comments, end_of, is_block, line_end, start_of};
use super::habits::{Habits, model_in};
use super::lines::after_sign;
use super::{Edit, EditRefusal, NewValue, Route};
use crate::document::tree::NodeKind;

pub(super) fn replaced(place: &Route<'_>, value: &NewValue) -> Result<Vec<Edit>, EditRefusal> {
    let habits = Habits::of(place.document);
    let old = place.value;
    let beside = place
        .holder
        .and_then(|holder| model_in(holder, None, value));
    match old.kind() {
        NodeKind::Scalar(_) if value.is_scalar() => {
            let text = habits.scalar_in_place_of(old, beside, value);
            in_place_of_scalar(place, &text)
        }
        NodeKind::Scalar(_) => {
            let in_brackets = place
                .holder
                .is_some_and(crate::document::Node::is_in_brackets);
            if !in_brackets
                && habits.is_on_lines(value, beside)
                && let Some(edits) = on_lines_below(place, &habits, value)
            {
                return Ok(edits);
            }
            in_place_of_scalar(place, &habits.in_brackets(value, beside))
        }
        _ if old.is_in_brackets() || old.is_empty() => {
            if !comments(place.document, &old.range()).is_empty() {
                return Err(EditRefusal::Comments(place.path.clone()));
            }
            let like = if value.is_same_kind(old) {
                Some(old)
            } else {
                beside
            };
            Ok(vec![
                place.edit(old.range(), habits.in_brackets(value, like)),
            ])
        }
        _ => in_place_of_lines(place, &habits, value),
    }
}

fn in_place_of_scalar(place: &Route<'_>, text: &str) -> Result<Vec<Edit>, EditRefusal> {
    let old = place.value;
    let range = old.range();
    if range.is_empty() {
        return match (after_sign(place), place.key) {
            (Some(sign), _) => Ok(vec![place.edit(sign..sign, format!(" {text}"))]),
            (None, Some(key)) => {
                let end = key.range().end;
                Ok(vec![place.edit(end..end, format!(": {text}"))])
            }
            (None, None) => Err(place.unusual()),
        };
    }
    if is_block(old) {
        let sign = after_sign(place).ok_or_else(|| place.unusual())?;
        let start = start_of(place.document.text(), sign, old);
        if !comments(place.document, &(start..range.start)).is_empty() {
            return Err(EditRefusal::Comments(place.path.clone()));
        }
        return Ok(vec![place.edit(start..range.end, text)]);
    }
    Ok(vec![place.edit(range, text)])
}

/// A list or mapping on the lines below a key, in the place of a value on the key's line; nothing if it is elsewhere.
fn on_lines_below(place: &Route<'_>, habits: &Habits<'_>, value: &NewValue) -> Option<Vec<Edit>> {
    let text = place.document.text();
    let key = place.key?;
    let sign = after_sign(place)?;
    let line = line_end(text, sign);
    let range = place.value.range();
    if line < range.end {
        return None;
    }
    let at = column(text, key.range().start);
    let lines = habits.after_colon(
        value,
        place.holder.and_then(|h| model_in(h, None, value)),
        at,
    );
    let mut edits = vec![place.edit(line..line, lines)];
    if sign < range.end {
        edits.push(place.edit(sign..range.end, ""));
    }
    Some(edits)
}

fn in_place_of_lines(
    place: &Route<'_>,
    habits: &Habits<'_>,
    value: &NewValue,
) -> Result<Vec<Edit>, EditRefusal> {
    let (document, text) = (place.document, place.document.text());
    let lost = || EditRefusal::Comments(place.path.clone());
    let old = place.value;
    let start = old.range().start;
    let end = end_of(text, place.key, old);
    let sign = after_sign(place);
    // Behind the only line of an entry a comment speaks of the whole, behind the last of several of the last.
    let is_one_line = sign.is_some_and(|sign| end <= line_end(text, sign));
    let inside = start..if is_one_line {
        end
    } else {
        line_end(text, end)
    };
    if !comments(document, &inside).is_empty() {
        return Err(lost());
    }
    if value.is_same_kind(old) && value.is_filled() {
        let lines = habits.on_lines(value, Some(old), column(text, start));
        return Ok(vec![place.edit(start..end, lines)]);
    }
    let beside = place
        .holder
        .and_then(|holder| model_in(holder, None, value));
    let new = habits.in_brackets(value, beside);
    if place.is_root() {
        return Ok(vec![place.edit(start..end, new)]);
    }
    let sign = sign.ok_or_else(|| place.unusual())?;
    let line = line_end(text, sign);
    if start < line {
        return Ok(vec![place.edit(start..end, new)]);
    }
    if !comments(document, &(line..start)).is_empty() {
        return Err(lost());
    }
    Ok(vec![
        place.edit(sign..sign, format!(" {new}")),
        place.edit(line..end, ""),
    ])
}
