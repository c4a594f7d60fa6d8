//! Check of a document against the fields and shapes that its kind asks for.
//!
//! `jsonschema` decides, on our own tree; its words never reach the author. Each error is turned
//! into a finding that names the field, says what was found, and shows what to write, with the
//! descriptions and examples that the schema holds.

mod branch;
mod order;
mod representation;
mod schema;
mod shape;
mod words;

use std::collections::{BTreeSet, HashSet};

use jsonschema::{ValidationError, Validator};
use serde_json::Value;

use crate::document::edit::EntryOrder;
use crate::document::{Document, NodeId};
use crate::finding::Finding;
use crate::place::Place;
use crate::reported_nodes::ReportedNodes;
use crate::rules;
use representation::{Instance, TreeRepresentation};
use schema::Subschema;

/// A schema that cannot be used, which is a fault of this software.
#[derive(Clone, Debug)]
pub struct SchemaError(String);

impl std::fmt::Display for SchemaError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the schema cannot be used: {}", self.0)
    }
}

impl std::error::Error for SchemaError {}

/// The schema of one kind of file, made ready once.
///
/// # Example
///
/// ```
/// use serde_json::json;
/// use stainbook_document::{Document, ReadOptions};
/// use stainbook_document::place::FileId;
/// use stainbook_document::schema_check::DocumentSchema;
///
/// let schema = DocumentSchema::new(json!({
///     "type": "object",
///     "properties": {"handle": {"type": "string"}},
///     "additionalProperties": false,
/// }))?;
/// let (document, _) = Document::read(FileId(0), "a", b"hanle: 100 mm\n", &ReadOptions::default());
/// let mut findings = Vec::new();
/// schema.validate(&document, &mut Default::default(), &mut findings);
/// assert_eq!(findings[0].rule(), "unknown-key");
/// assert_eq!(findings[0].help_text(), Some("did you mean `handle`?"));
/// # Ok::<(), stainbook_document::schema_check::SchemaError>(())
/// ```
pub struct DocumentSchema {
    schema: Value,
    validator: Validator<TreeRepresentation>,
    homes: Vec<(String, String)>,
}

impl std::fmt::Debug for DocumentSchema {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("DocumentSchema")
            .field("schema", &self.schema)
            .finish_non_exhaustive()
    }
}

impl DocumentSchema {
    /// Makes a schema ready.
    ///
    /// # Errors
    ///
    /// If it is no valid JSON Schema, or refers to anything outside itself.
    pub fn new(schema: Value) -> Result<Self, SchemaError> {
        let validator = jsonschema::options_for::<TreeRepresentation>()
            .offline()
            .build(&schema)
            .map_err(|error| SchemaError(error.to_string()))?;
        let homes = schema::homes(&schema);
        Ok(Self {
            schema,
            validator,
            homes,
        })
    }

    /// The schema itself.
    pub fn schema(&self) -> &Value {
        &self.schema
    }

    /// True if the document fits; quick, and without words.
    pub fn is_valid(&self, document: &Document) -> bool {
        document
            .root()
            .is_some_and(|root| self.validator.is_valid(Instance::Node(root)))
    }

    /// The mappings whose fields stand in another order than in the schema, for [`tidied`](crate::edit::tidied).
    pub fn out_of_order(&self, document: &Document) -> Vec<EntryOrder> {
        let root = document.root();
        root.map(|root| order::out_of_order(Subschema::root(&self.schema), root))
            .unwrap_or_default()
    }

