//! By what a place in a file is known when rows are put in before it, or moved.
//!
//! A path counts the rows of a list, so a row that is put in above makes another path of everything below it. A reader
//! knows a row by what stands in it: the range with 8 strokes, the limit of that kind from that source. So does a baseline.

use std::collections::BTreeMap;

use stainbook_document::place::{Path, PathStep};
use stainbook_document::{Document, Node, NodeId, NodeKind};

/// The field by which a row is known alone.
const NAME: &str = "id";
/// The fields by which a row is known together.
const TOGETHER: [&str; 15] = [
    "scale",
    "strokes",
    "substance",
    "group",
    "kind",
    "source",
    "averaged_over",
    "of",
    "column",
    "rule",
    "name",
    "up_to",
    "reading",
    "temperature",
    "date",
];

/// The rows of the lists of one document by what they are known by, as far as they were asked for.
///
/// Whoever asks for many places of a document keeps it meanwhile: which rows are known alike is then found out once for
/// each list, and not again for every row.
#[derive(Clone, Debug, Default)]
pub struct KnownRows {
    /// What each row of a list is known by, by the list.
    of_list: BTreeMap<NodeId, Vec<Option<String>>>,
}

/// The path as a JSON Pointer in which rows of lists stand by what they are known by, as in
/// `/draw/ranges/strokes=8/to`; by their number only where nothing in them tells them from the others.
///
/// # Example
///
/// ```
/// use stainbook_catalog::READ_OPTIONS;
/// use stainbook_catalog::known_by::known_by;
/// use stainbook_document::Document;
/// use stainbook_document::place::{FileId, Path};
///
/// let text = "draw: {ranges: [{strokes: 3, to: 13}, {strokes: 8, to: 0.7}]}\n";
/// let (document, _) = Document::read(FileId(0), "a.tube.yaml", text.as_bytes(), &READ_OPTIONS);
/// let path = Path::from_pointer("/draw/ranges/1/to");
/// assert_eq!(known_by(&document, &path), "/draw/ranges/strokes=8/to");
/// ```
pub fn known_by(document: &Document, path: &Path) -> String {
    KnownRows::default().known_by(document, path)
}

impl KnownRows {
    /// As [`known_by`], of the document that was asked about before.
    pub fn known_by(&mut self, document: &Document, path: &Path) -> String {
        let mut out = String::new();
        let mut at = document.root();
        let mut in_row = false;
        for step in path.steps() {
            out.push('/');
            match step {
                PathStep::Key(key) => {
                    out.push_str(&escaped(key));
                    at = at.and_then(|node| node.get(key));
                    in_row = false;
                }
                PathStep::Index(index) => {
                    // The cells of a table's row are told apart by their columns.
                    let list = at.filter(|_| !in_row);
                    match list.and_then(|list| self.row(list, *index)) {
                        Some(known) => out.push_str(known),
                        None => out.push_str(&index.to_string()),
                    }
                    at = at.and_then(|list| list.item(*index));
                    in_row = true;
                }
            }
        }
        out
    }

    fn row(&mut self, list: Node<'_>, index: usize) -> Option<&str> {
        let rows = self.of_list.entry(list.id()).or_insert_with(|| rows(list));
        rows.get(index)?.as_deref()
    }
}

/// Identity of each row of a list, with a number behind it if rows before it have the same.
fn rows(list: Node<'_>) -> Vec<Option<String>> {
    let mut before: BTreeMap<String, usize> = BTreeMap::new();
    let rows = list.items().map(|row| {
        let known = what_tells(row)?;
        let count = before.entry(known.clone()).or_default();
        *count += 1;
        Some(if *count == 1 {
            known
        } else {
            format!("{known}#{count}")
        })
    });
    rows.collect()
}

fn what_tells(row: Node<'_>) -> Option<String> {
    match row.kind() {
        NodeKind::Scalar(_) => row.text().map(escaped),
        // The first cell of a table's row is its condition or reading.
        NodeKind::Sequence => row.items().next()?.text().map(escaped),
        NodeKind::Mapping => {
            let field = |name: &str| {
                let text = row.get(name)?.text()?;
                Some(format!("{name}={}", escaped(text)))
            };
            if let Some(name) = field(NAME) {
                return Some(name);
            }
            let fields: Vec<String> = TOGETHER.into_iter().filter_map(field).collect();
            (!fields.is_empty()).then(|| fields.join(","))
        }
    }
}

/// As in a JSON Pointer (RFC 6901, section 3).
fn escaped(text: &str) -> String {
    text.replace('~', "~0").replace('/', "~1")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::READ_OPTIONS;
    use stainbook_document::place::FileId;

    #[test]
    fn rows_are_known_by_what_stands_in_them() {
        let text = "\
limits:
  - {kind: ceiling, at_most: 1 ppm, source: a}
  - {kind: ceiling, at_most: 2 ppm, source: a}
  - {at_most: 2 mg/m³}
rows: [[10, 1.1], [20, 1.0]]
also_called: [x, y/z]
readings: [{id: r1, strokes: 3}]
";
        let (document, _) =
            Document::read(FileId(0), "a.tube.yaml", text.as_bytes(), &READ_OPTIONS);
        for (path, expected) in [
            ("/limits/0/at_most", "/limits/kind=ceiling,source=a/at_most"),
            ("/limits/1", "/limits/kind=ceiling,source=a#2"),
            ("/limits/2/at_most", "/limits/2/at_most"),
            ("/rows/1/1", "/rows/20/1"),
            ("/also_called/1", "/also_called/y~1z"),
            ("/readings/0/strokes", "/readings/id=r1/strokes"),
            ("/readings/7/strokes", "/readings/7/strokes"),
            ("", ""),
        ] {
            assert_eq!(known_by(&document, &Path::from_pointer(path)), expected);
        }
    }
}
