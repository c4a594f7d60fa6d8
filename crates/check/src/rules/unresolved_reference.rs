//! A name that nothing answers to.

use stainbook_catalog::embedded::REFERENCE_NAME;
use stainbook_catalog::model::series_of;
use stainbook_catalog::references::{Reference, for_each};
use stainbook_catalog::written::{PlanEntry, SurveyEntry, TubeEntry};
use stainbook_catalog::{EntryKind, ListedBox, WrittenEntry};

use crate::names::{did_you_mean, near_entries, nearest_only, quoted_and};
use crate::readings::{Sheets, placed};
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

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
    for_each(&context.entry.written, &mut |reference: Reference<'_>| {
        refer(&reference, context, sink);
    });
    match &context.entry.written {
        WrittenEntry::Tube(tube) => scales_of_tube(tube, sink),
        WrittenEntry::Survey(survey) => sheets_of_survey(survey, context, sink),
        WrittenEntry::StockBox(_) | WrittenEntry::BoxList(_) => sheets_of_boxes(context, sink),
        WrittenEntry::Plan(plan) => sheets_of_plan(plan, context, sink),
        WrittenEntry::Catalog(entry) => {
            for (index, name) in entry.builds_on.iter().enumerate() {
                let path = Path::root().key("builds_on").index(index);
                builds_on(name, path, context, sink);
            }
        }
        _ => {}
    }
}

/// Rows of a sheet name its scales.
fn scales_of_tube(tube: &TubeEntry, sink: &mut Sink<'_>) {
    let root = Path::root;
    let scales = scales(tube);
    let ranges = tube.ranges().iter();
    for (row, range) in ranges.enumerate() {
        let path = || root().key("draw").key("ranges").index(row);
        scale(range.scale.as_deref(), &scales, path, sink);
    }
    let also = tube.response_factors().iter();
    for (row, other) in also.enumerate() {
        let path = || root().key("read").key("also_measures").index(row);
        scale(other.scale.as_deref(), &scales, path, sink);
    }
    for (row, worked) in tube.worked.iter().enumerate() {
        let path = || root().key("worked").index(row);
        scale(worked.scale.as_deref(), &scales, path, sink);
    }
    for (row, control) in tube.control.iter().enumerate() {
        let path = || root().key("control").index(row);
        scale(control.scale.as_deref(), &scales, path, sink);
    }
}

fn scales(tube: &TubeEntry) -> Vec<&str> {
    let scales = tube.printed_scales().iter();
    scales.filter_map(|scale| scale.name.as_deref()).collect()
}

fn sheets_of_survey(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    // A survey may have thousands of readings, most of one tube; the sheets are gone through once.
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        if let Some(tube) = reading.tube.as_deref()
            && sheets.called(tube).is_empty()
        {
            unknown_sheet(tube, path.clone().key("tube"), context, sink);
        }
        if let Some((_, tube)) = sheets.only(reading) {
            scale(
                reading.scale.as_deref(),
                &scales(tube),
                || path.clone(),
                sink,
            );
        }
    }
}

fn sheets_of_boxes(context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for listed in ListedBox::of(context.entry) {
        if let Some(tube) = listed.stock.tube.as_deref()
            && sheets.called(tube).is_empty()
        {
            unknown_sheet(tube, listed.path().key("tube"), context, sink);
        }
    }
}

fn sheets_of_plan(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (row, planned) in plan.places.iter().enumerate() {
        let path = || Path::root().key("places").index(row);
        if let Some(tube) = planned.tube.as_deref()
            && sheets.called(tube).is_empty()
        {
            unknown_sheet(tube, path().key("tube"), context, sink);
        }
    }
}

