//! Findings with the line that they speak of and a caret under it.

use annotate_snippets::{AnnotationKind, Group, Level as Title, Origin, Renderer, Snippet};
use stainbook_document::finding::{Fault, Finding, Level};
use stainbook_document::place::Place;

use crate::lines::{printable, steers, wrap};
use crate::{Colour, Counts, Located, Sources};

/// Notes and help are wrapped to this many characters, which with their indent stays readable on a split screen.
const WIDTH: usize = 96;

/// Bytes between two places of a file from which each has an excerpt of its own.
const FAR: usize = 8000;

/// Bytes of a line that are shown before and behind the place; only a line that no person wrote is longer.
const NEAR: usize = 2000;

/// Each finding with its source line, a blank line between them; the last line counts them.
pub fn render(findings: &[Finding], sources: &Sources<'_>, files: usize, colour: Colour) -> String {
    let mut out = each(findings, sources, colour);
    out.push_str(&summary(Counts::of(findings), files, colour));
    out
}

/// The line that counts them, in the colour of the worst.
pub fn summary(counts: Counts, files: usize, colour: Colour) -> String {
    let summary = counts.summary(files);
    let mut line = match (counts.errors, counts.warnings) {
        (0, 0) => colour.green(&summary),
        (0, _) => colour.amber(&summary),
        _ => colour.red(&summary),
    };
    line.push('\n');
    line
}

/// The same without the line that counts.
pub fn each(findings: &[Finding], sources: &Sources<'_>, colour: Colour) -> String {
    let renderer = match colour {
        Colour::Plain => Renderer::plain(),
        Colour::Terminal => Renderer::styled(),
    };
    let mut out = String::new();
    for finding in findings {
        out.push_str(&one(finding, sources, &renderer));
        out.push_str("\n\n");
    }
    out
}

fn one(finding: &Finding, sources: &Sources<'_>, renderer: &Renderer) -> String {
    let level = match finding.level() {
        Level::Error => Title::ERROR,
        Level::Warning => Title::WARNING,
        Level::Note => Title::NOTE,
    };
    let at = sources.locate(finding.place());
    let mut group = Group::with_title(
        level
            .primary_title(printable(finding.message_text()))
            .id(finding.rule()),
    );
    let (here, elsewhere): (Vec<_>, Vec<_>) = finding
        .related_places()
        .iter()
        .partition(|(place, _)| place.file == finding.place().file);
    // Lines between two places that are far apart would be gone through for every finding, and folded away.
    let (far, here): (Vec<_>, Vec<_>) = here
        .into_iter()
        .partition(|(place, _)| FAR < sources.locate(place).bytes.start.abs_diff(at.bytes.start));
    let mut cells = Vec::new();
    cells.extend(at.cell.is_some().then(|| at.in_a_line()));
    group = if at.text.trim().is_empty() {
        group.element(Origin::path(path_of(&at)))
    } else {
        group.element(snippet(&at, finding.label_text(), &here, sources))
    };
    for (place, words) in far.into_iter().chain(elsewhere) {
        let other = sources.locate(place);
        cells.extend(other.cell.is_some().then(|| other.in_a_line()));
        group = if other.text.trim().is_empty() {
            group.element(Origin::path(path_of(&other)))
        } else {
            group.element(context_snippet(&other, words))
        };
    }
    for note in finding.notes() {
        group = group.element(Title::NOTE.message(wrapped(note)));
    }
    if let Some(help) = finding.help_text() {
        group = group.element(Title::HELP.message(wrapped(help)));
    }
    if finding.fault() == Fault::Ours {
        group = group.element(Title::NOTE.message(OUR_FAULT));
    }
    // The renderer shows the control characters of an excerpt that are of ASCII, and lets the others through.
    let rendered = renderer.render(&[group]);
    let rendered = rendered.replace(|c: char| '\u{7f}' <= c && steers(c), "\u{fffd}");
    cells
        .iter()
        .fold(rendered, |text, cell| without_line(&text, cell))
}

