//! Changes between two states of a catalog, entry by entry.

use crate::effects::{SheetEffects, SubstanceEffects};
use crate::results::SurveyMove;
use stainbook_catalog::EntryKind;
use stainbook_check::compare::Difference;
use stainbook_document::Document;

/// Changes between two states of a catalog, or of one entry.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct Changes<'b> {
    /// Entries that are new.
    pub added: Vec<Added<'b>>,
    /// Entries that are gone.
    pub removed: Vec<Named<'b>>,
    /// Entries that say something else, or have another name.
    pub changed: Vec<Changed<'b>>,
    /// Readings of the new state's surveys that come out otherwise.
    pub surveys: Vec<SurveyMove>,
}

/// An entry.
#[derive(Clone, Copy, Debug)]
#[non_exhaustive]
pub struct Named<'b> {
    /// Its kind.
    pub kind: EntryKind,
    /// Its short name.
    pub id: &'b str,
    /// Its file.
    pub file: &'b str,
}

/// An entry that is new.
#[derive(Debug)]
#[non_exhaustive]
pub struct Added<'b> {
    /// The entry.
    pub entry: Named<'b>,
    /// The sheet that it takes the place of, with what that does to results.
    pub replaces: Option<(&'b str, SheetEffects)>,
}

/// An entry in two states.
#[derive(Debug)]
#[non_exhaustive]
pub struct Changed<'b> {
    /// Before.
    pub old: Named<'b>,
    /// Now.
    pub new: Named<'b>,
    /// The file before.
    pub old_document: &'b Document,
    /// The file now.
    pub new_document: &'b Document,
    /// Differences.
    pub differences: Vec<Difference>,
    /// For a sheet: what that does to results.
    pub sheet: Option<SheetEffects>,
    /// For a substance: what that does to conversions and judgements.
    pub substance: Option<SubstanceEffects>,
}

impl Changed<'_> {
    /// True if it has another short name.
    pub fn is_renamed(&self) -> bool {
        self.old.id != self.new.id
    }
}

impl Changes<'_> {
    /// True if nothing changed in meaning.
    pub fn is_empty(&self) -> bool {
        self.added.is_empty() && self.removed.is_empty() && self.changed.is_empty()
    }
}
