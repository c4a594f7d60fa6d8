//! The words for what the builder noticed.

use super::Document;
use super::builder::Odd;
use super::cut_text;
use super::syntax::double_quoted;
use super::traps::{Trap, strange};
use super::tree::{NodeId, NodeKind, Style};
use crate::finding::{Fact, Finding};
use crate::help;
use crate::offer::Offer;
use crate::place::{EntryPart, Place, Spot};
use crate::rules;

/// Turns oddities into findings and blames the nodes that cannot be used.
pub(super) fn report(document: &mut Document, odd: &[Odd], findings: &mut Vec<Finding>) {
    for odd in odd {
        let (finding, reported) = one(document, odd);
        findings.extend(finding);
        document.reported.extend(reported);
    }
}

/// The range from a node's start to its end, as a place that replaces its bytes.
fn bytes_of(document: &Document, id: NodeId) -> Place {
    Place::bytes(document.file, document.tree().range(id))
}

fn one(document: &Document, odd: &Odd) -> (Option<Finding>, Vec<NodeId>) {
    let file = document.file;
    match odd {
        Odd::Trap(id, trap) => match document.node(*id).and_then(super::node::Node::text) {
            Some(text) => trapped(document, *id, *trap, text),
            None => (None, Vec::new()),
        },
        Odd::CutText(id, meant) => {
            let read = document.node(*id).and_then(super::node::Node::text);
            let range = document.tree().range(*id);
            let lost = document.text.get(range.end..*meant).unwrap_or_default();
            let finding = cut_text::finding(
                file,
                range.start..*meant,
                (read.unwrap_or_default(), lost),
                cut_text::Closing::WithTheText,
            );
            (Some(finding), vec![*id])
        }
        Odd::Repeated(key, first) => {
            let name = document
                .node(*key)
                .and_then(super::node::Node::text)
                .unwrap_or_default();
            let finding = Finding::new(&rules::DUPLICATE_KEY, bytes_of(document, *key))
                .message(format!("`{name}` is given twice"))
                .label("given again here")
                .related(bytes_of(document, *first), "given first here")
                .note("only the first is used; another program may use the second")
                .help("keep one of the two");
            (Some(finding), Vec::new())
        }
        Odd::KeyShape(key) => {
            let finding = Finding::new(&rules::YAML_SYNTAX, bytes_of(document, *key))
                .message("a field's name is missing or is not plain text")
                .label("where a name belongs")
                .help("write a name, a colon, a space and the value");
            (Some(finding), vec![*key])
        }
        Odd::Tag(range, id) => {
            let tag = document.text.get(range.clone()).unwrap_or("!");
            let finding = Finding::new(&rules::YAML_TAG, Place::bytes(file, range.clone()))
                .message(format!("`{tag}` is a YAML tag, which entries do not use"))
                .label("the tag")
                .help("delete it; if the text itself begins with `!`, put it in quotes");
            (Some(finding), vec![*id])
        }
        Odd::Anchor(at, id) => {
            let start = document
                .text
                .get(..*at)
                .and_then(|text| text.rfind('&'))
                .unwrap_or(*at);
            let rest = document.text.get(start..).unwrap_or_default();
            let name = rest.split(|c: char| c.is_whitespace() || matches!(c, ',' | ']' | '}'));
            let length = name.into_iter().next().map_or(0, str::len);
            let finding = Finding::new(
                &rules::YAML_ANCHOR,
                Place::bytes(file, start..start + length),
            )
            .message("`&` names a value for use elsewhere, which entries do not do")
            .label("the anchor")
            .help("delete it; if the text itself begins with `&`, put it in quotes");
            (Some(finding), vec![*id])
        }
        Odd::Alias(id) => {
            let finding = Finding::new(&rules::YAML_ANCHOR, document.place_of(*id))
                .message("`*` stands for a value given elsewhere, which entries do not use")
                .label("the alias")
                .help("write the value itself; if the text begins with `*`, put it in quotes");
            (Some(finding), vec![*id])
        }
        Odd::SecondDocument(at) => {
            let end = document
                .text
                .get(*at..)
                .is_some_and(|rest| rest.starts_with("---"));
            let place = Place::bytes(file, *at..*at + if end { 3 } else { 0 });
            let finding = Finding::new(&rules::SEVERAL_DOCUMENTS, place)
                .message("a second document begins here; a file holds one entry")
                .label("not read from here on")
                .help("move what follows to a file of its own");
            (Some(finding), Vec::new())
        }
        Odd::TooDeep(at) => {
            let finding = Finding::new(&rules::TOO_DEEP, Place::bytes(file, *at..*at + 1))
                .message("lists and fields are nested deeper than any entry can be")
                .label("not read from here on")
                .help("check for a bracket that is opened again and again");
            (Some(finding), Vec::new())
        }
        Odd::TooMany(at) => {
            let finding = Finding::new(&rules::TOO_MANY_NODES, Place::bytes(file, *at..*at + 1))
                .message("the file holds more values than any entry can")
                .label("not read from here on")
                .help("split it into several files");
            (Some(finding), Vec::new())
        }
        Odd::SplitNumber {
            list,
            first,
            second,
            sure,
        } => {
            let start = document.tree().range(*first).start;
            let end = document.tree().range(*second).end;
            let written = document.text.get(start..end).unwrap_or_default();
            let point = written.replace(',', ".");
            let finding = Finding::new(&rules::DECIMAL_COMMA, Place::bytes(file, start..end))
                .message(format!("`{written}` is two entries here, not one number"))
                .label("a comma without a space")
                .note("in brackets the comma parts entries, so a decimal comma shifts all that follow")
                .help(help!(
                    "write {} for one number, {} for two",
                    Offer::yaml(point.clone()),
                    Offer::yaml(written.replace(',', ", "))
                ))
                .fact("written", Fact::text(written));
            if *sure {
                (
                    Some(finding.fix(Place::bytes(file, start..end), point)),
                    vec![*list],
                )
            } else {
                (
                    Some(finding.at_level(crate::finding::Level::Warning)),
                    Vec::new(),
                )
            }
        }
    }
}

