//! What to say about something that does not fit its schema.

use serde_json::Value;

use super::schema::Part;
use super::{Flaw, SheetSchema, Unfit};
use crate::did_you_mean::nearest;
use crate::document::{Class, Document, Kind, Node, NodeId, double_quoted};
use crate::finding::{Fact, Finding, ReaderRule};
use crate::place::{Place, Step};
use crate::rules;

/// Names that are listed at most; more would bury the message.
const MOST_NAMES: usize = 16;

/// Puts a flaw into words; nothing if its node is gone.
pub(super) fn say(schema: &SheetSchema, document: &Document, flaw: &Flaw) -> Option<Finding> {
    let node = document.node(flaw.node)?;
    let part = Part::around(&schema.schema, &flaw.keyword);
    Some(match &flaw.what {
        Unfit::Unknown(written) => unknown(schema, document, flaw, node, written),
        Unfit::Missing(field) => missing(document, node, part, field),
        Unfit::NoChoice(field, values) => Finding::new(&rules::MISSING_KEY, head(document, node))
            .message(format!(
                "`{field}` is missing in {}",
                name(document, node.id())
            ))
            .note(format!("`{field}` says which of several ways applies"))
            .help(format!("write `{field}: ` and one of {}", list(values)))
            .fact("field", Fact::text(field.clone())),
        Unfit::Shape => shape(document, node, part),
        Unfit::Value(values) | Unfit::Choice(values) => value(document, node, values),
        Unfit::Bound(relation, limit) => {
            let text = node.text().unwrap_or_default();
            of_value(&rules::NUMBER_OUT_OF_BOUNDS, document, node)
                .message(format!(
                    "{} is {text}, and has to be {relation} {limit}",
                    name(document, node.id())
                ))
                .fact("limit", Fact::text(format!("{relation} {limit}")))
        }
        Unfit::Length(relation, limit, longest) => {
            length(document, node, part, (relation, limit), *longest)
        }
        Unfit::Form => {
            let text = node.text().unwrap_or_default();
            let finding = of_value(&rules::WRONG_FORM, document, node).message(format!(
                "`{text}` is not what {} takes",
                name(document, node.id())
            ));
            with_purpose_and_example(finding, document, node, part)
        }
        Unfit::Repeated => Finding::new(&rules::REPEATED_ENTRY, head(document, node))
            .message(format!(
                "{} holds the same entry twice",
                name(document, node.id())
            ))
            .help("delete one of the two"),
        Unfit::Other => {
            let finding = Finding::new(&rules::WRONG_FORM, head(document, node)).message(format!(
                "{} does not have the form that is asked for",
                name(document, node.id())
            ));
            with_purpose_and_example(finding, document, node, part)
        }
    })
}

/// What a node is called: its field, the number of its entry, or the file.
fn name(document: &Document, id: NodeId) -> String {
    let (path, _) = document.path_of(id);
    match path.steps() {
        [] => "the file".to_owned(),
        [.., Step::Key(key)] => format!("`{key}`"),
        [steps @ .., Step::Index(index)] => {
            let holder = steps.iter().rev().find_map(|step| match step {
                Step::Key(key) => Some(format!(" of `{key}`")),
                Step::Index(_) => None,
            });
            format!("entry {}{}", index + 1, holder.unwrap_or_default())
        }
    }
}

/// Where to say something about a list or a group of fields: at its key, or on its first line.
fn head(document: &Document, node: Node<'_>) -> Place {
    Place::key(document.file(), document.path_of(node.id()).0)
}

/// A finding on a value; on its key where the value is absent and has no place of its own.
fn of_value(rule: &ReaderRule, document: &Document, node: Node<'_>) -> Finding {
    let place = if node.range().is_empty() || node.text().is_none() {
        head(document, node)
    } else {
        document.place_of(node.id())
    };
    let finding = Finding::new(rule, place);
    match node.text() {
        Some(text) if !text.is_empty() => finding.fact("written", Fact::text(text)),
        _ => finding,
    }
}

fn list<T: AsRef<str>>(names: &[T]) -> String {
    let shown: Vec<_> = names
        .iter()
        .take(MOST_NAMES)
        .map(|name| format!("`{}`", name.as_ref()))
        .collect();
    let more = if names.len() > MOST_NAMES { " …" } else { "" };
    format!("{}{more}", shown.join(", "))
}

/// The fields that can stand beside an unknown key and do not yet.
fn candidates<'s>(schema: &'s Value, document: &Document, flaw: &Flaw) -> Vec<&'s str> {
    let holder = flaw.holder.and_then(|holder| document.node(holder));
    let fields = Part::around(schema, &flaw.keyword)
        .map(Part::fields)
        .unwrap_or_default();
    fields
        .into_iter()
        .map(|(name, _)| name)
        .filter(|name| holder.is_none_or(|holder| holder.get(name).is_none()))
        .collect()
}

