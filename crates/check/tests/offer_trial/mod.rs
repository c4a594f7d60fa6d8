//! An offer put in where it is offered, byte for byte, as a person types it.

pub mod schema;

use std::ops::Range;

use stainbook_catalog::READ_OPTIONS;
use stainbook_document::edit::{self, NewValue};
use stainbook_document::finding::Finding;
use stainbook_document::offer::{Offer, OfferForm};
use stainbook_document::place::{EntryPart, FileId, Path, PathStep, Place, Spot};
use stainbook_document::{Document, Node, NodeKind};

/// A file with an offer in it.
pub struct Typed {
    /// The whole text.
    pub text: String,
    /// What was changed; nothing where the place is one of bytes, or in a table.
    pub path: Option<Path>,
    /// What has to stand there.
    pub value: Option<NewValue>,
}

/// Puts an offer of YAML in; `kind` says by which schema what is left open is filled.
pub fn typed(
    document: &Document,
    finding: &Finding,
    offer: &Offer,
    kind: &str,
) -> Result<Typed, String> {
    let place = offer.place().unwrap_or(finding.place());
    let path = document.path_at(place);
    match offer.form() {
        OfferForm::Value if document.is_of_cells() => in_cell(document, place, offer.text(), None),
        OfferForm::Value => in_place(document, place, &path, offer),
        OfferForm::Field | OfferForm::Name => in_group(document, &path, offer, kind),
        OfferForm::Entry => {
            let list = document.find(&path).filter(|node| node.is_list());
            let count = list.ok_or_else(|| format!("no list at {path}"))?.len();
            let name = match path.steps().last() {
                Some(PathStep::Key(key)) => key.to_string(),
                _ => return Err("a list in a list".into()),
            };
            let group = path.parent().unwrap_or_default();
            let entry = schema::filled(kind, &group.key(name).index(0), "", offer.text());
            let value = value_of(&entry).ok_or("no value")?;
            let at = path.clone().index(count);
            let edits = edit::insert(document, &at, &value)
                .map_err(|refusal| format!("cannot be put in: {refusal}"))?;
            Ok(Typed {
                text: edit::applied(document, &edits),
                path: Some(at),
                value: Some(value),
            })
        }
        OfferForm::NewName => {
            let key = Place {
                file: place.file,
                spot: match &place.spot {
                    Spot::At { path, .. } => Spot::At {
                        path: path.clone(),
                        part: EntryPart::Key,
                        within: None,
                    },
                    bytes @ Spot::Bytes(_) => bytes.clone(),
                },
            };
            let text = replaced(document, &document.locate(&key), offer.text());
            Ok(Typed {
                text,
                path: None,
                value: None,
            })
        }
        OfferForm::LeftOut => {
            let (group, _) = group_of(document, &path, offer.text())?;
            let removed = group.key(offer.text().to_owned());
            let edits = edit::remove(document, &removed)
                .map_err(|refusal| format!("cannot be taken out: {refusal}"))?;
            Ok(Typed {
                text: edit::applied(document, &edits),
                path: Some(removed),
                value: None,
            })
        }
        OfferForm::Cell(column) => in_cell(document, place, offer.text(), column),
        OfferForm::Command => Err("a command is put into no file".into()),
    }
}

fn replaced(document: &Document, range: &Range<usize>, text: &str) -> String {
    let mut all = document.text().to_owned();
    all.replace_range(range.clone(), text);
    all
}

/// The value that a text is by itself.
fn value_of(text: &str) -> Option<NewValue> {
    let (document, _) = Document::read(FileId(0), "offer", text.as_bytes(), &READ_OPTIONS);
    document.root().map(NewValue::of)
}

fn in_place(
    document: &Document,
    place: &Place,
    path: &Path,
    offer: &Offer,
) -> Result<Typed, String> {
    // Bytes that the offer itself names, and a finding of bytes, are no more than those.
    if offer.place().is_some() || matches!(place.spot, Spot::Bytes(_)) {
        return Ok(Typed {
            text: replaced(document, &document.locate(place), offer.text()),
            path: None,
            value: None,
        });
    }
    let node = document
        .find(path)
        .ok_or_else(|| format!("nothing stands at {path}"))?;
    let of_key = matches!(
        &place.spot,
        Spot::At {
            part: EntryPart::Key,
            ..
        }
    );
    if of_key && node.text().is_some_and(|text| !text.is_empty()) {
        return Ok(Typed {
            text: replaced(document, &document.locate(place), offer.text()),
            path: None,
            value: None,
        });
    }
    let text = if node.range().is_empty() {
        replaced(document, &node.range(), &format!(" {}", offer.text()))
    } else {
        replaced(document, &node.range(), offer.text())
    };
    Ok(Typed {
        text,
        path: Some(path.clone()),
        value: value_of(offer.text()),
    })
}

