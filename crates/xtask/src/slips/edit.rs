//! Other text at some bytes of a sheet.

use std::ops::Range;

/// These bytes become this text.
#[derive(Clone, Debug)]
pub(super) struct ByteEdit {
    pub(super) range: Range<usize>,
    pub(super) to: String,
}

impl ByteEdit {
    pub(super) fn new(range: Range<usize>, to: impl Into<String>) -> Self {
        Self {
            range,
            to: to.into(),
        }
    }
}

/// The text with the edits made, the rest as it is.
pub(super) fn apply(text: &str, edits: &[ByteEdit]) -> String {
    let mut in_order: Vec<&ByteEdit> = edits.iter().collect();
    in_order.sort_by_key(|edit| edit.range.start);
    let mut result = String::with_capacity(text.len() + 64);
    let mut at = 0;
    for edit in in_order {
        result.push_str(text.get(at..edit.range.start).unwrap_or_default());
        result.push_str(&edit.to);
        at = edit.range.end;
    }
    result.push_str(text.get(at..).unwrap_or_default());
    result
}
