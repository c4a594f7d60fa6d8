//! A sheet as its author would write it who copies from the paper whatever can be checked: formulas beside substances,
//! control figures of every part, examples for each stroke count and each row of a table.

use std::fmt::Write as _;

use stainbook_catalog::Book;
use stainbook_catalog::model::Tube;
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::Worked;
use stainbook_core::print;
use stainbook_document::{Document, Node};
use stainbook_evaluation::worked::worked_value;

use super::edit::{ByteEdit, apply};
use super::paper;

/// Results of examples are printed to so many digits, and whole numbers to the last.
const DIGITS_OF_EXAMPLES: u32 = 3;
/// From here on three digits would leave out some before the point.
const FOUR_DIGITS: f64 = 999.5;

/// The sheet without what is given on top.
pub(super) fn bare(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    let mut skipping = false;
    for line in text.split_inclusive('\n') {
        let is_key = line.starts_with(|letter: char| letter.is_ascii_lowercase());
        if is_key {
            skipping = line.starts_with("worked:") || line.starts_with("control:");
        }
        if !skipping {
            kept.push_str(line);
        }
    }
    kept
}

/// The sheet with formulas, control figures and examples.
pub(super) fn full(document: &Document, tube: &TubeEntry, id: &str, book: &Book) -> String {
    let mut text = apply(document.text(), &formulas(document, book));
    text.push_str("\ncontrol:\n");
    for line in control(document) {
        let _ = writeln!(text, "  - {{{line}}}");
    }
    if let Ok(model) = book.tube_model(id) {
        let examples = examples(tube, &model);
        if !examples.is_empty() {
            text.push_str("\nworked:\n");
        }
        for line in examples {
            let _ = writeln!(text, "  - {{{line}}}");
        }
    }
    text
}

fn formulas(document: &Document, book: &Book) -> Vec<ByteEdit> {
    let Some(root) = document.root() else {
        return Vec::new();
    };
    let get = |path: &[&str]| path.iter().try_fold(root, |node, key| node.get(key));
    let mut edits = Vec::new();
    let mut beside = |node: Node<'_>, key: &str| {
        let Some((key, value)) = node.entry(key) else {
            return;
        };
        let Some(formula) = value
            .text()
            .and_then(|id| book.substance(id)?.formula.clone())
        else {
            return;
        };
        let text = document.text();
        let line_start = text
            .get(..key.range().start)
            .and_then(|before| before.rfind('\n'))
            .map_or(0, |at| at + 1);
        let before = text.get(line_start..key.range().start).unwrap_or_default();
        let end = value.range().end;
        let break_line = if before.contains('{') {
            ", ".to_owned()
        } else {
            format!("\n{}", before.replace('-', " "))
        };
        edits.push(ByteEdit::new(
            end..end,
            format!("{break_line}formula: \"{formula}\""),
        ));
    };
    if let Some(measures) = get(&["measures"]) {
        beside(
            measures,
            if measures.get("group").is_some() {
                "expressed_as"
            } else {
                "substance"
            },
        );
    }
    for path in [["read", "also_measures"], ["doubt", "other_gases"]] {
        for gas in get(&path).into_iter().flat_map(Node::items) {
            beside(gas, "substance");
        }
    }
    edits
}

