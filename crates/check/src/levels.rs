//! The levels that a catalog sets for rules.

use stainbook_catalog::Book;
use stainbook_catalog::written::WrittenLevel;
use stainbook_document::finding::{Finding, Level};

/// The levels that a catalog sets, by rule.
#[derive(Debug, Default)]
pub(crate) struct Levels<'a> {
    set: Vec<(&'a str, WrittenLevel)>,
}

impl<'a> Levels<'a> {
    pub(crate) fn of(book: &'a Book) -> Self {
        let set = book
            .catalog()
            .into_iter()
            .flat_map(|(_, catalog)| &catalog.rules)
            .filter_map(|rule| Some((rule.rule.as_deref()?, rule.level?)))
            .collect();
        Self { set }
    }

    /// The finding at the level that the catalog sets; nothing if it is not to be reported.
    pub(crate) fn apply(&self, finding: Finding) -> Option<Finding> {
        // The last word counts, as a reader going through the file would take it.
        match self
            .set
            .iter()
            .rev()
            .find(|(rule, _)| *rule == finding.rule())
        {
            None => Some(finding),
            Some((_, WrittenLevel::Silent)) => None,
            Some((_, WrittenLevel::Note)) => Some(finding.at_level(Level::Note)),
            Some((_, WrittenLevel::Warning)) => Some(finding.at_level(Level::Warning)),
            Some((_, WrittenLevel::Error)) => Some(finding.at_level(Level::Error)),
        }
    }
}
