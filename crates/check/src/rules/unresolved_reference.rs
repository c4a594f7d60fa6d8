//! A name that nothing answers to.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use stainbook_catalog::embedded::REFERENCE_NAME;
use stainbook_catalog::finding::{Fact, Level};
use stainbook_catalog::model::series_of;
use stainbook_catalog::place::Path;
use stainbook_catalog::written::{LimitChoice, SurveyEntry, TubeEntry};
use stainbook_catalog::{EntryKind, WrittenEntry};

use crate::names::{did_you_mean, near_entries, nearest_only};
use crate::{Check, Context, Family, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "unresolved-reference",
    level: Level::Error,
    since: "0.1.0",
    summary: "An entry refers to something that neither the catalog nor what it builds on has.",
    family: Family::Identity,
    docs: include_str!("unresolved-reference.md"),
    check: Check::Any(&EntryKind::ALL, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    let root = Path::root;
    match &context.entry.written {
        WrittenEntry::Tube(tube) => tube_references(tube, context, sink),
        WrittenEntry::Survey(survey) => survey_references(survey, context, sink),
        WrittenEntry::Substance(entry) => {
            refer(
                EntryKind::Source,
                entry.identified_by.as_deref(),
                root().key("identified_by"),
                context,
                sink,
            );
            if let Some(boils_at) = &entry.boils_at {
                refer(
                    EntryKind::Source,
                    boils_at.source.as_deref(),
                    root().key("boils_at").key("source"),
                    context,
                    sink,
                );
            }
            let rows = [
                (
                    "vapour_pressure",
                    entry
                        .vapour_pressure
                        .iter()
                        .map(|row| row.source.as_deref())
                        .collect(),
                ),
                (
                    "explosive_limits",
                    entry
                        .explosive_limits
                        .iter()
                        .map(|row| row.source.as_deref())
                        .collect(),
                ),
                (
                    "limits",
                    entry
                        .limits
                        .iter()
                        .map(|row| row.source.as_deref())
                        .collect::<Vec<_>>(),
                ),
            ];
            for (key, sources) in rows {
                for (index, source) in sources.into_iter().enumerate() {
                    refer(
                        EntryKind::Source,
                        source,
                        root().key(key).index(index).key("source"),
                        context,
                        sink,
                    );
                }
            }
        }
        WrittenEntry::Group(entry) => {
            refer_all(
                EntryKind::Substance,
                &entry.members,
                &root().key("members"),
                context,
                sink,
            );
            refer_all(
                EntryKind::Substance,
                &entry.expressed_as,
                &root().key("expressed_as"),
                context,
                sink,
            );
        }
        WrittenEntry::Pump(entry) => {
            refer(
                EntryKind::PumpKind,
                entry.kind.as_deref(),
                root().key("kind"),
                context,
                sink,
            );
        }
        WrittenEntry::Catalog(entry) => {
            for (index, name) in entry.builds_on.iter().enumerate() {
                builds_on(name, root().key("builds_on").index(index), context, sink);
            }
        }
        WrittenEntry::Source(_) | WrittenEntry::PumpKind(_) => {}
    }
}

fn tube_references(tube: &TubeEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let root = Path::root;
    refer(
        EntryKind::Tube,
        tube.replaces.as_deref(),
        root().key("replaces"),
        context,
        sink,
    );
    if let Some(measures) = &tube.measures {
        let at = |key| root().key("measures").key(key);
        refer(
            EntryKind::Substance,
            measures.substance.as_deref(),
            at("substance"),
            context,
            sink,
        );
        refer(
            EntryKind::Group,
            measures.group.as_deref(),
            at("group"),
            context,
            sink,
        );
        refer(
            EntryKind::Substance,
            measures.expressed_as.as_deref(),
            at("expressed_as"),
            context,
            sink,
        );
    }
    if let Some(before) = &tube.before_use {
        refer_all(
            EntryKind::PumpKind,
            &before.pump_kinds,
            &root().key("before_use").key("pump_kinds"),
            context,
            sink,
        );
    }
    let scales: Vec<String> = tube
        .read
        .iter()
        .flat_map(|read| &read.scales)
        .filter_map(|scale| scale.name.clone())
        .collect();
    if let Some(draw) = &tube.draw {
        for (row, range) in draw.ranges.iter().enumerate() {
            scale(
                range.scale.as_deref(),
                &scales,
                root().key("draw").key("ranges").index(row).key("scale"),
                sink,
            );
        }
    }
    if let Some(read) = &tube.read {
        for (row, other) in read.also_measures.iter().enumerate() {
            let at = |key| root().key("read").key("also_measures").index(row).key(key);
            refer(
                EntryKind::Substance,
                other.substance.as_deref(),
                at("substance"),
                context,
                sink,
            );
            scale(other.scale.as_deref(), &scales, at("scale"), sink);
        }
    }
    if let Some(doubt) = &tube.doubt {
        for (row, other) in doubt.other_gases.iter().enumerate() {
            let at = |key| root().key("doubt").key("other_gases").index(row).key(key);
            refer(
                EntryKind::Substance,
                other.substance.as_deref(),
                at("substance"),
                context,
                sink,
            );
            refer(
                EntryKind::Group,
                other.group.as_deref(),
                at("group"),
                context,
                sink,
            );
        }
    }
    for (row, worked) in tube.worked.iter().enumerate() {
        let at = |key| root().key("worked").index(row).key(key);
        refer(
            EntryKind::Substance,
            worked.substance.as_deref(),
            at("substance"),
            context,
            sink,
        );
        scale(worked.scale.as_deref(), &scales, at("scale"), sink);
    }
    for (row, control) in tube.control.iter().enumerate() {
        scale(
            control.scale.as_deref(),
            &scales,
            root().key("control").index(row).key("scale"),
            sink,
        );
    }
}

fn survey_references(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let source = |choice: &LimitChoice, path: Path, sink: &mut Sink<'_>| {
        let path = path.key("source");
        refer(EntryKind::Source, choice.source.as_deref(), path, context, sink);
    };
    for (index, choice) in survey.judge.limits.iter().enumerate() {
        let path = Path::root().key("judge").key("limits").index(index);
        source(choice, path, sink);
    }
    for (index, row) in survey.together.iter().enumerate() {
        if let Some(choice) = &row.limit {
            source(choice, Path::root().key("together").index(index).key("limit"), sink);
        }
    }
    // A survey may have thousands of readings, most of one tube; the sheets are gone through once.
    let series = OnceCell::new();
    for (row, reading) in survey.readings.iter().enumerate() {
        let at = |key| Path::root().key("readings").index(row).key(key);
        if let Some(tube) = reading.tube.as_deref() {
            let series = || series.get_or_init(|| all_series(context));
            tube_or_series(tube, series, at("tube"), context, sink);
        }
        refer(
            EntryKind::Pump,
            reading.pump.as_deref(),
            at("pump"),
            context,
            sink,
        );
        refer(
            EntryKind::Substance,
            reading.substance.as_deref(),
            at("substance"),
            context,
            sink,
        );
        for (index, present) in reading.present.iter().enumerate() {
            let path = at("present").index(index).key("substance");
            refer(
                EntryKind::Substance,
                present.substance.as_deref(),
                path,
                context,
                sink,
            );
        }
    }
}

