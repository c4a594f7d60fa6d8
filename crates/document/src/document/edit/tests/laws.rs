//! Laws that hold for every edit of every text: it says what was asked for, and all else stays.
//!
//! The tests of the workspace include this file to try it on real files.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{
    Beside, Document, EditRefusal, FileId, NewValue, Node, NodeKind, Path, PathStep, ReadOptions,
    applied, insert, insert_beside, remove, rename, set,
};

/// Numbers drawn one after the other (xorshift), for choices that a seed repeats.
pub(crate) struct Draw(u64);

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        let mut draw = Self(seed ^ 0x9e37_79b9_7f4a_7c15);
        draw.0 = draw.0.max(1);
        for _ in 0..8 {
            draw.below(2);
        }
        draw
    }

    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap_or(0) % bound.max(1)
    }

    pub(crate) fn one_in(&mut self, bound: usize) -> bool {
        self.below(bound) == 0
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// Texts that have to be quoted, or are easily taken for something else, and plain ones.
const TEXTS: [&str; 22] = [
    "red",
    "two words",
    "NO",
    "yes",
    "5",
    "05",
    "1.5 L",
    "",
    " lead",
    "end ",
    "a: b",
    "a #b",
    "it's",
    "say \"so\"",
    "- x",
    "{x",
    "x, y",
    "two\nlines",
    "tab\there",
    "ü µ",
    "key:",
    "~",
];

pub(crate) fn drawn_text(draw: &mut Draw) -> String {
    draw.pick(&TEXTS).to_owned()
}

/// A value of any kind, lists and mappings at most so deep.
pub(crate) fn drawn_value(draw: &mut Draw, depth: usize) -> NewValue {
    let kinds = if depth == 0 { 4 } else { 7 };
    match draw.below(kinds) {
        0..=2 => NewValue::Text(drawn_text(draw)),
        3 => NewValue::Bare(
            draw.pick(&["5", "0.50", "-3", "true", "", "null", "1.5e+3"])
                .into(),
        ),
        4 => {
            let count = draw.below(4);
            NewValue::List((0..count).map(|_| drawn_value(draw, depth - 1)).collect())
        }
        _ => {
            let count = draw.below(4);
            let field = |index| (format!("field{index}"), drawn_value(draw, depth - 1));
            NewValue::Mapping((0..count).map(field).collect())
        }
    }
}

/// The value with `null` as nothing, as it is read.
fn normal(value: &NewValue) -> NewValue {
    match value {
        NewValue::Bare(text) if text == "null" => NewValue::Bare(String::new()),
        NewValue::List(items) => NewValue::List(items.iter().map(normal).collect()),
        NewValue::Mapping(fields) => {
            let fields = fields
                .iter()
                .map(|(key, value)| (key.clone(), normal(value)));
            NewValue::Mapping(fields.collect())
        }
        other => other.clone(),
    }
}

/// Outcome of a trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Trial {
    Made(&'static str),
    Refused(&'static str, EditRefusal),
    /// Nothing in the text to change so.
    Nothing,
}

fn read(text: &[u8]) -> Document {
    Document::read(FileId(0), "text", text, &ReadOptions::DEFAULT).0
}

/// Every node below the root by its path, in the order of the text.
fn nodes<'d>(node: Node<'d>, path: &Path, found: &mut Vec<(Path, Node<'d>)>) {
    found.push((path.clone(), node));
    for (key, value) in node.entries() {
        let name = key.text().unwrap_or_default().to_owned();
        nodes(value, &path.clone().key(name), found);
    }
    for (index, item) in node.items().enumerate() {
        nodes(item, &path.clone().index(index), found);
    }
}

/// Text of every scalar as it stands in the file, and of its key, by path.
fn scalars(document: &Document) -> BTreeMap<Path, String> {
    let mut found = Vec::new();
    if let Some(root) = document.root() {
        nodes(root, &Path::root(), &mut found);
    }
    let slice = |range: Range<usize>| document.text()[range].to_owned();
    found
        .iter()
        .filter(|(_, node)| matches!(node.kind(), NodeKind::Scalar(_)))
        .map(|(path, node)| (path.clone(), slice(node.range())))
        .collect()
}

/// Comments, by their first byte.
pub(crate) fn comments(document: &Document) -> Vec<(usize, String)> {
    let text = document.text();
    let mut covered = vec![false; text.len()];
    for row in 0..document.node_count() {
        let node = document.node(super::NodeId::of_row(row)).unwrap();
        if matches!(node.kind(), NodeKind::Scalar(_)) {
            covered[node.range()].fill(true);
        }
    }
    let mut found = Vec::new();
    let mut end = 0;
    for (at, _) in text.match_indices('#') {
        if end <= at && !covered[at] {
            let comment = text[at..].lines().next().unwrap();
            end = at + comment.len();
            found.push((at, comment.to_owned()));
        }
    }
    found
}

/// First byte of an entry: its key, its dash, or in brackets the entry itself.
fn entry_start(document: &Document, path: &Path, node: Node<'_>) -> usize {
    let holder = path.parent().and_then(|parent| document.find(&parent));
    let start = node.range().start;
    match (path.steps().last(), holder) {
        (Some(PathStep::Key(key)), Some(holder)) => holder.entry(key).unwrap().0.range().start,
        (Some(PathStep::Index(_)), Some(holder))
            if !document.text()[holder.range()].starts_with(['[', '{']) =>
        {
            // The nearest line above that is neither blank nor a comment is the dash's.
            let mut end = start;
            for line in document.text()[..start].rsplit('\n') {
                let content = line.trim_start();
                if !(content.is_empty() || content.starts_with('#')) {
                    break;
                }
                end = end.saturating_sub(line.len() + 1);
            }
            document.text()[..end].rfind('-').map_or(0, |dash| {
                document.text()[..dash].rfind('\n').map_or(0, |n| n + 1)
            })
        }
        _ => start,
    }
}

/// The path of a scalar after an entry of a list came or went before it.
fn moved(path: &Path, list: &Path, from: usize, by: isize) -> Path {
    let depth = list.steps().len();
    let step = |(position, step): (usize, &PathStep)| match step {
        PathStep::Index(index) if position == depth && list.contains(path) && from <= *index => {
            PathStep::Index(index.checked_add_signed(by).unwrap())
        }
        other => other.clone(),
    };
    path.steps().iter().enumerate().map(step).collect()
}

/// Makes one change at random of a text, and looks at what becomes of it.
pub(crate) fn trial(text: &[u8], draw: &mut Draw) -> Trial {
    let document = read(text);
    let mut all = Vec::new();
    nodes(document.root().unwrap(), &Path::root(), &mut all);
    let (path, node) = all[draw.below(all.len())].clone();
    let value = drawn_value(draw, 2);
    let unknown = |draw: &mut Draw, holder: Node<'_>| {
        let name = if draw.one_in(2) {
            "novel".to_owned()
        } else {
            format!("new {}", drawn_text(draw))
        };
        holder.get(&name).is_none().then_some(name)
    };
    let (name, at, edits) = match draw.below(5) {
        0 => ("set", path.clone(), set(&document, &path, &value)),
        1 if !path.steps().is_empty() => ("remove", path.clone(), remove(&document, &path)),
        2 if matches!(path.steps().last(), Some(PathStep::Key(_))) => {
            let holder = document.find(&path.parent().unwrap()).unwrap();
            let Some(new) = unknown(draw, holder) else {
                return Trial::Nothing;
            };
            let edits = rename(&document, &path, &new);
            ("rename", path.parent().unwrap().key(new), edits)
        }
        3 if node.is_list() => {
            let at = path.clone().index(draw.below(node.len() + 1));
            let edits = insert(&document, &at, &value);
            ("insert", at, edits)
        }
        3 | 4 if node.is_mapping() => {
            let Some(new) = unknown(draw, node) else {
                return Trial::Nothing;
            };
            let at = path.clone().key(new);
            let keys: Vec<_> = node.entries().filter_map(|(key, _)| key.text()).collect();
            let edits = if keys.is_empty() || draw.one_in(3) {
                insert(&document, &at, &value)
            } else {
                let beside = draw.pick(&keys);
                let side = draw.pick(&[Beside::Before(beside), Beside::After(beside)]);
                insert_beside(&document, &at, &value, side)
            };
            ("insert", at, edits)
        }
        _ => return Trial::Nothing,
    };
    let edits = match edits {
        Ok(edits) => edits,
        Err(refusal) => return Trial::Refused(name, refusal),
    };
    let after = applied(&document, &edits);
    let told = format!(
        "{name} {at} {value:?}\n--- before\n{}\n--- after\n{after}",
        document.text()
    );
    let again = read(after.as_bytes());
    assert!(!again.is_broken(), "{told}");

    // It says what was asked for, there,
    let there = again.find(&at).map(NewValue::of);
    match name {
        "remove" => {}
        "rename" => assert_eq!(there, Some(NewValue::of(node)), "{told}"),
        _ => assert_eq!(there, Some(normal(&value)), "{told}"),
    }
    // and each other path keeps its text.
    let list = path
        .parent()
        .filter(|_| name == "remove")
        .unwrap_or_else(|| path.clone());
    let index = match at.steps().last() {
        Some(PathStep::Index(index)) => Some(*index),
        _ => None,
    };
    let kept: BTreeMap<Path, String> = scalars(&document)
        .into_iter()
        .filter(|(other, _)| !(matches!(name, "set" | "remove") && path.contains(other)))
        .map(|(other, text)| match (name, index) {
            ("insert", Some(index)) => (moved(&other, &list, index, 1), text),
            ("remove", Some(index)) => (moved(&other, &list, index, -1), text),
            ("rename", _) if path.contains(&other) => {
                let below = &other.steps()[path.steps().len()..];
                let steps = at.steps().iter().chain(below).cloned();
                (steps.collect(), text)
            }
            _ => (other, text),
        })
        .collect();
    let mut found = scalars(&again);
    if matches!(name, "insert" | "set") {
        found.retain(|other, _| !at.contains(other));
    }
    assert_eq!(found, kept, "{told}");

    // Comments stay, but for those of what is removed.
    let range = node.range();
    let line = document.text()[range.end..]
        .find('\n')
        .map_or(document.text().len(), |n| range.end + n);
    let own = entry_start(&document, &path, node);
    let gone = |at: usize| name == "remove" && own <= at && at < line.max(range.end);
    let (mut before, mut may_go) = (Vec::new(), Vec::new());
    for (at, comment) in comments(&document) {
        if gone(at) {
            may_go.push(comment);
        } else {
            before.push(comment);
        }
    }
    let mut left: Vec<String> = comments(&again)
        .into_iter()
        .map(|(_, comment)| comment)
        .collect();
    for comment in before {
        let at = left.iter().position(|other| *other == comment);
        let at = at.unwrap_or_else(|| panic!("`{comment}` is lost: {told}"));
        left.remove(at);
    }
    assert!(
        left.iter().all(|comment| may_go.contains(comment)),
        "{left:?} came from nowhere: {told}"
    );

    // Line breaks and the byte order mark are those of the text.
    let breaks = |text: &str| (text.matches("\r\n").count(), text.matches('\n').count());
    let (crlf, all) = breaks(document.text());
    if 0 < all && (crlf == all || crlf == 0) {
        let (crlf_after, all_after) = breaks(&after);
        let expected = if crlf == all { all_after } else { 0 };
        assert_eq!(crlf_after, expected, "{told:?}");
    }
    assert_eq!(
        after.starts_with('\u{feff}'),
        document.text().starts_with('\u{feff}'),
        "{told}"
    );
    Trial::Made(name)
}
