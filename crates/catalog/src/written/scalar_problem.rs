//! Problems of the text of one field, in the words of the file's author.

use stainbook_core::{DecimalError, DecimalErrorKind, WrittenError, WrittenErrorKind};

use crate::rules;
use stainbook_document::finding::ReaderRule;
use stainbook_document::typed::Problem;

/// A quantity or a range of it that cannot be read.
pub(super) fn of_quantity(error: &WrittenError) -> Problem {
    let rule = match error.kind() {
        WrittenErrorKind::Number(number, _) => number_rule(number, rules::NOT_A_QUANTITY),
        WrittenErrorKind::NoUnit { .. } => rules::UNIT_MISSING,
        WrittenErrorKind::Unit(_) if error.is_wrong_dimension() => rules::UNIT_OF_ANOTHER_KIND,
        WrittenErrorKind::Unit(_) => rules::UNIT_UNKNOWN,
        WrittenErrorKind::Impossible(_) => rules::IMPOSSIBLE_VALUE,
        _ => rules::NOT_A_QUANTITY,
    };
    problem(rule, &error.to_string(), error.suggestion()).within(error.span())
}

/// A bare number that cannot be read.
pub(super) fn of_number(error: &DecimalError) -> Problem {
    problem(
        number_rule(error, rules::NOT_A_NUMBER),
        &error.to_string(),
        error.suggestion(),
    )
    .within(error.span())
}

/// A cell of a table that is neither a number nor empty.
pub(super) fn of_cell(error: &DecimalError) -> Problem {
    problem(
        number_rule(error, rules::NOT_A_NUMBER),
        &format!("{error}; a cell in which the leaflet prints nothing is `none`"),
        error.suggestion(),
    )
    .within(error.span())
}

/// A count that is no whole number.
pub(super) fn whole_number(text: &str) -> Problem {
    Problem::new(format!("`{text}` is not a whole number"))
        .help("write a whole number such as `6`")
        .under(rules::NOT_A_NUMBER)
}

/// A date that is none.
pub(super) fn date(text: &str) -> Problem {
    Problem::new(format!("`{text}` is not a date"))
        .help("write year, month and day as in `2026-03-02`; a month alone, `2026-03`, means its last day")
        .under(rules::NOT_A_DATE)
}

/// A date and time that are none.
pub(super) fn moment(text: &str) -> Problem {
    Problem::new(format!("`{text}` is not a date and time with its zone"))
        .help("write date, time and distance from UTC in quotation marks, as in \"2026-03-02T07:40+00:00\"")
        .under(rules::NOT_A_DATE)
}

/// Lots that cannot be read.
pub(super) fn lots(text: &str) -> Problem {
    Problem::new(format!("`{text}` does not say which lots are meant"))
        .help("write `from 24-100`, `24-100 to 24-220`, `up to 24-099`, or single lots with commas between them")
        .under(rules::LOTS_UNREADABLE)
}

fn problem(rule: ReaderRule, words: &str, suggestion: Option<String>) -> Problem {
    let problem = Problem::new(words).under(rule);
    match suggestion {
        Some(instead) => problem.help(format!("write `{instead}`")).instead(instead),
        None => problem,
    }
}

fn number_rule(error: &DecimalError, otherwise: ReaderRule) -> ReaderRule {
    match error.kind() {
        DecimalErrorKind::DecimalComma | DecimalErrorKind::CommaOrThousands => rules::DECIMAL_COMMA,
        _ => otherwise,
    }
}