/// The control figures, an entry each.
fn control(document: &Document) -> Vec<String> {
    let Some(root) = document.root() else {
        return Vec::new();
    };
    let get = |path: &[&str]| path.iter().try_fold(root, |node, key| node.get(key));
    let mut lines = Vec::new();
    let scales: Vec<Node<'_>> = get(&["read", "scales"])
        .into_iter()
        .flat_map(Node::items)
        .collect();
    for scale in &scales {
        let name = scale.get("name").and_then(Node::text);
        let named = name
            .map(|name| format!(", scale: {name}"))
            .unwrap_or_default();
        let unit = scale.get("unit").and_then(Node::text).unwrap_or_default();
        let marks: Vec<String> = scale
            .get("marks")
            .into_iter()
            .flat_map(Node::items)
            .filter_map(text_of)
            .collect();
        lines.extend(figure(
            "marks",
            &format!("{named}, unit: \"{unit}\""),
            marks.len(),
            &marks,
        ));
        let ranges: Vec<Node<'_>> = get(&["draw", "ranges"])
            .into_iter()
            .flat_map(Node::items)
            .filter(|range| scales.len() == 1 || range.get("scale").and_then(Node::text) == name)
            .collect();
        for (of, key) in [
            ("strokes", "strokes"),
            ("multipliers", "multiply_by"),
            ("lower ends", "from"),
            ("upper ends", "to"),
            ("seconds", "seconds_per_stroke"),
        ] {
            let numbers: Vec<String> = ranges
                .iter()
                .filter_map(|range| text_of(range.get(key)?))
                .collect();
            lines.extend(figure(of, &named, numbers.len(), &numbers));
        }
    }
    for axis in ["temperature", "humidity", "pressure"] {
        let Some(correction) = get(&["correct", axis]) else {
            continue;
        };
        let of = format!("{axis} table");
        let heads: Vec<&str> = correction
            .get("columns")
            .into_iter()
            .flat_map(Node::items)
            .filter_map(Node::text)
            .collect();
        if let Some(coefficients) = correction.get("coefficients") {
            let numbers: Vec<String> = coefficients.items().filter_map(text_of).collect();
            lines.extend(figure(&of, "", numbers.len(), &numbers));
        } else if let Some(table) = correction.get("lines") {
            let unit = heads
                .first()
                .and_then(|head| head.split_once(' '))
                .map_or("", |head| head.1);
            let numbers: Vec<String> = heads
                .iter()
                .filter_map(|head| Some(head.split_once(' ')?.0.to_owned()))
                .collect();
            lines.extend(figure(
                &of,
                &format!(", unit: \"{unit}\""),
                numbers.len(),
                &numbers,
            ));
            for column in 0..=heads.len() {
                let cell = |line: Node<'_>| match column.checked_sub(1) {
                    None => number_of(line.get("reading")?),
                    Some(index) => text_of(line.get("becomes")?.item(index)?),
                };
                let numbers: Vec<String> = table.items().filter_map(cell).collect();
                let readings: Vec<Node<'_>> = table
                    .items()
                    .filter_map(|line| line.get("reading"))
                    .filter(|_| column == 0)
                    .collect();
                lines.extend(figure(
                    &of,
                    &format!(", column: {}{}", column + 1, units(&readings)),
                    numbers.len(),
                    &numbers,
                ));
            }
        } else if let Some(rows) = correction.get("rows") {
            for (column, head) in heads.iter().enumerate() {
                let unit = if *head == "factor" {
                    String::new()
                } else {
                    format!(", unit: \"{head}\"")
                };
                let numbers: Vec<String> = rows
                    .items()
                    .filter_map(|row| text_of(row.item(column)?))
                    .collect();
                lines.extend(figure(
                    &of,
                    &format!(", column: {}{unit}", column + 1),
                    numbers.len(),
                    &numbers,
                ));
            }
        } else {
            lines.push(format!("of: {of}, rows: 0, sum: 0"));
        }
    }
    let groups: [(&str, &[&str], &[&str]); 4] = [
        (
            "calibration",
            &["correct", "calibrated_at"],
            &["temperature", "pressure", "humidity"],
        ),
        (
            "usable range",
            &["before_use", "usable"],
            &["temperature", "humidity"],
        ),
        (
            "storage",
            &["before_use", "storage"],
            &["below", "above", "shelf_life"],
        ),
        (
            "lowest visible",
            &["read", "lowest_visible"],
            &["concentration", "strokes"],
        ),
    ];
    for (of, path, keys) in groups {
        let nodes: Vec<Node<'_>> = get(path)
            .into_iter()
            .flat_map(|node| keys.iter().filter_map(move |key| node.get(key)))
            .collect();
        let numbers: Vec<String> = nodes.iter().copied().flat_map(numbers_in).collect();
        lines.extend(figure(of, &units(&nodes), numbers.len(), &numbers));
    }
    let lists: [(&str, &[&str], &[&str]); 4] = [
        (
            "also measures",
            &["read", "also_measures"],
            &["by", "rows", "strokes", "from", "to", "uncertainty"],
        ),
        (
            "repeatability",
            &["doubt", "repeatability"],
            &["up_to", "rsd"],
        ),
        (
            "accuracy",
            &["doubt", "accuracy"],
            &["up_to", "within", "confidence"],
        ),
        (
            "other gases",
            &["doubt", "other_gases"],
            &[
                "response",
                "response_uncertainty",
                "matters_from",
                "matters_from_times",
                "tested_to",
            ],
        ),
    ];
    for (of, path, keys) in lists {
        let rows: Vec<Node<'_>> = get(path).into_iter().flat_map(Node::items).collect();
        let nodes: Vec<Node<'_>> = rows
            .iter()
            .flat_map(|row| keys.iter().filter_map(|key| row.get(key)))
            .collect();
        let numbers: Vec<String> = nodes.iter().copied().flat_map(numbers_in).collect();
        lines.extend(figure(of, &units(&nodes), rows.len(), &numbers));
    }
    lines
}

