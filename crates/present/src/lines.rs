//! Lines of plain text: wrapping, columns, colour.

use std::borrow::Cow;

/// Colour of text for a terminal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Colour {
    /// None: files, pipes, `NO_COLOR`.
    #[default]
    Plain,
    /// The usual terminal colours.
    Terminal,
}

impl Colour {
    /// The text, stood out where there is colour.
    pub fn bold(self, text: &str) -> String {
        self.paint(text, "1")
    }

    /// The text in the colour of a warning.
    pub fn amber(self, text: &str) -> String {
        self.paint(text, "33")
    }

    /// The text in the colour of an error.
    pub fn red(self, text: &str) -> String {
        self.paint(text, "31;1")
    }

    /// The text in the colour of what is well.
    pub fn green(self, text: &str) -> String {
        self.paint(text, "32")
    }

    fn paint(self, text: &str, code: &str) -> String {
        let text = printable(text);
        match self {
            Self::Plain => text.into_owned(),
            Self::Terminal => format!("\u{1b}[{code}m{text}\u{1b}[0m"),
        }
    }
}

/// True of a character that steers a terminal, turns the direction of writing or begins a new line: control characters of
/// both sets (C0 with DEL, and C1, in which U+009B begins what ESC [ does), the marks and overrides of Unicode's bidirectional
/// algorithm (UAX 9), and its line and paragraph separators.
pub fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The text without characters that would steer a terminal, turn the direction of writing or begin a new line: what stands
/// in a file must not be able to make a result look like another.
pub fn printable(text: &str) -> Cow<'_, str> {
    without(text, steers)
}

/// The same for what is several lines: they are kept.
pub fn printable_lines(text: &str) -> Cow<'_, str> {
    without(text, |c| c != '\n' && steers(c))
}

fn without(text: &str, unwanted: impl Fn(char) -> bool) -> Cow<'_, str> {
    if text.contains(&unwanted) {
        Cow::Owned(text.replace(&unwanted, "\u{fffd}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// Cuts a text into lines of at most `width` characters, between words; a longer word has a line of its own. A number
/// stays with the unit behind it.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut length = 0;
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let mut piece = printable(word).into_owned();
        // `101.3 kPa` cut in two is read as two things.
        let number = word
            .trim_start_matches(['(', '`', '−', '-', '±', '"'])
            .starts_with(|c: char| c.is_ascii_digit())
            && word.ends_with(|c: char| c.is_ascii_digit());
        if number
            && let Some(unit) = words
                .next_if(|next| next.starts_with(|c: char| c.is_alphabetic() || "°%µ".contains(c)))
        {
            piece.push(' ');
            piece.push_str(&printable(unit));
        }
        let wide = piece.chars().count();
        if !line.is_empty() && width < length + 1 + wide {
            lines.push(std::mem::take(&mut line));
            length = 0;
        }
        if !line.is_empty() {
            line.push(' ');
            length += 1;
        }
        line.push_str(&piece);
        length += wide;
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Appends a text wrapped behind a head: the head on the first line, blanks of its width on the others.
pub fn push_hanging(out: &mut String, head: &str, text: &str, width: usize) {
    let indent = head.chars().count();
    let mut lines = wrap(text, width.saturating_sub(indent).max(20)).into_iter();
    out.push_str(head);
    out.push_str(lines.next().unwrap_or_default().as_str());
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
    for line in lines {
        out.push_str(&" ".repeat(indent));
        out.push_str(&line);
        out.push('\n');
    }
}

/// Rows as columns of equal width, two blanks apart; columns of numbers stand right.
pub fn columns(rows: &[Vec<String>]) -> Vec<String> {
    let clean = |row: &Vec<String>| {
        row.iter()
            .map(|cell| printable(cell).into_owned())
            .collect()
    };
    let rows: Vec<Vec<String>> = rows.iter().map(clean).collect();
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let column = |index: usize| rows.iter().filter_map(move |row| row.get(index));
    let shape: Vec<(usize, bool)> = (0..count)
        .map(|index| {
            let width = column(index)
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0);
            let below_head = column(index).skip(1).filter(|cell| !cell.is_empty());
            let numbers = below_head.clone().count() > 0
                && below_head.clone().all(|cell| starts_as_number(cell));
            (width, numbers)
        })
        .collect();
    rows.iter()
        .map(|row| {
            let mut line = String::new();
            for (cell, (width, numbers)) in row.iter().zip(&shape) {
                let blanks = " ".repeat(width - cell.chars().count());
                if !line.is_empty() {
                    line.push_str("  ");
                }
                if *numbers {
                    line.push_str(&blanks);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&blanks);
                }
            }
            line.trim_end().to_owned()
        })
        .collect()
}

fn starts_as_number(cell: &str) -> bool {
    cell.trim_start_matches(['-', '−', '×'])
        .trim_start()
        .starts_with(|c: char| c.is_ascii_digit())
}

/// The words for what is stated; nothing for what is not.
#[cfg(feature = "text")]
pub(crate) fn if_stated<T>(value: Option<&T>, words: impl FnOnce(&T) -> String) -> String {
    value.map(words).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_kept_whole_and_numbers_with_their_unit() {
        assert_eq!(
            wrap("the pressure is 101.3 kPa at the quay", 22),
            ["the pressure is", "101.3 kPa at the quay"]
        );
        assert_eq!(wrap("incomprehensibilities", 5), ["incomprehensibilities"]);
        assert!(wrap("  ", 10).is_empty());
    }

    #[test]
    fn nothing_in_a_file_steers_the_terminal() {
        assert_eq!(
            printable("a\u{1b}[31mb\nc\u{202e}"),
            "a\u{fffd}[31mb\u{fffd}c\u{fffd}"
        );
        assert_eq!(Colour::Plain.bold("a\rb"), "a\u{fffd}b");
        assert_eq!(wrap("a\u{7}b", 20), ["a\u{fffd}b"]);
        // A unit stays with its number, and is no less from a file.
        assert_eq!(
            wrap("rinse 2 x\u{1b}[2K\u{9b}1A", 40),
            ["rinse 2 x\u{fffd}[2K\u{fffd}1A"]
        );
        assert_eq!(
            printable_lines("a\nb\u{85}\u{200f}"),
            "a\nb\u{fffd}\u{fffd}"
        );
    }

    #[test]
    fn hanging() {
        let mut out = String::new();
        push_hanging(&mut out, "  note  ", "one two three four five six", 20);
        assert_eq!(out, "  note  one two three four\n        five six\n");
    }

    #[test]
    fn numbers_stand_right() {
        let rows = [["strokes", "from"], ["1", "13"], ["10", "0.7"]];
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|r| r.iter().map(|c| (*c).to_owned()).collect())
            .collect();
        assert_eq!(
            columns(&rows),
            ["strokes  from", "      1    13", "     10   0.7"]
        );
    }
}