/// The path that an excerpt is shown under; of a spreadsheet with the cell.
fn path_of(at: &Located<'_>) -> String {
    match &at.cell {
        Some(_) => at.in_a_line(),
        None => printable(at.path).into_owned(),
    }
}

/// The text without the line and column that the renderer puts behind a path, where that names a cell: they would count in a
/// text that is nowhere saved.
fn without_line(text: &str, cell: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut parts = text.split(cell);
    out.push_str(parts.next().unwrap_or_default());
    for part in parts {
        out.push_str(cell);
        let mut rest = part;
        for _ in 0..2 {
            let number = rest
                .strip_prefix(':')
                .map(|rest| rest.trim_start_matches(|c: char| c.is_ascii_digit()));
            rest = number.unwrap_or(rest);
        }
        out.push_str(rest);
    }
    out
}

/// Note on a finding that is not the author's fault.
pub const OUR_FAULT: &str =
    "this is a fault of stainbook and not of the file; please report it with the file";

fn wrapped(text: &str) -> String {
    wrap(text, WIDTH).join("\n")
}

/// The lines that the place and its companions stand on, and nothing else of a file that may be long.
fn snippet<'a>(
    at: &Located<'a>,
    label: Option<&'a str>,
    companions: &[&'a (Place, String)],
    sources: &Sources<'a>,
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let companions: Vec<(Located<'a>, &'a str)> = companions
        .iter()
        .map(|(place, words)| (sources.locate(place), words.as_str()))
        .collect();
    let first = companions
        .iter()
        .map(|(other, _)| other.bytes.start)
        .fold(at.bytes.start, usize::min);
    let last = companions
        .iter()
        .map(|(other, _)| other.bytes.end)
        .fold(at.bytes.end, usize::max);
    let (excerpt, from, line) = excerpt(at, first, last);
    let mut primary = AnnotationKind::Primary.span(shifted(&at.bytes, from));
    if let Some(label) = label {
        primary = primary.label(printable(label));
    }
    let mut snippet = Snippet::source(excerpt)
        .path(path_of(at))
        .line_start(line)
        .annotation(primary);
    for (other, words) in companions {
        snippet = snippet.annotation(
            AnnotationKind::Context
                .span(shifted(&other.bytes, from))
                .label(printable(words)),
        );
    }
    snippet
}

fn context_snippet<'a>(
    at: &Located<'a>,
    words: &'a str,
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let (excerpt, from, line) = excerpt(at, at.bytes.start, at.bytes.end);
    Snippet::source(excerpt)
        .path(path_of(at))
        .line_start(line)
        .annotation(
            AnnotationKind::Context
                .span(shifted(&at.bytes, from))
                .label(printable(words)),
        )
}

/// The lines of the text around bytes, where they begin, and the number of the first. Of a line that is as long as a file
/// only what is near is shown: nobody reads a megabyte of it, and a thousand findings would show it a thousand times.
fn excerpt<'a>(at: &Located<'a>, first: usize, last: usize) -> (&'a str, usize, usize) {
    let before = at.text.get(..first).unwrap_or_default();
    let near = boundary(at.text, first.saturating_sub(NEAR));
    let from = before
        .get(near..)
        .and_then(|before| before.rfind('\n'))
        .map_or(near, |newline| near + newline + 1);
    let far = boundary(at.text, last.saturating_add(NEAR));
    let to = at
        .text
        .get(last..far)
        .and_then(|rest| rest.find('\n'))
        .map_or(far, |newline| last + newline);
    let between = at.text.get(first..at.bytes.start).unwrap_or_default();
    let lines = between.bytes().filter(|byte| *byte == b'\n').count();
    let line = at.start.line.saturating_sub(lines).max(1);
    (at.text.get(from..to).unwrap_or_default(), from, line)
}

/// The byte itself, or the next one before it at which a character begins.
fn boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn shifted(bytes: &std::ops::Range<usize>, from: usize) -> std::ops::Range<usize> {
    bytes.start - from..bytes.end - from
}