/// The group of fields that a field of this name is put into.
fn group_of<'d>(
    document: &'d Document,
    path: &Path,
    name: &str,
) -> Result<(Path, Node<'d>), String> {
    let mut at = path.clone();
    if matches!(at.steps().last(), Some(PathStep::Key(key)) if key == name) {
        at = at.parent().unwrap_or_default();
    }
    loop {
        if let Some(node) = document.find(&at).filter(|node| node.is_mapping()) {
            return Ok((at, node));
        }
        at = at
            .parent()
            .ok_or_else(|| format!("no group of fields around {path}"))?;
    }
}

fn in_group(document: &Document, path: &Path, offer: &Offer, kind: &str) -> Result<Typed, String> {
    let text = offer.text();
    let name = text
        .split(": ")
        .next()
        .unwrap_or(text)
        .trim_end_matches(':');
    let (group, node) = group_of(document, path, name)?;
    let changed = group.clone().key(name.to_owned());
    let value = match text.split_once(": ") {
        Some((_, value)) => schema::filled(kind, &group, name, value),
        None => schema::example(kind, &group, name)
            .ok_or_else(|| format!("`{name}` is no field of the group at `{group}`"))?,
    };
    let after = if let Some(there) = node.get(name) {
        let space = if there.range().is_empty() { " " } else { "" };
        replaced(document, &there.range(), &format!("{space}{value}"))
    } else {
        inserted(document, node, &format!("{name}: {value}"))?
    };
    Ok(Typed {
        text: after,
        path: Some(changed),
        value: value_of(&value),
    })
}

/// A field before the first one of its group.
fn inserted(document: &Document, group: Node<'_>, field: &str) -> Result<String, String> {
    let at = group.range().start;
    let text = document.text();
    if text.as_bytes().get(at) == Some(&b'{') {
        let comma = if group.is_empty() { "" } else { ", " };
        return Ok(replaced(
            document,
            &(at + 1..at + 1),
            &format!("{field}{comma}"),
        ));
    }
    let first = group
        .entries()
        .next()
        .map(|(key, _)| key.range().start)
        .ok_or("an empty group without brackets")?;
    let line = text[..first].rfind('\n').map_or(0, |end| end + 1);
    let blanks = " ".repeat(text[line..first].chars().count());
    Ok(replaced(
        document,
        &(first..first),
        &format!("{field}\n{blanks}"),
    ))
}

fn in_cell(
    document: &Document,
    place: &Place,
    text: &str,
    column: Option<&'static str>,
) -> Result<Typed, String> {
    let quoted = if text.contains([',', '"']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    };
    let range = document.locate(place);
    let after = match column {
        None => replaced(document, &range, &quoted),
        Some(column) => {
            let row = document.line_column(range.start).line;
            schema::with_cell(document.text(), row, column, &quoted)?
        }
    };
    Ok(Typed {
        text: after,
        path: None,
        value: None,
    })
}

/// All that a document says but for what stands at a path.
pub fn without(document: &Document, path: &Path) -> Option<NewValue> {
    let root = document.root()?;
    Some(pruned(root, path.steps()))
}

fn pruned(node: Node<'_>, steps: &[PathStep]) -> NewValue {
    let Some((step, rest)) = steps.split_first() else {
        return NewValue::Bare("~".into());
    };
    match (node.kind(), step) {
        (NodeKind::Mapping, PathStep::Key(key)) => NewValue::Mapping(
            node.entries()
                .filter(|(name, _)| !rest.is_empty() || name.text() != Some(key.as_ref()))
                .map(|(name, value)| {
                    let value = if name.text() == Some(key.as_ref()) {
                        pruned(value, rest)
                    } else {
                        NewValue::of(value)
                    };
                    (name.text().unwrap_or_default().to_owned(), value)
                })
                .collect(),
        ),
        (NodeKind::Sequence, PathStep::Index(index)) => NewValue::List(
            node.items()
                .enumerate()
                .filter(|(at, _)| !rest.is_empty() || at != index)
                .map(|(at, item)| {
                    if at == *index {
                        pruned(item, rest)
                    } else {
                        NewValue::of(item)
                    }
                })
                .collect(),
        ),
        _ => NewValue::of(node),
    }
}
