//! Faults of a number as written.

use std::fmt;
use std::ops::Range;

use crate::decimal::{is_group_separator, scan};

/// A text that is no number, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecimalError {
    pub(crate) kind: DecimalErrorKind,
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// Kind of fault that makes a text no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum DecimalErrorKind {
    /// No digit stands where the number should.
    NoNumber,
    /// A comma where the decimal point belongs.
    DecimalComma,
    /// Digits in groups (`1 000`, `1'000`, `1,000,000`).
    ThousandsSeparator,
    /// One comma before exactly three digits: a decimal comma to some, a thousands separator to others.
    CommaOrThousands,
    /// A zero before the first digit, as in `025`.
    LeadingZero,
    /// A letter that looks like a digit stands in the number: `O.5`, `l0`.
    LetterForDigit,
    /// Not a number, infinite, or too large.
    NotFinite,
    /// Not zero, and closer to it than the smallest number that keeps its digits.
    TooSmall,
    /// Something stands after the number.
    Trailing,
}

impl DecimalError {
    /// Kind of fault.
    pub const fn kind(&self) -> DecimalErrorKind {
        self.kind
    }

    /// The text as it was given.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The bytes of the text that are wrong.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// The part of the text that is wrong.
    pub fn offending(&self) -> &str {
        self.text.get(self.span.clone()).unwrap_or_default()
    }

    /// The whole text as it should be written, where only one thing can be meant.
    pub fn suggestion(&self) -> Option<String> {
        let offending = self.offending();
        let better = match self.kind {
            DecimalErrorKind::DecimalComma => offending.replace(',', "."),
            DecimalErrorKind::LetterForDigit => with_digits(offending),
            DecimalErrorKind::ThousandsSeparator => {
                let mut whole: String = offending
                    .chars()
                    .filter(|c| !is_group_separator(*c))
                    .collect();
                if offending.contains('.') && offending.contains(',') {
                    // `1.234,5` or `1,234.5`: the separator that comes last is the decimal one.
                    let last = offending.rfind([',', '.']);
                    whole = offending
                        .char_indices()
                        .filter_map(|(at, c)| match c {
                            ',' | '.' => (Some(at) == last).then_some('.'),
                            c if is_group_separator(c) => None,
                            c => Some(c),
                        })
                        .collect();
                }
                whole
            }
            _ => return None,
        };
        let before = self.text.get(..self.span.start)?;
        let after = self.text.get(self.span.end..)?;
        let text = format!("{before}{better}{after}");
        // Never suggest what would be refused in its turn.
        scan(&text).is_ok().then_some(text)
    }
}

impl fmt::Display for DecimalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let offending = self.offending();
        match self.kind {
            DecimalErrorKind::NoNumber if self.text.trim().is_empty() => {
                f.write_str("a number is missing")
            }
            DecimalErrorKind::NoNumber => {
                write!(f, "`{}` does not start with a number", self.text.trim())
            }
            DecimalErrorKind::DecimalComma => {
                write!(
                    f,
                    "`{offending}` has a decimal comma, write `{}`",
                    offending.replace(',', ".")
                )
            }
            DecimalErrorKind::LetterForDigit => write!(
                f,
                "`{offending}` has a letter in the place of a digit, write `{}`",
                with_digits(offending)
            ),
            DecimalErrorKind::ThousandsSeparator => {
                write!(
                    f,
                    "`{offending}` has its digits in groups, write them without a separator"
                )
            }
            DecimalErrorKind::CommaOrThousands => write!(
                f,
                "`{offending}` can be read in two ways, write `{}` or `{}`",
                offending.replace(',', "."),
                offending.replace(',', "")
            ),
            DecimalErrorKind::LeadingZero => write!(
                f,
                "`{offending}` starts with a zero, as if a decimal point were lost, write the number without it or with \
                 its point"
            ),
            DecimalErrorKind::TooSmall => write!(
                f,
                "`{offending}` is too small to be kept as a number: write 0 if nothing is meant"
            ),
            DecimalErrorKind::NotFinite => write!(f, "`{offending}` is not a finite number"),
            DecimalErrorKind::Trailing => write!(
                f,
                "`{offending}` stands after the number, where nothing should"
            ),
        }
    }
}

impl std::error::Error for DecimalError {}

/// The digit that a letter is mistyped or misread for.
pub(crate) fn digit_for(letter: char) -> Option<char> {
    match letter {
        'O' | 'o' | 'О' | 'о' => Some('0'),
        'l' | 'I' | '|' => Some('1'),
        _ => None,
    }
}

fn with_digits(text: &str) -> String {
    text.chars().map(|c| digit_for(c).unwrap_or(c)).collect()
}
