//! Entries of a mapping in another order, each with the comments that are about it.

use std::ops::Range;

use super::gaps::{
    colon_after, column, comments, end_of, end_of_lines, keeps_blank_lines, line_end, line_start,
    next_line,
};
use super::lines::{Before, before, below_comments};
use super::{EditRefusal, is_usual, pairs};
use crate::document::{Document, Node};
use crate::place::Path;

/// First words of the comment that tells an editor which schema a file has; it stands first whatever follows it.
const MODELINE: &str = "# yaml-language-server:";

/// Bytes that take the place of a mapping's entries: pieces of the text, and text between them.
pub(super) struct MovedEntries {
    /// All bytes from the first entry to the last, comments and blank lines between them included.
    pub(super) range: Range<usize>,
    pub(super) pieces: Vec<Piece>,
}

pub(super) enum Piece {
    /// Bytes of the text, in which other changes may lie.
    Kept(Range<usize>),
    /// Text that stands between such bytes.
    New(String),
}

/// An entry on lines of its own.
struct EntryLines {
    /// Blank lines above it.
    blank: Range<usize>,
    /// The comments above it.
    lead: Range<usize>,
    /// From its key to the end of its lines, with the comments below that are indented further.
    body: Range<usize>,
}

/// The entries of a mapping in this order; refused where it cannot be told which entry a comment is about.
pub(super) fn moved(
    document: &Document,
    mapping: Node<'_>,
    order: &[usize],
    path: &Path,
) -> Result<MovedEntries, EditRefusal> {
    let unusual = || EditRefusal::Unusual(path.clone());
    let entries: Vec<(Node<'_>, Node<'_>)> = pairs(document, mapping).collect();
    if entries.iter().any(|(key, _)| key.is_repeated()) {
        return Err(EditRefusal::Repeated(path.clone()));
    }
    let is_usual = |(key, value): &(Node<'_>, Node<'_>)| is_usual(document, mapping, *key, *value);
    let mut sorted = order.to_vec();
    sorted.sort_unstable();
    if !entries.iter().all(is_usual) || !sorted.iter().copied().eq(0..entries.len()) {
        return Err(unusual());
    }
    let moved = if mapping.is_in_brackets() {
        in_brackets(document, mapping, &entries, order)
    } else {
        on_lines(document, &entries, order)
    };
    moved.map_err(|why| match why {
        Unmoved::Unusual => unusual(),
        Unmoved::Comments => EditRefusal::UnclearComments(path.clone()),
    })
}

/// Reason for which the entries stay where they are.
enum Unmoved {
    Unusual,
    Comments,
}

/// Entries change places, and what stands between them stays.
fn in_brackets(
    document: &Document,
    mapping: Node<'_>,
    entries: &[(Node<'_>, Node<'_>)],
    order: &[usize],
) -> Result<MovedEntries, Unmoved> {
    let text = document.text();
    if !comments(document, &mapping.range()).is_empty() {
        return Err(Unmoved::Comments);
    }
    let own = |(key, value): &(Node<'_>, Node<'_>)| {
        // Without its colon a value that is absent would make one text with the entry that follows.
        colon_after(text, *key).map(|_| key.range().start..end_of(text, Some(*key), *value))
    };
    let ranges: Option<Vec<Range<usize>>> = entries.iter().map(own).collect();
    let ranges = ranges.ok_or(Unmoved::Unusual)?;
    let (Some(first), Some(last)) = (ranges.first(), ranges.last()) else {
        return Err(Unmoved::Unusual);
    };
    let mut pieces = Vec::new();
    let mut end = None;
    for (place, from) in ranges.iter().zip(order) {
        if let Some(end) = end {
            pieces.push(Piece::Kept(end..place.start));
        }
        pieces.extend(ranges.get(*from).cloned().map(Piece::Kept));
        end = Some(place.end);
    }
    Ok(MovedEntries {
        range: first.start..last.end,
        pieces,
    })
}

