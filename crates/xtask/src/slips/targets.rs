//! Every number, unit and reference of a sheet with its bytes.

use std::ops::Range;

use stainbook_document::{Document, Node, NodeKind};

/// Sorts of targets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Sort {
    /// The number of a measured or counted thing.
    Number,
    /// A unit, alone or behind a number.
    Unit,
    /// The short name of a substance.
    Substance,
    /// The short name of another entry, or of a scale.
    Reference,
    /// A number of the paperwork: a date, a lot, a page. No result depends on it.
    Paperwork,
}

/// One number, unit or reference.
#[derive(Clone, Debug)]
pub(super) struct SlipTarget {
    /// The field, `*` for each index: `draw.ranges.*.from`.
    pub(super) field: String,
    pub(super) sort: Sort,
    pub(super) range: Range<usize>,
}

/// Parts of a sheet that are given on top, to check the others by.
const GIVEN_ON_TOP: [&str; 3] = ["worked", "control", "accept"];

/// Fields of the paperwork.
const PAPERWORK: [&str; 7] = [
    "leaflet",
    "entered",
    "verified",
    "review_by",
    "withdrawn",
    "tube",
    "series",
];

/// Every target of what the leaflet says, in the order of the text.
pub(super) fn targets(document: &Document) -> Vec<SlipTarget> {
    within(document, |key| !GIVEN_ON_TOP.contains(&key))
}

/// Every target of the control figures and examples, in the order of the text.
pub(super) fn given_on_top(document: &Document) -> Vec<SlipTarget> {
    within(document, |key| key == "worked" || key == "control")
}

fn within(document: &Document, wanted: impl Fn(&str) -> bool) -> Vec<SlipTarget> {
    let mut found = Vec::new();
    let Some(root) = document.root() else {
        return found;
    };
    for (key, value) in root.entries() {
        let key = key.text().unwrap_or_default();
        if wanted(key) {
            walk(key, value, document, &mut found);
        }
    }
    found.sort_by_key(|target: &SlipTarget| target.range.start);
    found
}

fn walk(field: &str, node: Node<'_>, document: &Document, found: &mut Vec<SlipTarget>) {
    match node.kind() {
        NodeKind::Mapping => {
            for (key, value) in node.entries() {
                let key = key.text().unwrap_or_default();
                walk(&format!("{field}.{key}"), value, document, found);
            }
        }
        NodeKind::Sequence => {
            for (index, item) in node.items().enumerate() {
                // The columns of a row are fields of their own, whatever the row.
                let name = if field.ends_with("rows.*") {
                    index.to_string()
                } else {
                    "*".to_owned()
                };
                walk(&format!("{field}.{name}"), item, document, found);
            }
        }
        NodeKind::Scalar(_) => scalar(field, node, document, found),
    }
}

fn scalar(field: &str, node: Node<'_>, document: &Document, found: &mut Vec<SlipTarget>) {
    let Some(text) = document.text().get(node.range()) else {
        return;
    };
    // Quotes stay where they are.
    let inner = text.trim_matches(['"', '\'']);
    let start = node.range().start + usize::from(inner.len() < text.len());
    let whole = start..start + inner.len();
    let last = field.rsplit('.').next().unwrap_or_default();
    let top = field.split('.').next().unwrap_or_default();
    let mut add = |sort, range: Range<usize>| {
        found.push(SlipTarget {
            field: field.to_owned(),
            sort,
            range,
        });
    };
    match last {
        "substance" | "expressed_as" => return add(Sort::Substance, whole),
        "group" | "replaces" | "scale" => return add(Sort::Reference, whole),
        "unit" | "of" => return add(Sort::Unit, whole),
        "formula" | "name" | "title" | "designation" | "remark" | "by"
            if inner.parse::<f64>().is_err() =>
        {
            return;
        }
        _ => {}
    }
    if field.contains("pump_kinds") {
        return add(Sort::Reference, whole);
    }
    let is_paperwork = PAPERWORK.contains(&top);
    if is_paperwork && ["tube", "series", "title", "designation", "by", "because"].contains(&last) {
        return;
    }
    let numbers = numbers_of(inner);
    let starts_with_number = numbers.first().is_some_and(|first| first.start == 0);
    if is_paperwork {
        for number in numbers {
            add(Sort::Paperwork, start + number.start..start + number.end);
        }
        return;
    }
    if starts_with_number {
        let end = numbers.last().map_or(0, |last| last.end);
        for number in numbers {
            add(Sort::Number, start + number.start..start + number.end);
        }
        let unit = inner.get(end..).unwrap_or_default();
        let blank = unit.len() - unit.trim_start().len();
        if !unit.trim().is_empty() {
            add(Sort::Unit, start + end + blank..start + inner.len());
        }
    } else if field.contains("columns") && inner != "factor" {
        add(Sort::Unit, whole);
    }
}

/// The runs of digits with their signs and points, a unit's own digits (`m3`) left out.
fn numbers_of(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(byte) = bytes.get(at) {
        let before = at.checked_sub(1).and_then(|before| bytes.get(before));
        let opens = before.is_none_or(|before| matches!(before, b' ' | b'-' | b'+'));
        let signed = *byte == b'-'
            && bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
            && before.is_none_or(|before| *before == b' ');
        if opens && (byte.is_ascii_digit() || signed) {
            let start = at;
            at += 1;
            while bytes
                .get(at)
                .is_some_and(|byte| byte.is_ascii_digit() || *byte == b'.')
            {
                at += 1;
            }
            found.push(start..at);
        } else {
            at += 1;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_from_units() {
        for (text, numbers) in [
            ("2.5 ppm", vec!["2.5"]),
            ("-5 to 40 °C", vec!["-5", "40"]),
            ("10 mg/m3", vec!["10"]),
            ("2024-03", vec!["2024", "03"]),
            ("from 24-100", vec!["24", "100"]),
            ("5 % by volume", vec!["5"]),
        ] {
            let found: Vec<&str> = numbers_of(text)
                .into_iter()
                .map(|range| &text[range])
                .collect();
            assert_eq!(found, numbers, "{text}");
        }
    }
}
