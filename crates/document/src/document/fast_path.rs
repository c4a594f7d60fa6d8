//! A second source of YAML events for files as they are usually written, several times quicker
//! than the general one.
//!
//! It knows fields and list entries on lines of their own, brackets, bare text on one line, and
//! quoted text without escapes. At anything else it is unsure and gives up, and the file is read
//! by the general source from the start; so it never has to report an error, and whatever it
//! accepts has to be read exactly as the general source reads it (a property test compares the
//! trees).

use super::builder::{Builder, Flow, Halt};
use super::tree::NodeKind;

mod blocks;
mod brackets;
mod bytes;
mod lines;
mod scalars;

use scalars::Token;

/// Reason for an early end of reading.
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

type Progress = Result<(), Stop>;

/// Keys longer than this are left to the general source, which limits them.
const LONGEST_KEY: usize = 256;

/// Feeds the events of `text` from `base` on to the builder.
pub(super) fn feed(text: &str, base: usize, builder: &mut Builder<'_>) -> Result<(), Stop> {
    let mut source = FastPath {
        text,
        bytes: text.as_bytes(),
        at: base,
        line: base,
        indent: None,
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

struct FastPath<'t, 'b, 'l> {
    text: &'t str,
    bytes: &'t [u8],
    at: usize,
    /// Start of the line.
    line: usize,
    /// Indentation of the line whose first letter is next; nothing at the end of the text.
    indent: Option<usize>,
    builder: &'b mut Builder<'l>,
}

impl FastPath<'_, '_, '_> {
    #[inline]
    fn byte(&self, at: usize) -> Option<u8> {
        self.bytes.get(at).copied()
    }

    /// True if a list entry begins here.
    fn at_dash(&self) -> bool {
        self.byte(self.at) == Some(b'-')
            && matches!(self.byte(self.at + 1), None | Some(b' ' | b'\n' | b'\r'))
    }

    /// A node whose first letter is next, in the column `column`, under a field or list entry that
    /// begins in the column `within`.
    fn node(&mut self, column: usize, within: Option<usize>) -> Progress {
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

    fn slice(&self, range: std::ops::Range<usize>) -> Result<&str, Stop> {
        self.text.get(range).ok_or(Stop::Unsure)
    }

    /// True if a colon that ends a key is next.
    fn at_colon(&self) -> bool {
        self.byte(self.at) == Some(b':')
            && matches!(self.byte(self.at + 1), None | Some(b' ' | b'\n' | b'\r'))
    }

    fn fields(&mut self, column: usize, first: Token) -> Progress {
        self.builder
            .open(NodeKind::Mapping, Flow::Lines, first.start)?;
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

    fn list(&mut self, column: usize) -> Progress {
        self.builder
            .open(NodeKind::Sequence, Flow::Lines, self.at)?;
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
}
