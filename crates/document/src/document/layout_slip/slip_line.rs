//! Lines of a text that may not be YAML, taken one at a time.

/// A line with where it stands.
pub(super) struct SlipLine<'a> {
    pub(super) start: usize,
    pub(super) text: &'a str,
}

impl SlipLine<'_> {
    pub(super) fn indent(&self) -> usize {
        self.text.len() - self.content().len()
    }

    pub(super) fn content(&self) -> &str {
        self.text.trim_start_matches([' ', '\t'])
    }

    pub(super) fn is_content(&self) -> bool {
        !self.content().is_empty() && !self.content().starts_with('#')
    }

    pub(super) fn end(&self) -> usize {
        self.start + self.text.trim_end().len()
    }

    /// Each character outside of what stands in quotes and of a comment, with its place, that before it and that after it.
    /// Of quotes that are not closed in this line the text counts as outside.
    pub(super) fn characters(&self) -> Vec<(usize, char, char, char)> {
        let mut found = Vec::new();
        let mut skip_to = 0;
        let mut before = ' ';
        for (at, character) in self.text.char_indices() {
            if at < skip_to {
                if at + character.len_utf8() == skip_to {
                    let rest = self.text.get(skip_to..).unwrap_or_default();
                    let next = rest.chars().next().unwrap_or('\n');
                    found.push((self.start + at, character, before, next));
                }
                before = character;
                continue;
            }
            if character == '#' && matches!(before, ' ' | '\t') {
                break;
            }
            let rest = self
                .text
                .get(at + character.len_utf8()..)
                .unwrap_or_default();
            if matches!(character, '"' | '\'')
                && !before.is_alphanumeric()
                && let Some(end) = rest.find(character)
            {
                skip_to = at + 1 + end + 1;
            }
            let next = rest.chars().next().unwrap_or('\n');
            found.push((self.start + at, character, before, next));
            before = character;
        }
        found
    }
}

pub(super) fn lines(text: &str) -> Vec<SlipLine<'_>> {
    let mut start = 0;
    text.split_inclusive('\n')
        .map(|line| {
            let from = start;
            start += line.len();
            SlipLine {
                start: from,
                text: line.trim_end_matches(['\n', '\r']),
            }
        })
        .collect()
}

/// `#3` and `#b`, after a space or at the beginning.
pub(super) fn is_glued(text: &str, at: usize) -> bool {
    let after = text.get(at + 1..).and_then(|rest| rest.chars().next());
    after.is_some_and(|c| !matches!(c, ' ' | '\t' | '#' | '!'))
}

/// `name: …`
pub(super) fn names_a_field(rest: &str) -> bool {
    let word = rest
        .bytes()
        .take_while(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'_'))
        .count();
    0 < word && rest.get(word..).is_some_and(|rest| rest.starts_with(':'))
}