/// The field that an unknown key probably stands for.
pub(super) fn meant<'s>(
    schema: &'s Value,
    document: &Document,
    flaw: &Flaw,
    written: &str,
) -> Option<&'s str> {
    nearest(written, candidates(schema, document, flaw))
}

fn unknown(
    schema: &SheetSchema,
    document: &Document,
    flaw: &Flaw,
    key: Node<'_>,
    written: &str,
) -> Finding {
    let holder = flaw
        .holder
        .map_or_else(|| "the file".to_owned(), |id| name(document, id));
    let place = document.place_of(key.id());
    let finding = Finding::new(&rules::UNKNOWN_KEY, place)
        .message(format!("`{written}` is not a field of {holder}"))
        .fact("field", Fact::text(written));
    if let Some(meant) = meant(&schema.schema, document, flaw, written) {
        return finding
            .label(format!("did you mean `{meant}`?"))
            .help(format!("did you mean `{meant}`?"))
            .fix(Place::bytes(document.file(), key.range()), meant);
    }
    let homes: Vec<&str> = schema
        .homes
        .iter()
        .filter(|(field, _)| field == written)
        .map(|(_, home)| home.as_str())
        .collect();
    match homes.as_slice() {
        [""] => finding.help(format!(
            "`{written}` stands at the top of the file, not indented"
        )),
        [_, ..] => {
            let homes: Vec<&str> = homes.into_iter().filter(|home| !home.is_empty()).collect();
            finding.help(format!("`{written}` belongs in {}", list(&homes)))
        }
        [] => match candidates(&schema.schema, document, flaw).as_slice() {
            [] => finding.help("delete it; a remark can be written after `#`"),
            fields => finding.help(format!(
                "fields that can stand here are {}; a remark can be written after `#`",
                list(fields)
            )),
        },
    }
}

fn missing(document: &Document, node: Node<'_>, part: Option<Part<'_>>, field: &str) -> Finding {
    let finding = Finding::new(&rules::MISSING_KEY, head(document, node))
        .message(format!(
            "`{field}` is missing in {}",
            name(document, node.id())
        ))
        .fact("field", Fact::text(field));
    let Some(part) = part.and_then(|part| part.field(field)) else {
        return finding;
    };
    let finding = match part.purpose() {
        Some(purpose) => finding.note(format!("`{field}`: {purpose}")),
        None => finding,
    };
    match (part.example(), part.values().as_slice()) {
        (Some(example), _) => finding.help(format!("write for example `{field}: {example}`")),
        (None, []) => finding,
        (None, values) => finding.help(format!("write `{field}: ` and one of {}", list(values))),
    }
}

fn with_purpose_and_example(
    finding: Finding,
    document: &Document,
    node: Node<'_>,
    part: Option<Part<'_>>,
) -> Finding {
    let Some(part) = part else { return finding };
    let finding = match part.purpose() {
        Some(purpose) => finding.note(format!("{}: {purpose}", name(document, node.id()))),
        None => finding,
    };
    match part.example() {
        Some(example) => finding.help(format!(
            "write for example {}",
            written(document, node, &example)
        )),
        None => finding,
    }
}

/// The value with its field, as a line of the file.
fn written(document: &Document, node: Node<'_>, value: &str) -> String {
    match document.path_of(node.id()).0.steps() {
        [.., Step::Key(key)] => format!("`{key}: {value}`"),
        _ => format!("`{value}`"),
    }
}

/// Whether a node has the shape of this schema type.
pub(super) fn has_shape(node: Node<'_>, shape: &str) -> bool {
    match (shape, node.kind(), node.class()) {
        ("object", Kind::Mapping, _) | ("array", Kind::Sequence, _) => true,
        (_, Kind::Mapping | Kind::Sequence, _) => false,
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
        (Kind::Mapping, _) => "a group of fields".to_owned(),
        (Kind::Sequence, _) => "a list".to_owned(),
        (_, Class::Null) => "empty".to_owned(),
        (_, Class::Bool) => format!("the truth value `{text}`"),
        (_, Class::Integer | Class::Float) => format!("the bare number {text}"),
        (_, Class::Text) => format!("the text `{text}`"),
    }
}

/// Whether an example is a number followed by a unit.
fn has_unit(example: &str) -> bool {
    example.starts_with(|c: char| c.is_ascii_digit())
        && example.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '°'))
}

