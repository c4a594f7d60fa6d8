//! Slips in the layout of a text, supposed: one mark put in, taken out or moved, and what came of it can be tried.
//!
//! A parser tells where it could no longer go on, which is seldom where the slip is; and much that was not meant can be read.
//! What a person would do is to put the mark in that seems to be missing and to see whether all falls into place. Here are the
//! marks to try, near what is blamed, the likelier ones first. Whether a file reads well with one of them is for others to say.

mod bracket_runs;
mod marks;
mod near;
mod slip_line;

use std::ops::Range;

use super::Document;
use crate::finding::Finding;
use crate::place::Place;
use crate::rules;
use bracket_runs::BracketRuns;
use marks::{
    closing_brackets, colons, commas, indentation, opening_brackets, quotes, reindented, signs,
    tabs,
};
use near::{Look, near};
use slip_line::{SlipLine, lines, names_a_field};

/// Kinds of slips, the likelier to be right first where several would do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum LayoutKind {
    Tab,
    Sign,
    ClosingBracket,
    OpeningBracket,
    Quote,
    Colon,
    Comma,
    Indentation,
}

/// A slip in the layout, supposed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayoutSlip {
    kind: LayoutKind,
    /// Bytes that give way.
    bytes: Range<usize>,
    instead: String,
    /// Bytes that are shown: the slip with its neighbours.
    shown: Range<usize>,
}

/// Longest text in which slips are supposed, in bytes: a long one is tried again with each of them.
const LONGEST_TEXT: usize = 64 << 10;
/// Blanks by which a field or a row stands further in than what it belongs to.
const STEP: usize = 2;
/// Slips that are supposed at most.
const MOST_SLIPS: usize = 400;
/// The same where all can be read as YAML: each of them has to be looked at in full.
const MOST_SLIPS_READABLE: usize = 250;

/// Slips that could be behind these findings, the likelier ones first.
///
/// # Example
///
/// ```
/// use stainbook_document::place::FileId;
/// use stainbook_document::{Document, ReadOptions, layout_slips};
///
/// let text = "kettle: blue\nholds: {water: 1.5 L\nkind: tall\n";
/// let (document, findings) = Document::read(FileId(0), "a", text.as_bytes(), &ReadOptions::DEFAULT);
/// let mended: Vec<String> = layout_slips(&document, &findings).iter().map(|slip| slip.mended(text)).collect();
/// assert!(mended.contains(&text.replace(" L", " L}")));
/// ```
pub fn layout_slips(document: &Document, findings: &[Finding]) -> Vec<LayoutSlip> {
    let text = document.text();
    if LONGEST_TEXT < text.len() {
        return Vec::new();
    }
    let lines = lines(text);
    let runs = BracketRuns::of(&lines);
    let mut slips = Vec::new();
    for (index, look) in near(document, &lines, &runs, findings) {
        let Some(line) = lines.get(index) else {
            continue;
        };
        signs(line, &mut slips);
        if !line.is_content() {
            continue;
        }
        indentation(&lines, index, line, &mut slips);
        if look == Look::AtItsBeginning {
            continue;
        }
        tabs(&lines, index, line, &mut slips);
        if runs.lack_closing {
            closing_brackets(line, &mut slips);
        }
        if runs.lack_opening {
            opening_brackets(line, &mut slips);
        }
        quotes(line, &mut slips);
        colons(line, &mut slips);
        commas(line, runs.inside.contains(&index), &mut slips);
    }
    slips.sort_by_cached_key(|slip| (slip.kind, oddity(&lines, slip)));
    slips.truncate(if document.is_broken() {
        MOST_SLIPS
    } else {
        MOST_SLIPS_READABLE
    });
    slips
}

