//! The kind of name by which a substance was asked for.

use std::fmt;

use super::{NoSuchSubstance, folded, is_cas};
use crate::Book;
use crate::written::{NameInLanguage, SubstanceEntry};

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
    /// A name in other languages, with their codes.
    InLanguages(Vec<String>),
}

/// The languages of the names in the reference, by their codes (ISO 639-1, BCP 47).
const LANGUAGES: [(&str, &str); 15] = [
    ("cs", "Czech"),
    ("da", "Danish"),
    ("de", "German"),
    ("es", "Spanish"),
    ("fi", "Finnish"),
    ("fr", "French"),
    ("hu", "Hungarian"),
    ("it", "Italian"),
    ("nb", "Norwegian"),
    ("nl", "Dutch"),
    ("pl", "Polish"),
    ("pt", "Portuguese"),
    ("pt-BR", "Brazilian Portuguese"),
    ("ro", "Romanian"),
    ("sv", "Swedish"),
];

/// English name of a language; its code where it is none of those above.
pub fn language(code: &str) -> &str {
    let known = LANGUAGES.iter().find(|(known, _)| *known == code);
    known.map_or(code, |(_, name)| name)
}

impl fmt::Display for NamedBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::InLanguages(codes) => {
                let names: Vec<&str> = codes.iter().map(|code| language(code)).collect();
                let listed = match names.as_slice() {
                    [first @ .., last] if !first.is_empty() => {
                        format!("{} and {last}", first.join(", "))
                    }
                    names => names.concat(),
                };
                return write!(f, "its name in {listed}");
            }
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
    if entry.also_called.iter().any(|name| folded(name) == key) {
        return NamedBy::OtherName;
    }
    let in_language =
        |row: &&NameInLanguage| row.name.as_deref().is_some_and(|name| folded(name) == key);
    let rows = entry.names.iter().filter(in_language);
    let codes: Vec<String> = rows.filter_map(|row| row.language.clone()).collect();
    if codes.is_empty() {
        NamedBy::OtherName
    } else {
        NamedBy::InLanguages(codes)
    }
}
