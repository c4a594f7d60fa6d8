//! Order of a document's fields by a schema: as they stand there.

use super::schema::Subschema;
use crate::document::Node;
use crate::document::edit::EntryOrder;

/// Lists and mappings inside one another, beyond which nothing is put in order.
const DEEPEST: usize = 64;

/// The mappings whose fields stand in another order than in the schema. A field that the schema does not name keeps its place
/// behind the one before it.
pub(super) fn out_of_order(root: Subschema<'_>, node: Node<'_>) -> Vec<EntryOrder> {
    let mut found = Vec::new();
    look_at(&[root], node, 0, &mut found);
    found
}

fn look_at(parts: &[Subschema<'_>], node: Node<'_>, depth: usize, found: &mut Vec<EntryOrder>) {
    if DEEPEST < depth {
        return;
    }
    let parts = with_alternatives(parts, node);
    if node.is_mapping() {
        let keys: Vec<&str> = node
            .entries()
            .map(|(key, _)| key.text().unwrap_or_default())
            .collect();
        // A key that is repeated is none of the entries.
        if keys.len() == node.len() {
            let order = order(&parts, &keys);
            if !order.iter().copied().eq(0..keys.len()) {
                found.push(EntryOrder {
                    mapping: node.id(),
                    order,
                });
            }
        }
        for (key, value) in node.entries() {
            let name = key.text().unwrap_or_default();
            let fields: Vec<_> = parts
                .iter()
                .filter_map(|part| part.field(name).or_else(|| part.other_fields()))
                .collect();
            look_at(&fields, value, depth + 1, found);
        }
    }
    let rows: Vec<_> = parts.iter().filter_map(|part| part.entries()).collect();
    for item in node.items() {
        look_at(&rows, item, depth + 1, found);
    }
}

/// The parts with those of their alternatives that a node can be.
fn with_alternatives<'s>(parts: &[Subschema<'s>], node: Node<'_>) -> Vec<Subschema<'s>> {
    let mut all = Vec::new();
    for part in parts {
        all.push(*part);
        let fitting: Vec<_> = part
            .alternatives()
            .into_iter()
            .filter(|alternative| can_be(*alternative, node))
            .collect();
        all.extend(with_alternatives(&fitting, node));
    }
    all
}

/// True unless a field that can have few values only has another one in the node.
fn can_be(part: Subschema<'_>, node: Node<'_>) -> bool {
    part.marks().iter().all(|(name, values)| {
        let text = node.get(name).and_then(Node::text);
        text.is_none_or(|text| values.contains(&text))
    })
}

fn order(parts: &[Subschema<'_>], keys: &[&str]) -> Vec<usize> {
    let mut usual: Vec<&str> = Vec::new();
    for (name, _) in parts.iter().flat_map(|part| part.fields()) {
        if !usual.contains(&name) {
            usual.push(name);
        }
    }
    let mut rank = 0;
    let mut ranked: Vec<(usize, usize)> = Vec::new();
    for (index, key) in keys.iter().enumerate() {
        if let Some(place) = usual.iter().position(|name| name == key) {
            rank = place + 1;
        }
        ranked.push((rank, index));
    }
    ranked.sort_by_key(|(rank, _)| *rank);
    ranked.into_iter().map(|(_, index)| index).collect()
}
