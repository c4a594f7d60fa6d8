//! A second source of YAML events for files as they are usually written, several times quicker
//! than the general one.
//!
//! It knows fields and list entries on lines of their own, brackets, bare text on one line, and
//! quoted text without escapes. At anything else it is unsure and gives up, and the file is read
//! by the general source from the start; so it never has to report an error, and whatever it
//! accepts has to be read exactly as the general source reads it (a property test compares the
//! trees).

use std::borrow::Cow;

use super::builder::{Builder, Flow, Halt};
use super::tree::{Kind, Style};

/// Why reading ended early.
pub(super) enum Stop {
    /// Something unusual: the general source has to read the file.
    Unsure,
    /// A limit was hit; the builder knows.
    Halt,
}

impl From<Halt> for Stop {
    fn from(_: Halt) -> Self {
        Self::Halt
    }
}

type Step = Result<(), Stop>;

/// Keys longer than this are left to the general source, which limits them.
const LONGEST_KEY: usize = 256;

/// Feeds the events of `text` from `base` on to the builder.
pub(super) fn feed(text: &str, base: usize, builder: &mut Builder<'_>) -> Result<(), Stop> {
    let mut source = Quick {
        text,
        bytes: text.as_bytes(),
        at: base,
        line: base,
        indent: None,
        comments: builder.keeps_comments(),
        builder,
    };
    source.next_line()?;
    let Some(indent) = source.indent else {
        return Ok(());
    };
    source.builder.document(source.at)?;
    source.node(indent, None)?;
    if source.indent.is_some() {
        Err(Stop::Unsure)
    } else {
        Ok(())
    }
}

struct Quick<'t, 'b, 'l> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    /// Where the line begins.
    line: usize,
    /// Indentation of the line whose first letter is next; nothing at the end of the text.
    indent: Option<usize>,
    comments: bool,
    builder: &'b mut Builder<'l>,
}

/// A scalar that was scanned and not yet given on.
struct Token {
    start: usize,
    end: usize,
    style: Style,
}

const ENDS_LINE: u8 = 1;
const ENDS_FLOW: u8 = 2;
const LOOK: u8 = 4;
const UNSURE: u8 = 8;

/// What each byte means inside bare text.
static CLASSES: [u8; 256] = {
    let mut classes = [0_u8; 256];
    let mut byte = 0;
    while byte < 256 {
        #[allow(clippy::cast_possible_truncation, reason = "the loop ends at 256")]
        let class = match byte as u8 {
            b'\n' | b'\r' => ENDS_LINE,
            b',' | b'[' | b']' | b'{' | b'}' => ENDS_FLOW,
            b':' | b'#' => LOOK,
            // Tabs, other controls, and the first bytes of characters that YAML does not print or
            // that mark the order of bytes.
            0..=31 | 127 | 0xc2 | 0xef => UNSURE,
            _ => 0,
        };
        #[allow(clippy::indexing_slicing, reason = "the loop ends at 256")]
        {
            classes[byte] = class;
        }
        byte += 1;
    }
    classes
};

fn class(byte: u8) -> u8 {
    CLASSES.get(usize::from(byte)).copied().unwrap_or(UNSURE)
}

fn is_flow(byte: u8) -> bool {
    class(byte) == ENDS_FLOW
}

