//! References of an entry, by short name: other entries, each with the place where it is named.

use stainbook_catalog::written::{
    GroupEntry, PlanEntry, Present, Reading, SubstanceEntry, SurveyEntry, TubeEntry,
};
use stainbook_catalog::{EntryKind, WrittenEntry};
use stainbook_document::place::Path;

/// One reference; its path is made only when somebody has something to say about it.
pub(crate) struct Reference<'r> {
    /// The kind of entry that is meant.
    pub(crate) kind: EntryKind,
    /// The name that is written.
    pub(crate) id: &'r str,
    /// Path of the reference.
    pub(crate) path: &'r dyn Fn() -> Path,
}

/// Tells of each reference of an entry by short name. The sheets that a survey, a plan or a box names, the gas of a plan, which may be a group, and the scales of a sheet, are found
/// in other ways and not among them.
pub(crate) fn for_each(entry: &WrittenEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    match entry {
        WrittenEntry::Tube(tube) => of_tube(tube, tell),
        WrittenEntry::Survey(survey) => of_survey(survey, tell),
        WrittenEntry::Plan(plan) => of_plan(plan, tell),
        WrittenEntry::Substance(substance) => of_substance(substance, tell),
        WrittenEntry::Group(group) => of_group(group, tell),
        WrittenEntry::Pump(pump) => {
            one(
                EntryKind::PumpKind,
                pump.kind.as_ref(),
                &|| Path::root().key("kind"),
                tell,
            );
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
    id: Option<&String>,
    path: &dyn Fn() -> Path,
    tell: &mut dyn FnMut(Reference<'_>),
) {
    if let Some(id) = id {
        tell(Reference { kind, id, path });
    }
}

fn all(
    kind: EntryKind,
    ids: &[String],
    path: &dyn Fn() -> Path,
    tell: &mut dyn FnMut(Reference<'_>),
) {
    for (index, id) in ids.iter().enumerate() {
        tell(Reference {
            kind,
            id,
            path: &|| path().index(index),
        });
    }
}

fn of_tube(tube: &TubeEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    use EntryKind::{Group, PumpKind, Substance, Tube};
    let root = Path::root;
    one(
        Tube,
        tube.replaces.as_ref(),
        &|| root().key("replaces"),
        tell,
    );
    if let Some(measures) = &tube.measures {
        let at = |key| move || root().key("measures").key(key);
        one(
            Substance,
            measures.substance.as_ref(),
            &at("substance"),
            tell,
        );
        one(Group, measures.group.as_ref(), &at("group"), tell);
        one(
            Substance,
            measures.expressed_as.as_ref(),
            &at("expressed_as"),
            tell,
        );
    }
    if let Some(before) = &tube.before_use {
        let at = || root().key("before_use").key("pump_kinds");
        all(PumpKind, &before.pump_kinds, &at, tell);
    }
    for (row, other) in tube.response_factors().iter().enumerate() {
        let at = || {
            root()
                .key("read")
                .key("also_measures")
                .index(row)
                .key("substance")
        };
        one(Substance, other.substance.as_ref(), &at, tell);
    }
    for (row, other) in tube.interferents().iter().enumerate() {
        let at = |key| move || root().key("doubt").key("other_gases").index(row).key(key);
        one(Substance, other.substance.as_ref(), &at("substance"), tell);
        one(Group, other.group.as_ref(), &at("group"), tell);
    }
    for (row, worked) in tube.worked.iter().enumerate() {
        let at = || root().key("worked").index(row).key("substance");
        one(Substance, worked.substance.as_ref(), &at, tell);
    }
}

fn of_survey(survey: &SurveyEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    for (row, choice) in survey.judge.limits.iter().enumerate() {
        let at = || {
            let limits = Path::root().key("judge").key("limits");
            limits.index(row).key("source")
        };
        one(EntryKind::Source, choice.source.as_ref(), &at, tell);
    }
    for (row, together) in survey.together.iter().enumerate() {
        let at = || {
            let row = Path::root().key("together").index(row);
            row.key("limit").key("source")
        };
        let source = together
            .limit
            .as_ref()
            .and_then(|limit| limit.source.as_ref());
        one(EntryKind::Source, source, &at, tell);
    }
    for (row, reading) in survey.readings.iter().enumerate() {
        of_reading(reading, &|| Path::root().key("readings").index(row), tell);
    }
}

fn of_plan(plan: &PlanEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    for (row, planned) in plan.places.iter().enumerate() {
        let at = || Path::root().key("places").index(row);
        one(
            EntryKind::Pump,
            planned.pump.as_ref(),
            &|| at().key("pump"),
            tell,
        );
        of_present(&planned.present, &at, tell);
        for (index, choice) in planned.limits.iter().enumerate() {
            let path = || at().key("limits").index(index).key("source");
            one(EntryKind::Source, choice.source.as_ref(), &path, tell);
        }
    }
}

fn of_reading(reading: &Reading, at: &dyn Fn() -> Path, tell: &mut dyn FnMut(Reference<'_>)) {
    one(
        EntryKind::Pump,
        reading.pump.as_ref(),
        &|| at().key("pump"),
        tell,
    );
    one(
        EntryKind::Substance,
        reading.substance.as_ref(),
        &|| at().key("substance"),
        tell,
    );
    of_present(&reading.present, at, tell);
}

/// Gases and groups that are said to be present.
fn of_present(present: &[Present], at: &dyn Fn() -> Path, tell: &mut dyn FnMut(Reference<'_>)) {
    for (index, gas) in present.iter().enumerate() {
        let path = || at().key("present").index(index).key("substance");
        one(EntryKind::Substance, gas.substance.as_ref(), &path, tell);
        let path = || at().key("present").index(index).key("group");
        one(EntryKind::Group, gas.group.as_ref(), &path, tell);
    }
}

fn of_substance(entry: &SubstanceEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    use EntryKind::Source;
    let root = Path::root;
    let fields = [
        ("identified_by", &entry.identified_by),
        ("inchikey_source", &entry.inchikey_source),
        ("molar_mass_source", &entry.molar_mass_source),
    ];
    for (key, source) in fields {
        one(Source, source.as_ref(), &|| root().key(key), tell);
    }
    if let Some(boils_at) = &entry.boils_at {
        one(
            Source,
            boils_at.source.as_ref(),
            &|| root().key("boils_at").key("source"),
            tell,
        );
    }
    let mut rows = |key: &'static str, sources: &mut dyn Iterator<Item = Option<&String>>| {
        for (index, source) in sources.enumerate() {
            one(
                Source,
                source,
                &|| root().key(key).index(index).key("source"),
                tell,
            );
        }
    };
    rows(
        "vapour_pressure",
        &mut entry.vapour_pressure.iter().map(|row| row.source.as_ref()),
    );
    rows(
        "explosive_limits",
        &mut entry.explosive_limits.iter().map(|row| row.source.as_ref()),
    );
    rows(
        "limits",
        &mut entry.limits.iter().map(|row| row.source.as_ref()),
    );
}

fn of_group(entry: &GroupEntry, tell: &mut dyn FnMut(Reference<'_>)) {
    let root = Path::root;
    all(
        EntryKind::Substance,
        &entry.members,
        &|| root().key("members"),
        tell,
    );
    all(
        EntryKind::Substance,
        &entry.expressed_as,
        &|| root().key("expressed_as"),
        tell,
    );
    one(
        EntryKind::Source,
        entry.source.as_ref(),
        &|| root().key("source"),
        tell,
    );
}
