//! Findings about a text, a number, a list or a group of fields that stands where another is asked for.

use super::schema::Subschema;
use super::words::{list, name, of_value, written};
use crate::document::{Class, Document, Node, NodeKind, double_quoted};
use crate::finding::Finding;
use crate::help;
use crate::offer::{Help, Offer};
use crate::place::{PathStep, Place};
use crate::rules;

/// True if a node has the shape of this schema type.
pub(super) fn has_shape(node: Node<'_>, shape: &str) -> bool {
    match (shape, node.kind(), node.class()) {
        ("object", NodeKind::Mapping, _) | ("array", NodeKind::Sequence, _) => true,
        (_, NodeKind::Mapping | NodeKind::Sequence, _) => false,
        ("string", _, Class::Text)
        | ("null", _, Class::Null)
        | ("boolean", _, Class::Bool)
        | ("integer" | "number", _, Class::Integer)
        | ("number", _, Class::Float) => true,
        _ => false,
    }
}

fn shape_in_words(shape: &str) -> &'static str {
    match shape {
        "string" => "text",
        "number" => "a number",
        "integer" => "a whole number",
        "boolean" => "`true` or `false`",
        "array" => "a list",
        "object" => "a group of fields",
        _ => "left out",
    }
}

fn found_in_words(node: Node<'_>) -> String {
    let text = node.text().unwrap_or_default();
    match (node.kind(), node.class()) {
        (NodeKind::Mapping, _) => "a group of fields".to_owned(),
        (NodeKind::Sequence, _) => "a list".to_owned(),
        (_, Class::Null) => "empty".to_owned(),
        (_, Class::Bool) => format!("the truth value `{text}`"),
        (_, Class::Integer | Class::Float) => format!("the bare number {text}"),
        (_, Class::Text) => format!("the text `{text}`"),
    }
}

/// True if an example is a number followed by a unit, and not a day or a time.
fn has_unit(example: &str) -> bool {
    example.split_once(' ').is_some_and(|(number, unit)| {
        number.parse::<f64>().is_ok()
            && unit.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '°'))
    })
}

/// Need for a field: required or optional.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Need {
    Required,
    Optional,
}

/// A node of another shape than the one asked for.
pub(super) fn shape(
    document: &Document,
    node: Node<'_>,
    part: Option<Subschema<'_>>,
    need: Need,
) -> Finding {
    let named = name(document, node.id());
    let shapes: Vec<&str> = part
        .map(Subschema::shapes)
        .unwrap_or_default()
        .into_iter()
        .filter(|s| *s != "null")
        .collect();
    let example = part.and_then(Subschema::example);
    let with_unit = example.as_deref().is_some_and(has_unit);
    let number = matches!(node.class(), Class::Integer | Class::Float);
    let finding = of_value(&rules::WRONG_SHAPE, document, node);
    let finding = if number && with_unit && shapes.contains(&"string") {
        finding.message(format!(
            "{named} is {} without a unit",
            found_in_words(node)
        ))
    } else {
        let wanted: Vec<&str> = shapes.iter().map(|shape| shape_in_words(shape)).collect();
        let wanted = if wanted.is_empty() {
            "something else".to_owned()
        } else {
            wanted.join(" or ")
        };
        finding.message(format!(
            "{named} is {}, and has to be {wanted}",
            found_in_words(node)
        ))
    };
    match instead(node, part, &shapes, with_unit) {
        Some((help, value)) => finding
            .help(help!("{help}: {}", written(document, node, &value)))
            .fix(Place::bytes(document.file(), node.range()), value),
        None => match advice(document, node, part, &shapes, example, need) {
            Some(help) => finding.help(help),
            None => finding,
        },
    }
}

/// The certain meaning of a node of the wrong shape, in words.
fn instead(
    node: Node<'_>,
    part: Option<Subschema<'_>>,
    shapes: &[&str],
    with_unit: bool,
) -> Option<(&'static str, String)> {
    let text = node.text().filter(|text| !text.is_empty())?;
    let values = part.map(Subschema::values).unwrap_or_default();
    // In quotes, a number is still none of the words that can stand there.
    let refused = !values.is_empty() && !values.contains(&text) || !takes_a_number(part);
    if shapes.contains(&"string") && !with_unit && !refused {
        return Some(("put it in quotes", double_quoted(text)));
    }
    if shapes == ["boolean"] {
        return match text.to_ascii_lowercase().as_str() {
            "yes" | "y" | "on" | "true" => Some(("write", "true".to_owned())),
            "no" | "n" | "off" | "false" => Some(("write", "false".to_owned())),
            _ => None,
        };
    }
    if shapes.contains(&"object") {
        // The way was named without the field that names it.
        let marks: Vec<_> = part?
            .alternatives()
            .into_iter()
            .flat_map(Subschema::marks)
            .collect();
        let (field, _) = marks.iter().find(|(_, values)| values.contains(&text))?;
        return Some(("name the way in its field", format!("{{{field}: {text}}}")));
    }
    if shapes == ["array"] && fits_a_list(node, part) {
        return Some(("put it in square brackets", format!("[{text}]")));
    }
    None
}

