//! Slips of rows and columns: left out, doubled, swapped, shifted, or taken from another sheet.

use std::ops::Range;

use stainbook_document::{Document, Node, NodeKind};

use super::SlipClass;
use super::edit::ByteEdit;

/// A table of a sheet: its rows, and the number in each cell.
struct NumberTable<'a> {
    field: String,
    rows: Vec<TableRow<'a>>,
    /// In brackets on one line.
    flow: bool,
}

struct TableRow<'a> {
    node: Node<'a>,
    /// The numbers of the row with the name of their column.
    cells: Vec<(String, Range<usize>)>,
    /// Identity of the row: the whole of its first field, and all that belongs to it.
    head: Range<usize>,
}

/// A slip in a table with the field it is in.
pub(super) type TableSlip = (String, SlipClass, Vec<ByteEdit>);

/// Lists whose items are no figures of the leaflet.
const NO_TABLES: [&str; 5] = [
    "before_use.steps",
    "before_use.pump_kinds",
    "correct.order",
    "control",
    "worked",
];

/// Every slip of a row or column of the sheet.
pub(super) fn slips(document: &Document) -> Vec<TableSlip> {
    let mut tables = Vec::new();
    if let Some(root) = document.root() {
        collect("", root, document, &mut tables);
    }
    let mut found = Vec::new();
    for table in &tables {
        rows(table, document, &mut found);
        columns(table, document, &mut found);
    }
    let changed = |edits: &[ByteEdit]| {
        edits
            .iter()
            .any(|edit| document.text().get(edit.range.clone()) != Some(edit.to.as_str()))
    };
    found.retain(|(_, _, edits)| changed(edits));
    found
}

fn collect<'a>(
    field: &str,
    node: Node<'a>,
    document: &'a Document,
    tables: &mut Vec<NumberTable<'a>>,
) {
    if NO_TABLES.contains(&field) {
        return;
    }
    match node.kind() {
        NodeKind::Mapping => {
            for (key, value) in node.entries() {
                let key = key.text().unwrap_or_default();
                let below = if field.is_empty() {
                    key.to_owned()
                } else {
                    format!("{field}.{key}")
                };
                collect(&below, value, document, tables);
            }
        }
        NodeKind::Sequence => {
            let is_list_of_words = node
                .items()
                .any(|item| item.text().is_some_and(|text| text.parse::<f64>().is_err()));
            let rows: Vec<TableRow<'a>> = node.items().map(|item| row(item, document)).collect();
            if 1 < rows.len() && !is_list_of_words && !field.ends_with("coefficients") {
                let flow = document
                    .text()
                    .get(node.range())
                    .is_some_and(|text| text.starts_with('['));
                tables.push(NumberTable {
                    field: field.to_owned(),
                    rows,
                    flow,
                });
            }
            for item in node.items().filter(|item| item.is_mapping()) {
                collect(&format!("{field}.*"), item, document, tables);
            }
        }
        NodeKind::Scalar(_) => {}
    }
}

fn row<'a>(node: Node<'a>, document: &'a Document) -> TableRow<'a> {
    let mut cells = Vec::new();
    let mut head = node.range();
    match node.kind() {
        NodeKind::Mapping => {
            for (index, (key, value)) in node.entries().enumerate() {
                let name = key.text().unwrap_or_default();
                if index == 0 || name == "formula" {
                    head = if index == 0 {
                        value.range()
                    } else {
                        head.start..value.range().end
                    };
                }
                if value.is_list() {
                    for (index, item) in value.items().enumerate() {
                        cells.extend(
                            number(item, document).map(|range| (format!("{name}.{index}"), range)),
                        );
                    }
                } else {
                    cells.extend(number(value, document).map(|range| (name.to_owned(), range)));
                }
            }
        }
        NodeKind::Sequence => {
            for (index, item) in node.items().enumerate() {
                if index == 0 {
                    head = item.range();
                }
                cells.extend(number(item, document).map(|range| (index.to_string(), range)));
            }
        }
        NodeKind::Scalar(_) => {
            cells.extend(number(node, document).map(|range| (String::new(), range)));
        }
    }
    TableRow { node, cells, head }
}

/// The bytes of the number that a value is or begins with.
fn number(node: Node<'_>, document: &Document) -> Option<Range<usize>> {
    let text = document.text().get(node.range())?;
    let length = text
        .find(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != '-')
        .unwrap_or(text.len());
    let is_number = text
        .get(..length)
        .is_some_and(|number| number.parse::<f64>().is_ok());
    is_number.then(|| node.range().start..node.range().start + length)
}

