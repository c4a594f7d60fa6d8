//! Findings about nodes that do not fit their schema.

use std::ops::Range;

use serde_json::Value;

use super::schema::Subschema;
use super::shape::Need;
use super::{DocumentSchema, Flaw, Unfit};
use crate::did_you_mean::nearest;
use crate::document::edit::{self, NewValue};
use crate::document::{Document, Node, NodeId, NodeKind, Style, double_quoted};
use crate::finding::{Edit, Fact, Finding, ReaderRule};
use crate::help;
use crate::offer::{Help, Offer};
use crate::place::{PathStep, Place};
use crate::rules;

/// Names that are listed at most; more would bury the message.
const MOST_NAMES: usize = 16;

/// Puts a flaw into words; nothing if its node is gone.
pub(super) fn say(schema: &DocumentSchema, document: &Document, flaw: &Flaw) -> Option<Finding> {
    let node = document.node(flaw.node)?;
    let part = Subschema::around(&schema.schema, &flaw.keyword);
    Some(match &flaw.what {
        Unfit::Unknown(written) => unknown(schema, document, flaw, node, written),
        Unfit::Misspelt(field) => {
            let holder = flaw
                .holder
                .map_or_else(|| "the file".to_owned(), |id| name(document, id));
            let written = node.text().unwrap_or_default();
            let finding = Finding::new(&rules::UNKNOWN_KEY, document.place_of(node.id()))
                .message(format!("`{written}` is not a field of {holder}"))
                .label(format!("did you mean `{field}`?"))
                .help(help!("did you mean {}?", Offer::new_name(field.clone())))
                .fact("field", Fact::text(written));
            renamed(finding, document, flaw, node, field)
        }
        Unfit::Missing(field) => missing(document, node, part, field),
        Unfit::NoChoice(field, values) => Finding::new(&rules::MISSING_KEY, head(document, node))
            .message(format!(
                "`{field}` is missing in {}",
                name(document, node.id())
            ))
            .note(format!("`{field}` says which of several ways applies"))
            .help(one_of(field, values))
            .fact("field", Fact::text(field.clone())),
        Unfit::Shape => {
            let (path, _) = document.path_of(node.id());
            let need = if Subschema::root(&schema.schema).requires(&path) {
                Need::Required
            } else {
                Need::Optional
            };
            super::shape::shape(document, node, part, need)
        }
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
        Unfit::Repeated => repeated(document, node),
        Unfit::Other => {
            let finding = Finding::new(&rules::WRONG_FORM, head(document, node)).message(format!(
                "{} does not have the form that is asked for",
                name(document, node.id())
            ));
            with_purpose_and_example(finding, document, node, part)
        }
    })
}

/// Name of a node: its field, the number of its entry, or the file.
pub(super) fn name(document: &Document, id: NodeId) -> String {
    let (path, _) = document.path_of(id);
    match path.steps() {
        [] => "the file".to_owned(),
        [.., PathStep::Key(key)] => format!("`{key}`"),
        [steps @ .., PathStep::Index(index)] => {
            let holder = steps.iter().rev().find_map(|step| match step {
                PathStep::Key(key) => Some(format!(" of `{key}`")),
                PathStep::Index(_) => None,
            });
            format!("entry {}{}", index + 1, holder.unwrap_or_default())
        }
    }
}

/// Place for a finding about a list or a group of fields: its key, or its first line.
fn head(document: &Document, node: Node<'_>) -> Place {
    Place::key(document.file(), document.path_of(node.id()).0)
}

