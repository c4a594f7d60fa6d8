//! Findings about text that cannot be read as YAML.
//!
//! A parser notices a slip where it can no longer go on, which is often a line after the slip.
//! The commonest slips are therefore looked for in the text around that place.

use std::ops::Range;

use crate::finding::Finding;
use crate::help;
use crate::offer::Offer;
use crate::place::{FileId, Place};
use crate::rules;

/// Reason for which the text cannot be read on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cause {
    UnclosedQuote,
    UnclosedBracket(char),
    MismatchedBracket(char, char),
    StrayBracket,
    CommaMissing(char),
    Tab,
    Indentation,
    StrayColon,
    DashInLine,
    ColonMissing,
    TextAfterQuote,
    Escape,
    Reserved(char),
    CommentGlued,
    CommentInText,
    TooDeep,
    Directive,
    TagOrAnchor,
    Other,
}

/// The text and what was being read when it could not be read on.
pub(super) struct Scene<'a> {
    pub(super) file: FileId,
    pub(super) text: &'a str,
    pub(super) at: usize,
    pub(super) cause: Cause,
    /// Place of the innermost bracket that is still open.
    pub(super) bracket: Option<usize>,
    /// Word that stands for nothing.
    pub(super) nothing: Option<&'static str>,
}

/// True if a dash stands by itself where reading broke off.
fn dash_alone(scene: &Scene<'_>) -> bool {
    let rest = scene.text.get(scene.at..).unwrap_or_default();
    rest.strip_prefix('-')
        .is_some_and(|rest| rest.trim_start_matches(' ').starts_with([',', ']', '}']))
}

struct SourceLine<'a> {
    start: usize,
    text: &'a str,
}

impl SourceLine<'_> {
    fn indent(&self) -> usize {
        self.text.len() - self.text.trim_start_matches([' ', '\t']).len()
    }

    fn content(&self) -> &str {
        self.text.trim()
    }

    fn content_range(&self) -> Range<usize> {
        let start = self.start + self.indent();
        start..start + self.content().len()
    }
}

fn line_at(text: &str, at: usize) -> SourceLine<'_> {
    let at = floor(text, at);
    let before = text.get(..at).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let rest = text.get(start..).unwrap_or_default();
    let text = rest.split('\n').next().unwrap_or_default();
    SourceLine {
        start,
        text: text.strip_suffix('\r').unwrap_or(text),
    }
}

/// The nearest line above that has something on it besides a comment.
fn line_above<'a>(text: &'a str, line: &SourceLine<'_>) -> Option<SourceLine<'a>> {
    let mut start = line.start;
    while start > 0 {
        let above = line_at(text, start - 1);
        if !above.content().is_empty() && !above.content().starts_with('#') {
            return Some(above);
        }
        start = above.start;
    }
    None
}

fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Says what is wrong, where, and what to do.
pub(super) fn explain(scene: &Scene<'_>) -> Finding {
    tab(scene)
        .or_else(|| open_bracket(scene))
        .or_else(|| glued_colon(scene))
        .or_else(|| colon_in_text(scene))
        .unwrap_or_else(|| by_cause(scene))
}

fn syntax(scene: &Scene<'_>, range: Range<usize>) -> Finding {
    let start = floor(scene.text, range.start);
    let end = floor(scene.text, range.end).max(start);
    Finding::new(&rules::YAML_SYNTAX, Place::bytes(scene.file, start..end))
}

fn one_character(scene: &Scene<'_>, at: usize) -> Range<usize> {
    let at = floor(scene.text, at);
    let width = scene
        .text
        .get(at..)
        .and_then(|rest| rest.chars().next())
        .filter(|c| !matches!(c, '\n' | '\r'))
        .map_or(0, char::len_utf8);
    at..at + width
}

/// Spaces that stand for one tab in the proposed correction.
const SPACES_FOR_A_TAB: &str = "  ";

fn tab(scene: &Scene<'_>) -> Option<Finding> {
    let here = line_at(scene.text, scene.at);
    let next = scene
        .text
        .get(here.start + here.text.len()..)
        .and_then(|rest| {
            let newline = rest.find('\n')?;
            Some(line_at(
                scene.text,
                here.start + here.text.len() + newline + 1,
            ))
        });
    let starts_with_tab = |line: &SourceLine<'_>| {
        line.text
            .get(..line.indent())
            .is_some_and(|lead| lead.contains('\t'))
    };
    let line = match next {
        _ if starts_with_tab(&here) => here,
        Some(next) if scene.cause == Cause::Tab && starts_with_tab(&next) => next,
        _ => return None,
    };
    let lead = line.text.get(..line.indent())?;
    let place = Place::bytes(scene.file, line.start..line.start + lead.len());
    Some(
        Finding::new(&rules::TAB_INDENTATION, place.clone())
            .message("this line is indented with a tab")
            .label("a tab")
            .note(
                "a tab is as wide as each editor likes, so nobody can say what the line belongs to",
            )
            .help("indent with spaces only; most editors can be told to put spaces for the tab key")
            .fix(place, lead.replace('\t', SPACES_FOR_A_TAB)),
    )
}

