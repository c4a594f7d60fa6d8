//! Lines: where one ends, what of it is blank or a comment, and how far the next one is indented.

use super::bytes::{ENDS_LINE, UNSURE, class};
use super::{FastPath, Progress, Stop};

impl<'t> FastPath<'t, '_, '_> {
    #[inline]
    pub(super) fn skip_spaces(&mut self) {
        while self.byte(self.at) == Some(b' ') {
            self.at += 1;
        }
    }

    /// True if the line has nothing more but a comment, which is skipped.
    pub(super) fn ends_line(&mut self) -> Result<bool, Stop> {
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

    /// Rest of the line, up to the line feed.
    #[inline]
    fn up_to_newline(&self) -> &'t [u8] {
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        let length = rest
            .iter()
            .position(|byte| *byte == b'\n')
            .unwrap_or(rest.len());
        rest.get(..length).unwrap_or_default()
    }

    pub(super) fn skip_comment(&mut self) -> Progress {
        let comment = without_return(self.up_to_newline());
        let unusual = |(at, byte): (usize, &u8)| match byte {
            b'\t' => false,
            0..0x20 | 0x7f => true,
            // U+0080 to U+009F, which are not printed.
            0xc2 => comment.get(at + 1).is_some_and(|next| *next < 0xa0),
            // U+FFFE and U+FFFF, which are no characters.
            0xef => matches!(comment.get(at + 1..at + 3), Some([0xbf, 0xbe | 0xbf])),
            _ => false,
        };
        if comment.iter().enumerate().any(unusual) {
            return Err(Stop::Unsure);
        }
        self.at += comment.len();
        Ok(())
    }

    /// Goes from the end of a line, or the start of the text, to the first letter that follows.
    pub(super) fn next_line(&mut self) -> Progress {
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

    pub(super) fn leading_spaces(&self) -> usize {
        let line = self.bytes.get(self.line..self.at).unwrap_or_default();
        line.iter().take_while(|byte| **byte == b' ').count()
    }

    pub(super) fn starts_line(&mut self) -> Progress {
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

    /// The rest of the line without its end; the next line is next.
    pub(super) fn rest_of_line(&mut self) -> Result<&str, Stop> {
        let start = self.at;
        let line = self.up_to_newline();
        self.at = (start + line.len() + 1).min(self.bytes.len());
        self.line = self.at;
        let line = without_return(line);
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

    #[inline]
    pub(super) fn end_of_value(&mut self) -> Progress {
        if !self.ends_line()? {
            return Err(Stop::Unsure);
        }
        self.next_line()
    }
}

/// The line without the carriage return that may belong to its end.
fn without_return(line: &[u8]) -> &[u8] {
    line.strip_suffix(b"\r").unwrap_or(line)
}