/// A finding on a value; on its key where the value is absent and has no place of its own.
pub(super) fn of_value(rule: &ReaderRule, document: &Document, node: Node<'_>) -> Finding {
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

pub(super) fn list<T: AsRef<str>>(names: &[T]) -> String {
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
    let fields = Subschema::around(schema, &flaw.keyword)
        .map(Subschema::fields)
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
    schema: &DocumentSchema,
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
        let finding = finding
            .label(format!("did you mean `{meant}`?"))
            .help(help!("did you mean {}?", Offer::new_name(meant.to_owned())));
        return renamed(finding, document, flaw, key, meant);
    }
    if let Some(text) = cut_by_comma(document, flaw, key) {
        let quoted = double_quoted(document.text().get(text.clone()).unwrap_or_default());
        return finding
            .note("in brackets a comma parts fields, so the text before it ends there")
            .help(help!(
                "put the whole text in quotes: {}",
                Offer::yaml(quoted.clone()).at(Place::bytes(document.file(), text.clone()))
            ))
            .fix(Place::bytes(document.file(), text), quoted);
    }
    let homes: Vec<&str> = schema
        .homes
        .iter()
        .filter(|(field, _)| field == written)
        .map(|(_, home)| home.as_str())
        .collect();
    // One that belongs there beside another word of the deciding field, or that stands there twice, is told what fits instead.
    let at_home = match flaw.holder.map(|id| document.path_of(id).0) {
        Some(path) => path.steps().iter().rev().find_map(|step| match step {
            PathStep::Key(key) => Some(homes.contains(&key.as_ref())),
            PathStep::Index(_) => None,
        }),
        None => None,
    };
    match homes.as_slice() {
        _ if at_home == Some(true) => {
            let before = format!("`{written}` belongs to another way of {holder}; ");
            can_stand_here(
                finding,
                &before,
                &candidates(&schema.schema, document, flaw),
            )
        }
        [""] => finding.help(format!(
            "`{written}` stands at the top of the file, not indented"
        )),
        [_, ..] => {
            let homes: Vec<&str> = homes.into_iter().filter(|home| !home.is_empty()).collect();
            finding.help(format!("`{written}` belongs in {}", list(&homes)))
        }
        [] => can_stand_here(finding, "", &candidates(&schema.schema, document, flaw)),
    }
}

/// The finding with the fields that can stand beside an unknown one.
fn can_stand_here(finding: Finding, before: &str, fields: &[&str]) -> Finding {
    if fields.is_empty() {
        return finding.help("delete it; a remark can be written after `#`");
    }
    let names = fields.iter().map(|field| Offer::name((*field).to_owned()));
    finding.help(help!(
        "{before}fields that can stand here are {}; a remark can be written after `#`",
        names.collect::<Vec<Offer>>()
    ))
}

/// The finding about a key with its other name as the change that would settle it.
fn renamed(
    finding: Finding,
    document: &Document,
    flaw: &Flaw,
    key: Node<'_>,
    name: &str,
) -> Finding {
    match flaw.holder.and_then(|holder| document.node(holder)) {
        Some(holder) => finding.fixes(edit::key_renamed(holder, key, name)),
        None => finding,
    }
}

/// The edit that makes a value this text; of a table's cell the text alone.
fn set_to(document: &Document, node: Node<'_>, text: &str) -> Edit {
    edit::scalar_set(node, &NewValue::text(text)).unwrap_or_else(|| Edit {
        place: Place::bytes(document.file(), node.range()),
        replacement: super::schema::flow(&Value::from(text)),
    })
}

/// The bare text that a comma cut in two, if the unknown key is its second half: a name without a
/// colon after a bare text.
fn cut_by_comma(document: &Document, flaw: &Flaw, key: Node<'_>) -> Option<Range<usize>> {
    let (before, value) = document.around_key(flaw.holder?, key.id())?;
    let before = before.filter(|_| value.range().is_empty())?;
    let bare = before.kind() == NodeKind::Scalar(Style::Plain) && !before.range().is_empty();
    let between = document.text().get(before.range().end..key.range().start)?;
    let comma = between.trim() == "," && !between.contains('\n');
    (bare && comma).then(|| before.range().start..key.range().end)
}

fn missing(
    document: &Document,
    node: Node<'_>,
    part: Option<Subschema<'_>>,
    field: &str,
) -> Finding {
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
        (Some(example), _) => finding.help(help!(
            "write for example {}",
            Offer::field(format!("{field}: {example}"))
        )),
        (None, []) => finding,
        (None, values) => finding.help(one_of(field, values)),
    }
}

