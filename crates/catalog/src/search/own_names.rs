//! The names of a book's own substances and groups.

use std::sync::OnceLock;

use super::{folded, formulas, spoken, spoken_of_group};
use crate::{Book, EntryKind, WrittenEntry};

/// Names of a book's own substances and groups, folded and in order, made when they are first asked for.
#[derive(Debug, Default)]
pub(crate) struct OwnNames {
    made: OnceLock<Made>,
}

/// The names, and the formulas.
#[derive(Debug, Default)]
pub(super) struct Made {
    names: Vec<Named>,
    /// Formulas in Hill's order, each with the short name of its substance.
    formulas: Vec<(String, String)>,
}

/// A folded name or a CAS number, and what goes by it.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Named {
    name: String,
    /// Own entries stand before those of the catalogs they build on.
    is_background: bool,
    means: Means,
}

impl Named {
    pub(super) fn means(&self) -> Means {
        self.means.clone()
    }
}

/// One thing that a name may mean.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Means {
    pub(super) id: String,
    pub(super) is_group: bool,
}

impl Means {
    pub(super) fn substance(id: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            is_group: false,
        }
    }

    pub(super) fn group(id: impl Into<String>) -> Self {
        Self {
            id: id.into(),
            is_group: true,
        }
    }

    /// A substance or a group of the reference by its short name.
    pub(super) fn of(book: &Book, id: &str) -> Self {
        if book.substance(id).is_some() {
            Self::substance(id)
        } else {
            Self::group(id)
        }
    }

    /// The name as it is printed.
    pub(super) fn name(&self, book: &Book) -> String {
        let name = if self.is_group {
            book.group(&self.id).and_then(|group| group.name.clone())
        } else {
            book.substance(&self.id)
                .and_then(|substance| substance.name.clone())
        };
        name.unwrap_or_else(|| self.id.clone())
    }

    /// The short name with what tells it from others.
    pub(super) fn described(&self, book: &Book) -> String {
        if self.is_group {
            return format!("{} (a group)", self.id);
        }
        let formula = book
            .substance(&self.id)
            .and_then(|substance| substance.formula.as_deref());
        match formula {
            Some(formula) => format!("{} ({formula})", self.id),
            None => self.id.clone(),
        }
    }
}

impl OwnNames {
    pub(super) fn of(&self, book: &Book) -> &Made {
        self.made.get_or_init(|| {
            let mut made = Made::default();
            if !book.has_substances() && book.ids_of_own(EntryKind::Group).next().is_none() {
                return made;
            }
            for entry in book.entries() {
                let is_background = entry.background;
                let mut name = |name: String, means: Means| {
                    made.names.push(Named {
                        name,
                        is_background,
                        means,
                    });
                };
                let in_languages = match &entry.written {
                    WrittenEntry::Substance(substance) => substance.names.as_slice(),
                    WrittenEntry::Group(group) => group.names.as_slice(),
                    _ => &[],
                };
                for row in in_languages {
                    if let (Some(word), Some(other)) = (&row.name, &row.taken_for) {
                        name(folded(word), Means::substance(other));
                    }
                }
                match &entry.written {
                    WrittenEntry::Substance(substance) => {
                        let means = || Means::substance(entry.id());
                        if let Some(cas) = &substance.cas {
                            name(cas.clone(), means());
                        }
                        name(folded(entry.id()), means());
                        for spoken in spoken(substance) {
                            name(folded(spoken), means());
                        }
                        let formula = substance.formula.as_deref().and_then(formulas::parsed);
                        made.formulas.extend(
                            formula.map(|formula| (formula.to_string(), entry.id().to_owned())),
                        );
                    }
                    WrittenEntry::Group(group) => {
                        for spoken in spoken_of_group(group) {
                            name(folded(spoken), Means::group(entry.id()));
                        }
                    }
                    _ => {}
                }
            }
            made.names.sort();
            made.names.dedup();
            made.formulas.sort();
            made.formulas.dedup();
            made
        })
    }
}

impl Made {
    /// Everything of a folded name or a CAS number, own entries before those they build on.
    pub(super) fn named(&self, key: &str) -> &[Named] {
        let first = self
            .names
            .partition_point(|named| named.name.as_str() < key);
        let rest = self.names.get(first..).unwrap_or_default();
        let count = rest.partition_point(|named| named.name == key);
        rest.get(..count).unwrap_or_default()
    }

    /// The short names of the substances of a formula in Hill's order.
    pub(super) fn of_formula<'m>(&'m self, hill: &'m str) -> impl Iterator<Item = &'m str> + 'm {
        let first = self
            .formulas
            .partition_point(|(formula, _)| formula.as_str() < hill);
        let rest = self.formulas.get(first..).unwrap_or_default();
        rest.iter()
            .take_while(move |(formula, _)| formula == hill)
            .map(|(_, id)| id.as_str())
    }
}
