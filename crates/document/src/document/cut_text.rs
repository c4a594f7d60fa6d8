//! Bare text that ends at a `#`, where the `#` belongs to it: `Hall #3` is `Hall` to every YAML reader.
//!
//! A comment is told from a part of the text by what stands directly after the `#`: people put a space there before a
//! remark, and none into `#3`.

use std::ops::Range;

use super::syntax::double_quoted;
use crate::finding::{Fact, Finding};
use crate::help;
use crate::offer::Offer;
use crate::place::{FileId, Place};
use crate::rules;

/// Layout that bare text stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Surroundings {
    Line,
    Brackets,
}

/// End of the text that the author meant, if bare text that ends at `end` is cut off by a `#`.
pub(super) fn meant_end(text: &str, end: usize, surroundings: Surroundings) -> Option<usize> {
    // Nearly all text is followed by a line's end, and ten thousand files come by here.
    if !matches!(text.as_bytes().get(end), Some(b' ' | b'\t')) {
        return None;
    }
    let line = text.get(end..)?.split(['\n', '\r']).next()?;
    let blanks = line.len() - line.trim_start_matches([' ', '\t']).len();
    let rest = line.get(blanks..)?;
    if !begins_a_part(rest) {
        return None;
    }
    let mut length = rest.len();
    let mut before = ' ';
    for (at, character) in rest.char_indices().skip(1) {
        let comment = character == '#'
            && matches!(before, ' ' | '\t')
            && rest.get(at..).is_some_and(|rest| !begins_a_part(rest));
        let closes = surroundings == Surroundings::Brackets && matches!(character, ',' | ']' | '}');
        if comment || closes {
            length = at;
            break;
        }
        before = character;
    }
    let meant = rest.get(..length)?.trim_end_matches([' ', '\t']);
    Some(end + blanks + meant.len())
}

/// `#3` and `#b`, but not `# a remark`, `##`, `#!` or `#` alone.
fn begins_a_part(rest: &str) -> bool {
    let mut characters = rest.chars();
    characters.next() == Some('#') && characters.next().is_some_and(char::is_alphanumeric)
}

/// The finding about text of which `read` was understood and `lost` was not; `range` holds both.
pub(super) fn finding(
    file: FileId,
    range: Range<usize>,
    (read, lost): (&str, &str),
    closing: Closing,
) -> Finding {
    let whole = format!("{read}{lost}");
    let quoted = double_quoted(&whole);
    let lost = lost.trim_start();
    let place = Place::bytes(file, range);
    let finding = Finding::new(&rules::TEXT_CUT_SHORT, place.clone())
        .message(format!("only `{read}` is read of `{whole}`"))
        .label(format!("`{lost}` is lost"))
        .note("after a space, `#` begins a comment: it is dropped with all that follows on its line, in brackets also the further fields")
        .help(help!(
            "put the whole text in quotes: {}; if it is a comment, put a space after the `#`",
            Offer::yaml(quoted.clone())
        ))
        .fact("read", Fact::text(read))
        .fact("written", Fact::text(whole.as_str()));
    if closing == Closing::Missing {
        // Something else is wrong there, and what mending this would bring to light nobody can see.
        finding
    } else if is_number_sign(read, lost) {
        finding.safe_fix(place, quoted)
    } else {
        finding.fix(place, quoted)
    }
}

/// True if `#` can only say which of several: `Hall #3`, `Gate #B`, `Tank #b2`. After a number, and before a word, it may as
/// well begin a comment without its space.
fn is_number_sign(read: &str, lost: &str) -> bool {
    let word = lost.get(1..).unwrap_or_default();
    let word = word
        .split(|c: char| !c.is_alphanumeric())
        .next()
        .unwrap_or_default();
    let designation = word.chars().count() == 1 || word.contains(|c: char| c.is_ascii_digit());
    designation && !read.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.'))
}

/// The range of what is read of a text that is cut off, and that of what is lost.
pub(super) type CutText = (Range<usize>, Range<usize>);

