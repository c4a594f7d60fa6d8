//! A unit that is understood and usually spelled otherwise.

use stainbook_core::{Dimension, Unit, known_unit};

use crate::rules;
use stainbook_document::finding::{Fact, Finding};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Place;
use stainbook_document::reported_nodes::ReportedNodes;
use stainbook_document::{Document, Node, NodeKind, Style};

/// Looks through a whole file, as long as its tree is at hand.
pub(crate) fn look(document: &Document, reported: &ReportedNodes, findings: &mut Vec<Finding>) {
    if let Some(root) = document.root() {
        Look { reported, findings }.at(root, TextRole::Quantity);
    }
}

/// Roles of a text.
#[derive(Clone, Copy, PartialEq, Eq)]
enum TextRole {
    /// A number with its unit, or a range of them.
    Quantity,
    /// A humidity, relative or absolute, or a range of them.
    Humidity,
    /// A unit alone: the unit of a scale, the heading of a column.
    Unit,
}

struct Look<'l> {
    reported: &'l ReportedNodes,
    findings: &'l mut Vec<Finding>,
}

impl Look<'_> {
    fn at(&mut self, node: Node<'_>, role: TextRole) {
        match node.kind() {
            NodeKind::Mapping => {
                for (key, value) in node.entries() {
                    let role = match key.text() {
                        Some("unit" | "columns") => TextRole::Unit,
                        Some("humidity") => TextRole::Humidity,
                        _ => TextRole::Quantity,
                    };
                    self.at(value, role);
                }
            }
            NodeKind::Sequence => node.items().for_each(|item| self.at(item, role)),
            NodeKind::Scalar(_) => self.scalar(node, role),
        }
    }

    fn scalar(&mut self, node: Node<'_>, role: TextRole) {
        let Some(text) = node.text().filter(|_| !self.reported.contains(node.id())) else {
            return;
        };
        let number = match role {
            TextRole::Unit => "",
            TextRole::Quantity | TextRole::Humidity => match split(text) {
                Some((number, _)) => number,
                None => return,
            },
        };
        let spelling = text.get(number.len()..).unwrap_or_default();
        let found = match role {
            TextRole::Humidity => canonical_humidity(number, spelling),
            TextRole::Quantity | TextRole::Unit => canonical(number, spelling),
        };
        let Some(canonical) = found else { return };
        // Of all spellings this one leaves open what is meant.
        let note = if spelling == PERCENT {
            "it is taken for relative humidity, and does not say so; absolute humidity at the same percentage can differ tenfold between warm and cold air"
        } else {
            "it is understood all the same; one spelling is what a search finds and what two people's entries can be compared by"
        };
        let whole = if number.is_empty() {
            canonical.to_owned()
        } else {
            format!("{} {canonical}", number.trim_end())
        };
        let document = node.document();
        let finding = Finding::new(&rules::UNIT_NOT_CANONICAL, document.place_of(node.id()))
            .message(format!(
                "`{text}` is `{whole}`, with its unit spelled as everywhere else"
            ))
            .note(note)
            .help(help!("write {}", Offer::yaml(whole.clone())))
            .fact("written", Fact::text(spelling))
            .fact("canonical", Fact::text(canonical));
        // Only the bytes of the unit are replaced; a text with escapes in it does not lie in the file as it is read.
        let range = node.range();
        let skip = match node.kind() {
            NodeKind::Scalar(Style::Plain) => 0,
            _ => 1,
        };
        let start = range.start + skip + number.len();
        let bytes = start..start + spelling.len();
        let finding = if document.text().get(bytes.clone()) == Some(spelling) {
            finding.safe_fix(Place::bytes(document.file(), bytes), canonical)
        } else {
            finding
        };
        self.findings.push(finding);
    }
}

/// A number, or two with a word between them, and what stands behind, which has to begin like a unit. Texts that go on
/// after the unit are none, nor is one with a unit at both ends of a range, which is spelled as its author wanted it.
fn split(text: &str) -> Option<(&str, &str)> {
    let starts = |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'-' | b'+' | b'.');
    text.as_bytes().first().filter(|byte| starts(byte))?;
    let mut rest = after_number(text)?;
    for word in [" to ", " or "] {
        if let Some(second) = rest.strip_prefix(word) {
            rest = after_number(second.trim_start())?;
        }
    }
    let unit = rest.trim_start();
    // A bare number, and a date or a code that merely begins with digits, have no unit.
    (!unit.is_empty()
        && !unit
            .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | ':' | '.' | ',' | '/')))
    .then(|| text.split_at(text.len() - unit.len()))
}

fn after_number(text: &str) -> Option<&str> {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let rest = unsigned.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    (rest.len() < unsigned.len()).then_some(rest)
}

/// The spelling to write instead of a unit's; nothing if it is that already, is no unit, or belongs to several that are
/// spelled differently.
fn canonical(number: &str, spelling: &str) -> Option<&'static str> {
    let mut units = Dimension::WITH_UNITS
        .into_iter()
        .filter_map(|dimension| known_unit(dimension, spelling));
    let first: &Unit = units.next()?;
    let wanted = first.canonical_after(number.trim());
    let one = spelling != wanted && units.all(|unit| unit.canonical_after(number.trim()) == wanted);
    one.then_some(wanted)
}

/// A percentage of it is not said. As a unit it belongs to ratios too, so that it shows only where a humidity stands.
const PERCENT: &str = "%";

/// The same for a humidity.
fn canonical_humidity(number: &str, spelling: &str) -> Option<&'static str> {
    let relative = known_unit(Dimension::RelativeHumidity, spelling);
    let absolute = || known_unit(Dimension::AbsoluteHumidity, spelling);
    let wanted = relative.or_else(absolute)?.canonical_after(number.trim());
    (spelling != wanted).then_some(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_parted_from_their_units() {
        for (text, expected) in [
            ("25 mg/m3", Some(("25 ", "mg/m3"))),
            ("25ppm", Some(("25", "ppm"))),
            ("-5.5 degC", Some(("-5.5 ", "degC"))),
            ("0 to 40 degC", Some(("0 to 40 ", "degC"))),
            ("0 degC to 40 degC", Some(("0 ", "degC to 40 degC"))),
            ("25", None),
            ("2026-03-02", None),
            ("10:40", None),
            ("24-100", None),
            ("", None),
            ("ppm", None),
        ] {
            assert_eq!(split(text), expected, "{text}");
        }
    }

    #[test]
    fn canonical_spellings() {
        for (number, spelling, expected) in [
            ("25 ", "mg/m3", Some("mg/m³")),
            ("25 ", "mg/m³", None),
            ("20 ", "degC", Some("°C")),
            ("1 ", "day", None),
            ("2 ", "years", None),
            ("5 ", "%", None),
            ("5 ", "strokes", None),
            ("0 ", "degC to 40 degC", None),
        ] {
            assert_eq!(canonical(number, spelling), expected, "{spelling}");
        }
    }
}
