//! A bound on the length of a table's row, so that what is no table is not read until memory ends.

use std::io::{self, Read};

/// Bytes of the longest row; one of a survey has some hundred.
pub const LONGEST_ROW: usize = 4 << 20;

/// A reader that fails where a row goes on for longer: in a device that never ends, or behind a quotation mark that nothing
/// closes.
#[derive(Debug)]
pub struct RowBound<R> {
    inner: R,
    since: usize,
}

impl<R> RowBound<R> {
    /// The same bytes, in rows of which none is longer.
    pub fn new(inner: R) -> Self {
        Self { inner, since: 0 }
    }

    /// Says that the row before has been read to its end.
    pub fn row_begins(&mut self) {
        self.since = 0;
    }
}

impl<R: Read> Read for RowBound<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if LONGEST_ROW < self.since {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                format!(
                    "a row has more than {} MiB: a quotation mark may not be closed, or this is no table",
                    LONGEST_ROW >> 20
                ),
            ));
        }
        let length = self.inner.read(buffer)?;
        self.since += length;
        Ok(length)
    }
}