fn refer(reference: &Reference<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let (kind, id) = (reference.kind, reference.id);
    let is_group = reference.or_group && context.book.knows(EntryKind::Group, id);
    if context.book.knows(kind, id) || is_group || lacks_a_catalog(context) {
        return;
    }
    let mut near = near_entries(context, kind, id);
    let mut because = None;
    if kind == EntryKind::Substance {
        // People write a substance as they speak of it; the entry may be known under another name.
        match context.book.find_substance(id) {
            Ok(found) => near = found.substance.iter().cloned().collect(),
            // A name that several share has a rule of its own.
            Err(none) if !none.could_be.is_empty() => return,
            Err(none) => {
                because = none.because().map(str::to_owned);
                if near.is_empty() {
                    near = short_names(&none.near, context);
                }
            }
        }
    }
    let name = kind.name();
    let otherwise = format!("write the short name of an entry, or add a file `{id}.{name}.yaml`");
    sink.report(
        sink.at((reference.path)())
            .message(match because {
                Some(because) => format!("there is no {name} `{id}`: {because}"),
                None => format!("there is no {name} `{id}`"),
            })
            .label("nothing of this name")
            .note(consequence(kind))
            .help(did_you_mean(&near, &otherwise))
            .fact("written", Fact::text(id)),
    );
}

/// The short names of substances that are spoken of by these names: a reference is written with the short name.
fn short_names(names: &[String], context: &Context<'_>) -> Vec<String> {
    let found = names
        .iter()
        .filter_map(|name| context.book.find_substance(name).ok());
    found.filter_map(|entry| entry.substance.clone()).collect()
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
        EntryKind::Group
        | EntryKind::Catalog
        | EntryKind::StockBox
        | EntryKind::BoxList
        | EntryKind::Plan
        | EntryKind::Survey => "what is said about it cannot be followed",
    }
}

fn scale(name: Option<&str>, scales: &[&str], row: impl Fn() -> Path, sink: &mut Sink<'_>) {
    let Some(name) = name else { return };
    if scales.contains(&name) {
        return;
    }
    let known: Vec<String> = scales.iter().map(|&scale| scale.to_owned()).collect();
    let otherwise = if known.is_empty() {
        "leave `scale` out: the tube's only scale has no name".to_owned()
    } else {
        format!("the tube's scales are called {}", quoted_and(&known))
    };
    sink.report(
        sink.at(row().key("scale"))
            .message(format!("the tube has no scale `{name}`"))
            .label("nothing of this name")
            .note("a reading on one scale worked out with the other's ranges is wrong by the ratio of the two")
            .help(did_you_mean(&nearest_only(name, &known), &otherwise))
            .fact("written", Fact::text(name)),
    );
}

/// A survey or a box may name a sheet, or the tube without its revision when lot or leaflet says which.
fn unknown_sheet(wanted: &str, path: Path, context: &Context<'_>, sink: &mut Sink<'_>) {
    if lacks_a_catalog(context) {
        return;
    }
    let mut names: Vec<String> = Vec::new();
    for id in context.book.ids(EntryKind::Tube) {
        names.push(id.to_owned());
        names.extend(context.book.tube(id).map(series_of));
    }
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

/// The names of the catalogs that this one can build on.
fn given_catalogs(context: &Context<'_>) -> Vec<String> {
    let entries = context.book.entries().iter();
    entries
        .filter(|entry| entry.background && entry.kind == EntryKind::Catalog)
        .map(|entry| entry.id().to_owned())
        .chain([REFERENCE_NAME.to_owned()])
        .collect()
}

/// True if a catalog that this one builds on was not given, or could not be read: what seems absent may be in it.
fn lacks_a_catalog(context: &Context<'_>) -> bool {
    let Some((entry, catalog)) = context.book.catalog() else {
        return false;
    };
    if catalog.builds_on.is_empty() {
        return !entry.sound;
    }
    // A folder that is built on has another name than the catalog in it, so that they are counted.
    let wanted = catalog.builds_on.iter();
    let wanted = wanted.filter(|name| *name != REFERENCE_NAME).count();
    let given = given_catalogs(context);
    given.iter().filter(|name| *name != REFERENCE_NAME).count() < wanted
}

fn builds_on(name: &str, path: Path, context: &Context<'_>, sink: &mut Sink<'_>) {
    let given = given_catalogs(context);
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
