//! A file in its usual form: its entries in the usual order, no quotes that say nothing, no blanks at the ends of lines.

use std::collections::BTreeMap;
use std::ops::Range;

use super::gaps::{self, comments, line_end, next_line};
use super::habits::{Habits, Quoting};
use super::moved_entries::{Piece, moved};
use super::{
    Document, Edit, EditRefusal, NewValue, Node, WITHOUT_LIMITS, applied, pairs, replacement,
};
use crate::document::NodeId;
use crate::document::tree::{NodeKind, Style};
use crate::place::Path;

/// Entries of one mapping in another order: of each place the index of the entry that is to stand there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryOrder {
    /// The mapping.
    pub mapping: NodeId,
    /// Each index once.
    pub order: Vec<usize>,
}

/// Edits that tidy a file, and what they leave as it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TidyEdits {
    /// None of them overlaps another.
    pub edits: Vec<Edit>,
    /// Mappings whose entries keep their order, each with the reason.
    pub left: Vec<EditRefusal>,
}

/// Edits that put entries in another order, take away quotes that say nothing and blanks at the ends of lines.
///
/// A comment stays with its entry: one behind it, one directly above it, one below it that is indented further. Where it
/// cannot be told which entry a comment is about, and where something is written in an unusual way, entries keep their order.
/// Layout stays, so do brackets, rows, blank lines between entries and every number.
///
/// ```
/// use stainbook_document::edit::{EntryOrder, applied, tidied};
/// use stainbook_document::place::FileId;
/// use stainbook_document::{Document, ReadOptions};
///
/// let text = b"holds: '1.5 L'\n# new\nkettle: 'NO'   # the colour\n";
/// let (document, _) = Document::read(FileId(0), "kettle.yaml", text, &ReadOptions::DEFAULT);
/// let mapping = document.root().unwrap().id();
/// let tidy = tidied(&document, &[EntryOrder { mapping, order: vec![1, 0] }]).unwrap();
/// assert_eq!(
///     applied(&document, &tidy.edits),
///     "# new\nkettle: \"NO\"   # the colour\nholds: 1.5 L\n"
/// );
/// ```
///
/// # Errors
///
/// [`EditRefusal`] of a table, of a file that cannot be read to its end, and if the file would say something else.
pub fn tidied(document: &Document, orders: &[EntryOrder]) -> Result<TidyEdits, EditRefusal> {
    let whole = Path::root();
    if document.of_cells {
        return Err(EditRefusal::Table);
    }
    let Some(root) = document.root().filter(|_| !document.is_broken()) else {
        return Err(EditRefusal::Unread(whole));
    };
    let mut tidying = Tidying {
        document,
        orders: orders
            .iter()
            .map(|order| (order.mapping, order.order.as_slice()))
            .collect(),
        changes: Vec::new(),
        left: Vec::new(),
    };
    tidying.look_at(root, &whole);
    tidying.quotes();
    tidying.ends_of_lines();
    let Tidying {
        mut changes, left, ..
    } = tidying;
    // The outermost of those that begin at one byte comes first.
    changes.sort_by_key(|change| (change.range.start, std::cmp::Reverse(change.range.end)));
    let edits = edits(document, &changes);
    if says_the_same(document, root, &edits) {
        Ok(TidyEdits { edits, left })
    } else {
        Err(EditRefusal::OtherMeaning(whole))
    }
}

/// A change of these bytes, in which others may lie.
struct ByteChange {
    range: Range<usize>,
    pieces: Vec<Piece>,
}

struct Tidying<'d> {
    document: &'d Document,
    orders: BTreeMap<NodeId, &'d [usize]>,
    changes: Vec<ByteChange>,
    left: Vec<EditRefusal>,
}