/// A field with each of the values that it takes; what belongs to the one that is chosen has to follow.
fn one_of<T: AsRef<str>>(field: &str, values: &[T]) -> Help {
    let of = |value: &T| Offer::field(format!("{field}: {}", value.as_ref())).in_part();
    let offers: Vec<Offer> = values.iter().map(of).collect();
    if offers.len() == 1 {
        help!("write {}", offers)
    } else {
        help!("write one of {}", offers)
    }
}

fn with_purpose_and_example(
    finding: Finding,
    document: &Document,
    node: Node<'_>,
    part: Option<Subschema<'_>>,
) -> Finding {
    let Some(part) = part else { return finding };
    let finding = match part.purpose() {
        Some(purpose) => finding.note(format!("{}: {purpose}", name(document, node.id()))),
        None => finding,
    };
    match part.example() {
        Some(example) => finding.help(help!(
            "write for example {}",
            written(document, node, &example)
        )),
        None => finding,
    }
}

/// The value with its field, as a line of the file.
pub(super) fn written(document: &Document, node: Node<'_>, value: &str) -> Offer {
    match document.path_of(node.id()).0.steps() {
        [.., PathStep::Key(key)] => Offer::field(format!("{key}: {value}")),
        _ => Offer::yaml(value.to_owned()),
    }
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
    let alternatives = values.iter().map(|value| Offer::yaml(value.clone()));
    let alternatives: Vec<Offer> = alternatives.collect();
    let allowed = if values.len() == 1 {
        help!("it has to be {}", alternatives)
    } else {
        help!("it can be one of {}", alternatives)
    };
    match nearest(text, values.iter().map(String::as_str)) {
        Some(meant) => finding
            .label(format!("did you mean `{meant}`?"))
            .note(allowed)
            .help(help!("did you mean {}?", Offer::yaml(meant.to_owned())))
            .fixes([set_to(document, node, meant)]),
        None => finding.help(allowed),
    }
}

fn length(
    document: &Document,
    node: Node<'_>,
    part: Option<Subschema<'_>>,
    (relation, limit): (&str, &str),
    longest: bool,
) -> Finding {
    let named = name(document, node.id());
    let finding = of_value(&rules::WRONG_LENGTH, document, node);
    let finding = match (node.kind(), node.len()) {
        (NodeKind::Scalar(_), _) if node.text() == Some("") => {
            finding.message(format!("{named} is empty"))
        }
        (NodeKind::Scalar(_), _) => {
            finding.message(format!("{named} has to have {relation} {limit} characters"))
        }
        (NodeKind::Sequence, 0) => finding.message(format!("{named} is an empty list")),
        (NodeKind::Sequence, count) => {
            let entries = if count == 1 { "entry" } else { "entries" };
            finding.message(format!(
                "{named} has {count} {entries}, and has to have {relation} {limit}"
            ))
        }
        (NodeKind::Mapping, count) => {
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

/// A list that holds an entry twice: the second one is shown, where it is a plain text.
fn repeated(document: &Document, node: Node<'_>) -> Finding {
    let items: Vec<Node<'_>> = node.items().collect();
    let again = items.iter().enumerate().find_map(|(index, item)| {
        let same = |other: &&Node<'_>| other.text().is_some() && other.text() == item.text();
        Some((*item, *items.iter().take(index).find(same)?))
    });
    let finding = |place| {
        Finding::new(&rules::REPEATED_ENTRY, place)
            .message(format!(
                "{} holds the same entry twice",
                name(document, node.id())
            ))
            .note("one of the two was probably meant to be another")
            .help("look at the paper: write the other one, or delete one of the two")
    };
    match again {
        Some((second, first)) => finding(document.place_of(second.id()))
            .label("here again")
            .related(document.place_of(first.id()), "the first one"),
        None => finding(head(document, node)),
    }
}
