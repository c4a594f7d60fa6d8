//! Nodes that a finding already speaks of, so that later stages stay silent about them.

use std::collections::BTreeSet;
use std::ops::Bound;

use crate::document::{Document, Node, NodeId};

/// The nodes of one document that were already found fault with.
#[derive(Clone, Debug, Default)]
pub struct ReportedNodes {
    nodes: BTreeSet<NodeId>,
    lacking: BTreeSet<NodeId>,
}

impl ReportedNodes {
    /// The nodes that reading the document found fault with.
    #[must_use]
    pub fn by_reading(document: &Document) -> Self {
        let mut reported = Self::default();
        reported.nodes.extend(document.reported());
        reported
    }

    /// True if nothing was reported.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty() && self.lacking.is_empty()
    }

    /// Notes a node that is reported: it counts as absent from now on. Says whether that is new.
    pub fn insert(&mut self, id: NodeId) -> bool {
        self.nodes.insert(id)
    }

    /// Notes that something is missing in a mapping, whose fields can otherwise be used.
    pub fn mark_incomplete(&mut self, id: NodeId) {
        self.lacking.insert(id);
    }

    /// True if the node itself was reported.
    pub fn contains(&self, id: NodeId) -> bool {
        !self.nodes.is_empty() && self.nodes.contains(&id)
    }

    /// True if the node or anything under it is blamed or lacking.
    pub fn touches(&self, node: Node<'_>) -> bool {
        let within = (Bound::Included(node.id()), Bound::Excluded(node.after()));
        self.nodes.range(within).next().is_some() || self.lacking.range(within).next().is_some()
    }

    /// True if the node or one that it lies in is blamed.
    pub fn covers(&self, document: &Document, id: NodeId) -> bool {
        !self.nodes.is_empty()
            && document
                .ancestors(id)
                .into_iter()
                .any(|ancestor| self.nodes.contains(&ancestor))
    }

    /// Blames every list that a blamed entry stands in, since a list with a gap is another list.
    pub(crate) fn blame_lists(&mut self, document: &Document) {
        let lists: Vec<NodeId> = self
            .nodes
            .iter()
            .filter_map(|id| outermost_list(document, *id))
            .collect();
        self.nodes.extend(lists);
    }

    /// The blamed nodes in the order of the text.
    pub fn iter(&self) -> impl Iterator<Item = NodeId> + '_ {
        self.nodes.iter().copied()
    }
}

/// The list that falls with an entry; lists directly in lists fall together.
fn outermost_list(document: &Document, id: NodeId) -> Option<NodeId> {
    let mut ancestors = document.ancestors(id);
    // The node itself is last.
    ancestors.pop();
    let mut list = None;
    while let Some(parent) = ancestors.pop() {
        match document.node(parent).map(Node::is_list) {
            Some(true) => list = Some(parent),
            _ => break,
        }
    }
    list
}
