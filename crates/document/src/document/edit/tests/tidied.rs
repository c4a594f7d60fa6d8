//! The usual form of small texts by example, and of generated ones by law.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::laws::{Draw, comments};
use super::{Written, path, read};
use crate::document::edit::{EditRefusal, EntryOrder, NewValue, TidyEdits, applied, tidied};
use crate::document::tree::NodeKind;
use crate::document::{Document, Node, NodeId};

/// Every mapping with its keys in the order that a number gives to each.
fn by(document: &Document, rank: &dyn Fn(&str) -> u64) -> Vec<EntryOrder> {
    let mappings = (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| node.is_mapping());
    mappings
        .map(|mapping| {
            let keys: Vec<&str> = mapping
                .entries()
                .filter_map(|(key, _)| key.text())
                .collect();
            let mut order: Vec<usize> = (0..keys.len()).collect();
            order.sort_by_key(|index| rank(keys[*index]));
            EntryOrder {
                mapping: mapping.id(),
                order,
            }
        })
        .collect()
}

/// Fields in the order of the alphabet.
fn alphabetical(text: &str) -> (Document, Result<TidyEdits, EditRefusal>) {
    let document = read(text);
    let first = |key: &str| {
        key.bytes()
            .fold(0, |rank, byte| rank * 256 + u64::from(byte))
    };
    let tidy = tidied(&document, &by(&document, &first));
    (document, tidy)
}

#[track_caller]
fn becomes(before: &str, after: &str) {
    let (document, tidy) = alphabetical(before);
    let tidy = tidy.unwrap();
    assert_eq!(applied(&document, &tidy.edits), after, "{before:?}");
    assert_eq!(tidy.left, []);
}

#[track_caller]
fn stays(text: &str, refusal: &EditRefusal) {
    let (_, tidy) = alphabetical(text);
    let tidy = tidy.unwrap();
    assert_eq!(
        (tidy.edits, tidy.left),
        (vec![], vec![refusal.clone()]),
        "{text:?}"
    );
}

#[test]
fn entries_take_their_comments_along() {
    becomes("b: 1\na: 2\n", "a: 2\nb: 1\n");
    becomes(
        "b: 1 # one\n# of a\na: 2  # two\n",
        "# of a\na: 2  # two\nb: 1 # one\n",
    );
    becomes("b: 1\r\na: 2", "a: 2\r\nb: 1\r\n");
    // Below and indented further it belongs to the entry above.
    becomes(
        "b: 1\n   # more of b\na: 2\n",
        "a: 2\nb: 1\n   # more of b\n",
    );
    becomes(
        "b:\n  - 1\n  # - 2\na: 2\nc: 3\n",
        "a: 2\nb:\n  - 1\n  # - 2\nc: 3\n",
    );
    // What begins a file stays there, above a blank line or for an editor.
    becomes(
        "# yaml-language-server: $schema=x\n# of b\nb: 1\na: 2\n",
        "# yaml-language-server: $schema=x\na: 2\n# of b\nb: 1\n",
    );
    becomes("# the file\n\nb: 1\na: 2\n", "# the file\n\na: 2\nb: 1\n");
    becomes("b: 1\na: 2\n\n# the end\n", "a: 2\nb: 1\n\n# the end\n");
}

#[test]
fn blank_lines_stay_above_their_entries() {
    becomes("b: 1\n\nc: 2\n\na: 3\n", "a: 3\n\nb: 1\n\nc: 2\n");
    becomes("b: 1\n\n# of a\na: 3\n", "# of a\na: 3\n\nb: 1\n");
    becomes("c: 1\na: 2\n\nb: 3\n", "a: 2\n\nb: 3\nc: 1\n");
}

#[test]
fn entries_of_entries_move_as_well() {
    becomes(
        "b:\n  # of d\n  d: {y: 1,   x: 2}  # xy\n  c: 1\na:\n  - x: 1\n    z: |\n      # text\n\n      more\n    # of y\n    y: 2\n",
        "a:\n  - x: 1\n    # of y\n    y: 2\n    z: |\n      # text\n\n      more\nb:\n  c: 1\n  # of d\n  d: {x: 2,   y: 1}  # xy\n",
    );
    becomes(
        "- b: 1\n  a: 2\n- d: 3\n  c:\n",
        "- a: 2\n  b: 1\n- c:\n  d: 3\n",
    );
    becomes(
        "{b: 1,\n a: [{d: 1, c: 2}]}\n",
        "{a: [{c: 2, d: 1}],\n b: 1}\n",
    );
    becomes("{\"b\":1,\"a\":2}\n", "{\"a\":2,\"b\":1}\n");
}