fn shape(document: &Document, node: Node<'_>, part: Option<Part<'_>>) -> Finding {
    let named = name(document, node.id());
    let shapes: Vec<&str> = part
        .map(Part::shapes)
        .unwrap_or_default()
        .into_iter()
        .filter(|shape| *shape != "null")
        .collect();
    let example = part.and_then(Part::example);
    let wanted: Vec<&str> = shapes.iter().map(|shape| shape_in_words(shape)).collect();
    let wanted = match wanted.as_slice() {
        [] => "something else".to_owned(),
        wanted => wanted.join(" or "),
    };
    let finding = of_value(&rules::WRONG_SHAPE, document, node);
    let number = matches!(node.class(), Class::Integer | Class::Float);
    let text_wanted = shapes.contains(&"string");
    let finding = if number && text_wanted && example.as_deref().is_some_and(has_unit) {
        finding.message(format!(
            "{named} is {} without a unit",
            found_in_words(node)
        ))
    } else {
        finding.message(format!(
            "{named} is {}, and has to be {wanted}",
            found_in_words(node)
        ))
    };
    let text = node.text().unwrap_or_default();
    let with_unit = example.as_deref().is_some_and(has_unit);
    if text_wanted && !with_unit && !text.is_empty() {
        let quoted = double_quoted(text);
        return finding
            .help(format!(
                "put it in quotes: {}",
                written(document, node, &quoted)
            ))
            .fix(Place::bytes(document.file(), node.range()), quoted);
    }
    if node.is_null() && node.text().is_some() {
        let else_delete = "or delete the line if there is nothing to say";
        return finding.help(match example {
            Some(example) => {
                format!(
                    "write for example {}, {else_delete}",
                    written(document, node, &example)
                )
            }
            None => format!("write a value, {else_delete}"),
        });
    }
    if let Some(example) = example {
        return finding.help(format!(
            "write for example {}",
            written(document, node, &example)
        ));
    }
    match part {
        Some(part) if shapes.contains(&"object") => {
            let fields: Vec<&str> = part.fields().into_iter().map(|(name, _)| name).collect();
            let fields = if fields.is_empty() {
                choice(part)
            } else {
                list(&fields)
            };
            finding.help(format!(
                "write its fields below it, two spaces further in: {fields}"
            ))
        }
        _ if shapes.contains(&"array") && !text.is_empty() => finding.help(format!(
            "put it in square brackets: {}",
            written(document, node, &format!("[{text}]"))
        )),
        _ => finding,
    }
}

/// The deciding field of alternatives and its values.
fn choice(part: Part<'_>) -> String {
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

fn value(document: &Document, node: Node<'_>, values: &[String]) -> Finding {
    let text = node.text().unwrap_or_default();
    let finding = of_value(&rules::NOT_ALLOWED_VALUE, document, node);
    let named = name(document, node.id());
    let finding = if node.is_null() {
        finding.message(format!("{named} is empty"))
    } else {
        finding.message(format!("{named} cannot be `{text}`"))
    };
    let allowed = match values {
        [only] => format!("it has to be `{only}`"),
        _ => format!("it can be one of {}", list(values)),
    };
    match nearest(text, values.iter().map(String::as_str)) {
        Some(meant) => finding
            .label(format!("did you mean `{meant}`?"))
            .note(allowed)
            .help(format!("did you mean `{meant}`?"))
            .fix(
                Place::bytes(document.file(), node.range()),
                super::schema::flow(&Value::from(meant)),
            ),
        None => finding.help(allowed),
    }
}

fn length(
    document: &Document,
    node: Node<'_>,
    part: Option<Part<'_>>,
    (relation, limit): (&str, &str),
    longest: bool,
) -> Finding {
    let named = name(document, node.id());
    let finding = of_value(&rules::WRONG_LENGTH, document, node);
    let finding = match (node.kind(), node.len()) {
        (Kind::Scalar(_), _) if node.text() == Some("") => {
            finding.message(format!("{named} is empty"))
        }
        (Kind::Scalar(_), _) => {
            finding.message(format!("{named} has to have {relation} {limit} characters"))
        }
        (Kind::Sequence, 0) => finding.message(format!("{named} is an empty list")),
        (Kind::Sequence, count) => {
            let entries = if count == 1 { "entry" } else { "entries" };
            finding.message(format!(
                "{named} has {count} {entries}, and has to have {relation} {limit}"
            ))
        }
        (Kind::Mapping, count) => {
            let fields = if count == 1 { "field" } else { "fields" };
            finding.message(format!(
                "{named} has {count} {fields}, and has to have {relation} {limit}"
            ))
        }
    };
    if longest {
        finding
    } else {
        with_purpose_and_example(finding, document, node, part)
    }
}