fn open_bracket(scene: &Scene<'_>) -> Option<Finding> {
    let opened = scene.bracket?;
    let later_line = line_at(scene.text, scene.at).start > line_at(scene.text, opened).start;
    let at_end = scene
        .text
        .get(floor(scene.text, scene.at)..)
        .is_none_or(|rest| rest.trim().is_empty());
    let unclosed = matches!(
        scene.cause,
        Cause::UnclosedBracket(_) | Cause::StrayColon | Cause::CommaMissing(_) | Cause::Indentation
    );
    if !unclosed || !(later_line || at_end) {
        return None;
    }
    let open = if scene.text.as_bytes().get(opened) == Some(&b'{') {
        '{'
    } else {
        '['
    };
    Some(unclosed_bracket(scene, opened, open))
}

fn unclosed_bracket(scene: &Scene<'_>, opened: usize, open: char) -> Finding {
    let close = if open == '{' { '}' } else { ']' };
    syntax(scene, opened..opened + 1)
        .message(format!("the bracket `{open}` is not closed"))
        .label("opened here")
        .help(format!(
            "add `{close}` where the list or group of fields ends"
        ))
}

/// `handles:3`: the colon needs a space after it.
fn glued_colon(scene: &Scene<'_>) -> Option<Finding> {
    if !matches!(
        scene.cause,
        Cause::StrayColon | Cause::ColonMissing | Cause::Indentation | Cause::CommaMissing(_)
    ) {
        return None;
    }
    let here = line_at(scene.text, scene.at);
    let above = line_above(scene.text, &here);
    [Some(here), above].into_iter().flatten().find_map(|line| {
        let content = line.content();
        let key = content.trim_start_matches("- ").trim_start();
        let skipped = content.len() - key.len();
        let colon = key.find(':')?;
        let name = key.get(..colon)?;
        let after = key.get(colon + 1..)?;
        let word = !name.is_empty()
            && name
                .chars()
                .all(|c| c.is_alphanumeric() || matches!(c, '_' | '-'));
        let glued = after.starts_with(|c: char| !c.is_whitespace() && c != '/');
        if !word || !glued {
            return None;
        }
        let at = line.start + line.indent() + skipped + colon;
        Some(
            syntax(scene, at..at + 1)
                .message(format!("a space is missing after `{name}:`"))
                .label("a space belongs after this colon")
                .help(help!(
                    "write {}",
                    Offer::yaml(format!("{name}: {after}")).at(Place::bytes(
                        scene.file,
                        at - name.len()..at + 1 + after.len()
                    ))
                ))
                .fix(Place::bytes(scene.file, at..at + 1), ": "),
        )
    })
}

/// `name: Kettle A: the tall one`: bare text cannot hold a colon with a space after it.
fn colon_in_text(scene: &Scene<'_>) -> Option<Finding> {
    if scene.cause != Cause::StrayColon {
        return None;
    }
    let line = line_at(scene.text, scene.at);
    let content = line.text;
    let first = content.find(": ")?;
    let value_at =
        first + 2 + content.get(first + 2..)?.len() - content.get(first + 2..)?.trim_start().len();
    let value = content.get(value_at..)?;
    let value = value.split(" #").next().unwrap_or(value).trim_end();
    let second = value
        .find(": ")
        .or_else(|| value.ends_with(':').then(|| value.len() - 1))?;
    if value.starts_with(['"', '\'', '[', '{']) {
        return None;
    }
    let start = line.start + value_at;
    let quoted = double_quoted(value);
    Some(
        syntax(scene, start + second..start + second + 1)
            .message("bare text cannot hold a colon followed by a space")
            .label("this colon")
            .help(help!(
                "put the text in quotes: {}",
                Offer::yaml(quoted.clone())
                    .at(Place::bytes(scene.file, start..start + value.len()))
            ))
            .fix(Place::bytes(scene.file, start..start + value.len()), quoted),
    )
}

/// The text in double quotes, as YAML wants it.
pub(super) fn double_quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for character in text.chars() {
        match character {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            '\r' => quoted.push_str("\\r"),
            // Such a character is an end of line to one reader, not allowed to another, and seen by nobody.
            '\u{2028}' | '\u{2029}' | '\u{feff}' => quoted.push_str(&escape(character)),
            _ if character.is_control() => quoted.push_str(&escape(character)),
            other => quoted.push(other),
        }
    }
    quoted.push('"');
    quoted
}

