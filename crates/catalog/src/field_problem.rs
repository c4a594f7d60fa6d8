//! What is wrong with the text of one field.

use std::fmt;
use std::ops::Range;

use stainbook_core::{DecimalError, DecimalErrorKind, WrittenError, WrittenErrorKind};

/// What is wrong with the text of one field, where in the text, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldProblem {
    /// The rule it is reported under.
    pub rule: &'static str,
    /// What is wrong, lower case, without a full stop.
    pub message: String,
    /// What to do.
    pub help: String,
    /// The text to write instead, where it is certain.
    pub suggestion: Option<String>,
    /// The part of the text that is wrong, in bytes.
    pub span: Range<usize>,
}

impl FieldProblem {
    /// A quantity or a range of it that cannot be read.
    pub(crate) fn from_written(error: &WrittenError, text: &str) -> Self {
        let rule = match error.kind() {
            WrittenErrorKind::Number(number, _) => return Self::from_decimal_in(number, error, text),
            WrittenErrorKind::NoUnit { .. } => "unit-missing",
            WrittenErrorKind::Unit(_) if error.is_wrong_dimension() => "unit-of-another-kind",
            WrittenErrorKind::Unit(_) => "unit-unknown",
            WrittenErrorKind::Impossible(_) => "impossible-value",
            _ => "not-a-quantity",
        };
        Self::of(rule, error.to_string(), error.suggestion(), error.span())
    }

    fn from_decimal_in(number: &DecimalError, error: &WrittenError, _text: &str) -> Self {
        Self::of(decimal_rule(number), error.to_string(), error.suggestion(), error.span())
    }

    /// A bare number that cannot be read.
    pub(crate) fn from_decimal(error: &DecimalError, _text: &str) -> Self {
        Self::of(decimal_rule(error), error.to_string(), error.suggestion(), error.span())
    }

    /// A count that is no whole number.
    pub(crate) fn whole_number(text: &str) -> Self {
        Self::expected("not-a-number", text, "is not a whole number", "write a whole number such as `6`")
    }

    /// A date that is none.
    pub(crate) fn date(text: &str) -> Self {
        Self::expected(
            "not-a-date",
            text,
            "is not a date",
            "write year, month and day as in `2026-03-02`; a month alone, `2026-03`, means its last day",
        )
    }

    /// A date and time that are none.
    pub(crate) fn moment(text: &str) -> Self {
        Self::expected(
            "not-a-date",
            text,
            "is not a date and time with its zone",
            "write date, time and distance from UTC in quotation marks, as in \"2026-03-02T07:40+00:00\"",
        )
    }

    /// Lots that cannot be read.
    pub(crate) fn lots(text: &str) -> Self {
        Self::expected(
            "lots-unreadable",
            text,
            "does not say which lots are meant",
            "write `from 24-100`, `24-100 to 24-220`, `up to 24-099`, or single lots with commas between them",
        )
    }

    fn expected(rule: &'static str, text: &str, is_not: &str, help: &str) -> Self {
        Self {
            rule,
            message: format!("`{text}` {is_not}"),
            help: help.to_owned(),
            suggestion: None,
            span: 0..text.len(),
        }
    }

    fn of(rule: &'static str, words: String, suggestion: Option<String>, span: Range<usize>) -> Self {
        // The core puts what to do after a semicolon, so that one line on a terminal says both.
        let (message, help) = match words.split_once(", ") {
            Some((message, help)) => (message.to_owned(), help.to_owned()),
            None => (words, suggestion.as_ref().map(|s| format!("write `{s}`")).unwrap_or_default()),
        };
        Self { rule, message, help, suggestion, span }
    }
}

fn decimal_rule(error: &DecimalError) -> &'static str {
    match error.kind() {
        DecimalErrorKind::DecimalComma | DecimalErrorKind::CommaOrThousands => "decimal-comma",
        _ => "not-a-number",
    }
}

impl fmt::Display for FieldProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)?;
        if !self.help.is_empty() {
            write!(f, "; {}", self.help)?;
        }
        Ok(())
    }
}
