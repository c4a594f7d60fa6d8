//! Text on lines of its own, after `|` or `>`.

use std::borrow::Cow;

use super::{FastPath, Progress, Stop};
use crate::document::tree::Style;

impl FastPath<'_, '_, '_> {
    /// True if text on lines of its own, after `|` or `>`, begins here.
    #[inline]
    pub(super) fn at_block(&self) -> bool {
        matches!(self.byte(self.at), Some(b'|' | b'>'))
    }

    /// Text on lines of its own, further in than the column `within`.
    pub(super) fn block(&mut self, within: Option<usize>) -> Progress {
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
}