/// One control figure, added up.
fn figure(of: &str, more: &str, rows: usize, numbers: &[String]) -> Option<String> {
    let sum = paper::sum(numbers, |_| 1)?;
    let in_order = paper::sum(numbers, |index| index + 1)?;
    Some(format!(
        "of: {of}{more}, rows: {rows}, sum: {sum}, in_order: {in_order}"
    ))
}

/// Numbers by unit, as a field of a control figure.
fn units(nodes: &[Node<'_>]) -> String {
    let mut counted: Vec<(String, usize)> = Vec::new();
    for node in nodes {
        let Some(text) = node.text() else { continue };
        let is_number = |word: &&str| word.parse::<f64>().is_ok();
        let words: Vec<&str> = text.split_whitespace().collect();
        let last = words.iter().rposition(&is_number);
        let unit = words
            .get(last.map_or(0, |last| last + 1)..)
            .unwrap_or_default()
            .join(" ");
        if unit.is_empty() {
            continue;
        }
        let numbers = words.iter().copied().filter(|word| is_number(word)).count();
        match counted.iter_mut().find(|(name, _)| *name == unit) {
            Some((_, count)) => *count += numbers,
            None => counted.push((unit, numbers)),
        }
    }
    let texts: Vec<String> = counted
        .iter()
        .map(|(unit, count)| format!("{count} {unit}"))
        .collect();
    if texts.is_empty() {
        String::new()
    } else {
        format!(", units: [{}]", texts.join(", "))
    }
}

fn text_of(node: Node<'_>) -> Option<String> {
    node.text().map(str::to_owned)
}

fn number_of(node: Node<'_>) -> Option<String> {
    numbers_in(node).into_iter().next()
}

/// The numbers of a quantity, a range, or a list of lists of numbers.
fn numbers_in(node: Node<'_>) -> Vec<String> {
    match node.text() {
        None => node.items().flat_map(numbers_in).collect(),
        Some(text) => text
            .split_whitespace()
            .filter(|word| word.parse::<f64>().is_ok())
            .map(str::to_owned)
            .collect(),
    }
}

/// One example for each stroke count, each row of a correction and each other gas, worked out with the clean sheet, as the
/// leaflet's author did.
fn examples(tube: &TubeEntry, model: &Tube) -> Vec<String> {
    let mut lines = Vec::new();
    let Some(read) = &tube.read else { return lines };
    let Some(draw) = &tube.draw else { return lines };
    let mut try_one = |fields: String, reading: &str, unit: &str| {
        let head = format!("reading: {reading} {unit}, {fields}");
        let draft = format!("tube: x\nworked: [{{{head}, gives: 1 {unit}}}]\n");
        let Some(value) = parse(&draft).and_then(|worked| worked_value(model, &worked).ok()) else {
            return;
        };
        let gives = if value < FOUR_DIGITS {
            print::to_significant(value, DIGITS_OF_EXAMPLES)
        } else {
            print::to_decimals(value, 0)
        };
        lines.push(format!("{head}, gives: {gives} {unit}"));
    };
    for scale in &read.scales {
        let (Some(unit), Some(home)) = (scale.unit.as_deref(), &scale.printed_for_strokes) else {
            continue;
        };
        let marks: Vec<&str> = scale.marks.iter().map(|mark| mark.text()).collect();
        let mark = |index: usize| {
            marks
                .get(index % marks.len().max(1))
                .copied()
                .unwrap_or("1")
        };
        let named = scale
            .name
            .as_ref()
            .map(|name| format!(", scale: {name}"))
            .unwrap_or_default();
        let ranges = draw
            .ranges
            .iter()
            .filter(|range| read.scales.len() == 1 || range.scale == scale.name);
        for (index, range) in ranges.enumerate() {
            let Some(strokes) = &range.strokes else {
                continue;
            };
            try_one(
                format!("strokes: {}{named}", strokes.text()),
                mark(index + 1),
                unit,
            );
        }
        let home = home.text();
        for key in ["temperature", "humidity", "pressure"] {
            for (index, condition) in conditions(tube, key).into_iter().enumerate() {
                try_one(
                    format!("strokes: {home}, {key}: {condition}{named}"),
                    mark(index),
                    unit,
                );
            }
        }
        for gas in &read.response_factors {
            let (Some(id), Some(strokes)) = (&gas.substance, &gas.strokes) else {
                continue;
            };
            for index in 0..marks.len() {
                try_one(
                    format!("strokes: {}, substance: {id}{named}", strokes.text()),
                    mark(index),
                    unit,
                );
            }
        }
    }
    lines
}

/// Conditions for examples: each one of a table; for a formula the two ends of the usable range.
fn conditions(tube: &TubeEntry, key: &str) -> Vec<String> {
    let Some(correct) = &tube.correct else {
        return Vec::new();
    };
    let correction = match key {
        "temperature" => &correct.temperature,
        "humidity" => &correct.humidity,
        _ => &correct.pressure,
    };
    let Some(correction) = correction else {
        return Vec::new();
    };
    if !correction.lines.is_empty() {
        return correction.columns.clone();
    }
    if !correction.coefficients.is_empty() {
        let usable = tube.usable();
        let (Some(usable), Some(unit)) = (usable, correction.of.as_deref()) else {
            return Vec::new();
        };
        let ends = match key {
            "temperature" => usable
                .temperature
                .as_ref()
                .map(|range| (range.low().number_text(), range.high().number_text())),
            "humidity" => usable
                .humidity
                .as_ref()
                .map(|range| (range.low().number_text(), range.high().number_text())),
            _ => None,
        };
        return ends
            .into_iter()
            .flat_map(|(low, high)| [format!("{low} {unit}"), format!("{high} {unit}")])
            .collect();
    }
    let condition = correction
        .columns
        .iter()
        .position(|head| head != "factor")
        .unwrap_or(0);
    let Some(unit) = correction.columns.get(condition) else {
        return Vec::new();
    };
    correction
        .rows
        .iter()
        .filter_map(|row| Some(format!("{} {unit}", row.get(condition)?.text())))
        .collect()
}

fn parse(draft: &str) -> Option<Worked> {
    let source = stainbook_catalog::SourceFile::new("x.tube.yaml", draft);
    let (entry, _) = stainbook_catalog::read_entry(stainbook_document::place::FileId(0), &source);
    match entry?.written {
        stainbook_catalog::WrittenEntry::Tube(tube) => tube.worked.into_iter().next(),
        _ => None,
    }
}