impl Quick<'_, '_, '_> {
    fn byte(&self, at: usize) -> Option<u8> {
        self.bytes.get(at).copied()
    }

    fn skip_spaces(&mut self) {
        while self.byte(self.at) == Some(b' ') {
            self.at += 1;
        }
    }

    /// Whether the line has nothing more but a comment, which is skipped.
    fn ends_line(&mut self) -> Result<bool, Stop> {
        let before = self.at;
        self.skip_spaces();
        match self.byte(self.at) {
            None | Some(b'\n') => Ok(true),
            Some(b'\r') if self.byte(self.at + 1) == Some(b'\n') => Ok(true),
            Some(b'#') if self.at > before || self.at == self.line => {
                self.skip_comment()?;
                Ok(true)
            }
            Some(b'\t' | b'\r') => Err(Stop::Unsure),
            Some(_) => Ok(false),
        }
    }

    fn skip_comment(&mut self) -> Step {
        let start = self.at;
        let rest = self.bytes.get(start..).unwrap_or_default();
        let length = rest
            .iter()
            .position(|byte| *byte == b'\n')
            .unwrap_or(rest.len());
        let mut comment = rest.get(..length).unwrap_or_default();
        if let [before @ .., b'\r'] = comment {
            comment = before;
        }
        if comment.contains(&b'\r') {
            return Err(Stop::Unsure);
        }
        self.at += comment.len();
        if self.comments {
            self.builder.comment(start..self.at);
        }
        Ok(())
    }

    /// Goes from the end of a line, or the start of the text, to the first letter that follows.
    fn next_line(&mut self) -> Step {
        loop {
            if !self.ends_line()? {
                // Only at the start of the text, or by a line that goes on.
                if self.at - self.line != self.leading_spaces() {
                    return Err(Stop::Unsure);
                }
                return self.starts_line();
            }
            match self.byte(self.at) {
                None => {
                    self.indent = None;
                    return Ok(());
                }
                Some(b'\r') => self.at += 2,
                Some(_) => self.at += 1,
            }
            self.line = self.at;
        }
    }

    fn leading_spaces(&self) -> usize {
        let line = self.bytes.get(self.line..self.at).unwrap_or_default();
        line.iter().take_while(|byte| **byte == b' ').count()
    }

    fn starts_line(&mut self) -> Step {
        let indent = self.at - self.line;
        if indent == 0 {
            let rest = self.bytes.get(self.at..).unwrap_or_default();
            if rest.starts_with(b"---") || rest.starts_with(b"...") || rest.starts_with(b"%") {
                return Err(Stop::Unsure);
            }
        }
        self.indent = Some(indent);
        Ok(())
    }

    /// Whether a list entry begins here.
    fn at_dash(&self) -> bool {
        self.byte(self.at) == Some(b'-')
            && matches!(self.byte(self.at + 1), None | Some(b' ' | b'\n' | b'\r'))
    }

    /// Whether a list or mapping in brackets begins here.
    fn at_bracket(&self) -> bool {
        matches!(self.byte(self.at), Some(b'[' | b'{'))
    }

    /// A node whose first letter is next, in the column `column`, under a field or list entry that
    /// begins in the column `within`.
    fn node(&mut self, column: usize, within: Option<usize>) -> Step {
        if self.at_dash() {
            return self.list(column);
        }
        if self.at_bracket() {
            self.brackets()?;
            return self.end_of_value();
        }
        if self.at_block() {
            return self.block(within);
        }
        let token = self.token(false)?;
        if self.at_colon() {
            return self.fields(column, token);
        }
        self.value(&token, within)
    }

    /// A scalar and, if it is bare, the lines further in that go on with it.
    fn value(&mut self, first: &Token, within: Option<usize>) -> Step {
        let Some(column) = within else {
            self.give(first)?;
            return self.end_of_value();
        };
        let mut end = first.end;
        let mut folded: Option<String> = None;
        loop {
            let line = self.line;
            self.end_of_value()?;
            if self.indent.is_none_or(|indent| indent <= column) {
                break;
            }
            // A comment or an empty line before: unusual.
            let between = self.bytes.get(end..self.line).unwrap_or_default();
            let next = self.byte(self.at).unwrap_or_default();
            let goes_on = first.style == Style::Plain
                && between
                    .iter()
                    .all(|byte| matches!(byte, b' ' | b'\r' | b'\n'))
                && between.iter().position(|byte| *byte == b'\n') == Some(between.len() - 1)
                && line < self.line
                && (next.is_ascii_alphanumeric() || next == b'(');
            if !goes_on {
                return Err(Stop::Unsure);
            }
            let more = self.bare(false)?;
            let text = match &mut folded {
                Some(text) => text,
                None => folded.insert(self.slice(first.start..first.end)?.to_owned()),
            };
            text.push(' ');
            text.push_str(self.text.get(more.start..more.end).ok_or(Stop::Unsure)?);
            end = more.end;
        }
        match folded {
            None => self.give(first),
            Some(text) => {
                self.builder
                    .scalar(Cow::Owned(text), Style::Plain, first.start..end)?;
                Ok(())
            }
        }
    }

    /// Whether text on lines of its own, after `|` or `>`, begins here.
    fn at_block(&self) -> bool {
        matches!(self.byte(self.at), Some(b'|' | b'>'))
    }

    /// Text on lines of its own, further in than the column `within`.
    fn block(&mut self, within: Option<usize>) -> Step {
        let Some(column) = within else {
            return Err(Stop::Unsure);
        };
        let literal = self.byte(self.at) == Some(b'|');
        self.at += 1;
        let strip = self.byte(self.at) == Some(b'-');
        if strip {
            self.at += 1;
        }
        let header = self.rest_of_line()?;
        if !header.is_empty() {
            return Err(Stop::Unsure);
        }
        let mut text = String::new();
        let mut indent = None;
        let (mut start, mut end, mut empty) = (0, 0, 0_usize);
        while self.at < self.bytes.len() {
            let line = self.at;
            let content = self.rest_of_line()?;
            let spaces = content.len() - content.trim_start_matches(' ').len();
            let blank = spaces == content.len();
            let wanted = match indent {
                Some(wanted) => wanted,
                None if blank || spaces <= column => return Err(Stop::Unsure),
                None => *indent.insert(spaces),
            };
            if blank {
                if spaces > wanted {
                    return Err(Stop::Unsure);
                }
                empty += 1;
                continue;
            }
            if spaces < wanted {
                if spaces > column {
                    return Err(Stop::Unsure);
                }
                // This line is the next field's.
                self.at = line;
                self.line = line;
                break;
            }
            let content = content.get(wanted..).ok_or(Stop::Unsure)?;
            if start == 0 {
                start = line + wanted;
            } else if literal {
                text.extend(std::iter::repeat_n('\n', empty + 1));
            } else if content.starts_with(' ') {
                return Err(Stop::Unsure);
            } else if empty == 0 {
                text.push(' ');
            } else {
                text.extend(std::iter::repeat_n('\n', empty));
            }
            text.push_str(content);
            empty = 0;
            end = line + wanted + content.trim_end_matches(' ').len();
        }
        if start == 0 {
            return Err(Stop::Unsure);
        }
        if !strip {
            text.push('\n');
        }
        let style = if literal {
            Style::Literal
        } else {
            Style::Folded
        };
        self.builder.scalar(Cow::Owned(text), style, start..end)?;
        self.next_line()
    }

    /// The rest of the line without its end; the next line is next.
    fn rest_of_line(&mut self) -> Result<&str, Stop> {
        let start = self.at;
        let rest = self.bytes.get(start..).unwrap_or_default();
        let length = rest
            .iter()
            .position(|byte| *byte == b'\n')
            .unwrap_or(rest.len());
        let mut line = rest.get(..length).unwrap_or_default();
        self.at = (start + length + 1).min(self.bytes.len());
        self.line = self.at;
        if let [before @ .., b'\r'] = line {
            line = before;
        }
        let mut bytes = line
            .iter()
            .enumerate()
            .filter(|(_, byte)| class(**byte) & (UNSURE | ENDS_LINE) != 0);
        // Of the two-byte characters that begin so, those from U+00A0 on are printed.
        let printed = |(at, byte): (usize, &u8)| {
            *byte == 0xc2 && line.get(at + 1).is_some_and(|next| *next >= 0xa0)
        };
        if !bytes.all(printed) {
            return Err(Stop::Unsure);
        }
        self.text.get(start..start + line.len()).ok_or(Stop::Unsure)
    }

    fn slice(&self, range: std::ops::Range<usize>) -> Result<&str, Stop> {
        self.text.get(range).ok_or(Stop::Unsure)
    }

    fn end_of_value(&mut self) -> Step {
        if !self.ends_line()? {
            return Err(Stop::Unsure);
        }
        self.next_line()
    }

    /// Whether a colon that ends a key is next.
    fn at_colon(&self) -> bool {
        self.byte(self.at) == Some(b':')
            && matches!(self.byte(self.at + 1), None | Some(b' ' | b'\n' | b'\r'))
    }

    fn fields(&mut self, column: usize, first: Token) -> Step {
        self.builder.open(Kind::Mapping, Flow::Lines, first.start)?;
        let mut key = first;
        loop {
            if key.end - key.start > LONGEST_KEY {
                return Err(Stop::Unsure);
            }
            self.give(&key)?;
            self.at += 1;
            if self.ends_line()? {
                self.next_line()?;
                match self.indent {
                    Some(indent) if indent > column => self.node(indent, Some(column))?,
                    Some(indent) if indent == column && self.at_dash() => self.list(column)?,
                    _ => self.absent(key.end)?,
                }
            } else if self.at_dash() {
                return Err(Stop::Unsure);
            } else if self.at_bracket() {
                self.brackets()?;
                self.end_of_value()?;
            } else if self.at_block() {
                self.block(Some(column))?;
            } else {
                let token = self.token(false)?;
                self.value(&token, Some(column))?;
            }
            match self.indent {
                Some(indent) if indent > column => return Err(Stop::Unsure),
                Some(indent) if indent == column => {
                    if self.at_dash() {
                        return Err(Stop::Unsure);
                    }
                    key = self.token(false)?;
                    if !self.at_colon() {
                        return Err(Stop::Unsure);
                    }
                }
                _ => break,
            }
        }
        self.builder.close(self.at);
        Ok(())
    }

    fn list(&mut self, column: usize) -> Step {
        self.builder.open(Kind::Sequence, Flow::Lines, self.at)?;
        loop {
            self.at += 1;
            let dash = self.at;
            if self.ends_line()? {
                let blank = self
                    .bytes
                    .get(dash..self.at)
                    .is_some_and(|rest| !rest.contains(&b'#'));
                self.next_line()?;
                match self.indent {
                    Some(indent) if indent > column => self.node(indent, Some(column))?,
                    _ if blank => self.absent(dash)?,
                    _ => return Err(Stop::Unsure),
                }
            } else {
                self.node(self.at - self.line, Some(column))?;
            }
            match self.indent {
                Some(indent) if indent > column => return Err(Stop::Unsure),
                Some(indent) if indent == column && self.at_dash() => {}
                _ => break,
            }
        }
        self.builder.close(self.at);
        Ok(())
    }

    /// A list or mapping in brackets.
    fn brackets(&mut self) -> Step {
        let mapping = self.byte(self.at) == Some(b'{');
        let (kind, closing) = if mapping {
            (Kind::Mapping, b'}')
        } else {
            (Kind::Sequence, b']')
        };
        self.builder.open(kind, Flow::Brackets, self.at)?;
        self.at += 1;
        loop {
            self.skip_flow()?;
            if self.byte(self.at) == Some(closing) {
                break;
            }
            if mapping {
                self.flow_field()?;
            } else {
                self.flow_value()?;
            }
            self.skip_flow()?;
            match self.byte(self.at) {
                Some(b',') => self.at += 1,
                Some(byte) if byte == closing => break,
                _ => return Err(Stop::Unsure),
            }
        }
        self.at += 1;
        self.builder.close(self.at);
        Ok(())
    }

    fn flow_value(&mut self) -> Step {
        if self.at_bracket() {
            return self.brackets();
        }
        let token = self.token(true)?;
        self.give(&token)
    }

    fn flow_field(&mut self) -> Step {
        let key = self.token(true)?;
        if key.end - key.start > LONGEST_KEY {
            return Err(Stop::Unsure);
        }
        self.give(&key)?;
        if self.byte(self.at) != Some(b':') {
            // A name alone has an absent value.
            self.skip_flow()?;
            return match self.byte(self.at) {
                Some(b',' | b'}') => self.absent(key.end),
                _ => Err(Stop::Unsure),
            };
        }
        if !matches!(
            self.byte(self.at + 1),
            Some(b' ' | b'\n' | b'\r' | b',' | b'}')
        ) {
            return Err(Stop::Unsure);
        }
        self.at += 1;
        self.skip_flow()?;
        match self.byte(self.at) {
            Some(b',' | b'}') => self.absent(key.end),
            _ => self.flow_value(),
        }
    }

    /// Blanks, comments and new lines inside brackets.
    fn skip_flow(&mut self) -> Step {
        loop {
            if !self.ends_line()? {
                return Ok(());
            }
            match self.byte(self.at) {
                None => return Err(Stop::Unsure),
                Some(b'\r') => self.at += 2,
                Some(_) => self.at += 1,
            }
            self.line = self.at;
            if !matches!(self.byte(self.at), Some(b' ' | b'\n' | b'\r')) {
                return Err(Stop::Unsure);
            }
        }
    }

    fn absent(&mut self, at: usize) -> Step {
        self.builder
            .scalar(Cow::Borrowed(""), Style::Plain, at..at)?;
        Ok(())
    }

    fn give(&mut self, token: &Token) -> Step {
        let inner = match token.style {
            Style::Plain => token.start..token.end,
            _ => token.start + 1..token.end - 1,
        };
        let text = self.text.get(inner).ok_or(Stop::Unsure)?;
        self.builder
            .scalar(Cow::Borrowed(text), token.style, token.start..token.end)?;
        Ok(())
    }

    /// A scalar on one line; whatever follows it is next.
    fn token(&mut self, flow: bool) -> Result<Token, Stop> {
        let start = self.at;
        match self.byte(start) {
            Some(quote @ (b'"' | b'\'')) => self.quoted(quote),
            Some(b'-') => match self.byte(start + 1) {
                Some(next) if next.is_ascii_alphanumeric() || next == b'.' => self.bare(flow),
                _ => Err(Stop::Unsure),
            },
            None
            | Some(
                b'?' | b':' | b',' | b'[' | b']' | b'{' | b'}' | b'#' | b'&' | b'*' | b'!' | b'|'
                | b'>' | b'%' | b'@' | b'`' | b'\n' | b'\r',
            ) => Err(Stop::Unsure),
            Some(_) => self.bare(flow),
        }
    }

    /// Whether a character of two bytes stands here that is printed as it is: U+00A0 to U+07FF, as in `°`, `³` and `µ`.
    fn is_letter_of_two_bytes(&self, at: usize) -> bool {
        match self.byte(at) {
            Some(0xc2) => self.byte(at + 1).is_some_and(|next| 0xa0 <= next),
            Some(lead) => (0xc3..=0xdf).contains(&lead),
            None => false,
        }
    }

    fn quoted(&mut self, quote: u8) -> Result<Token, Stop> {
        let start = self.at;
        let mut end = start + 1;
        while let Some(byte) = self.byte(end) {
            if byte == quote || byte == b'\\' || class(byte) & ENDS_LINE != 0 {
                break;
            }
            end += match class(byte) & UNSURE {
                0 => 1,
                _ if self.is_letter_of_two_bytes(end) => 2,
                _ => return Err(Stop::Unsure),
            };
        }
        if self.byte(end) != Some(quote) || self.byte(end + 1) == Some(quote) {
            return Err(Stop::Unsure);
        }
        self.at = end + 1;
        // Text that touches the closing quote is an error, which is not reported from here.
        if !matches!(
            self.byte(self.at),
            None | Some(b' ' | b'\n' | b'\r' | b':' | b',' | b']' | b'}')
        ) {
            return Err(Stop::Unsure);
        }
        let style = if quote == b'"' {
            Style::Double
        } else {
            Style::Single
        };
        Ok(Token {
            start,
            end: end + 1,
            style,
        })
    }

    fn bare(&mut self, flow: bool) -> Result<Token, Stop> {
        let start = self.at;
        let mut at = start;
        while let Some(byte) = self.byte(at) {
            match class(byte) {
                0 => at += 1,
                ENDS_LINE => break,
                ENDS_FLOW => {
                    if flow {
                        break;
                    }
                    at += 1;
                }
                LOOK => {
                    let next = self.byte(at + 1);
                    if byte == b':' {
                        if matches!(next, None | Some(b' ' | b'\n' | b'\r'))
                            || (flow && next.is_some_and(is_flow))
                        {
                            break;
                        }
                    } else if at > start && self.byte(at - 1) == Some(b' ') {
                        break;
                    }
                    at += 1;
                }
                _ if self.is_letter_of_two_bytes(at) => at += 2,
                _ => return Err(Stop::Unsure),
            }
        }
        self.at = at;
        let mut end = at;
        while end > start && self.byte(end - 1) == Some(b' ') {
            end -= 1;
        }
        if end < at && self.byte(at) == Some(b':') {
            // A blank before the colon: unusual.
            return Err(Stop::Unsure);
        }
        Ok(Token {
            start,
            end,
            style: Style::Plain,
        })
    }
}
