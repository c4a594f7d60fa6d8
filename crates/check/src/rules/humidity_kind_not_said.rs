//! A humidity correction that does not say which humidity.

use stainbook_catalog::written::tube::{Axis, Method};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::{double_quoted, is_plain_text};

use crate::points::Placed;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "humidity-kind-not-said",
    level: Level::Error,
    since: "0.1.0",
    summary: "A humidity correction does not say whether its humidity is relative or absolute.",
    family: Family::Correction,
    docs: include_str!("humidity-kind-not-said.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        let Some((path, text)) = not_said(placed) else {
            continue;
        };
        let relative = text.replace('%', "%RH");
        let absolute = Offer::yaml(text.replace('%', "g/m³"));
        sink.report(
            sink.at(path)
                .message("this does not say which humidity is meant")
                .label(format!("`{text}` of what?"))
                .note("50 %RH is 2.4 g/m³ at 0 °C and 26 g/m³ at 40 °C; a table read with the wrong kind corrects summer air as if it were winter's")
                .help(help!("write {} for relative humidity, or {} (the same as mg/L) for absolute, as the leaflet says", Offer::yaml(quoted(&relative)), absolute))
                .fact("written", Fact::text(text)),
        );
    }
}

/// In quotes where YAML asks for them, as it does of what begins with `%`.
fn quoted(text: &str) -> String {
    if is_plain_text(text) {
        text.to_owned()
    } else {
        double_quoted(text)
    }
}

/// The column, or the variable of a formula, that is a bare percentage; of what other tables lack another rule speaks.
pub(crate) fn not_said<'a>(placed: &Placed<'a>) -> Option<(Path, &'a str)> {
    if placed.axis != Axis::Humidity {
        return None;
    }
    let correction = placed.correction;
    if correction.method == Some(Method::Polynomial) {
        let of = correction.of.as_deref().filter(|of| is_bare(of))?;
        return Some((placed.path().key("of"), of));
    }
    let (index, text) = correction
        .columns
        .iter()
        .enumerate()
        .find(|(_, column)| is_bare(column))?;
    Some((placed.path().key("columns").index(index), text))
}

/// `%` or `50 %`, with nothing after it.
fn is_bare(text: &str) -> bool {
    let number = text.trim().strip_suffix('%').map(str::trim);
    number.is_some_and(|number| {
        number
            .chars()
            .all(|letter| letter.is_ascii_digit() || letter == '.')
    })
}

#[cfg(test)]
mod tests {
    use super::is_bare;

    #[test]
    fn bare_percentages() {
        for (text, bare) in [
            ("%", true),
            ("50 %", true),
            ("12.5%", true),
            ("%RH", false),
            ("g/m³", false),
            ("factor", false),
        ] {
            assert_eq!(is_bare(text), bare, "{text}");
        }
    }
}
