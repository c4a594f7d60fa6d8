//! Classes of bytes for the fast path.

pub(super) const ENDS_LINE: u8 = 1;
pub(super) const ENDS_FLOW: u8 = 2;
pub(super) const LOOK: u8 = 4;
pub(super) const UNSURE: u8 = 8;

/// Class of each byte inside bare text.
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

#[inline]
pub(super) fn class(byte: u8) -> u8 {
    CLASSES.get(usize::from(byte)).copied().unwrap_or(UNSURE)
}

#[inline]
pub(super) fn is_flow(byte: u8) -> bool {
    class(byte) == ENDS_FLOW
}
