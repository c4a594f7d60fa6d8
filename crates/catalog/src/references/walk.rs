//! The list of places, gone through to look at names and to change them.

use stainbook_document::place::Path;

use super::Reference;
use crate::written::{
    GroupEntry, NameInLanguage, PlanEntry, Present, Reading, SubstanceEntry, SurveyEntry, TubeEntry,
};
use crate::{EntryKind, WrittenEntry};

/// The functions that go through an entry, once for names that are looked at and once for names that are changed, so that
/// there is one list for both.
macro_rules! walk {
    ($(#[$doc:meta])* $visibility:vis $for_each:ident $(, $mut:tt)?) => {
        $(#[$doc])*
        $visibility fn $for_each(
            entry: &$($mut)? WrittenEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            match entry {
                WrittenEntry::Tube(tube) => of_tube(tube, tell),
                WrittenEntry::Survey(survey) => of_survey(survey, tell),
                WrittenEntry::Plan(plan) => of_plan(plan, tell),
                WrittenEntry::Substance(substance) => of_substance(substance, tell),
                WrittenEntry::Group(group) => of_group(group, tell),
                WrittenEntry::Pump(pump) => {
                    let at = || Path::root().key("kind");
                    one(EntryKind::PumpKind, &$($mut)? pump.kind, &at, tell);
                }
                WrittenEntry::Catalog(_)
                | WrittenEntry::Source(_)
                | WrittenEntry::PumpKind(_)
                | WrittenEntry::StockBox(_)
                | WrittenEntry::BoxList(_) => {}
            }
        }

        fn one(
            kind: EntryKind,
            id: &$($mut)? Option<String>,
            path: &dyn Fn() -> Path,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            if let Some(id) = id {
                tell(Reference { kind, id, or_group: false, path });
            }
        }

        /// A substance, or a group in its place.
        fn either(
            id: &$($mut)? Option<String>,
            path: &dyn Fn() -> Path,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            if let Some(id) = id {
                tell(Reference { kind: EntryKind::Substance, id, or_group: true, path });
            }
        }

        fn all(
            kind: EntryKind,
            ids: &$($mut)? Vec<String>,
            path: &dyn Fn() -> Path,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            for (index, id) in ids.into_iter().enumerate() {
                tell(Reference { kind, id, or_group: false, path: &|| path().index(index) });
            }
        }

        fn of_tube(
            tube: &$($mut)? TubeEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            use EntryKind::{Group, PumpKind, Substance, Tube};
            let root = Path::root;
            one(Tube, &$($mut)? tube.replaces, &|| root().key("replaces"), tell);
            if let Some(measures) = &$($mut)? tube.measures {
                let at = |key| move || root().key("measures").key(key);
                one(Substance, &$($mut)? measures.substance, &at("substance"), tell);
                one(Group, &$($mut)? measures.group, &at("group"), tell);
                one(Substance, &$($mut)? measures.expressed_as, &at("expressed_as"), tell);
            }
            if let Some(before) = &$($mut)? tube.before_use {
                let at = || root().key("before_use").key("pump_kinds");
                all(PumpKind, &$($mut)? before.pump_kinds, &at, tell);
            }
            if let Some(read) = &$($mut)? tube.read {
                for (row, other) in (&$($mut)? read.response_factors).into_iter().enumerate() {
                    let at = || {
                        let rows = root().key("read").key("also_measures");
                        rows.index(row).key("substance")
                    };
                    one(Substance, &$($mut)? other.substance, &at, tell);
                }
            }
            if let Some(performance) = &$($mut)? tube.performance {
                for (row, other) in (&$($mut)? performance.interferents).into_iter().enumerate() {
                    let at = |key| {
                        move || root().key("doubt").key("other_gases").index(row).key(key)
                    };
                    one(Substance, &$($mut)? other.substance, &at("substance"), tell);
                    one(Group, &$($mut)? other.group, &at("group"), tell);
                }
            }
            for (row, worked) in (&$($mut)? tube.worked).into_iter().enumerate() {
                let at = || root().key("worked").index(row).key("substance");
                one(Substance, &$($mut)? worked.substance, &at, tell);
            }
        }

        fn of_survey(
            survey: &$($mut)? SurveyEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            for (row, choice) in (&$($mut)? survey.judge.limits).into_iter().enumerate() {
                let at = || {
                    let limits = Path::root().key("judge").key("limits");
                    limits.index(row).key("source")
                };
                one(EntryKind::Source, &$($mut)? choice.source, &at, tell);
            }
            for (row, together) in (&$($mut)? survey.together).into_iter().enumerate() {
                let at = || {
                    let row = Path::root().key("together").index(row);
                    row.key("limit").key("source")
                };
                if let Some(limit) = &$($mut)? together.limit {
                    one(EntryKind::Source, &$($mut)? limit.source, &at, tell);
                }
            }
            for (row, reading) in (&$($mut)? survey.readings).into_iter().enumerate() {
                of_reading(reading, &|| Path::root().key("readings").index(row), tell);
            }
        }

        fn of_plan(
            plan: &$($mut)? PlanEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            for (row, planned) in (&$($mut)? plan.places).into_iter().enumerate() {
                let at = || Path::root().key("places").index(row);
                either(&$($mut)? planned.substance, &|| at().key("substance"), tell);
                one(EntryKind::Pump, &$($mut)? planned.pump, &|| at().key("pump"), tell);
                of_present(&$($mut)? planned.present, &at, tell);
                for (index, choice) in (&$($mut)? planned.limits).into_iter().enumerate() {
                    let path = || at().key("limits").index(index).key("source");
                    one(EntryKind::Source, &$($mut)? choice.source, &path, tell);
                }
            }
        }

        pub(super) fn of_reading(
            reading: &$($mut)? Reading,
            at: &dyn Fn() -> Path,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            one(EntryKind::Pump, &$($mut)? reading.pump, &|| at().key("pump"), tell);
            let path = || at().key("substance");
            one(EntryKind::Substance, &$($mut)? reading.substance, &path, tell);
            of_present(&$($mut)? reading.present, at, tell);
        }

        /// Gases and groups that are said to be present.
        fn of_present(
            present: &$($mut)? Vec<Present>,
            at: &dyn Fn() -> Path,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            for (index, gas) in present.into_iter().enumerate() {
                let path = || at().key("present").index(index).key("substance");
                either(&$($mut)? gas.substance, &path, tell);
                let path = || at().key("present").index(index).key("group");
                one(EntryKind::Group, &$($mut)? gas.group, &path, tell);
            }
        }

        fn of_substance(
            entry: &$($mut)? SubstanceEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            use EntryKind::Source;
            let root = Path::root;
            of_names(&$($mut)? entry.names, tell);
            let identified = || root().key("identified_by");
            one(Source, &$($mut)? entry.identified_by, &identified, tell);
            let of_key = || root().key("inchikey_source");
            one(Source, &$($mut)? entry.inchikey_source, &of_key, tell);
            let of_mass = || root().key("molar_mass_source");
            one(Source, &$($mut)? entry.molar_mass_source, &of_mass, tell);
            if let Some(boils_at) = &$($mut)? entry.boils_at {
                let at = || root().key("boils_at").key("source");
                one(Source, &$($mut)? boils_at.source, &at, tell);
            }
            let at = |key| move |index| root().key(key).index(index).key("source");
            for (index, row) in (&$($mut)? entry.vapour_pressure).into_iter().enumerate() {
                one(Source, &$($mut)? row.source, &|| at("vapour_pressure")(index), tell);
            }
            for (index, row) in (&$($mut)? entry.explosive_limits).into_iter().enumerate() {
                one(Source, &$($mut)? row.source, &|| at("explosive_limits")(index), tell);
            }
            for (index, row) in (&$($mut)? entry.limits).into_iter().enumerate() {
                one(Source, &$($mut)? row.source, &|| at("limits")(index), tell);
            }
        }

        /// Names in other languages.
        fn of_names(
            names: &$($mut)? Vec<NameInLanguage>,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            for (row, name) in names.into_iter().enumerate() {
                let at = |key| move || Path::root().key("names").index(row).key(key);
                one(EntryKind::Source, &$($mut)? name.source, &at("source"), tell);
                one(EntryKind::Substance, &$($mut)? name.taken_for, &at("taken_for"), tell);
            }
        }

        fn of_group(
            entry: &$($mut)? GroupEntry,
            tell: &mut dyn FnMut(Reference<'_, &$($mut)? String>),
        ) {
            use EntryKind::{Source, Substance};
            let root = Path::root;
            of_names(&$($mut)? entry.names, tell);
            all(Substance, &$($mut)? entry.members, &|| root().key("members"), tell);
            let at = || root().key("expressed_as");
            all(Substance, &$($mut)? entry.expressed_as, &at, tell);
            one(Source, &$($mut)? entry.source, &|| root().key("source"), tell);
        }
    };
}

#[allow(
    clippy::ref_option,
    reason = "what is looked at is borrowed as what is changed has to be"
)]
mod looked_at {
    use super::{
        EntryKind, GroupEntry, NameInLanguage, Path, PlanEntry, Present, Reading, Reference,
        SubstanceEntry, SurveyEntry, TubeEntry, WrittenEntry,
    };

    walk! {
        /// Tells of each reference of an entry.
        pub(super) for_each
    }
}

mod changed {
    use super::{
        EntryKind, GroupEntry, NameInLanguage, Path, PlanEntry, Present, Reading, Reference,
        SubstanceEntry, SurveyEntry, TubeEntry, WrittenEntry,
    };

    walk! {
        /// The same for changing the names.
        pub(super) for_each, mut
    }
}

/// Tells of each reference of an entry by short name. The sheets that a survey, a plan or a box names, and the scales of a
/// sheet, are found in other ways and not among them.
///
/// # Example
///
/// ```
/// use stainbook_catalog::references::for_each;
/// use stainbook_catalog::{Book, EntryKind, SourceFile};
///
/// let text = "group: salts\nname: salts\nmembers: [Ammonia]\nexpressed_as: [NH3]\n";
/// let (book, _) = Book::read([SourceFile::new("salts.group.yaml", text)]);
/// let entry = &book.entries()[0];
/// let mut named = Vec::new();
/// for_each(&entry.written, &mut |reference| named.push((reference.id.to_owned(), (reference.path)().to_string())));
/// // The book has put the short name in the place of each name, and keeps what was written.
/// assert_eq!(named[1], ("ammonia".to_owned(), "/expressed_as/0".to_owned()));
/// assert_eq!(entry.named_otherwise[1].written, "NH3");
/// ```
pub fn for_each(entry: &WrittenEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    looked_at::for_each(entry, &mut |reference| tell(reference.by_text()));
}

/// The same for one reading, whose paths begin with it.
pub(super) fn for_each_of(reading: &Reading, tell: &mut dyn FnMut(Reference<'_, &String>)) {
    looked_at::of_reading(reading, &Path::root, tell);
}

pub(super) fn for_each_of_mut(
    reading: &mut Reading,
    tell: &mut dyn FnMut(Reference<'_, &mut String>),
) {
    changed::of_reading(reading, &Path::root, tell);
}

/// The same for changing the names.
pub(super) fn for_each_mut(
    entry: &mut WrittenEntry,
    tell: &mut dyn FnMut(Reference<'_, &mut String>),
) {
    changed::for_each(entry, tell);
}
