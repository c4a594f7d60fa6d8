//! The kind of name by which a substance was asked for.

use std::fmt;

use super::{NoSuchSubstance, folded, is_cas, spoken};
use crate::Book;
use crate::written::SubstanceEntry;

/// A substance with the kind of name that it was asked for by.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Understood<'b> {
    /// The substance.
    pub entry: &'b SubstanceEntry,
    /// Kind of name that was given.
    pub by: NamedBy,
}

/// Kind of a name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum NamedBy {
    /// The short name, which files are written with.
    ShortName,
    /// The name as it is printed.
    Name,
    /// Another name of it.
    OtherName,
    /// The CAS number.
    CasNumber,
    /// A formula.
    Formula,
}

impl fmt::Display for NamedBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::ShortName => "its short name",
            Self::Name => "its name",
            Self::OtherName => "another name of it",
            Self::CasNumber => "its CAS number",
            Self::Formula => "its formula",
        })
    }
}

pub(crate) fn understood<'b>(
    book: &'b Book,
    wanted: &str,
) -> Result<Understood<'b>, NoSuchSubstance> {
    let entry = super::substance(book, wanted)?;
    let by = named_by(entry, wanted.trim());
    Ok(Understood { entry, by })
}

fn named_by(entry: &SubstanceEntry, wanted: &str) -> NamedBy {
    if entry.substance.as_deref() == Some(wanted) {
        return NamedBy::ShortName;
    }
    if is_cas(wanted) || super::cas_in_words(wanted).is_some() {
        return NamedBy::CasNumber;
    }
    let formula = super::formulas::parsed(wanted);
    if formula.is_some() && formula == entry.formula.as_deref().and_then(super::formulas::parsed) {
        return NamedBy::Formula;
    }
    let key = folded(wanted);
    if entry
        .name
        .as_deref()
        .is_some_and(|name| folded(name) == key)
    {
        return NamedBy::Name;
    }
    debug_assert!(spoken(entry).next().is_some());
    NamedBy::OtherName
}
