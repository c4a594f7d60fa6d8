//! Changes for people: what the entries say otherwise, and what that does to results.

use std::fmt::Write as _;

use stainbook_check::compare::Difference;

use crate::Colour;
use crate::change_words as words;
use crate::counts::counted;
use crate::lines::push_hanging;
use stainbook_revision::changes::{Added, Changed, Changes, Named};

/// The widest line.
const WIDTH: usize = 100;

/// The changes as text of at most 100 columns.
pub fn render(changes: &Changes<'_>, colour: Colour) -> String {
    let mut out = String::new();
    for changed in &changes.changed {
        one(&mut out, changed, colour);
    }
    for Added {
        entry, replaces, ..
    } in &changes.added
    {
        heading(&mut out, &format!("added  {}", name(entry)), colour);
        if let Some((sheet, effects)) = replaces {
            let said = format!("it takes the place of {sheet}; against that:");
            push_hanging(&mut out, "  ", &said, WIDTH);
            results(&mut out, &words::sheet(effects), words::extent(effects));
        }
        out.push('\n');
    }
    for entry in &changes.removed {
        heading(&mut out, &format!("removed  {}", name(entry)), colour);
        out.push('\n');
    }
    if !changes.surveys.is_empty() {
        heading(&mut out, "surveys: results that come out otherwise", colour);
        for one in &changes.surveys {
            push_hanging(&mut out, "  ", &words::survey(one), WIDTH);
        }
        out.push('\n');
    }
    out.push_str(&summary(changes));
    out.push('\n');
    out
}

fn heading(out: &mut String, text: &str, colour: Colour) {
    let _ = writeln!(out, "{}", colour.bold(text));
}

fn name(entry: &Named<'_>) -> String {
    format!("{} {}", entry.kind.name(), entry.id)
}

fn one(out: &mut String, changed: &Changed<'_>, colour: Colour) {
    let head = if changed.is_renamed() {
        format!("changed  {} → {}", name(&changed.old), changed.new.id)
    } else {
        format!("changed  {}", name(&changed.new))
    };
    heading(out, &head, colour);
    if !changed.differences.is_empty() {
        out.push_str("  what it says\n");
    }
    for difference in &changed.differences {
        push_hanging(out, "    - ", &says(difference), WIDTH);
    }
    if let Some(effects) = &changed.sheet {
        out.push_str("  what that does to results\n");
        results(out, &words::sheet(effects), words::extent(effects));
    }
    if let Some(effects) = &changed.substance {
        let mut sentences: Vec<String> = Vec::new();
        if let Some(why) = &effects.not_compared {
            sentences.push(format!("results cannot be compared: {why}"));
        }
        let name = &effects.name;
        sentences.extend(
            effects
                .molar_mass
                .map(|masses| words::molar_mass(name, masses)),
        );
        sentences.extend(effects.limits.iter().map(|limit| words::limit(name, limit)));
        if sentences.is_empty() {
            sentences.push("no conversion and no judgement moves".to_owned());
        }
        out.push_str("  what that does to conversions and judgements\n");
        results(out, &sentences, None);
    }
    out.push('\n');
}

fn results(out: &mut String, sentences: &[String], extent: Option<String>) {
    for sentence in sentences {
        push_hanging(out, "    - ", sentence, WIDTH);
    }
    if let Some(extent) = extent {
        push_hanging(out, "    ", &extent, WIDTH);
    }
}

/// One difference on one line: `draw, ranges, strokes 1, multiply_by: 3 → 3.2`.
fn says(difference: &Difference) -> String {
    let field = &difference.field;
    match (&difference.a, &difference.b) {
        (Some(a), Some(b)) => format!("{field}: {} → {}", a.text, b.text),
        (Some(a), None) => format!("{field}: gone, was {}", a.text),
        (None, Some(b)) => format!("{field}: new, {}", b.text),
        (None, None) => field.clone(),
    }
}

fn summary(changes: &Changes<'_>) -> String {
    if changes.is_empty() {
        let mut said = "nothing changed in meaning".to_owned();
        if !changes.surveys.is_empty() {
            said.push_str(", and yet results of surveys come out otherwise");
        }
        return said;
    }
    let parts: Vec<String> = [
        (changes.changed.len(), "changed"),
        (changes.added.len(), "added"),
        (changes.removed.len(), "removed"),
    ]
    .into_iter()
    .filter(|(count, _)| 0 < *count)
    .map(|(count, what)| format!("{count} {what}"))
    .collect();
    let mut said = format!("entries: {}", parts.join(", "));
    if !changes.surveys.is_empty() {
        let results = counted(changes.surveys.len(), "result");
        said.push_str(&format!("; otherwise: {results} of surveys"));
    }
    said
}
