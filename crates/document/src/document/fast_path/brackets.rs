//! Lists and mappings in brackets.

use super::{FastPath, LONGEST_KEY, Progress, Stop};
use crate::document::builder::Flow;
use crate::document::tree::NodeKind;

impl FastPath<'_, '_, '_> {
    /// True if a list or mapping in brackets begins here.
    #[inline]
    pub(super) fn at_bracket(&self) -> bool {
        matches!(self.byte(self.at), Some(b'[' | b'{'))
    }

    /// A list or mapping in brackets.
    pub(super) fn brackets(&mut self) -> Progress {
        let mapping = self.byte(self.at) == Some(b'{');
        let (kind, closing) = if mapping {
            (NodeKind::Mapping, b'}')
        } else {
            (NodeKind::Sequence, b']')
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

    pub(super) fn flow_value(&mut self) -> Progress {
        if self.at_bracket() {
            return self.brackets();
        }
        let token = self.token(true)?;
        self.give(&token)
    }

    pub(super) fn flow_field(&mut self) -> Progress {
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
    pub(super) fn skip_flow(&mut self) -> Progress {
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
}