fn refer_all(
    kind: EntryKind,
    ids: &[String],
    path: &Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    for (index, id) in ids.iter().enumerate() {
        refer(kind, Some(id), path.clone().index(index), context, sink);
    }
}

fn refer(
    kind: EntryKind,
    id: Option<&str>,
    path: Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    let Some(id) = id else { return };
    if context.book.knows(kind, id) {
        return;
    }
    let mut near = near_entries(context, kind, id);
    // People write a substance as they speak of it; the entry may be known under another name.
    if kind == EntryKind::Substance
        && let Ok(found) = context.book.find_substance(id)
        && let Some(name) = found.substance.clone()
    {
        near = vec![name];
    }
    let name = kind.name();
    let otherwise = format!("write the short name of an entry, or add a file `{id}.{name}.yaml`");
    sink.report(
        sink.at(path)
            .message(format!("there is no {name} `{id}`"))
            .label("nothing of this name")
            .note(consequence(kind))
            .help(did_you_mean(&near, &otherwise))
            .fact("written", Fact::text(id)),
    );
}

fn consequence(kind: EntryKind) -> &'static str {
    match kind {
        EntryKind::Substance => {
            "without its formula nothing can be said in mg/m³, and no limit is found to compare with"
        }
        EntryKind::Source => {
            "a value whose source is not on record cannot be defended, nor its mg/m³ brought to other conditions"
        }
        EntryKind::PumpKind => {
            "whether a pump may be used with the tube, and how large its stroke is, cannot be known"
        }
        EntryKind::Pump => "the volume of its strokes and its leak tests cannot be looked up",
        EntryKind::Tube => "a reading cannot be worked out without its sheet",
        EntryKind::Group | EntryKind::Catalog | EntryKind::Survey => {
            "what is said about it cannot be followed"
        }
    }
}

