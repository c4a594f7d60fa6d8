//! What a template offers, taken in line by line: each example is understood where it stands.
#![cfg(test)]

use std::collections::BTreeSet;

use stainbook::template::template;
use stainbook_catalog::rules::reader_rules;
use stainbook_catalog::{Book, EntryKind, READ_OPTIONS, SourceFile, read_entry};
use stainbook_check::{Options, check_with};
use stainbook_document::Document;
use stainbook_document::place::FileId;

/// Rules that say of an example that it cannot be read where it stands; what else they find is between invented figures.
const UNREADABLE: [&str; 5] = [
    "accuracy-unclear",
    "correction-row-shape",
    "formula-unreadable",
    "id-not-kebab-case",
    "rule-unknown",
];

fn name(kind: EntryKind) -> String {
    match kind {
        EntryKind::Catalog => "catalog.yaml".to_owned(),
        kind => format!("quay-x.{}.yaml", kind.name()),
    }
}

/// What is found in a file that is added to the demo.
fn found(kind: EntryKind, text: &str) -> BTreeSet<String> {
    let (demo, _) = Book::demo();
    let file = FileId(9_999);
    let (entry, read) = read_entry(file, &SourceFile::new(name(kind), text));
    let (document, _) = Document::read(file, "text", text.as_bytes(), &READ_OPTIONS);
    let entries = demo.entries().iter().cloned().chain(entry);
    let report = check_with(
        &Book::assemble(entries.collect()),
        read,
        &Options::default(),
    );
    let of_reader: Vec<&str> = reader_rules().map(|rule| rule.name).collect();
    let rules = of_reader.iter().chain(&UNREADABLE);
    let told: BTreeSet<&str> = rules.copied().collect();
    report
        .findings
        .iter()
        .filter(|finding| finding.place().file == file && told.contains(finding.rule()))
        // A group of which nothing is asked for stands empty until somebody takes one of its lines in.
        .filter(|finding| {
            !finding
                .message_text()
                .contains(" is empty, and has to be a group")
        })
        .map(|finding| {
            let at = document.path_at(finding.place());
            format!("{at}: {}: {}", finding.rule(), finding.message_text())
        })
        .collect()
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// The words of the comment above a line, in one line.
fn about(lines: &[String], at: usize) -> String {
    let mut words = Vec::new();
    for line in lines[..at].iter().rev() {
        let Some(comment) = line.trim_start().strip_prefix('#') else {
            break;
        };
        words.push(comment.trim().to_owned());
    }
    words.reverse();
    words.join(" ")
}

/// The template with what is asked for filled in by the example beside it, and of several ways by this one.
fn filled(text: &str, way: usize) -> Vec<String> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for at in 0..lines.len() {
        let line = lines[at].clone();
        let content = line.trim_start().trim_start_matches("- ");
        let asked = content
            .strip_suffix(':')
            .or_else(|| content.strip_suffix(": []"))
            .filter(|key| !line.trim_start().starts_with('#') && !key.contains(' '));
        let Some(key) = asked else { continue };
        let start = &line[..line.len() - content.len()];
        if lines
            .get(at + 1)
            .is_some_and(|next| next.trim() == "method:")
        {
            let start = format!("{}#   {key}: ", " ".repeat(indent(&line)));
            let ways: Vec<&String> = lines[..at]
                .iter()
                .rev()
                .take_while(|line| line.trim_start().starts_with('#'))
                .filter(|line| line.starts_with(&start))
                .collect();
            let taken = ways[way % ways.len()].replacen("#   ", "", 1);
            lines[at] = taken;
            lines[at + 1] = String::new();
        } else if let Some((_, example)) = about(&lines, at).split_once("Such as: ") {
            lines[at] = format!("{start}{key}: {example}");
        }
    }
    lines
}

/// Lines that are commented out and may be taken in.
fn optional(line: &str) -> bool {
    let content = line.trim_start();
    let field = content.strip_prefix("# ").unwrap_or_default();
    let key = field.split(':').next().unwrap_or_default();
    let is_key = !key.is_empty()
        && key
            .chars()
            .all(|c| c.is_ascii_lowercase() || "_0123456789".contains(c));
    // A line of words may have a colon, too.
    let value = field[key.len()..].strip_prefix(": ").unwrap_or_default();
    let (_, faults) = Document::read(FileId(0), "line", value.as_bytes(), &READ_OPTIONS);
    is_key
        && !value.is_empty()
        && !value.ends_with('.')
        && !value.contains(". ")
        && faults.is_empty()
}

#[test]
fn each_example_of_a_template_is_understood_where_it_stands() {
    let (mut taken, mut wrong) = (0, BTreeSet::new());
    for kind in EntryKind::ALL {
        let text = template(kind, "quay-x", "s.json");
        for way in 0..10 {
            let lines = filled(&text, way);
            let of_filled = found(kind, &lines.join("\n"));
            wrong.extend(
                of_filled
                    .iter()
                    .map(|found| format!("{kind:?}, as filled in: {found}")),
            );
            if way != 0 {
                continue;
            }
            for at in 0..lines.len() {
                let broken = at
                    .checked_sub(1)
                    .is_some_and(|above| lines[above].ends_with("Such"));
                if broken || !optional(&lines[at]) {
                    continue;
                }
                let mut with = lines.clone();
                with[at] = lines[at].replacen("# ", "", 1);
                taken += 1;
                for found in found(kind, &with.join("\n")).difference(&of_filled) {
                    wrong.insert(format!("{kind:?}, `{}`: {found}", with[at].trim()));
                }
            }
        }
    }
    println!("{taken} lines taken in");
    assert!(150 <= taken, "{taken} lines");
    let wrong: Vec<String> = wrong.into_iter().collect();
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
