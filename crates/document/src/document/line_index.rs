//! Starts of the lines of a text, and the number of characters before a place.

/// Bytes after which the characters are summed up: a line may be as long as its file, and a thousand findings stand in it.
const BLOCK: usize = 4096;

/// Starts of the lines of a text, and sums of its characters.
#[derive(Clone, Debug)]
pub(super) struct LineIndex {
    starts: Vec<u32>,
    /// Characters that begin before each block of bytes.
    before_block: Vec<usize>,
}

impl LineIndex {
    pub(super) fn of(text: &str) -> Self {
        let newlines = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = newlines.filter_map(|(at, _)| u32::try_from(at + 1).ok());
        let mut before = 0;
        let blocks = text.as_bytes().chunks(BLOCK).map(|block| {
            before += begun_in(block);
            before
        });
        Self {
            starts: std::iter::once(0).chain(starts).collect(),
            before_block: std::iter::once(0).chain(blocks).collect(),
        }
    }

    /// The line that a byte stands on, counted from 1, and the byte that it begins at.
    pub(super) fn line_at(&self, offset: usize) -> (usize, usize) {
        let line = self
            .starts
            .partition_point(|start| *start as usize <= offset)
            .max(1);
        let start = self.starts.get(line - 1).map_or(0, |start| *start as usize);
        (line, start)
    }

    /// Characters of the text that begin before a byte.
    pub(super) fn characters(&self, text: &str, offset: usize) -> usize {
        let block = offset / BLOCK;
        let before = self.before_block.get(block).copied().unwrap_or_default();
        let rest = text.as_bytes().get(block * BLOCK..offset);
        before + rest.map_or(0, begun_in)
    }
}

/// Characters that begin in these bytes of UTF-8.
fn begun_in(bytes: &[u8]) -> usize {
    #[cfg(test)]
    super::wide_nodes::count_steps(bytes.len() / 64);
    bytes.iter().filter(|byte| **byte & 0xC0 != 0x80).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characters_are_counted_across_blocks() {
        let text = "°a\u{1F9EA}é\n".repeat(2000);
        let index = LineIndex::of(&text);
        for (at, _) in text.char_indices().step_by(7) {
            assert_eq!(index.characters(&text, at), text[..at].chars().count());
            let line = text[..at].matches('\n').count() + 1;
            let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
            assert_eq!(index.line_at(at), (line, start));
        }
    }
}
