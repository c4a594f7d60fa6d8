//! Problems of the text of one field, in the words of the file's author.

use stainbook_core::{DecimalError, DecimalErrorKind, WrittenError, WrittenErrorKind};

use crate::rules;
use stainbook_document::finding::ReaderRule;
use stainbook_document::help;
use stainbook_document::offer::Offer;
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
        .help(help!("write a whole number such as {}", Offer::yaml("6")))
        .under(rules::NOT_A_NUMBER)
}

/// A date that is none.
pub(super) fn date(text: &str) -> Problem {
    Problem::new(format!("`{text}` is not a date"))
        .help(help!(
            "write year, month and day as in {}; a month alone, {}, means its last day",
            Offer::yaml("2026-03-02"),
            Offer::yaml("2026-03")
        ))
        .under(rules::NOT_A_DATE)
}

/// A date and time that are none.
pub(super) fn moment(text: &str) -> Problem {
    Problem::new(format!("`{text}` is not a date and time with its zone"))
        .help(help!(
            "write date, time and distance from UTC in quotation marks, as in {}",
            Offer::yaml("\"2026-03-02T07:40+00:00\"")
        ))
        .under(rules::NOT_A_DATE)
}

/// Lots that cannot be read.
pub(super) fn lots(text: &str) -> Problem {
    Problem::new(format!("`{text}` does not say which lots are meant"))
        .help(help!(
            "write {}, {}, {}, or single lots with commas between them",
            Offer::yaml("from 24-100"),
            Offer::yaml("24-100 to 24-220"),
            Offer::yaml("up to 24-099")
        ))
        .under(rules::LOTS_UNREADABLE)
}

/// The bound of a band that is neither a reading nor a part of the scale in words.
pub(super) fn up_to(text: &str, error: &WrittenError) -> Problem {
    if text.contains(|c: char| c.is_ascii_digit()) {
        return of_quantity(error);
    }
    Problem::new(format!(
        "`{text}` is neither a reading nor a part of the scale"
    ))
    .help(help!(
        "write a reading such as {}, or {}, {}, {}; leave it out for the whole scale",
        Offer::yaml("3 ppm"),
        Offer::yaml("first third"),
        Offer::yaml("second third"),
        Offer::yaml("last mark")
    ))
    .under(rules::NOT_A_QUANTITY)
}

/// A factor that cannot be read.
pub(super) fn factor(text: &str, error: &DecimalError) -> Problem {
    let plain = of_number(error);
    if text.contains(' ') {
        return Problem::new(format!("`{text}` is no factor"))
            .help(help!(
                "write a number such as {}, a span such as {}, or {}",
                Offer::yaml("1.6"),
                Offer::yaml("0.5 to 0.7"),
                Offer::yaml("about 1.2")
            ))
            .under(rules::NOT_A_NUMBER);
    }
    plain
}

/// A span of shares whose ends are swapped.
pub(super) fn span_reversed(text: &str) -> Problem {
    Problem::new(format!("`{text}` does not rise"))
        .help(help!(
            "write the smaller number first, as in {}",
            Offer::yaml("10 to 15 %")
        ))
        .under(rules::NOT_A_QUANTITY)
}

/// A span of factors whose ends are swapped.
pub(super) fn factor_reversed(text: &str) -> Problem {
    Problem::new(format!("`{text}` does not rise"))
        .help(help!(
            "write the smaller number first, as in {}",
            Offer::yaml("0.5 to 0.7")
        ))
        .under(rules::NOT_A_NUMBER)
}

/// Days of manufacture that cannot be read.
pub(super) fn day_span(text: &str) -> Problem {
    Problem::new(format!("`{text}` does not say which days are meant"))
        .help(help!(
            "write {}, {} or {}",
            Offer::yaml("from 2024-03"),
            Offer::yaml("up to 2024-02"),
            Offer::yaml("2024-03 to 2025-01")
        ))
        .under(rules::NOT_A_DATE)
}

/// A part that is none.
pub(super) fn part(text: &str) -> Problem {
    Problem::new(format!("`{text}` is no part of a whole"))
        .help(help!(
            "write a fraction or a number above 0 and at most 1, such as {} or {}",
            Offer::yaml("1/2"),
            Offer::yaml("0.5")
        ))
        .under(rules::NOT_A_NUMBER)
}

fn problem(rule: ReaderRule, words: &str, suggestion: Option<String>) -> Problem {
    let problem = Problem::new(words).under(rule);
    match suggestion {
        Some(instead) => problem
            .help(help!("write {}", Offer::yaml(instead.clone())))
            .instead(instead),
        None => problem,
    }
}

fn number_rule(error: &DecimalError, otherwise: ReaderRule) -> ReaderRule {
    match error.kind() {
        DecimalErrorKind::DecimalComma | DecimalErrorKind::CommaOrThousands => rules::DECIMAL_COMMA,
        _ => otherwise,
    }
}