    /// Reports what does not fit, in the order of the text, each node once, silent about what is
    /// blamed already; and blames what it reports.
    pub fn validate(
        &self,
        document: &Document,
        reported: &mut ReportedNodes,
        findings: &mut Vec<Finding>,
    ) {
        let Some(root) = document.root() else { return };
        let instance = Instance::Node(root);
        if self.validator.is_valid(instance) {
            return;
        }
        let mut flaws = Vec::new();
        let errors: Vec<ValidationError<'_>> = self.validator.iter_errors(instance).collect();
        for error in &errors {
            branch::flatten(&self.schema, document, error, &mut flaws);
        }
        let mut found: Vec<(usize, Flaw, Finding)> = flaws
            .into_iter()
            .filter_map(|flaw| {
                let finding = words::say(self, document, &flaw)?;
                let start = document.locate(finding.place()).start;
                Some((start, flaw, finding))
            })
            .collect();
        found.sort_by_key(|(start, flaw, _)| (*start, flaw.is_missing()));
        // A field that an unknown key probably stands for is not missing as well.
        let mentioned: BTreeSet<(NodeId, String)> = found
            .iter()
            .filter_map(|(_, flaw, _)| {
                let Unfit::Unknown(written) = &flaw.what else {
                    return None;
                };
                let meant = words::meant(&self.schema, document, flaw, written)?;
                Some((flaw.holder?, meant.to_owned()))
            })
            .collect();
        let before = reported.clone();
        let mut said = BTreeSet::new();
        let mut added = Vec::new();
        for (_, flaw, finding) in found {
            let subject = flaw.subject();
            let repeated = !said.insert((subject, flaw.field().map(str::to_owned)));
            if before.covers(document, subject) {
                // Where the field that decides was blamed before, the others cannot be understood all the same.
                if let Some(holder) = flaw.holder().filter(|_| !flaw.is_unknown()) {
                    reported.insert(holder);
                }
                continue;
            }
            if repeated {
                continue;
            }
            if flaw.is_missing() {
                let silent = document
                    .node(subject)
                    .is_none_or(crate::document::Node::is_incomplete)
                    || (document.is_broken() && subject == root.id());
                let renamed = flaw
                    .field()
                    .is_some_and(|field| mentioned.contains(&(subject, field.to_owned())));
                reported.mark_incomplete(subject);
                if let Some(holder) = flaw.holder() {
                    reported.insert(holder);
                }
                if silent || renamed {
                    continue;
                }
            } else {
                reported.insert(subject);
                match flaw.holder() {
                    Some(holder) if flaw.is_unknown() => reported.mark_incomplete(holder),
                    Some(holder) => {
                        reported.insert(holder);
                    }
                    None => {}
                }
            }
            added.push(finding);
        }
        // That a bare word is two things to two readers matters no more where neither fits.
        let unfit: HashSet<&Place> = added.iter().map(Finding::place).collect();
        findings.retain(|other| {
            other.rule() != rules::YAML_1_1_WORD.name || !unfit.contains(other.place())
        });
        findings.extend(added);
    }
}

/// One thing that does not fit.
#[derive(Clone, Debug)]
pub(crate) struct Flaw {
    what: Unfit,
    /// The node at fault: a key that is unknown, a mapping that lacks something, a value.
    node: NodeId,
    /// The mapping of an unknown key; or the one that cannot be understood without this node.
    holder: Option<NodeId>,
    /// Pointer of the keyword in the schema.
    keyword: String,
}

/// In what way something does not fit.
#[derive(Clone, Debug)]
pub(crate) enum Unfit {
    Unknown(String),
    Missing(String),
    Shape,
    /// None of the values that can be listed.
    Value(Vec<String>),
    /// The field that decides between alternatives has none of their values.
    Choice(Vec<String>),
    /// The name of the field that decides between alternatives has a slip.
    Misspelt(String),
    /// The field that decides between alternatives is absent.
    NoChoice(String, Vec<String>),
    Bound(&'static str, String),
    Length(&'static str, String, bool),
    Form,
    Repeated,
    Other,
}

impl Flaw {
    fn is_missing(&self) -> bool {
        matches!(self.what, Unfit::Missing(_) | Unfit::NoChoice(..))
    }

    fn is_unknown(&self) -> bool {
        matches!(self.what, Unfit::Unknown(_))
    }

    fn subject(&self) -> NodeId {
        self.node
    }

    fn holder(&self) -> Option<NodeId> {
        self.holder
    }

    fn field(&self) -> Option<&str> {
        match &self.what {
            Unfit::Missing(field) | Unfit::NoChoice(field, _) => Some(field),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests;