fn escape(character: char) -> String {
    format!("\\u{:04x}", u32::from(character))
}

fn by_cause(scene: &Scene<'_>) -> Finding {
    let at = scene.at;
    let here = line_at(scene.text, at);
    let character = one_character(scene, at);
    match scene.cause {
        Cause::UnclosedQuote => syntax(scene, character)
            .message("the quote is not closed")
            .label("opened here")
            .help("end the text with the same quote that opens it, on the same line"),
        Cause::UnclosedBracket(open) => {
            let opened = scene.bracket.unwrap_or(at);
            unclosed_bracket(scene, opened, open)
        }
        Cause::MismatchedBracket(open, close) => {
            let wanted = if open == '{' { '}' } else { ']' };
            syntax(scene, character)
                .message(format!("the bracket `{open}` is closed by `{close}`"))
                .label("opened here")
                .help(format!("close it with `{wanted}`"))
        }
        Cause::StrayBracket => syntax(scene, character)
            .message("a closing bracket stands where none was opened")
            .label("this bracket")
            .help("delete it, or add the opening bracket that is missing before it"),
        Cause::CommaMissing(open) => {
            let within = if open == '{' { "fields" } else { "entries" };
            syntax(scene, character)
                .message(format!("a comma is missing between two {within} in brackets"))
                .label("not expected here")
                .help(format!("put a comma and a space between the {within}"))
        }
        Cause::Tab => syntax(scene, character)
            .message("a tab stands where only spaces may")
            .label("a tab near here")
            .help("put spaces in its place"),
        Cause::Indentation | Cause::StrayColon => {
            let finding = syntax(scene, here.content_range())
                .message("this line does not fit the lines above it")
                .label("indented differently from the fields it belongs to")
                .help(
                    "start the line below the first letter of the field or list entry it stands \
                     beside; if it goes on with the text above, put the whole text in quotes",
                );
            match line_above(scene.text, &here) {
                Some(above) => finding
                    .related(Place::bytes(scene.file, above.content_range()), "the line above"),
                None => finding,
            }
        }
        Cause::DashInLine => syntax(scene, character)
            .message("a list entry begins with `-` on a line of its own")
            .label("not possible here")
            .help("put each entry on a line below, or the whole list in brackets; a text that begins with `-` belongs in quotes"),
        Cause::ColonMissing => syntax(scene, here.content_range())
            .message("this line has no colon, so it is neither a field nor a list entry")
            .label("a field is written `name: value`")
            .help("write the field's name, a colon and a space before the value; a list entry begins with `- `"),
        Cause::TextAfterQuote => syntax(scene, character)
            .message("text goes on after the closing quote")
            .label("after the quote")
            .help("put the whole text inside the quotes; write a quote inside double quotes as `\\\"`"),
        Cause::Escape => syntax(scene, character)
            .message("a backslash in double quotes begins a code that does not exist")
            .label("in this text")
            .help("write two backslashes for one, or use single quotes"),
        Cause::Reserved(found) => syntax(scene, character)
            .message(format!("bare text cannot begin with `{}`", found.escape_default()))
            .label("this character")
            .help("put the text in quotes"),
        Cause::CommentGlued => syntax(scene, character)
            .message("a comment needs a space before its `#`")
            .label("this `#`")
            .help("put a space before the `#`, or the text in quotes if the `#` belongs to it"),
        Cause::CommentInText => syntax(scene, character)
            .message("text goes on after a comment")
            .label("the comment")
            .help("put the comment after the whole text, or on a line of its own above it; if the `#` belongs to the text, put all of it in quotes"),
        Cause::TooDeep => Finding::new(&rules::TOO_DEEP, Place::bytes(scene.file, character))
            .message("lists and fields are nested deeper than any entry can be")
            .help("check for a bracket that is opened again and again"),
        Cause::Directive => syntax(scene, character)
            .message("a line beginning with `%` or `---` is not in its place")
            .help("delete it: a file holds one entry and needs no such line"),
        Cause::TagOrAnchor => syntax(scene, character)
            .message("`!`, `&` and `*` have a meaning of their own at the beginning of bare text")
            .label("this character")
            .help("put the text in quotes"),
        Cause::Other if dash_alone(scene) => syntax(scene, character)
            .message("a dash alone cannot stand in brackets")
            .label("read as the begin of a list entry")
            .help(match scene.nothing {
                Some(word) => help!(
                    "write {} where nothing is printed; a dash that is a text belongs in quotation marks",
                    Offer::yaml(word)
                ),
                None => "a dash that is a text belongs in quotation marks".into(),
            }),
        Cause::Other => syntax(scene, character)
            .message("the text cannot be read on from here")
            .label("here")
            .help("check the quotes, brackets, colons and indentation of this line and the one above"),
    }
}
