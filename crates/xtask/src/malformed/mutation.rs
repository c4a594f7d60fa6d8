//! One slip in a file's YAML: a character that is missing, put in, or put elsewhere.

use std::collections::BTreeMap;
use std::ops::Range;

use stainbook_catalog::READ_OPTIONS;
use stainbook_document::place::FileId;
use stainbook_document::{Document, Node, NodeId, NodeKind, Style};
use stainbook_tests::honest::Chance;

/// Kinds of slips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum SlipKind {
    Quote,
    Bracket,
    Colon,
    Comma,
    Tab,
    Indent,
    Sign,
}

impl SlipKind {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Quote => "quote missing",
            Self::Bracket => "bracket missing",
            Self::Colon => "colon missing",
            Self::Comma => "comma missing",
            Self::Tab => "tab",
            Self::Indent => "indent",
            Self::Sign => "`#` put in",
        }
    }
}

/// A file with one slip.
#[derive(Clone, Debug)]
pub(super) struct Malformed {
    pub(super) path: String,
    pub(super) kind: SlipKind,
    pub(super) text: String,
    /// Bytes of the new text that a true finding touches.
    pub(super) touched: Vec<Range<usize>>,
    pub(super) line: usize,
    pub(super) line_before: String,
    pub(super) line_after: String,
}

/// A slip that could be made: these bytes give way to the others.
#[derive(Clone, Debug)]
struct Candidate {
    kind: SlipKind,
    bytes: Range<usize>,
    instead: String,
    /// Bytes that it breaks beside its own, in the old text.
    breaks: Vec<Range<usize>>,
    /// Made only where a file is too short for others.
    spare: bool,
}

/// So many slips of a file, as many of each kind as there are, drawn without putting back.
pub(super) fn drawn(path: &str, text: &str, count: usize, chance: &mut Chance) -> Vec<Malformed> {
    let (document, _) = Document::read(FileId(0), path, text.as_bytes(), &READ_OPTIONS);
    let (spare, usual): (Vec<Candidate>, Vec<Candidate>) = candidates(&document)
        .into_iter()
        .partition(|candidate| candidate.spare);
    let mut made = Vec::new();
    for candidates in [usual, spare] {
        let mut by_kind: BTreeMap<SlipKind, Vec<Candidate>> = BTreeMap::new();
        for candidate in candidates {
            by_kind.entry(candidate.kind).or_default().push(candidate);
        }
        while made.len() < count && by_kind.values().any(|left| !left.is_empty()) {
            for left in by_kind.values_mut().filter(|left| !left.is_empty()) {
                if made.len() < count {
                    let candidate = left.swap_remove(chance.below(0, left.len()));
                    made.push(malformed(path, text, candidate));
                }
            }
        }
    }
    made
}

fn malformed(path: &str, text: &str, candidate: Candidate) -> Malformed {
    let Candidate {
        kind,
        bytes,
        instead,
        breaks,
        ..
    } = candidate;
    let before = text.get(..bytes.start).unwrap_or_default();
    let after = text.get(bytes.end..).unwrap_or_default();
    let new = format!("{before}{instead}{after}");
    let own = bytes.start..bytes.start + instead.len();
    let moved = |at: usize| {
        if at <= bytes.start {
            at
        } else {
            at.max(bytes.end) - bytes.end + own.end
        }
    };
    let mut touched: Vec<Range<usize>> = breaks
        .iter()
        .map(|range| moved(range.start)..moved(range.end))
        .collect();
    touched.push(own.clone());
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = |text: &str| {
        let rest = text.get(start..).unwrap_or_default();
        rest.lines().next().unwrap_or_default().to_owned()
    };
    Malformed {
        path: path.to_owned(),
        kind,
        touched,
        line: before.matches('\n').count() + 1,
        line_before: line(text),
        line_after: line(&new),
        text: new,
    }
}

fn candidates(document: &Document) -> Vec<Candidate> {
    let mut found = Vec::new();
    for row in 0..document.node_count() {
        let Some(node) = document.node(NodeId::of_row(row)) else {
            continue;
        };
        match node.kind() {
            NodeKind::Scalar(Style::Single | Style::Double) => quotes(node, &mut found),
            NodeKind::Scalar(_) => {}
            NodeKind::Sequence | NodeKind::Mapping => {
                brackets(document, node, &mut found);
                colons(document, node, &mut found);
                commas(document, node, &mut found);
            }
        }
    }
    lines(document, &mut found);
    found
}

fn without(kind: SlipKind, at: usize, breaks: Vec<Range<usize>>) -> Candidate {
    Candidate {
        kind,
        bytes: at..at + 1,
        instead: String::new(),
        breaks,
        spare: false,
    }
}

