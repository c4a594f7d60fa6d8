//! Of several alternatives, only what is wrong with the one that was meant.

use jsonschema::ValidationError;
use jsonschema::error::ValidationErrorKind as NodeKind;
use serde_json::Value;

use super::schema::{Subschema, flow};
use super::{Flaw, Unfit};
use crate::did_you_mean::nearest;
use crate::document::{Document, Node};
use crate::place::Path;

/// Turns an error and the errors inside it into flaws.
pub(super) fn flatten(
    schema: &Value,
    document: &Document,
    error: &ValidationError<'_>,
    flaws: &mut Vec<Flaw>,
) {
    let path = Path::from_pointer(error.instance_path().as_str());
    let Some(node) = document.find(&path) else {
        return;
    };
    let keyword = error.schema_path().as_str();
    let mut flaw = |what| {
        flaws.push(Flaw {
            what,
            node: node.id(),
            holder: None,
            keyword: keyword.to_owned(),
        });
    };
    match error.kind() {
        NodeKind::OneOfNotValid { context }
        | NodeKind::AnyOf { context }
        | NodeKind::OneOfMultipleValid { context } => {
            alternatives(schema, document, node, keyword, context, flaws);
        }
        NodeKind::AdditionalProperties { unexpected }
        | NodeKind::UnevaluatedProperties { unexpected } => {
            for name in unexpected {
                let Some((key, _)) = node.entry(name) else {
                    continue;
                };
                flaws.push(Flaw {
                    what: Unfit::Unknown(name.clone()),
                    node: key.id(),
                    holder: Some(node.id()),
                    keyword: keyword.to_owned(),
                });
            }
        }
        NodeKind::Required { property } => {
            flaw(Unfit::Missing(
                property.as_str().unwrap_or_default().to_owned(),
            ));
        }
        NodeKind::Type { .. } | NodeKind::FalseSchema => flaw(Unfit::Shape),
        NodeKind::Enum { .. } | NodeKind::Constant { .. } => {
            let values = Subschema::around(schema, keyword)
                .map(Subschema::values)
                .unwrap_or_default();
            flaw(if node.text().is_none() {
                Unfit::Shape
            } else {
                Unfit::Value(values.into_iter().map(str::to_owned).collect())
            });
        }
        NodeKind::Minimum { limit } => flaw(Unfit::Bound("at least", flow(limit))),
        NodeKind::Maximum { limit } => flaw(Unfit::Bound("at most", flow(limit))),
        NodeKind::ExclusiveMinimum { limit } => flaw(Unfit::Bound("more than", flow(limit))),
        NodeKind::ExclusiveMaximum { limit } => flaw(Unfit::Bound("less than", flow(limit))),
        NodeKind::MultipleOf { multiple_of } => {
            flaw(Unfit::Bound("a multiple of", multiple_of.to_string()));
        }
        NodeKind::MinItems { limit }
        | NodeKind::MinLength { limit }
        | NodeKind::MinProperties { limit } => {
            flaw(Unfit::Length("at least", limit.to_string(), false));
        }
        NodeKind::MaxItems { limit }
        | NodeKind::MaxLength { limit }
        | NodeKind::MaxProperties { limit } => {
            flaw(Unfit::Length("at most", limit.to_string(), true));
        }
        NodeKind::AdditionalItems { limit } => {
            flaw(Unfit::Length("at most", limit.to_string(), true));
        }
        NodeKind::Pattern { .. } | NodeKind::Format { .. } => {
            // A text that is no number in quotation marks either, where a number is asked for.
            let number = Subschema::around(schema, keyword)
                .is_some_and(|part| part.shapes().contains(&"number"));
            flaw(if number { Unfit::Shape } else { Unfit::Form });
        }
        NodeKind::UniqueItems => flaw(Unfit::Repeated),
        _ => flaw(Unfit::Other),
    }
}

/// Closeness of an alternative to the text as written.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Marked,
    Shaped,
    Not,
}

