//! Line ends brought to one form while a table streams by, so that a bad row can be named by its line: `\r\n` and a lone
//! `\r` become `\n`, and the last line ends like the others.

use std::io::{self, Read};

/// A reader whose lines end with `\n`.
pub(crate) struct LineEnds<R> {
    inner: R,
    after_return: bool,
    ended: bool,
    last: u8,
}

impl<R: Read> LineEnds<R> {
    pub(crate) fn new(inner: R) -> Self {
        Self {
            inner,
            after_return: false,
            ended: false,
            last: b'\n',
        }
    }

    pub(crate) fn inner(&mut self) -> &mut R {
        &mut self.inner
    }
}

impl<R: Read> Read for LineEnds<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        loop {
            if self.ended || buffer.is_empty() {
                return Ok(0);
            }
            let length = self.inner.read(buffer)?;
            if length == 0 {
                self.ended = true;
                return Ok(match buffer.first_mut() {
                    Some(first) if self.last != b'\n' => {
                        *first = b'\n';
                        1
                    }
                    _ => 0,
                });
            }
            let mut kept = 0;
            for from in 0..length {
                let byte = buffer.get(from).copied().unwrap_or_default();
                let second_half = byte == b'\n' && self.after_return;
                self.after_return = byte == b'\r';
                if second_half {
                    continue;
                }
                if let Some(slot) = buffer.get_mut(kept) {
                    *slot = if byte == b'\r' { b'\n' } else { byte };
                    self.last = *slot;
                    kept += 1;
                }
            }
            // Nothing kept is not the end: a chunk may have held the second half of a line end only.
            if kept > 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hands over one byte at a time.
    struct Drops<'t>(&'t [u8]);

    impl Read for Drops<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let Some((first, rest)) = self.0.split_first() else {
                return Ok(0);
            };
            self.0 = rest;
            buffer[0] = *first;
            Ok(1)
        }
    }

    #[test]
    fn all_kinds_of_line_ends() {
        for (text, expected) in [
            ("", ""),
            ("a", "a\n"),
            ("a\r\nb\r\n", "a\nb\n"),
            ("a\rb", "a\nb\n"),
            ("\r\n\r\na\n", "\n\na\n"),
        ] {
            let mut whole = String::new();
            LineEnds::new(text.as_bytes())
                .read_to_string(&mut whole)
                .unwrap();
            let mut drops = String::new();
            LineEnds::new(Drops(text.as_bytes()))
                .read_to_string(&mut drops)
                .unwrap();
            assert_eq!(
                (whole.as_str(), drops.as_str()),
                (expected, expected),
                "{text:?}"
            );
        }
    }
}