fn on_lines(
    document: &Document,
    entries: &[(Node<'_>, Node<'_>)],
    order: &[usize],
) -> Result<MovedEntries, Unmoved> {
    let text = document.text();
    let first = entries.first().ok_or(Unmoved::Unusual)?.0.range().start;
    let at = column(text, first);
    let behind_a_dash = match before(text, first) {
        Before::Blanks => false,
        Before::Dashes => true,
        Before::Other => return Err(Unmoved::Unusual),
    };
    // The blank lines that follow such a block are its own, wherever it stands.
    if entries
        .iter()
        .any(|(_, value)| keeps_blank_lines(text, *value))
    {
        return Err(Unmoved::Unusual);
    }
    let lines = own_lines(text, entries, at, behind_a_dash)?;
    let end = lines.last().map_or(first, |last| last.body.end);
    // A comment directly below the last entry may be about it, and then would be about another.
    let below = text.get(end..line_end(text, end)).unwrap_or_default();
    let is_footer = below.trim_start().starts_with('#') && column_of(below) == at;
    if is_footer && order.last() != Some(&(entries.len() - 1)) {
        return Err(Unmoved::Comments);
    }
    let (line_break, indent) = (super::habits::line_break(text), " ".repeat(at));
    // The blank lines above what comes first now are those of what came first before.
    let spare = order
        .first()
        .and_then(|first| lines.get(*first))
        .map(|now_first| now_first.blank.clone());
    let mut pieces = Vec::new();
    let start = lines.first().map_or(first, |lines| {
        if behind_a_dash {
            first
        } else {
            lines.lead.start
        }
    });
    for (place, from) in order.iter().enumerate() {
        let own = lines.get(*from).ok_or(Unmoved::Unusual)?;
        match (place, from) {
            (0, _) => {}
            (_, 0) => pieces.extend(spare.clone().map(Piece::Kept)),
            _ => pieces.push(Piece::Kept(own.blank.clone())),
        }
        if place == 0 && behind_a_dash {
            if !own.lead.is_empty() {
                return Err(Unmoved::Comments);
            }
        } else {
            pieces.push(Piece::Kept(own.lead.clone()));
            pieces.push(Piece::New(indent.clone()));
        }
        pieces.push(Piece::Kept(own.body.clone()));
        let ends_a_line = text.get(..own.body.end).is_some_and(|t| t.ends_with('\n'));
        if place + 1 < order.len() && !ends_a_line {
            pieces.push(Piece::New(line_break.to_owned()));
        }
    }
    Ok(MovedEntries {
        range: start..end,
        pieces,
    })
}

/// The lines of each entry. Refused where a comment stands between two entries so that it may be about either.
fn own_lines(
    text: &str,
    entries: &[(Node<'_>, Node<'_>)],
    at: usize,
    behind_a_dash: bool,
) -> Result<Vec<EntryLines>, Unmoved> {
    let mut found: Vec<EntryLines> = Vec::new();
    for (key, value) in entries {
        let start = key.range().start;
        let line = line_start(text, start);
        let end = below_comments(text, end_of_lines(text, Some(*key), *value), at);
        let (blank, lead) = match found.last() {
            None if behind_a_dash => (start..start, start..start),
            None => {
                let lead = directly_above(text, line);
                (lead..lead, lead..line)
            }
            Some(above) => {
                if before(text, start) != Before::Blanks || column(text, start) != at {
                    return Err(Unmoved::Unusual);
                }
                let gap = above.body.end..line;
                let blank_end = after_blank_lines(text, gap.clone());
                let lead = blank_end..gap.end;
                let is_glued = blank_end == gap.start;
                let is_apart = text
                    .get(lead.clone())
                    .is_some_and(|lead| lead.lines().any(|line| line.trim().is_empty()));
                if is_glued && is_apart {
                    return Err(Unmoved::Comments);
                }
                (gap.start..blank_end, lead)
            }
        };
        found.push(EntryLines {
            blank,
            lead,
            body: start..end,
        });
    }
    Ok(found)
}

/// The end of the blank lines that these bytes begin with.
fn after_blank_lines(text: &str, gap: Range<usize>) -> usize {
    let mut at = gap.start;
    while at < gap.end {
        let line = text.get(at..line_end(text, at)).unwrap_or_default();
        if !line.trim().is_empty() {
            break;
        }
        at = next_line(text, at);
    }
    at.min(gap.end)
}

/// The first of the comment lines directly above a line; the one for editors is none of them.
fn directly_above(text: &str, line: usize) -> usize {
    let mut above = line;
    while let Some(before) = above.checked_sub(1) {
        let start = line_start(text, before);
        let content = text.get(start..line_end(text, start)).unwrap_or_default();
        let content = content.trim_start();
        if above <= start || !content.starts_with('#') || content.starts_with(MODELINE) {
            break;
        }
        above = start;
    }
    above
}

fn column_of(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}
