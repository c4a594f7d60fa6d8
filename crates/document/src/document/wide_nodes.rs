//! Lists and mappings with many entries, so that looking one of them up does not mean walking past all before it.
//!
//! If thousands of rows each have a fault, each has to be found by its path, and its path by its bytes; walking to each
//! from the first would take a time that grows with the square of their number. It is made when an entry of such a node is
//! asked for, never for a file whose lists are short.

use std::collections::BTreeMap;

use super::Document;
use super::tree::{NodeId, NodeKind};

/// Number of entries from which a list or mapping is looked up here; fewer are walked past as fast.
pub(crate) const MANY: usize = 64;

/// The lists and mappings of a document that have many entries.
#[derive(Clone, Debug, Default)]
pub(crate) struct WideNodes {
    of_node: BTreeMap<NodeId, WideNode>,
}

/// The children of one such node.
#[derive(Clone, Debug)]
pub(crate) struct WideNode {
    /// In the order of the text; of a mapping keys and values in turn.
    children: Vec<NodeId>,
    /// Of a mapping the positions of its keys among the children, by their texts, without the repeated ones.
    by_key: Vec<u32>,
    /// True if no child ends before the one before it, which the cells of a table's row may.
    in_order: bool,
}

impl WideNodes {
    pub(crate) fn of(document: &Document) -> Self {
        let tree = document.tree();
        let wide = (0..tree.len())
            .map(NodeId::of_row)
            .filter(|id| MANY <= tree.count(*id));
        Self {
            of_node: wide.map(|id| (id, WideNode::of(document, id))).collect(),
        }
    }

    pub(crate) fn get(&self, id: NodeId) -> Option<&WideNode> {
        self.of_node.get(&id)
    }
}

impl WideNode {
    fn of(document: &Document, id: NodeId) -> Self {
        let tree = document.tree();
        let children: Vec<NodeId> = tree.children(id).collect();
        let mut by_key = Vec::new();
        if tree.kind(id) == NodeKind::Mapping {
            let keys = children.iter().enumerate().step_by(2);
            let texts = keys.filter_map(|(position, key)| {
                let key = document.node(*key).filter(|key| !key.is_repeated())?;
                Some((key.text()?, u32::try_from(position).ok()?))
            });
            let mut texts: Vec<(&str, u32)> = texts.collect();
            texts.sort_unstable();
            by_key = texts.into_iter().map(|(_, position)| position).collect();
        }
        let ends = |child: &NodeId| tree.range(*child).end;
        let in_order = children.is_sorted_by_key(ends);
        Self {
            children,
            by_key,
            in_order,
        }
    }

    /// The child with this position.
    pub(crate) fn child(&self, position: usize) -> Option<NodeId> {
        self.children.get(position).copied()
    }

    /// Key and value of an entry of a mapping.
    pub(crate) fn entry(&self, document: &Document, key: &str) -> Option<(NodeId, NodeId)> {
        let text = |position: u32| {
            let node = self
                .child(position as usize)
                .and_then(|id| document.node(id));
            node.and_then(super::Node::text).unwrap_or_default()
        };
        let first = self
            .by_key
            .partition_point(|position| text(*position) < key);
        let position = *self.by_key.get(first)?;
        if text(position) != key {
            return None;
        }
        let position = position as usize;
        Some((self.child(position)?, self.child(position + 1)?))
    }

    /// Position of the child that is this node or holds it.
    pub(crate) fn position_of(&self, document: &Document, id: NodeId) -> Option<usize> {
        let position = self
            .children
            .partition_point(|child| *child <= id)
            .checked_sub(1)?;
        let child = self.child(position)?;
        (id < document.tree().after(child)).then_some(position)
    }

    /// The first child that covers a byte offset and is not empty.
    pub(crate) fn child_at(&self, document: &Document, offset: usize) -> Option<NodeId> {
        let range = |child: &NodeId| document.tree().range(*child);
        let from = if self.in_order {
            self.children
                .partition_point(|child| range(child).end < offset)
        } else {
            0
        };
        let rest = self.children.get(from..)?.iter();
        // Nothing that begins behind the place covers it, where they stand in order.
        let near = rest.take_while(|child| !self.in_order || range(child).start <= offset);
        near.copied().find(|child| {
            let range = range(child);
            range.start <= offset && offset <= range.end && !range.is_empty()
        })
    }
}

#[cfg(test)]
thread_local! {
    static STEPS: std::cell::Cell<usize> = const { std::cell::Cell::new(0) };
}

/// Counts nodes that were walked past on this thread: what takes long does so by them.
#[cfg(test)]
pub(crate) fn count_steps(steps: usize) {
    STEPS.set(STEPS.get() + steps);
}

#[cfg(test)]
mod tests;