#[test]
fn quotes_that_say_nothing_go() {
    becomes("a: 'x y'\nb: \"z\"\n", "a: x y\nb: z\n");
    becomes(
        "a: ['NO', \"5\", '', 'a: b']\n",
        "a: [\"NO\", \"5\", \"\", \"a: b\"]\n",
    );
    becomes(
        "'a': 'it''s'\n\"b\": \"\\u00e4,\"\n",
        "a: it's\nb: \"\\u00e4,\"\n",
    );
    becomes("{'a':1, 'b': 2}\n", "{'a':1, b: 2}\n");
    becomes(
        "a: \"1330-20-7\"\nb: '2026-06-17T06:30Z'\n",
        "a: \"1330-20-7\"\nb: '2026-06-17T06:30Z'\n",
    );
    becomes(
        "a: \"630-x8-0\"\nb: 'quay-06-17'\n",
        "a: 630-x8-0\nb: quay-06-17\n",
    );
    // All of it in double quotes is a habit of its own.
    becomes("{\"a\": \"x\"}\n", "{\"a\": \"x\"}\n");
}

#[test]
fn lines_end_where_their_text_does() {
    becomes("a: 1  \nb: x \t\n# c  \n\n", "a: 1\nb: x\n# c\n\n");
    becomes(
        "a: |\n  x  \n  y\nb: \"p  \n  q\"",
        "a: |\n  x  \n  y\nb: \"p  \n  q\"\n",
    );
    becomes("a: |-\n  x", "a: |-\n  x");
}

#[test]
fn nothing_moves_where_a_comment_may_be_about_two_entries() {
    let root = EditRefusal::UnclearComments(path(""));
    stays("b: 1\n# of b or of a\n\na: 2\n", &root);
    stays("b: 1\na: 2\n# below\n", &root);
    stays(
        "c:\n- b: 1\n  # of a\n  a: 2\n",
        &EditRefusal::UnclearComments(path("/c/0")),
    );
    stays("{b: 1, # of b\n a: 2}\n", &root);
    assert_eq!(
        root.to_string(),
        "a comment in the file as a whole may be about the field above or the one below; put it directly above its own, with a blank line before it"
    );
}

#[test]
fn what_is_unusual_or_unread_stays() {
    stays("? b\n: 1\na: 2\n", &EditRefusal::Unusual(path("")));
    let (_, repeated) = alphabetical("b: 1\nb: 2\na: 3\n");
    assert!(repeated.is_ok_and(|tidy| tidy.edits.is_empty()));
    let (_, broken) = alphabetical("b: [1\na: 2\n");
    assert_eq!(broken, Err(EditRefusal::Unread(path(""))));
}

/// The scalar that a comment is about, as a reader takes it: behind it the last one on its line; alone on its line the next one,
/// or the one before if that is indented less. Nothing where a blank line makes it a heading or a footer.
fn subjects(document: &Document) -> BTreeMap<String, Option<String>> {
    let text = document.text();
    let scalars: Vec<Node<'_>> = (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| matches!(node.kind(), NodeKind::Scalar(_)) && !node.range().is_empty())
        .collect();
    let brackets: Vec<_> = (0..document.node_count())
        .filter_map(|row| document.node(NodeId::of_row(row)))
        .filter(|node| node.is_in_brackets())
        .map(Node::range)
        .collect();
    let first = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let line_of = |at: usize| text[..at].rfind('\n').map_or(first, |newline| newline + 1);
    let indent = |line: usize| text[line..].len() - text[line..].trim_start_matches(' ').len();
    let label = |node: Option<&Node<'_>>| node.and_then(|node| node.text()).map(str::to_owned);
    // A row is known by all of its texts, of which one or another may come first.
    let row = |line: usize| {
        let at = indent(line);
        let below = text[line..]
            .split_inclusive('\n')
            .skip(1)
            .scan(line, |_, line| Some(line));
        let mut end = line + text[line..].find('\n').map_or(text.len() - line, |n| n + 1);
        for next in below {
            if !next.trim().is_empty() && next.len() - next.trim_start_matches(' ').len() <= at {
                break;
            }
            end += next.len();
        }
        let own = scalars
            .iter()
            .filter(|node| (line..end).contains(&node.range().start));
        own.filter_map(|node| node.text()).min().map(str::to_owned)
    };
    let mut found = BTreeMap::new();
    for (at, comment) in comments(document) {
        let line = line_of(at);
        let alone = text[line..at].trim_matches(' ').is_empty();
        let blank_in = |range: std::ops::Range<usize>| {
            let lines: Vec<&str> = text[range].split('\n').collect();
            let inner = lines
                .get(1..lines.len().saturating_sub(1))
                .unwrap_or_default();
            inner.iter().any(|line| line.trim().is_empty())
        };
        let subject = if alone {
            let starts = text.match_indices('\n').map(|(newline, _)| newline + 1);
            let below = starts.filter(|start| at < *start).find(|start| {
                let content = text[*start..].lines().next().unwrap_or_default().trim();
                !content.is_empty() && !content.starts_with('#')
            });
            let is_deeper = below.is_none_or(|below| indent(below) < at - line);
            if is_deeper {
                let above = text[..line].lines().rev();
                let mut above = above
                    .map(str::trim)
                    .take_while(|line| line.is_empty() || line.starts_with('#'));
                let is_apart = above.any(str::is_empty);
                // It is about all of the entry that stands less far in than it does.
                let starts = text.match_indices('\n').map(|(newline, _)| newline + 1);
                let lines: Vec<usize> = std::iter::once(first).chain(starts).collect();
                // Behind a dash an entry stands as far in as the others of its row.
                let column = |start: usize| {
                    let content = text[start..].lines().next().unwrap_or_default();
                    let rest = content.trim_start_matches([' ', '-']);
                    if rest.is_empty() || rest.starts_with('#') {
                        indent(start)
                    } else {
                        content.len() - rest.len()
                    }
                };
                let entry = lines
                    .into_iter()
                    .filter(|start| *start < line)
                    .rfind(|start| {
                        let content = text[*start..].lines().next().unwrap_or_default().trim();
                        !content.is_empty()
                            && !content.starts_with('#')
                            && column(*start) < at - line
                    });
                let name = |start: usize| {
                    let line_end = text[start..]
                        .find('\n')
                        .map_or(text.len(), |newline| start + newline);
                    let own = scalars
                        .iter()
                        .filter(|node| (start..line_end).contains(&node.range().start));
                    let mut own = own.filter_map(|node| node.text());
                    let own = if text[start + column(start)..].starts_with(['{', '[']) {
                        own.min()
                    } else {
                        own.next()
                    };
                    own.map(str::to_owned)
                };
                if is_apart { None } else { entry.and_then(name) }
            } else if below.is_some_and(|below| blank_in(at..below + 1)) {
                None
            } else if let Some(line) = below.filter(|line| {
                text[*line..]
                    .trim_start_matches(' ')
                    .starts_with(['-', '{', '['])
            }) {
                row(line)
            } else {
                label(scalars.iter().find(|node| at <= node.range().start))
            }
        } else {
            // Of several entries in brackets on the line, one or another may come last.
            // So may they before brackets that close here and were opened above.
            let closes = brackets
                .iter()
                .any(|range| range.start < line && (line..at).contains(&range.end));
            let on_line = scalars
                .iter()
                .filter(|node| (line..at).contains(&node.range().start));
            let first = on_line
                .filter_map(|node| node.text())
                .min()
                .map(str::to_owned);
            first.filter(|_| !closes)
        };
        found.insert(comment.trim_end().to_owned(), subject);
    }
    found
}