fn trapped(
    document: &Document,
    id: NodeId,
    trap: Trap,
    text: &str,
) -> (Option<Finding>, Vec<NodeId>) {
    let place = document.place_of(id);
    let bytes = bytes_of(document, id);
    let quoted = double_quoted(text);
    let finding =
        Finding::new(&rules::YAML_1_1_WORD, place.clone()).fact("written", Fact::text(text));
    let number = |finding: Finding| {
        finding
            .help(help!(
                "put it in quotes if it is text: {}",
                Offer::yaml(quoted.clone())
            ))
            .fix(bytes.clone(), quoted.clone())
    };
    // What is text here already stays the same text in quotes.
    let text_already = |finding: Finding| {
        finding
            .help(help!(
                "put it in quotes if it is text: {}",
                Offer::yaml(quoted.clone())
            ))
            .safe_fix(bytes.clone(), quoted.clone())
    };
    let finding = match trap {
        Trap::Word => {
            let truth = matches!(
                text.as_bytes(),
                [b'y' | b'Y', ..] | [b'o' | b'O', b'n' | b'N']
            );
            finding
                .message(format!(
                    "bare `{text}` is the truth value `{truth}` to many programs"
                ))
                .note("it is read as text here; older YAML readers take it for yes or no")
                .help(help!("put it in quotes: {}", Offer::yaml(quoted.clone())))
                .safe_fix(bytes, quoted)
        }
        Trap::LeadingZero => {
            let decimal = text.trim_start_matches(['+', '-']).trim_start_matches('0');
            let decimal = if decimal.is_empty() { "0" } else { decimal };
            number(
                finding
                    .message(format!("`{text}` begins with a zero"))
                    .note(format!("it is read as {decimal} here; older YAML readers take it for an octal number or for text")),
            )
        }
        Trap::Octal => number(finding.message(format!(
            "`{text}` is an octal number here and text to older YAML readers"
        ))),
        Trap::Binary => text_already(finding.message(format!(
            "`{text}` is text here and a binary number to older YAML readers"
        ))),
        Trap::Underscore => {
            let plain = text.replace('_', "");
            text_already(finding.message(format!(
                "`{text}` is text here and the number {plain} to older YAML readers"
            )))
        }
        Trap::Sexagesimal => text_already(
            finding
                .message(format!(
                    "`{text}` is text here and a number to base 60 to older YAML readers"
                ))
                .note(format!("they read {}", sexagesimal(text))),
        ),
        Trap::Exponent => {
            let number = document.node(id).and_then(super::node::Node::number);
            let plain = number.map_or_else(|| text.to_owned(), |number| number.to_string());
            finding
                .message(format!(
                    "`{text}` is a number here and text to older YAML readers"
                ))
                .help(help!("write {}", Offer::yaml(plain.clone())))
                .fix(bytes, plain)
        }
        // A key is no number; what is wrong with it is that nothing is called so.
        Trap::Comma if document.path_of(id).1 == EntryPart::Key => return (None, Vec::new()),
        Trap::Comma => {
            let point = text.replacen(',', ".", 1);
            let finding = Finding::new(&rules::DECIMAL_COMMA, place)
                .message(format!("`{text}` has a comma in its number"))
                .fact("written", Fact::text(text));
            let finding = if parts_decimals(text) {
                finding
                    .note("a comma parts decimals in some countries and thousands in others; thousands come in threes, so that this one parts decimals")
                    .help(help!("write a decimal point: {}", Offer::yaml(point.clone())))
                    .safe_fix(bytes, point)
            } else {
                finding
                    .note("whether it parts decimals or thousands cannot be told, and the difference is a factor of 1,000")
                    .help(help!(
                        "write a decimal point, {}, and nothing between thousands",
                        Offer::yaml(point.clone())
                    ))
                    .fix(bytes, point)
            };
            return (Some(finding), vec![id]);
        }
        Trap::LookAlike | Trap::Invisible => return disguised(document, id, text, place),
    };
    (Some(finding), Vec::new())
}