/// Texts that are cut off in brackets, from the start of a value to `until`, each with the end of what is read of it.
///
/// The rest of such a line is lost, closing bracket included, and the parser gives up somewhere below. Here what is lost is
/// taken as the author meant it, so that the next list entry is looked at too, and whether that closes every bracket.
pub(super) fn in_brackets(text: &str, start: usize, until: usize) -> (Vec<CutText>, Closing) {
    let bytes = text.as_bytes();
    let byte = |at: usize| bytes.get(at).copied().unwrap_or(b'\n');
    let is_blank = |at: usize| matches!(byte(at), b' ' | b'\t' | b'\n' | b'\r');
    let closes = |at: usize| matches!(byte(at), b',' | b'[' | b']' | b'{' | b'}');
    let end_of_line = |at: usize| {
        let rest = bytes.get(at..).unwrap_or_default();
        at + rest
            .iter()
            .position(|byte| *byte == b'\n')
            .unwrap_or(rest.len())
    };
    let until = until.min(bytes.len());
    let mut found = Vec::new();
    let mut depth = 0_usize;
    let mut at = start;
    while at < until {
        match byte(at) {
            b'[' | b'{' => {
                depth += 1;
                at += 1;
            }
            b']' | b'}' => {
                depth = depth.saturating_sub(1);
                at += 1;
            }
            b'#' => at = end_of_line(at),
            quote @ (b'"' | b'\'') => {
                at += 1;
                while at < until && byte(at) != quote {
                    at += if quote == b'"' && byte(at) == b'\\' {
                        2
                    } else {
                        1
                    };
                }
                at += 1;
            }
            _ if is_blank(at) || byte(at) == b',' => at += 1,
            b':' | b'-' if is_blank(at + 1) => at += 1,
            _ => {
                let start = at;
                // A colon without a name before it, as in `{:}`, is passed over.
                at += 1;
                while at < until
                    && !matches!(byte(at), b'\n' | b'\r')
                    && !(depth > 0 && closes(at))
                    && !(byte(at) == b':' && (is_blank(at + 1) || (depth > 0 && closes(at + 1))))
                    && !(byte(at) == b'#' && is_blank(at.saturating_sub(1)))
                {
                    at += 1;
                }
                let read = text.get(start..at).unwrap_or_default();
                let end = start + read.trim_end_matches([' ', '\t']).len();
                if depth > 0
                    && let Some(meant) = meant_end(text, end, Surroundings::Brackets)
                {
                    found.push((start..end, end..meant));
                    at = meant;
                }
            }
        }
    }
    let closing = if depth == 0 {
        Closing::WithTheText
    } else {
        Closing::Missing
    };
    (found, closing)
}

/// The brackets about texts that are cut off, once these are taken as they were meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Closing {
    /// All are closed: nothing else was wrong.
    WithTheText,
    /// One is not.
    Missing,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_space_after_the_sign_makes_a_comment() {
        use Surroundings::{Brackets, Line};
        let cases: &[(&str, Surroundings, Option<&str>)] = &[
            ("Hall #3", Line, Some("Hall #3")),
            ("Hall   #3  ", Line, Some("Hall   #3")),
            ("Hall #3, by the door", Line, Some("Hall #3, by the door")),
            ("Hall #3 # by the door", Line, Some("Hall #3")),
            ("Hall #3 and #4", Line, Some("Hall #3 and #4")),
            ("Hall #süd", Line, Some("Hall #süd")),
            ("Hall\t#3\r\nnext", Line, Some("Hall\t#3")),
            ("Hall #3, level: x}", Brackets, Some("Hall #3")),
            ("Hall #3]", Brackets, Some("Hall #3")),
            ("Hall # a comment", Line, None),
            ("Hall #", Line, None),
            ("Hall ## 3", Line, None),
            ("Hall #!3", Line, None),
            ("Hall #-3", Line, None),
            ("Hall #(3)", Line, None),
            ("Hall#3", Line, None),
            ("Hall", Line, None),
            ("Hall   ", Line, None),
        ];
        for (text, surroundings, expected) in cases {
            let meant = meant_end(text, 4, *surroundings).and_then(|end| text.get(..end));
            assert_eq!(meant, *expected, "{text:?}");
        }
    }

    #[test]
    fn only_a_designation_is_quoted_unasked() {
        for (read, lost) in [("Hall", "#3"), ("Gate", "#B"), ("Tank", "#b2 left")] {
            assert!(is_number_sign(read, lost), "{read} {lost}");
        }
        for (read, lost) in [("Hall", "#old"), ("100 mL", "#2"), ("-5 °C", "#2")] {
            assert!(!is_number_sign(read, lost), "{read} {lost}");
        }
    }
}