impl Tidying<'_> {
    fn look_at(&mut self, node: Node<'_>, path: &Path) {
        if let Some(order) = self.orders.get(&node.id()).copied()
            && order.iter().enumerate().any(|(place, from)| place != *from)
        {
            match moved(self.document, node, order, path) {
                Ok(moved) => self.changes.push(ByteChange {
                    range: moved.range,
                    pieces: moved.pieces,
                }),
                Err(refusal) => self.left.push(refusal),
            }
        }
        for (key, value) in pairs(self.document, node).filter(|_| node.is_mapping()) {
            let name = key.text().unwrap_or_default().to_owned();
            self.look_at(value, &path.clone().key(name));
        }
        for (index, item) in node.items().enumerate() {
            self.look_at(item, &path.clone().index(index));
        }
    }

    fn change(&mut self, range: Range<usize>, text: String) {
        let pieces = vec![Piece::New(text)];
        self.changes.push(ByteChange { range, pieces });
    }

    /// Quotes go where the text means the same without, and are double where it does not.
    fn quotes(&mut self) {
        let habits = Habits::usual(self.document);
        if Habits::of(self.document).is_json {
            return;
        }
        let text = self.document.text();
        let mut changes = Vec::new();
        for node in scalars(self.document) {
            let NodeKind::Scalar(style @ (Style::Single | Style::Double)) = node.kind() else {
                continue;
            };
            let range = node.range();
            let (old, meant) = (text.get(range.clone()), node.text());
            let (Some(old), Some(meant)) = (old, meant) else {
                continue;
            };
            let new = habits.text(meant, Quoting::Needed);
            let is_quoted = new.starts_with('"');
            // Behind a quote a colon needs no blank.
            let next = text.as_bytes().get(range.end);
            let is_tight = next == Some(&b':')
                && !matches!(
                    text.as_bytes().get(range.end + 1),
                    None | Some(b' ' | b'\n' | b'\r' | b'\t')
                );
            // How characters are escaped in double quotes is the author's.
            let stays = old.contains('\n')
                || is_like_a_day(meant)
                || (is_quoted && style == Style::Double)
                || (!is_quoted && is_tight);
            if !stays && new != old {
                changes.push((range, new));
            }
        }
        for (range, new) in changes {
            self.change(range, new);
        }
    }

    /// Blanks at the ends of lines go, and the last line ends.
    fn ends_of_lines(&mut self) {
        let text = self.document.text();
        let within: Vec<Range<usize>> = scalars(self.document)
            .map(|scalar| {
                // The lines between the head of a block and its text are none of ours either.
                let start = if gaps::is_block(scalar) {
                    gaps::line_start(text, scalar.range().start.saturating_sub(1))
                } else {
                    scalar.range().start
                };
                start..scalar.range().end
            })
            .collect();
        let mut scalar = within.iter().peekable();
        let mut line = 0;
        while line < text.len() {
            let end = line_end(text, line);
            let content = text.get(line..end).unwrap_or_default();
            let meant = line + content.trim_end_matches([' ', '\t']).len();
            while scalar.next_if(|range| range.end <= meant).is_some() {}
            let is_in_scalar = scalar.peek().is_some_and(|range| range.start < end);
            if meant < end && line < meant && !is_in_scalar {
                self.change(meant..end, String::new());
            }
            line = next_line(text, line);
        }
        let end = text.len();
        // A line break at its end would be part of a block's text.
        let last = scalars(self.document).last();
        let ends_in_block =
            last.is_some_and(|last| gaps::is_block(last) && end <= last.range().end);
        // What is now last on lines of its own has ended its line.
        let has_ended = self.changes.iter().any(|change| {
            let last = change.pieces.last();
            change.range.end == end
                && matches!(last, Some(Piece::Kept(kept)) if text.get(..kept.end).is_some_and(|t| t.ends_with('\n')))
        });
        if !text.is_empty() && !text.ends_with('\n') && !has_ended && !ends_in_block {
            self.change(end..end, super::habits::line_break(text).to_owned());
        }
    }
}

/// True of numbers with hyphens between, of which YAML 1.1 takes many for a day or a time, such as the CAS number `1330-20-7`:
/// quotes keep other readers from that, whether this one is a day or not.
fn is_like_a_day(text: &str) -> bool {
    let mut parts = text.splitn(3, '-');
    let mut begins_with_digit = || {
        parts
            .next()
            .is_some_and(|part| part.starts_with(|first: char| first.is_ascii_digit()))
    };
    begins_with_digit() && begins_with_digit() && begins_with_digit()
}

fn scalars(document: &Document) -> impl Iterator<Item = Node<'_>> {
    (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| matches!(node.kind(), NodeKind::Scalar(_)))
}

/// The outermost changes as edits, those inside them made.
fn edits(document: &Document, changes: &[ByteChange]) -> Vec<Edit> {
    let mut found = Vec::new();
    let mut at = 0;
    let mut reached = 0;
    while let Some(change) = changes.get(at) {
        at += 1;
        if change.range.start < reached {
            continue;
        }
        let new = made(
            document.text(),
            change,
            changes.get(at..).unwrap_or_default(),
        );
        if document.text().get(change.range.clone()) != Some(new.as_str()) {
            found.push(replacement(document, change.range.clone(), new));
        }
        reached = change.range.end;
    }
    found
}

/// The text of a change, with those made that lie inside the bytes that it keeps.
fn made(text: &str, change: &ByteChange, after: &[ByteChange]) -> String {
    let mut out = String::new();
    for piece in &change.pieces {
        let range = match piece {
            Piece::New(new) => {
                out.push_str(new);
                continue;
            }
            Piece::Kept(range) => range,
        };
        let mut from = range.start;
        let first = after.partition_point(|inner| inner.range.start < range.start);
        let rest = after.get(first..).unwrap_or_default();
        for (index, inner) in rest.iter().enumerate() {
            if range.end < inner.range.end || range.end <= inner.range.start {
                break;
            }
            if inner.range.start < from {
                continue;
            }
            out.push_str(text.get(from..inner.range.start).unwrap_or_default());
            out.push_str(&made(
                text,
                inner,
                rest.get(index + 1..).unwrap_or_default(),
            ));
            from = inner.range.end;
        }
        out.push_str(text.get(from..range.end).unwrap_or_default());
    }
    out
}

/// True if the text with the edits says the same, in whatever order, and has the same comments.
fn says_the_same(document: &Document, root: Node<'_>, edits: &[Edit]) -> bool {
    let text = applied(document, edits);
    let (again, _) = Document::read(document.file(), "", text.as_bytes(), &WITHOUT_LIMITS);
    let Some(new_root) = again.root().filter(|_| !again.is_broken()) else {
        return false;
    };
    let remarks = |document: &Document| {
        let text = document.text();
        let mut found: Vec<String> = comments(document, &(0..text.len()))
            .into_iter()
            .filter_map(|range| text.get(range))
            .map(|comment| comment.trim_end().to_owned())
            .collect();
        found.sort();
        found
    };
    sorted(NewValue::of(root)) == sorted(NewValue::of(new_root))
        && remarks(document) == remarks(&again)
}

/// A value with its fields in the order of their names.
fn sorted(value: NewValue) -> NewValue {
    match value {
        NewValue::List(items) => NewValue::List(items.into_iter().map(sorted).collect()),
        NewValue::Mapping(fields) => {
            let mut fields: Vec<_> = fields
                .into_iter()
                .map(|(key, value)| (key, sorted(value)))
                .collect();
            fields.sort_by(|a, b| a.0.cmp(&b.0));
            NewValue::Mapping(fields)
        }
        other => other,
    }
}
