use std::fmt::Write as _;

use super::{MANY, STEPS};
use crate::document::{Document, Node, NodeId, NodeKind, ReadOptions};
use crate::finding::Finding;
use crate::place::{FileId, Path, Place};
use crate::schema_check::DocumentSchema;

fn read(text: &str) -> (Document, Vec<Finding>) {
    Document::read(FileId(0), "x.yaml", text.as_bytes(), &ReadOptions::DEFAULT)
}

/// Steps from node to node while something is done.
fn steps(work: impl FnOnce()) -> usize {
    STEPS.set(0);
    work();
    STEPS.get()
}

/// Reads a file, looks for its faults, and finds the line, column and path of each.
fn with_each_fault_placed(text: &str) -> usize {
    let schema = serde_json::json!({
        "type": "object",
        "properties": {
            "readings": {
                "type": "array",
                "items": {"type": "object", "properties": {"at": {"type": "string"}}, "additionalProperties": false},
            },
        },
        "additionalProperties": false,
    });
    let schema = DocumentSchema::new(schema).unwrap();
    let (document, mut findings) = read(text);
    let mut reported = crate::reported_nodes::ReportedNodes::by_reading(&document);
    schema.validate(&document, &mut reported, &mut findings);
    for finding in &findings {
        let bytes = document.locate(finding.place());
        document.line_column(bytes.end);
        let path = document.path_at(finding.place());
        assert!(document.find(&path).is_some());
    }
    findings.len()
}

#[test]
fn the_faults_of_a_file_take_steps_in_proportion_to_their_number() {
    type Made = fn(usize) -> String;
    let each: [(&str, Made); 7] = [
        ("a decimal comma in each row", |rows| {
            (0..rows).fold("readings:\n".to_owned(), |text, _| {
                text + "  - {at: 2,5 m}\n"
            })
        }),
        ("a misspelt field in each row", |rows| {
            (0..rows).fold("readings:\n".to_owned(), |text, _| text + "  - {att: x}\n")
        }),
        ("unknown fields", |rows| {
            (0..rows).fold(String::new(), |text, row| text + &format!("k{row}: 1\n"))
        }),
        ("unknown fields on one line", |rows| {
            let fields = (0..rows).fold(String::new(), |text, row| text + &format!("k{row}: 1, "));
            format!("{{{fields}}}\n")
        }),
        ("anchors", |rows| {
            (0..rows).fold(String::new(), |text, row| text + &format!("k{row}: &a 1\n"))
        }),
        ("one field again and again", |rows| "k: 1\n".repeat(rows)),
        ("characters that cannot be seen", |rows| {
            (0..rows).fold(String::new(), |text, row| {
                text + &format!("k\u{200b}{row}: 1\n")
            })
        }),
    ];
    for (what, made) in each {
        let once = steps(|| assert!(1000 <= with_each_fault_placed(&made(1000)) + 1, "{what}"));
        let twice = steps(|| assert!(2000 <= with_each_fault_placed(&made(2000)) + 1, "{what}"));
        assert!(
            twice <= once * 5 / 2,
            "{what}: {once} steps for 1,000, {twice} for 2,000"
        );
    }
}

#[test]
fn what_is_looked_up_is_what_is_walked_to() {
    let mut text = String::from("list: [");
    for row in 0..MANY * 2 {
        let _ = write!(text, "{{id: {row}, '': }}, ");
    }
    text.push_str("]\nfields:\n");
    for row in 0..MANY * 2 {
        let _ = writeln!(text, "  k{}: {row}", row * 7919 % 97);
    }
    text.push_str("  ? [a]\n  : b\n  ~: c\n  last:\n");
    let (document, _) = read(&text);
    for row in 0..document.node_count() {
        let node = document.node(NodeId::of_row(row)).unwrap();
        let (path, part) = document.path_of(node.id());
        assert_eq!(document.ancestors(node.id()).last(), Some(&node.id()));
        let place = document.place_of(node.id());
        if place.path().is_some() {
            assert_eq!(place, Place::part(FileId(0), path, part));
        }
        for (index, item) in node.items().enumerate() {
            assert_eq!(node.item(index).map(Node::id), Some(item.id()));
        }
        assert!(node.item(node.len()).is_none());
        if node.kind() == NodeKind::Mapping {
            for name in (0..100)
                .map(|name| format!("k{name}"))
                .chain(["last", "", "~", "id", "b"].map(str::to_owned))
            {
                let walked = node
                    .entries()
                    .find(|(key, _)| key.text() == Some(name.as_str()));
                let ids = |(key, value): (Node<'_>, Node<'_>)| (key.id(), value.id());
                assert_eq!(node.entry(&name).map(ids), walked.map(ids), "{name}");
            }
        }
    }
    for offset in 0..text.len() {
        let mut at = document.root().unwrap();
        loop {
            let tree = document.tree();
            let child = tree.children(at.id()).find(|child| {
                let range = tree.range(*child);
                range.start <= offset && offset <= range.end && !range.is_empty()
            });
            match child.and_then(|child| document.node(child)) {
                Some(child) => at = child,
                None => break,
            }
        }
        assert_eq!(document.node_at(offset), Some(at.id()), "byte {offset}");
    }
    assert!(document.find(&Path::from_pointer("/list/127/id")).is_some());
}