/// Slips that can hide a field or a row, or change a text, without a fault in the YAML, wherever they stand: a `#` glued to a
/// word, half a pair of quotes, and a field that is indented like the text above it and goes on with it.
///
/// ```
/// use stainbook_document::{Document, ReadOptions, hiding_slips};
/// use stainbook_document::place::FileId;
///
/// let read = |text: &str| Document::read(FileId(0), "a", text.as_bytes(), &ReadOptions::DEFAULT).0;
/// assert_eq!(hiding_slips(&read("kettle: blue # tall\n#kind: tall\n")).len(), 1);
/// assert_eq!(hiding_slips(&read("kettle: >-\n  blue\n  kind: tall\n")).len(), 1);
/// ```
pub fn hiding_slips(document: &Document) -> Vec<LayoutSlip> {
    let text = document.text();
    let mut slips = Vec::new();
    if LONGEST_TEXT < text.len() || !text.contains(['#', '>', '|', '"']) {
        return slips;
    }
    let lines = lines(text);
    for (index, line) in lines.iter().enumerate() {
        signs(line, &mut slips);
        if line.is_content() {
            quotes(line, &mut slips);
        }
        if !names_a_field(line.content()) {
            continue;
        }
        let above = lines.get(..index).unwrap_or_default().iter().rev();
        let above = above.filter(|line| line.is_content());
        let mut farther = above.skip_while(|above| line.indent() <= above.indent());
        let block = farther.next().filter(|above| {
            let text = above.text.trim_end();
            text.ends_with(['>', '|']) || text.ends_with(">-") || text.ends_with("|-")
        });
        slips.extend(block.map(|block| reindented(line, block.indent())));
    }
    slips
}

/// Of lines that could stand one under the other, the one is blamed that begins where no line of its sort does, and that
/// then would begin where others do.
fn oddity(lines: &[SlipLine<'_>], slip: &LayoutSlip) -> (bool, bool, usize, usize) {
    let own = lines.iter().find(|line| line.start == slip.bytes.start);
    let (LayoutKind::Indentation, Some(own)) = (slip.kind, own) else {
        return (false, false, 0, 0);
    };
    let width = slip.instead.len();
    let same = |line: &&SlipLine<'_>| {
        line.is_content()
            && line.indent() == width
            && line.content().starts_with('-') == own.content().starts_with('-')
    };
    let others = lines.iter().filter(same).count();
    // Two further in than what it belongs to is where nearly everything begins.
    let mut above = lines
        .iter()
        .rev()
        .filter(|line| line.start < own.start && line.is_content());
    let holder = above.find(|line| line.indent() < width);
    let usual = holder.is_none_or(|holder| holder.indent() + STEP == width);
    (
        own.indent().is_multiple_of(STEP),
        !usual,
        usize::MAX - others,
        width,
    )
}

impl LayoutSlip {
    /// The text without the slip.
    pub fn mended(&self, text: &str) -> String {
        let before = text.get(..self.bytes.start).unwrap_or_default();
        let after = text.get(self.bytes.end..).unwrap_or_default();
        format!("{before}{}{after}", self.instead)
    }

    /// True if both are of one kind, so that neither is likelier for that.
    pub fn is_like(&self, other: &Self) -> bool {
        self.kind == other.kind
    }

    /// Bytes that the slip stands at, in the text that has it.
    pub fn shown(&self) -> Range<usize> {
        self.shown.clone()
    }

    /// True if a range of the text that has the slip touches it.
    pub fn touches(&self, range: &Range<usize>) -> bool {
        range.start <= self.shown.end && self.shown.start <= range.end
    }

