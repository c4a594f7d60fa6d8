//! Quantities as they are typed on the command line, and what is said of them when they cannot be read.

use stainbook_core::{
    Decimal, Dimension, Quantity, Unit, UnknownUnit, UnknownUnitReason, Written, WrittenError,
    WrittenErrorKind, unit_of,
};

use crate::failure::Failure;

/// Reads a quantity; `what` is the option it was given for.
pub(crate) fn quantity<Q: Quantity>(what: &str, text: &str) -> Result<Written<Q>, Failure> {
    Written::parse(text).map_err(|error| failure(what, &error))
}

/// The same for an option that may be absent.
pub(crate) fn optional<Q: Quantity>(
    what: &str,
    text: Option<&str>,
) -> Result<Option<Written<Q>>, Failure> {
    text.map(|text| quantity(what, text)).transpose()
}

/// Reads a unit of concentration.
pub(crate) fn concentration_unit(what: &str, text: &str) -> Result<&'static Unit, Failure> {
    unit_of(Dimension::Concentration, text.trim()).map_err(|error| {
        let (message, help) = split(&error.to_string());
        let code = unit_code(&error);
        let help = if help.is_empty() {
            "write ppm, ppb, % by volume, mg/m³, µg/m³ or g/m³".to_owned()
        } else {
            help
        };
        Failure::new(code, format!("{what}: {message}"), help)
    })
}

fn failure(what: &str, error: &WrittenError) -> Failure {
    let code = match error.kind() {
        WrittenErrorKind::Number(..) if error.is_decimal_comma() => "decimal-comma",
        WrittenErrorKind::Number(..) => "not-a-number",
        WrittenErrorKind::NoUnit { .. } => "unit-missing",
        WrittenErrorKind::Unit(unit) => unit_code(unit),
        WrittenErrorKind::Impossible(_) => "impossible-value",
        _ => "not-a-quantity",
    };
    let (message, mut help) = split(&error.to_string());
    if help.is_empty() {
        help = match error.suggestion() {
            Some(suggestion) => format!("write `{suggestion}`"),
            None => "look at the number and its unit again".to_owned(),
        };
    }
    Failure::new(code, format!("{what}: {message}"), help)
}

fn unit_code(error: &UnknownUnit) -> &'static str {
    match error.reason() {
        UnknownUnitReason::OtherDimension { .. } => "unit-of-another-kind",
        _ => "unit-unknown",
    }
}

/// The core puts what to do behind a comma; here it has a line of its own. What only goes on explaining stays where it is.
fn split(words: &str) -> (String, String) {
    const BEGIN: [&str; 4] = [", write ", ", did you mean ", ", a ", ", an "];
    let at = BEGIN.iter().filter_map(|begin| words.find(begin)).min();
    match at.and_then(|at| Some((words.get(..at)?, words.get(at + 2..)?))) {
        Some((message, help)) if !help.is_empty() => (message.to_owned(), help.to_owned()),
        _ => (words.to_owned(), String::new()),
    }
}

/// A bare number with its unit typed apart: `25` `ppm`. Any number of words is one quantity.
pub(crate) fn joined(words: &[String]) -> String {
    words.join(" ")
}

/// True if a text is a number without a unit.
pub(crate) fn is_bare_number(text: &str) -> bool {
    Decimal::parse(text).is_ok()
}