fn alternatives(
    schema: &Value,
    document: &Document,
    node: Node<'_>,
    keyword: &str,
    context: &[Vec<ValidationError<'static>>],
    flaws: &mut Vec<Flaw>,
) {
    let parts: Vec<Subschema<'_>> = Subschema::around(schema, keyword)
        .map(Subschema::alternatives)
        .unwrap_or_default();
    let mut flaw = |what, node: Node<'_>| {
        flaws.push(Flaw {
            what,
            node: node.id(),
            holder: None,
            keyword: keyword.to_owned(),
        });
    };
    // A choice of values rather than of groups of fields.
    let listed: Vec<&str> = parts.iter().flat_map(|part| part.values()).collect();
    let groups = parts.iter().any(|part| part.shapes().contains(&"object"));
    if !listed.is_empty() && !groups {
        flaw(
            if node.text().is_none() {
                Unfit::Shape
            } else {
                Unfit::Value(listed.into_iter().map(str::to_owned).collect())
            },
            node,
        );
        return;
    }
    if groups && !node.is_mapping() && !parts.iter().any(|part| fits(*part, node)) {
        flaw(Unfit::Shape, node);
        return;
    }
    // The alternatives as far as they are known by a field of one value.
    let marks: Vec<_> = parts.iter().map(|part| part.marks()).collect();
    let deciding = marks
        .first()
        .into_iter()
        .flatten()
        .map(|(name, _)| *name)
        .find(|name| {
            marks
                .iter()
                .all(|marks| marks.iter().any(|(other, _)| other == name))
        });
    if let (Some(field), true) = (deciding, node.is_mapping()) {
        let values: Vec<String> = marks
            .iter()
            .flatten()
            .filter(|(name, _)| *name == field)
            .flat_map(|(_, values)| values.iter().map(|value| (*value).to_owned()))
            .collect();
        // Without the deciding field nothing can be said about the others: all of it is blamed.
        let undecided = |what, at: Node<'_>| Flaw {
            what,
            node: at.id(),
            holder: Some(node.id()),
            keyword: keyword.to_owned(),
        };
        let known: Vec<&str> = parts
            .iter()
            .flat_map(|part| part.fields())
            .map(|(name, _)| name)
            .collect();
        match node.get(field) {
            None => {
                let misspelt = node.entries().map(|(key, _)| key).find(|key| {
                    let text = key.text().unwrap_or_default();
                    !known.contains(&text) && nearest(text, [field]).is_some()
                });
                let fitting = ways_that_fit(&parts, field, node);
                let ways = if fitting.is_empty() { values } else { fitting };
                flaws.push(match misspelt {
                    Some(key) => undecided(Unfit::Misspelt(field.to_owned()), key),
                    None => undecided(Unfit::NoChoice(field.to_owned(), ways), node),
                });
                return;
            }
            Some(value) if value.text().is_none() => {
                flaws.push(undecided(Unfit::Shape, value));
                return;
            }
            Some(value)
                if !values
                    .iter()
                    .any(|known| Some(known.as_str()) == value.text()) =>
            {
                flaws.push(undecided(Unfit::Choice(values), value));
                return;
            }
            Some(_) => {}
        }
    }
    let best = parts
        .iter()
        .zip(&marks)
        .zip(context)
        .min_by_key(|((part, marks), errors)| {
            // Where one field decides, a wrong value in another does not make it a different alternative.
            let mut counted = marks
                .iter()
                .filter(|(name, _)| deciding.is_none_or(|field| *name == field))
                .peekable();
            let marked = counted.peek().is_some()
                && counted.all(|(name, values)| {
                    node.get(name)
                        .and_then(Node::text)
                        .is_some_and(|text| values.contains(&text))
                });
            let fit = match (marked, fits(**part, node)) {
                (true, _) => Fit::Marked,
                (false, true) => Fit::Shaped,
                (false, false) => Fit::Not,
            };
            (fit, errors.len())
        });
    match best {
        Some((_, errors)) if !errors.is_empty() => {
            for error in errors {
                flatten(schema, document, error, flaws);
            }
        }
        _ => flaw(Unfit::Other, node),
    }
}

/// Values of the deciding field whose alternatives have all the fields that are there.
fn ways_that_fit(parts: &[Subschema<'_>], field: &str, node: Node<'_>) -> Vec<String> {
    let fits = |part: &&Subschema<'_>| {
        let fields = part.fields();
        let mut keys = node.entries().filter_map(|(key, _)| key.text());
        keys.all(|key| fields.iter().any(|(name, _)| *name == key))
    };
    let marks = parts.iter().filter(fits).flat_map(|part| part.marks());
    marks
        .filter(|(name, _)| *name == field)
        .flat_map(|(_, values)| values.into_iter().map(str::to_owned))
        .collect()
}

/// True if a node has one of the shapes of a part.
fn fits(part: Subschema<'_>, node: Node<'_>) -> bool {
    part.shapes()
        .iter()
        .any(|shape| super::shape::has_shape(node, shape))
}