    /// The slip in words, with the change that would undo it.
    pub fn finding(&self, document: &Document) -> Finding {
        let text = document.text();
        let file = document.file();
        let place = Place::bytes(file, self.shown.clone());
        let rule = match self.kind {
            LayoutKind::Tab if self.starts_line(text) => &rules::TAB_INDENTATION,
            _ if document.is_broken() => &rules::YAML_SYNTAX,
            _ => &rules::LAYOUT_SLIP,
        };
        let finding = Finding::new(rule, place);
        let mark = self.instead.trim();
        let finding = match self.kind {
            LayoutKind::Tab => finding
                .message("a tab stands where only spaces may")
                .label("a tab")
                .note("a tab is as wide as each editor likes, so nobody can say what the line belongs to")
                .help("put spaces in its place; most editors can be told to put spaces for the tab key"),
            LayoutKind::Sign => finding
                .message("all after this `#` is lost: it begins a comment")
                .label("from here on nothing is read")
                .note("without the `#` the file can be read")
                .help("delete the `#`, or put the text in quotes if the `#` belongs to it"),
            LayoutKind::ClosingBracket => finding
                .message(format!("a bracket is not closed: `{mark}` is missing"))
                .label(format!("`{mark}` seems to be missing after this"))
                .help(format!("write `{mark}` here, or where the list or group of fields ends")),
            LayoutKind::OpeningBracket => finding
                .message(format!("a bracket is closed that was not opened: `{mark}` is missing"))
                .label(format!("`{mark}` seems to be missing before this"))
                .help(format!("write `{mark}` here, or where the list or group of fields begins")),
            LayoutKind::Quote => finding
                .message("a quote is missing")
                .label("quoted at one end only")
                .help("put the same quote before and after the text"),
            LayoutKind::Colon => {
                let word = text.get(self.shown.clone()).unwrap_or_default();
                finding
                    .message(format!("a colon is missing after `{word}`"))
                    .label("a field is written `name: value`")
                    .help(format!("write `{word}:` and a space before the value"))
            }
            LayoutKind::Comma => finding
                .message("a comma is missing between two fields or entries in brackets")
                .label("no comma after this")
                .help("put a comma and a space between the two"),
            LayoutKind::Indentation => finding
                .message(format!("this line begins too far to the {}", self.side()))
                .label("indented differently from the lines it belongs to")
                .help(format!(
                    "begin it with {}, below the first letter of the field or list entry it stands beside",
                    blanks(self.instead.len())
                )),
        };
        finding.fix(Place::bytes(file, self.bytes.clone()), self.instead.clone())
    }

    /// Side to which a line is off.
    fn side(&self) -> &'static str {
        if self.instead.len() < self.bytes.len() {
            "right"
        } else {
            "left"
        }
    }

    fn starts_line(&self, text: &str) -> bool {
        text.get(..self.bytes.start)
            .is_some_and(|before| before.is_empty() || before.ends_with('\n'))
    }
}

fn blanks(count: usize) -> String {
    match count {
        0 => "no space".to_owned(),
        1 => "one space".to_owned(),
        _ => format!("{count} spaces"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ReadOptions;
    use crate::place::FileId;

    const SOUND: &str = "kettle: blue\nholds: {water: 1.5 L, tea: \"2 cups\"}\nrows:\n  - [1, 2]\n  - [3, 4]\nkind: tall\n";

    fn read(text: &str) -> (Document, Vec<Finding>) {
        Document::read(FileId(0), "a", text.as_bytes(), &ReadOptions::DEFAULT)
    }

    #[test]
    fn the_slip_that_was_made_is_among_those_supposed() {
        let made = [
            ("\"2", "2"),
            ("cups\"", "cups"),
            ("L,", "L"),
            ("}", ""),
            ("holds: {", "holds: "),
            ("kind:", "kind"),
            ("  - [3, 4]", "  - [3, 4"),
            ("  - [3, 4]", "   - [3, 4]"),
            ("  - [3, 4]", "\t- [3, 4]"),
            ("kind: tall", "  kind: tall"),
        ];
        for (from, to) in made {
            let text = SOUND.replacen(from, to, 1);
            let (document, findings) = read(&text);
            let slips = layout_slips(&document, &findings);
            let right = slips.iter().find(|slip| slip.mended(&text) == SOUND);
            assert!(right.is_some(), "{from:?} for {to:?}");
        }
    }

    #[test]
    fn a_slip_is_shown_where_it_is_and_its_change_mends_it() {
        let text = SOUND.replace(" tea:", " tea");
        let (document, _) = read(&text);
        let findings = [Finding::new(
            &rules::UNKNOWN_KEY,
            Place::bytes(FileId(0), 30..33),
        )];
        let slips = layout_slips(&document, &findings);
        let slip = slips
            .iter()
            .find(|slip| slip.mended(&text) == SOUND)
            .unwrap();
        assert_eq!(&text[slip.shown()], "tea");
        let finding = slip.finding(&document);
        assert_eq!(finding.message_text(), "a colon is missing after `tea`");
        assert_eq!(finding.rule(), "layout-slip");
        assert_eq!(finding.edits().len(), 1);
    }

    #[test]
    fn long_texts_are_left_alone() {
        let text = format!("kettle: [blue\n# {}\n", "x".repeat(LONGEST_TEXT));
        let (document, findings) = read(&text);
        assert!(!findings.is_empty());
        assert!(layout_slips(&document, &findings).is_empty());
    }
}