/// True if the one comma of a number can only part decimals: `0,125 kg` and `2,5 kg`, but not `1,250 kg`.
fn parts_decimals(text: &str) -> bool {
    let Some((whole, rest)) = text.split_once(',') else {
        return false;
    };
    let decimals = rest.bytes().take_while(u8::is_ascii_digit).count();
    let whole = whole.trim_start_matches(['+', '-']);
    // A second number, a second comma or a point would be more than one reading of the text.
    let unit = rest.get(decimals..).unwrap_or_default();
    let mut before = ' ';
    let alone = unit.chars().all(|c| {
        // The `3` of `kg/m3` belongs to the unit.
        let further = (c.is_ascii_digit() && !before.is_alphabetic()) || matches!(c, ',' | '.');
        before = c;
        !further
    });
    alone && whole.bytes().all(|byte| byte.is_ascii_digit()) && (decimals != 3 || whole == "0")
}

/// A YAML 1.1 reader's value of `10:40`, printed.
fn sexagesimal(text: &str) -> String {
    let unsigned = text.trim_start_matches(['+', '-']);
    let value = unsigned.split(':').try_fold(0.0_f64, |value, part| {
        Some(value * 60.0 + part.parse::<f64>().ok()?)
    });
    match value {
        Some(value) if text.starts_with('-') => (-value).to_string(),
        Some(value) => value.to_string(),
        None => "a number".to_owned(),
    }
}

fn disguised(
    document: &Document,
    id: NodeId,
    text: &str,
    place: Place,
) -> (Option<Finding>, Vec<NodeId>) {
    let Some(found) = strange(text) else {
        return (None, Vec::new());
    };
    let rule = match found.trap {
        Trap::Invisible => &rules::CONTROL_CHARACTER,
        _ => &rules::LOOK_ALIKE_CHARACTER,
    };
    let mut place = place;
    match &mut place.spot {
        Spot::At {
            part: EntryPart::Value,
            within,
            ..
        } => *within = Some(found.range.clone()),
        // Of a key as well, no more than the letter is to be typed again.
        Spot::At { .. }
            if matches!(
                document.node(id).map(super::node::Node::kind),
                Some(NodeKind::Scalar(Style::Plain))
            ) =>
        {
            let start = document.tree().range(id).start;
            let letter = start + found.range.start..start + found.range.end;
            place = Place::bytes(document.file, letter);
        }
        _ => {}
    }
    let code = format!("U+{:04X}", u32::from(found.character));
    let finding = Finding::new(rule, place.clone()).fact("character", Fact::text(code.clone()));
    let finding = if found.trap == Trap::Invisible {
        finding
            .message(format!(
                "this text holds {} that cannot be seen",
                found.name
            ))
            .label(code)
            .help("delete it and type the text again")
    } else {
        let looks = match found.instead {
            Some(instead) => format!(", which looks like `{instead}`"),
            None => String::new(),
        };
        finding
            .message(format!("`{}` is {}{looks}", found.character, found.name))
            .label(code)
            .note("two names that look alike are then different, and a number is not read as one")
            .help(match found.instead {
                Some(instead) => help!(
                    "type {} in its place",
                    Offer::yaml(instead.to_string()).at(place.clone()).in_part()
                ),
                None => "type it again on the keyboard".into(),
            })
    };
    let finding = match (
        found.instead,
        document.node(id).map(super::node::Node::kind),
    ) {
        (Some(instead), Some(NodeKind::Scalar(Style::Plain))) => finding.fix(place, instead),
        _ => finding,
    };
    // A name or free text with such a letter can still be read; a number cannot, and says so here.
    (Some(finding), vec![id])
}

#[cfg(test)]
mod tests {
    use super::parts_decimals;

    #[test]
    fn thousands_come_in_threes() {
        for text in [
            "0,5 kg",
            "2,5 kg",
            "12,25 %",
            "-1,5 °C",
            "0,125 kg",
            "1,2500 kg",
            "3,1",
            "0,5 kg/m3",
        ] {
            assert!(parts_decimals(text), "{text}");
        }
        for text in [
            "1,250 kg",
            "12,000",
            "1,5 to 2,5 kg",
            "1,250.5 kg",
            "1,5 to 3 kg",
            "5 kg",
        ] {
            assert!(!parts_decimals(text), "{text}");
        }
    }
}
