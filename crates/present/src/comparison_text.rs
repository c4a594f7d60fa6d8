//! A comparison for people: A on the left, B on the right, each with its line.

use std::fmt::Write as _;

use stainbook_check::compare::{Difference, DifferenceKind, DifferenceSide};
use stainbook_document::Document;

use crate::Colour;
use crate::comparison::{FileComparison, span};
use crate::counts::counted;
use crate::lines::{push_hanging, wrap};

/// The widest line.
const WIDTH: usize = 100;

/// The width of a column: two of them, an indent and the gap between them make a line.
const COLUMN: usize = 47;

/// The comparison as text of at most 100 columns.
pub fn render(comparison: &FileComparison<'_>, colour: Colour) -> String {
    let mut out = String::new();
    for pair in comparison
        .pairs
        .iter()
        .filter(|pair| !pair.differences.is_empty())
    {
        push_hanging(&mut out, "A  ", pair.name_a, WIDTH);
        push_hanging(&mut out, "B  ", pair.name_b, WIDTH);
        out.push('\n');
        for difference in &pair.differences {
            one(&mut out, difference, pair.a, pair.b, colour);
        }
    }
    for (files, has, lacks) in [
        (&comparison.only_a, "A", "B"),
        (&comparison.only_b, "B", "A"),
    ] {
        for file in files {
            let head = colour.amber(&format!("only in {has}"));
            let _ = writeln!(out, "{head}  {file}: no file in {lacks} belongs to it");
        }
        if !files.is_empty() {
            out.push('\n');
        }
    }
    push_summary(&mut out, comparison, colour);
    out
}

fn one(out: &mut String, difference: &Difference, a: &Document, b: &Document, colour: Colour) {
    let mut what = kind_words(difference.kind).to_owned();
    if let Some(slip) = difference.slip {
        what = format!("{what} ({})", slip.words());
    }
    let head = wrap(&format!("{}: {what}", difference.field), WIDTH).join("\n");
    let _ = writeln!(out, "{}", colour.bold(&head));
    let left = cell("A", difference.a.as_ref(), a);
    let right = cell("B", difference.b.as_ref(), b);
    for row in 0..left.len().max(right.len()) {
        let cell = |lines: &[String]| lines.get(row).cloned().unwrap_or_default();
        let (left, right) = (cell(&left), cell(&right));
        let blanks = " ".repeat(COLUMN.saturating_sub(left.chars().count()));
        let line = format!("  {left}{blanks}  {right}");
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out.push('\n');
}

/// One side: its line, and what stands there.
fn cell(name: &str, side: Option<&DifferenceSide>, document: &Document) -> Vec<String> {
    let Some(side) = side else {
        return vec![format!("{name}: nothing")];
    };
    let head = format!("{name}:{}  ", span(side, document).0.line);
    let indent = " ".repeat(head.chars().count());
    wrapped(&side.text, COLUMN - head.chars().count())
        .into_iter()
        .enumerate()
        .map(|(row, line)| format!("{}{line}", if row == 0 { &head } else { &indent }))
        .collect()
}

/// Lines of at most `width` characters; a word that is longer is cut.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for line in wrap(text, width) {
        let letters: Vec<char> = line.chars().collect();
        lines.extend(
            letters
                .chunks(width)
                .map(|part| part.iter().collect::<String>()),
        );
    }
    if lines.is_empty() {
        lines.push("\"\"".to_owned());
    }
    lines
}

/// Number of differences by kind: a figure can lead to a wrong result, a word to a wrong hand.
fn push_summary(out: &mut String, comparison: &FileComparison<'_>, colour: Colour) {
    let files = counted(comparison.pairs.len(), "pair");
    let count = comparison.count();
    if count == 0 {
        let said = format!("no difference in meaning in {files} of files");
        let _ = writeln!(out, "{}", colour.green(&said));
        return;
    }
    let all = || comparison.pairs.iter().flat_map(|pair| &pair.differences);
    let of = |wanted: &[DifferenceKind]| all().filter(|found| wanted.contains(&found.kind)).count();
    let parts: Vec<String> = [
        (
            of(&[
                DifferenceKind::Number,
                DifferenceKind::Digits,
                DifferenceKind::Unit,
            ]),
            "in figures",
        ),
        (
            of(&[DifferenceKind::OnlyInA, DifferenceKind::OnlyInB]),
            "missing on one side",
        ),
        (of(&[DifferenceKind::Words]), "in words"),
        (of(&[DifferenceKind::Shape]), "in form"),
        (
            comparison.only_a.len() + comparison.only_b.len(),
            "whole files",
        ),
    ]
    .into_iter()
    .filter(|(count, _)| 0 < *count)
    .map(|(count, what)| format!("{count} {what}"))
    .collect();
    let said = format!(
        "{} in {files} of files ({}); look at the leaflet for each",
        counted(count, "difference"),
        parts.join(", ")
    );
    let _ = writeln!(out, "{}", colour.red(&wrap(&said, WIDTH).join("\n")));
}

/// The kind of a difference in words.
fn kind_words(kind: DifferenceKind) -> &'static str {
    match kind {
        DifferenceKind::Number => "another number",
        DifferenceKind::Digits => "another number of printed digits",
        DifferenceKind::Unit => "another unit",
        DifferenceKind::Words => "other words",
        DifferenceKind::OnlyInA => "missing in B",
        DifferenceKind::OnlyInB => "missing in A",
        DifferenceKind::Shape => "another form",
    }
}