fn scale(name: Option<&str>, scales: &[String], path: Path, sink: &mut Sink<'_>) {
    let Some(name) = name else { return };
    if scales.iter().any(|known| known == name) {
        return;
    }
    let otherwise = if scales.is_empty() {
        "leave `scale` out: the tube's only scale has no name".to_owned()
    } else {
        format!("the tube's scales are called {}", quoted(scales))
    };
    sink.report(
        sink.at(path)
            .message(format!("the tube has no scale `{name}`"))
            .label("nothing of this name")
            .note("a reading on one scale worked out with the other's ranges is wrong by the ratio of the two")
            .help(did_you_mean(&nearest_only(name, scales), &otherwise))
            .fact("written", Fact::text(name)),
    );
}

fn quoted(names: &[String]) -> String {
    let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    names.join(" and ")
}

/// The names that the revisions of a leaflet share.
fn all_series(context: &Context<'_>) -> BTreeSet<String> {
    let entries = context.book.entries().iter();
    let tubes = entries.filter_map(|entry| match &entry.written {
        WrittenEntry::Tube(tube) => Some(tube),
        _ => None,
    });
    tubes.map(|tube| series_of(tube)).collect()
}

/// A survey may name a sheet, or the tube without its revision when lot or leaflet says which.
fn tube_or_series<'s>(
    wanted: &str,
    series: impl FnOnce() -> &'s BTreeSet<String>,
    path: Path,
    context: &Context<'_>,
    sink: &mut Sink<'_>,
) {
    if context.book.knows(EntryKind::Tube, wanted) {
        return;
    }
    let series = series();
    if series.contains(wanted) {
        return;
    }
    let mut names: Vec<String> = series.iter().cloned().collect();
    names.extend(
        context
            .book
            .ids(EntryKind::Tube)
            .into_iter()
            .map(str::to_owned),
    );
    names.sort();
    names.dedup();
    sink.report(
        sink.at(path)
            .message(format!(
                "there is no sheet and no series of sheets `{wanted}`"
            ))
            .label("nothing of this name")
            .note(consequence(EntryKind::Tube))
            .help(did_you_mean(
                &nearest_only(wanted, &names),
                "write a sheet's short name, or the name without its revision",
            ))
            .fact("written", Fact::text(wanted)),
    );
}

fn builds_on(name: &str, path: Path, context: &Context<'_>, sink: &mut Sink<'_>) {
    let given: Vec<String> = context
        .book
        .entries()
        .iter()
        .filter(|entry| entry.background && entry.kind == EntryKind::Catalog)
        .map(|entry| entry.id().to_owned())
        .chain([REFERENCE_NAME.to_owned()])
        .collect();
    if given.iter().any(|known| known == name) {
        return;
    }
    sink.report(
        sink.at(path)
            .message(format!("no catalog `{name}` was given"))
            .label("nothing of this name")
            .note(
                "entries that come from it are missing, and everything that refers to them with it",
            )
            .help(did_you_mean(
                &nearest_only(name, &given),
                "give that catalog's folder too; `stainbook-reference` is built in",
            ))
            .fact("written", Fact::text(name)),
    );
}