fn rows(table: &NumberTable<'_>, document: &Document, found: &mut Vec<TableSlip>) {
    let text = document.text();
    let mut say = |class, edits| found.push((table.field.clone(), class, edits));
    for (index, row) in table.rows.iter().enumerate() {
        let range = row.node.range();
        let item = text.get(range.clone()).unwrap_or_default();
        if table.flow {
            let cut = match (
                index
                    .checked_sub(1)
                    .and_then(|before| table.rows.get(before)),
                table.rows.get(index + 1),
            ) {
                (_, Some(next)) => range.start..next.node.range().start,
                (Some(before), None) => before.node.range().end..range.end,
                (None, None) => continue,
            };
            say(SlipClass::RowLeftOut, vec![ByteEdit::new(cut, "")]);
            say(
                SlipClass::RowDoubled,
                vec![ByteEdit::new(range.end..range.end, format!(", {item}"))],
            );
        } else {
            let line = line_start(text, range.start)..line_end(text, range.end);
            let whole = text.get(line.clone()).unwrap_or_default().to_owned();
            say(SlipClass::RowLeftOut, vec![ByteEdit::new(line.clone(), "")]);
            say(
                SlipClass::RowDoubled,
                vec![ByteEdit::new(line.end..line.end, whole)],
            );
        }
    }
    for pair in table.rows.windows(2) {
        let [a, b] = pair else { continue };
        // Two whole rows in the other order mean the same; the slip is that one row gets what belongs to the other.
        let rest = |row: &TableRow<'_>| {
            text.get(row.head.end..row.node.range().end)
                .unwrap_or_default()
                .trim()
                .to_owned()
        };
        let is_scalar = matches!(a.node.kind(), NodeKind::Scalar(_));
        if !is_scalar && rest(a) == rest(b) {
            continue;
        }
        let edits = match (text.get(a.head.clone()), text.get(b.head.clone())) {
            (Some(of_a), Some(of_b)) => vec![
                ByteEdit::new(a.head.clone(), of_b),
                ByteEdit::new(b.head.clone(), of_a),
            ],
            _ => continue,
        };
        found.push((table.field.clone(), SlipClass::RowsSwapped, edits));
    }
}

fn columns(table: &NumberTable<'_>, document: &Document, found: &mut Vec<TableSlip>) {
    let text = document.text();
    let read = |range: &Range<usize>| text.get(range.clone()).unwrap_or_default().to_owned();
    let names: Vec<&str> = table
        .rows
        .first()
        .map(|row| row.cells.iter().map(|cell| cell.0.as_str()).collect())
        .unwrap_or_default();
    let full: Vec<Vec<Range<usize>>> = names
        .iter()
        .filter_map(|name| {
            let cell = |row: &TableRow<'_>| {
                row.cells
                    .iter()
                    .find(|cell| cell.0 == *name)
                    .map(|cell| cell.1.clone())
            };
            table.rows.iter().map(cell).collect::<Option<Vec<_>>>()
        })
        .collect();
    for pair in full.windows(2) {
        let [a, b] = pair else { continue };
        let edits = a
            .iter()
            .zip(b)
            .flat_map(|(a, b)| {
                [
                    ByteEdit::new(a.clone(), read(b)),
                    ByteEdit::new(b.clone(), read(a)),
                ]
            })
            .collect();
        found.push((table.field.clone(), SlipClass::ColumnsSwapped, edits));
    }
    for column in &full {
        let shifted = |down: bool| -> Vec<ByteEdit> {
            let last = column.len().saturating_sub(1);
            let from = |index: usize| {
                if down {
                    index.saturating_sub(1)
                } else {
                    (index + 1).min(last)
                }
            };
            column
                .iter()
                .enumerate()
                .filter_map(|(index, range)| {
                    Some(ByteEdit::new(range.clone(), read(column.get(from(index))?)))
                })
                .collect()
        };
        found.push((
            table.field.clone(),
            SlipClass::ShiftedByACell,
            shifted(true),
        ));
        found.push((
            table.field.clone(),
            SlipClass::ShiftedByACell,
            shifted(false),
        ));
    }
}

/// The blocks of a sheet that are taken over as a whole when a sheet is started as a copy of another.
const BLOCKS: [(&str, &str); 12] = [
    ("before_use", "storage"),
    ("before_use", "usable"),
    ("draw", "ranges"),
    ("read", "scales"),
    ("read", "lowest_visible"),
    ("read", "also_measures"),
    ("correct", "calibrated_at"),
    ("correct", "temperature"),
    ("correct", "humidity"),
    ("correct", "pressure"),
    ("doubt", "repeatability"),
    ("doubt", "other_gases"),
];

/// Each block of the sheet replaced by the same block of another.
pub(super) fn copied(document: &Document, other: &Document) -> Vec<TableSlip> {
    let block =
        |document: &Document, (part, key): (&str, &str)| -> Option<(Range<usize>, String)> {
            let (key, value) = document.root()?.get(part)?.entry(key)?;
            let range = key.range().start..value.range().end;
            Some((range.clone(), document.text().get(range)?.to_owned()))
        };
    let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    BLOCKS
        .into_iter()
        .filter_map(|names| {
            let (range, own) = block(document, names)?;
            let (_, theirs) = block(other, names)?;
            (squeezed(&own) != squeezed(&theirs)).then(|| {
                (
                    format!("{}.{}", names.0, names.1),
                    SlipClass::BlockCopied,
                    vec![ByteEdit::new(range, theirs)],
                )
            })
        })
        .collect()
}

fn line_start(text: &str, at: usize) -> usize {
    text.get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |newline| newline + 1)
}

fn line_end(text: &str, at: usize) -> usize {
    text.get(at..)
        .and_then(|after| after.find('\n'))
        .map_or(text.len(), |newline| at + newline + 1)
}
