//! From the tree to typed values, with serde, keeping what can be kept.
//!
//! A node that earlier stages reported counts as absent. A value that cannot be read is reported at its
//! place, blamed in turn, and the rest is read again without it; the common case, a file without
//! fault, is read once.
//!
//! Two names asked for as newtypes change what a visitor is given: under [`QUANTITY`] and
//! [`NUMBER`] it is the scalar's text exactly as written, so that the author's digits are kept.
//! Types implement [`FromText`] and call [`from_text`]; an ordinary serde format reads them too.
//! Alternatives with a `method:` field are declared with [`tagged!`](crate::tagged), because
//! serde's own way of reading them loses places and digits.

mod access;
mod error;
mod tagged;
mod text;

use std::cell::RefCell;
use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

pub use error::Problem;
pub use tagged::{Tagged, read_tagged};
pub use text::{FromText, from_text};

use crate::document::{Document, NodeId, edit};
use crate::finding::{Fact, Finding, ReaderRule};
use crate::place::{EntryPart, Spot};
use crate::reported_nodes::ReportedNodes;
use crate::rules;
use access::Reader;
use error::{TypedError, TypedFailure};

/// Newtype name under which a visitor is given a quantity's text as written.
pub const QUANTITY: &str = "$stainbook::quantity";

/// Newtype name under which a visitor is given a bare number's text as written.
pub const NUMBER: &str = "$stainbook::number";

/// Struct name under which the field named first is given first, wherever it stands.
pub const TAGGED: &str = "$stainbook::tagged";

/// Treatment of a list in which an entry is reported.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lists {
    /// Read the other entries, to find what else is wrong; the value is thrown away.
    Probed,
    /// Leave the list out.
    Whole,
}

/// State that the readers of one pass share.
pub(crate) struct Pass<'a> {
    pub(crate) document: &'a Document,
    pub(crate) reported: &'a ReportedNodes,
    pub(crate) lists: Lists,
    /// In which entry of a list the last error was: those before it are known to be good.
    pub(crate) known_good: &'a RefCell<BTreeMap<NodeId, usize>>,
}

/// Reads a document as `T`, reporting every value that cannot be read.
///
/// Gives nothing when so much is blamed that no `T` is left. Unknown keys are passed over, and of
/// a repeated key the first counts: both were reported before.
///
/// `rules` are those that the types name besides the [rules of any document](rules::DOCUMENT_RULES).
pub fn read_typed<T: DeserializeOwned>(
    document: &Document,
    rules: &[ReaderRule],
    reported: &mut ReportedNodes,
    findings: &mut Vec<Finding>,
) -> Option<T> {
    let root = document.root()?;
    let known_good = RefCell::new(BTreeMap::new());
    let mut lists = if reported.is_empty() {
        Lists::Whole
    } else {
        Lists::Probed
    };
    // Every pass but the last two blames a further node, so there cannot be more than this.
    for _ in 0..=document.node_count() + 2 {
        if reported.contains(root.id()) {
            return None;
        }
        let pass = Pass {
            document,
            reported,
            lists,
            known_good: &known_good,
        };
        match T::deserialize(Reader::new(root, &pass)) {
            Ok(value) if lists == Lists::Whole => return Some(value),
            Ok(_) => {
                lists = Lists::Whole;
                reported.blame_lists(document);
            }
            Err(error) => {
                let id = error.node().unwrap_or(root.id());
                let silent = document
                    .node(id)
                    .is_none_or(|node| reported.touches(node) || node.is_incomplete())
                    || (document.is_broken() && id == root.id());
                if !silent {
                    findings.push(finding(document, rules, id, &error));
                }
                if !reported.insert(id) {
                    // Nothing new to leave out: the value cannot be had.
                    return None;
                }
                match lists {
                    Lists::Whole if silent => reported.blame_lists(document),
                    _ => lists = Lists::Probed,
                }
            }
        }
    }
    None
}

fn finding(document: &Document, rules: &[ReaderRule], id: NodeId, error: &TypedError) -> Finding {
    let mut place = document.place_of(id);
    let written = document
        .node(id)
        .and_then(crate::document::Node::text)
        .unwrap_or_default();
    let finding = match error.what() {
        TypedFailure::Problem(problem) => {
            let problem = problem.parts();
            if let (
                Spot::At {
                    part: EntryPart::Value,
                    within,
                    ..
                },
                Some(range),
            ) = (&mut place.spot, &problem.within)
            {
                *within = Some(range.clone());
            }
            let named = |rule: &&ReaderRule| Some(rule.name) == problem.rule.as_deref();
            let rule = rules
                .iter()
                .chain(rules::DOCUMENT_RULES)
                .find(named)
                .unwrap_or(&rules::NOT_A_QUANTITY);
            let finding = Finding::new(rule, place.clone()).message(problem.message.clone());
            let finding = match &problem.help {
                Some(help) => finding.help(help.clone()),
                None => finding,
            };
            let finding = match &problem.label {
                Some(label) => finding.label(label.clone()),
                None => finding,
            };
            match &problem.instead {
                Some(instead) => match document
                    .node(id)
                    .and_then(|node| edit::scalar_like(node, instead))
                {
                    Some(edit) => finding.fixes([edit]),
                    None => finding.fix(document.place_of(id), instead.clone()),
                },
                None => finding,
            }
        }
        TypedFailure::Message(message) => {
            Finding::new(&rules::UNREADABLE_VALUE, place).message(message.clone())
        }
        TypedFailure::Shape(message) => Finding::new(&rules::UNREADABLE_VALUE, place)
            .message(format!(
                "the schema accepts this value and the model does not: {message}"
            ))
            .note("this is a fault of stainbook, not of the file")
            .help("please report it with this file")
            .our_fault(),
    };
    if written.is_empty() {
        finding
    } else {
        finding.fact("written", Fact::text(written))
    }
}

#[cfg(test)]
mod tests;
