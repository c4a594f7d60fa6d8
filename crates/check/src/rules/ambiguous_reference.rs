//! A name that several things answer to.

use stainbook_catalog::references::{Reference, for_each};
use stainbook_catalog::written::{Reading, SurveyEntry};
use stainbook_catalog::{EntryKind, WrittenEntry};

use crate::names::quoted_or;
use crate::readings::{Sheets, list, placed, ranges_of};
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "ambiguous-reference",
    level: Level::Error,
    since: "0.1.0",
    summary: "An entry refers to something by a name that more than one thing answers to.",
    family: Family::Identity,
    docs: include_str!("ambiguous-reference.md"),
    check: Check::Any(&EntryKind::ALL, check),
};

fn check(context: &Context<'_>, sink: &mut Sink<'_>) {
    for_each(&context.entry.written, &mut |reference: Reference<'_>| {
        if reference.kind == EntryKind::Substance
            && !context.book.knows(EntryKind::Substance, reference.id)
            && !(reference.or_group && context.book.knows(EntryKind::Group, reference.id))
        {
            substance(&reference, context, sink);
        }
    });
    if let WrittenEntry::Survey(survey) = &context.entry.written {
        readings(survey, context, sink);
    }
}

fn substance(reference: &Reference<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let id = reference.id;
    let Err(none) = context.book.find_substance(id) else {
        return;
    };
    if none.could_be.is_empty() {
        return;
    }
    let choice = quoted_or(&none.could_be);
    let (message, label) = if none.group.is_some() {
        (
            format!("`{id}` is a group, not one substance"),
            format!("its total may be expressed as {choice}"),
        )
    } else {
        (
            format!("`{id}` may be any of several substances"),
            format!("{}?", none.described().join(" or ")),
        )
    };
    sink.report(
        sink.at((reference.path)())
            .message(message)
            .label(label)
            .note("each has limits of its own, and often another response on the tube; which one is meant cannot be guessed")
            .help(format!("look at the leaflet and write one of {choice}"))
            .fact("written", Fact::text(id)),
    );
}

fn readings(survey: &SurveyEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let sheets = Sheets::of(context.book);
    for (path, reading) in placed(survey) {
        let fitting = sheets.fitting(reading);
        match fitting.as_slice() {
            [] => {}
            [(id, tube)] => {
                let counted = reading
                    .strokes
                    .as_ref()
                    .map(|strokes| ranges_of(tube, reading, strokes.value()));
                let scales: Option<Vec<String>> = counted
                    .iter()
                    .flatten()
                    .map(|range| range.scale.clone())
                    .collect();
                if let (None, Some(mut scales)) = (&reading.scale, scales) {
                    scales.sort();
                    scales.dedup();
                    if 1 < scales.len() {
                        scale(id, &scales, reading, path, sink);
                    }
                }
            }
            several => sink.report(
                sink.at(path.key("tube"))
                    .message("more than one sheet could be meant")
                    .label(format!("{}?", list(several)))
                    .note("a lot is evaluated with its own leaflet, not with the newest one: strokes, multipliers and tables change with the revision")
                    .help("state `lot`, or `leaflet` with the revision printed on the leaflet in the box")
                    .fact("written", Fact::text(reading.tube.as_deref().unwrap_or_default())),
            ),
        }
    }
}

fn scale(id: &str, scales: &[String], reading: &Reading, path: Path, sink: &mut Sink<'_>) {
    let Some(strokes) = &reading.strokes else {
        return;
    };
    sink.report(
        sink.at(path.key("strokes"))
            .message(format!("`{id}` has more than one scale for {}, and the reading does not say which", words::count_of_strokes(strokes)))
            .label(format!("{}?", quoted_or(scales)))
            .note("a reading on one scale worked out with the other's ranges is wrong by the ratio of the two")
            .help("add `scale` with the name of the one that was read")
            .fact("strokes", words::number_fact(strokes, "strokes")),
    );
}