fn sorted(value: NewValue) -> NewValue {
    match value {
        NewValue::List(items) => NewValue::List(items.into_iter().map(sorted).collect()),
        NewValue::Mapping(fields) => {
            let fields: BTreeMap<String, NewValue> = fields
                .into_iter()
                .map(|(key, value)| (key, sorted(value)))
                .collect();
            NewValue::Mapping(fields.into_iter().collect())
        }
        other => other,
    }
}

/// Puts a text into an order that the seed gives; true if something of it was moved, and false if nothing was.
fn trial(text: &str, seed: u64) -> bool {
    let rank = |key: &str| {
        let all = key.bytes().fold(seed | 1, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        all >> 7
    };
    let document = read(text);
    let tidy = tidied(&document, &by(&document, &rank)).unwrap_or_else(|e| panic!("{e}\n{text}"));
    let after = applied(&document, &tidy.edits);
    let told = format!("--- before\n{text}\n--- after\n{after}");
    let again = read(&after);
    let says = |document: &Document| sorted(NewValue::of(document.root().unwrap()));
    assert_eq!(says(&document), says(&again), "{told}");

    // Each comment is there, and beside what it was beside.
    let (old, new) = (subjects(&document), subjects(&again));
    assert!(old.keys().eq(new.keys()), "{told}");
    for (comment, subject) in &old {
        if subject.is_some() {
            assert_eq!(subject, &new[comment], "{comment}: {told}");
        }
    }

    // A second time nothing is left to do but what was left before.
    let twice = tidied(&again, &by(&again, &rank)).unwrap();
    assert_eq!(twice.edits, [], "{told}");
    assert_eq!(twice.left.len(), tidy.left.len(), "{told}");
    let keys = |document: &Document| -> Vec<String> {
        let nodes = (0..document.node_count()).filter_map(|row| document.node(NodeId::of_row(row)));
        let keys = nodes.flat_map(|node| node.entries().map(|(key, _)| key).collect::<Vec<_>>());
        keys.filter_map(|key| key.text().map(str::to_owned))
            .collect()
    };
    keys(&document) != keys(&again)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn a_tidy_text_says_the_same_with_each_comment_in_its_place(seed: u64) {
        let mut draw = Draw::new(seed);
        let written = Written::draw(&mut draw);
        trial(&written.text, seed);
    }
}

#[test]
fn most_texts_are_put_in_order() {
    let mut moved = 0;
    for seed in 0..1000 {
        let written = Written::draw(&mut Draw::new(seed));
        moved += usize::from(trial(&written.text, seed));
    }
    assert!(400 < moved, "{moved}");
}
