//! Inputs of a rule besides the entry, and the sink of its findings.

use jiff::civil::Date;
use stainbook_catalog::{Book, Entry};
use stainbook_document::Node;
use stainbook_document::finding::Finding;
use stainbook_document::offer::Help;
use stainbook_document::place::{FileId, Path, Place};

use crate::Rule;

/// Context of a rule besides the entry itself.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    /// The catalog, for following references.
    pub book: &'a Book,
    /// The file that is being checked.
    pub entry: &'a Entry,
    /// The day that dates are judged by; without it they are compared with each other only.
    pub as_of: Option<Date>,
}

impl Context<'_> {
    /// Words for a file that is written field by field, or in a table of the same contents.
    pub fn words(&self, in_file: impl Into<Help>, in_table: impl Into<Help>) -> Help {
        if self.entry.document.is_of_cells() {
            in_table.into()
        } else {
            in_file.into()
        }
    }

    /// True if the file says nothing at this place, of which this much was understood: a value that is there and was not
    /// understood has been blamed by the reader, and its absence from the written form is no finding. Of a file that could
    /// not be read to its end, or is no group of fields, nothing is known to be absent.
    pub fn is_absent<T>(&self, understood: Option<&T>, path: &Path) -> bool {
        if understood.is_some() {
            return false;
        }
        // Where reading gave no error, everything that is there was understood, and the file need not be looked at again.
        if self.entry.sound {
            return true;
        }
        self.says_nothing(path)
    }

    /// The same where what was understood is not at hand: the file is looked at again.
    pub fn says_nothing(&self, path: &Path) -> bool {
        let document = &self.entry.document;
        let is_whole = !document.is_broken() && document.root().is_some_and(Node::is_mapping);
        is_whole && document.find(path).is_none()
    }

    /// True if the group of fields at this place has other fields than these, and one of these may be meant: the reader has
    /// blamed them. Of a file that could not be read to its end it is not known which fields a group has.
    pub fn may_have_others(&self, path: &Path, fields: &[&str]) -> bool {
        if self.entry.sound {
            return false;
        }
        if self.entry.document.is_broken() {
            return true;
        }
        let Some(node) = self.entry.document.find(path) else {
            return false;
        };
        node.entries()
            .any(|(key, _)| !key.text().is_some_and(|key| fields.contains(&key)))
    }
}

/// Collects what one rule finds in one entry.
#[derive(Debug)]
pub struct Sink<'a> {
    rule: &'a Rule,
    file: FileId,
    findings: &'a mut Vec<Finding>,
}

impl<'a> Sink<'a> {
    pub(crate) fn new(rule: &'a Rule, file: FileId, findings: &'a mut Vec<Finding>) -> Self {
        Self {
            rule,
            file,
            findings,
        }
    }

    /// A finding of this rule about the value that the path leads to.
    #[must_use]
    pub fn at(&self, path: Path) -> Finding {
        self.at_place(Place::value(self.file, path))
    }

    /// A finding of this rule about a key.
    #[must_use]
    pub fn at_key(&self, path: Path) -> Finding {
        self.at_place(Place::key(self.file, path))
    }

    /// A finding of this rule about a place in the entry.
    #[must_use]
    pub fn at_place(&self, place: Place) -> Finding {
        Finding::of(self.rule.name, self.rule.level, place)
    }

    /// The place of a value in this entry, for pointing at what a finding has to do with.
    #[must_use]
    pub fn place(&self, path: Path) -> Place {
        Place::value(self.file, path)
    }

    /// Reports a finding.
    pub fn report(&mut self, finding: Finding) {
        self.findings.push(finding);
    }
}
