//! Scalars: bare text, which may go on on lines further in, and text in quotation marks without escapes.

use std::borrow::Cow;

use super::bytes::{ENDS_FLOW, ENDS_LINE, LOOK, UNSURE, class, is_flow};
use super::{FastPath, Progress, Stop};
use crate::document::tree::Style;

/// A scalar that was scanned and not yet given on.
pub(super) struct Token {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) style: Style,
}

impl FastPath<'_, '_, '_> {
    /// A scalar and, if it is bare, the lines further in that go on with it.
    pub(super) fn value(&mut self, first: &Token, within: Option<usize>) -> Progress {
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

    #[inline]
    pub(super) fn give(&mut self, token: &Token) -> Progress {
        let inner = match token.style {
            Style::Plain => token.start..token.end,
            _ => token.start + 1..token.end - 1,
        };
        let text = self.text.get(inner).ok_or(Stop::Unsure)?;
        self.builder
            .scalar(Cow::Borrowed(text), token.style, token.start..token.end)?;
        Ok(())
    }

    #[inline]
    pub(super) fn absent(&mut self, at: usize) -> Progress {
        self.builder
            .scalar(Cow::Borrowed(""), Style::Plain, at..at)?;
        Ok(())
    }

    /// A scalar on one line; whatever follows it is next.
    pub(super) fn token(&mut self, flow: bool) -> Result<Token, Stop> {
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

    /// True if a character of two bytes stands here that is printed as it is: U+00A0 to U+07FF, as in `°`, `³` and `µ`.
    #[inline]
    pub(super) fn is_letter_of_two_bytes(&self, at: usize) -> bool {
        match self.byte(at) {
            Some(0xc2) => self.byte(at + 1).is_some_and(|next| 0xa0 <= next),
            Some(lead) => (0xc3..=0xdf).contains(&lead),
            None => false,
        }
    }

    pub(super) fn quoted(&mut self, quote: u8) -> Result<Token, Stop> {
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

    pub(super) fn bare(&mut self, flow: bool) -> Result<Token, Stop> {
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
