//! Brackets that are opened in one line and closed in another.

use std::collections::BTreeSet;

use super::slip_line::SlipLine;

/// Brackets over several lines, told apart by lines that cannot go on in brackets.
pub(super) struct BracketRuns {
    /// More are opened than closed somewhere.
    pub(super) lack_closing: bool,
    /// More are closed than opened somewhere.
    pub(super) lack_opening: bool,
    /// Numbers of lines in which brackets are opened and not closed before the next field or row begins, and those up to it.
    pub(super) open: Vec<usize>,
    /// Numbers of lines that begin in brackets.
    pub(super) inside: BTreeSet<usize>,
}

impl BracketRuns {
    pub(super) fn of(lines: &[SlipLine<'_>]) -> Self {
        let mut open = Vec::new();
        let mut inside = BTreeSet::new();
        let (mut lack_closing, mut lack_opening) = (false, false);
        let mut depth = 0_i32;
        let mut curly = 0_i32;
        let mut began = (0, 0);
        for (index, line) in lines.iter().enumerate() {
            if !line.is_content() {
                continue;
            }
            let dash = line.content().starts_with("- ");
            if 0 < depth && (dash || line.indent() <= began.1) {
                open.extend(began.0..index);
            }
            if depth != 0 && (dash || line.indent() <= began.1) {
                (lack_closing, lack_opening) =
                    (lack_closing || 0 < depth, lack_opening || depth < 0);
                (depth, curly) = (0, 0);
            }
            if 0 < depth {
                inside.insert(index);
            } else {
                began = (index, line.indent());
            }
            for (_, character, _, _) in line.characters() {
                match character {
                    '{' => (depth, curly) = (depth + 1, curly + 1),
                    '}' => (depth, curly) = (depth - 1, curly - 1),
                    '[' => depth += 1,
                    ']' => depth -= 1,
                    _ => {}
                }
            }
            // One of the two kinds is closed by the other.
            if curly < 0 || depth < curly {
                (lack_closing, lack_opening) = (true, true);
            }
            if depth < 0 {
                lack_opening = true;
                open.push(index);
                (depth, curly) = (0, 0);
            }
        }
        if 0 < depth {
            open.extend(began.0..lines.len());
            lack_closing = true;
        }
        Self {
            lack_closing,
            lack_opening,
            open,
            inside,
        }
    }
}