fn quotes(node: Node<'_>, found: &mut Vec<Candidate>) {
    let range = node.range();
    for at in [range.start, range.end - 1] {
        found.push(without(SlipKind::Quote, at, vec![range.clone()]));
    }
}

fn in_brackets(document: &Document, node: Node<'_>) -> bool {
    let first = document.text().as_bytes().get(node.range().start);
    !matches!(node.kind(), NodeKind::Scalar(_)) && matches!(first, Some(b'{' | b'['))
}

fn brackets(document: &Document, node: Node<'_>, found: &mut Vec<Candidate>) {
    if in_brackets(document, node) {
        let range = node.range();
        let pair = [range.start, range.end - 1];
        for at in pair {
            let both = pair.iter().map(|at| *at..at + 1).collect();
            found.push(without(SlipKind::Bracket, at, both));
        }
    }
}

fn colons(document: &Document, node: Node<'_>, found: &mut Vec<Candidate>) {
    for (key, _) in node.entries() {
        let range = key.range();
        let after = document.text().get(range.end..).unwrap_or_default();
        if let Some(colon) = after.find(':') {
            found.push(without(SlipKind::Colon, range.end + colon, vec![range]));
        }
    }
}

fn commas(document: &Document, node: Node<'_>, found: &mut Vec<Candidate>) {
    if !in_brackets(document, node) {
        return;
    }
    let ends = node
        .items()
        .map(|item| (item, item))
        .chain(node.entries())
        .map(|(_, value)| value);
    let ends: Vec<Node<'_>> = ends.collect();
    for before in ends.iter().take(ends.len().saturating_sub(1)) {
        let range = before.range();
        let after = document.text().get(range.end..).unwrap_or_default();
        let Some(comma) = after.find(',') else {
            continue;
        };
        // Of a group in brackets it is the bracket before the comma.
        let closed = match before.kind() {
            NodeKind::Scalar(_) => range.clone(),
            _ => range.end - 1..range.end,
        };
        found.push(without(SlipKind::Comma, range.end + comma, vec![closed]));
    }
}

/// Slips of a line: its indentation, its blanks, a `#` before a word or in it.
fn lines(document: &Document, found: &mut Vec<Candidate>) {
    let text = document.text();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let from = start;
        start += line.len();
        let line = line.trim_end_matches(['\n', '\r']);
        let content = line.trim_start_matches(' ');
        let indent = line.len() - content.len();
        if content.is_empty() || content.starts_with('#') {
            continue;
        }
        let content_at = from + indent;
        let tab = |bytes: Range<usize>| Candidate {
            kind: SlipKind::Tab,
            bytes,
            instead: "\t".to_owned(),
            breaks: Vec::new(),
            spare: false,
        };
        if 0 < indent {
            found.push(tab(from..content_at));
        }
        found.push(tab(content_at..content_at));
        let blanks: Vec<usize> = content.match_indices(' ').map(|(at, _)| at).collect();
        for (number, at) in blanks.iter().enumerate() {
            found.push(Candidate {
                spare: number != blanks.len() / 2,
                ..tab(content_at + at..content_at + at + 1)
            });
        }
        let widths = [indent + 1, indent + 2]
            .into_iter()
            .chain((1..=2).filter_map(|less| indent.checked_sub(less)));
        for width in widths {
            found.push(Candidate {
                kind: SlipKind::Indent,
                bytes: from..content_at,
                instead: " ".repeat(width),
                breaks: Vec::new(),
                spare: false,
            });
        }
        let mut before = ' ';
        let mut in_word = 0;
        for (at, character) in content.char_indices() {
            if character == '#' && before == ' ' {
                break;
            }
            let begins = matches!(before, ' ' | '{' | '[');
            in_word = if begins { 0 } else { in_word + 1 };
            // Before each word, and once in it.
            if character != ' ' {
                found.push(Candidate {
                    spare: !begins && in_word != 2,
                    ..sign(document, content_at + at, from + line.len())
                });
            }
            before = character;
        }
    }
}

fn sign(document: &Document, at: usize, end: usize) -> Candidate {
    let lost = at..end;
    let mut breaks = vec![lost];
    for row in 0..document.node_count() {
        let Some(node) = document.node(NodeId::of_row(row)) else {
            continue;
        };
        let range = node.range();
        if matches!(node.kind(), NodeKind::Scalar(_)) {
            if range.start <= at && at <= range.end {
                breaks.push(range);
            }
        } else if in_brackets(document, node)
            && range.start < at
            && (at..end).contains(&(range.end - 1))
        {
            breaks.push(range.start..range.start + 1);
        }
    }
    Candidate {
        kind: SlipKind::Sign,
        bytes: at..at,
        instead: "#".to_owned(),
        breaks,
        spare: false,
    }
}