/// True if a text may be a number in quotes: of days and the like, which begin with a figure, an example is of more use.
fn takes_a_number(part: Option<Subschema<'_>>) -> bool {
    let example = part.and_then(Subschema::example).unwrap_or_default();
    let example = example.trim_matches('"');
    example.parse::<f64>().is_ok() || !example.starts_with(|c: char| c.is_ascii_digit())
}

/// True if a list that has the node for its only entry can stand there, as far as its shape tells.
fn fits_a_list(node: Node<'_>, part: Option<Subschema<'_>>) -> bool {
    let shapes = part.and_then(Subschema::entries).map(Subschema::shapes);
    shapes.is_none_or(|shapes| shapes.is_empty() || shapes.iter().any(|s| has_shape(node, s)))
}

fn advice(
    document: &Document,
    node: Node<'_>,
    part: Option<Subschema<'_>>,
    shapes: &[&str],
    example: Option<String>,
    need: Need,
) -> Option<Help> {
    let text = node.text().unwrap_or_default();
    let absent = node.is_null();
    let or_delete = if absent && need == Need::Optional {
        ", or delete the line if there is nothing to say"
    } else {
        ""
    };
    if absent && let Some(word) = part.and_then(Subschema::word_for_nothing) {
        return Some(help!(
            "write what is printed there, or {} if nothing is",
            Offer::yaml(word.to_owned())
        ));
    }
    if let Some(help) = numbers_alone(document, node, text, shapes) {
        return Some(help);
    }
    let values = part.map(Subschema::values).unwrap_or_default();
    if !absent && shapes == ["string"] && !values.is_empty() {
        let of = |value: &&str| written(document, node, value);
        let alternatives: Vec<Offer> = values.iter().map(of).collect();
        return Some(help!("write one of {}", alternatives));
    }
    if let Some(example) = example {
        return Some(help!(
            "write for example {}{or_delete}",
            written(document, node, &example)
        ));
    }
    if shapes.contains(&"object") {
        let fields: Vec<&str> = part?.fields().into_iter().map(|(name, _)| name).collect();
        let fields = if fields.is_empty() {
            choice(part?)
        } else {
            list(&fields)
        };
        let help = format!("write its fields below it, two spaces further in{or_delete}: {fields}");
        return Some(help.into());
    }
    if absent {
        return Some(format!("write a value{or_delete}").into());
    }
    None
}

/// Advice about a text in which numbers stand where one is wanted.
fn numbers_alone(document: &Document, node: Node<'_>, text: &str, shapes: &[&str]) -> Option<Help> {
    let wanted = |shape: &&str| matches!(*shape, "number" | "integer");
    if !shapes.iter().any(wanted) {
        return None;
    }
    let is_number = |word: &str| word.parse::<f64>().is_ok();
    let words: Vec<&str> = text.split_whitespace().collect();
    let (first, rest) = words.split_first()?;
    if rest.is_empty() {
        // Some write thousands so.
        let plain = first.replace('_', "");
        return (plain.len() < first.len() && is_number(&plain))
            .then(|| help!("write {}", written(document, node, &plain)));
    }
    if words.iter().all(|word| is_number(word)) {
        let in_list = !matches!(
            document.path_of(node.id()).0.steps(),
            [.., PathStep::Key(_)]
        );
        return in_list.then(|| {
            help!(
                "put commas between numbers: {}",
                Offer::yaml(words.join(", ")).at(Place::bytes(document.file(), node.range()))
            )
        });
    }
    // Of two numbers nobody knows which one is meant.
    let digits = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    (is_number(first) && !rest.iter().any(digits)).then(|| {
        help!(
            "write the number alone, {}: its unit stands elsewhere",
            written(document, node, first)
        )
    })
}

/// The deciding field of alternatives and its values.
fn choice(part: Subschema<'_>) -> String {
    let alternatives = part.alternatives();
    let marks: Vec<_> = alternatives.iter().flat_map(|part| part.marks()).collect();
    let Some((field, _)) = marks.first() else {
        return "those of the example".to_owned();
    };
    let values: Vec<&str> = marks
        .iter()
        .filter(|(name, _)| name == field)
        .flat_map(|(_, values)| values.iter().copied())
        .collect();
    format!(
        "`{field}` (one of {}) and what belongs to it",
        list(&values)
    )
}
