//! A plan whose tube does not reach what it is planned for.

use stainbook_catalog::written::tube::MeasuringRange;
use stainbook_catalog::written::{
    Limit, LimitChoice, PlanEntry, PlannedReading, SubstanceEntry, TubeEntry,
};
use stainbook_core::{Concentration, Written};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use super::range_misses_the_limit::span_of;
use crate::SheetView;
use crate::limits::{as_volume_fraction, source_of};
use crate::plans::{limit_words, placed, sheets_of};
use crate::printed::same;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "plan-misses-the-limit",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The tube of a plan cannot read the level or the limit that it is planned for.",
    family: Family::Field,
    docs: include_str!("plan-misses-the-limit.md"),
    check: Check::Plan(check),
};

fn check(plan: &PlanEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (path, planned) in placed(plan) {
        let Some(substance) = planned
            .substance
            .as_deref()
            .and_then(|id| context.book.substance(id))
        else {
            continue;
        };
        let sheets = sheets_of(planned, context.book);
        let spans: Vec<_> = sheets
            .iter()
            .map(|(_, sheet)| span(sheet, planned, substance))
            .collect();
        // One sheet of which nothing is known may be the one that reaches it.
        let Some(spans) = spans.into_iter().collect::<Option<Vec<_>>>() else {
            continue;
        };
        let Some((from, to)) = spans.first().copied() else {
            continue;
        };
        for (name, ppm) in wanted(planned, substance, context) {
            if spans.iter().any(|(from, to)| *from <= ppm && ppm <= *to) {
                continue;
            }
            sink.report(
                sink.at(path.clone().key("tube"))
                    .message(format!("the tube does not read {name}"))
                    .label(format!(
                        "{} ppm wanted, it reads {} to {} ppm{}",
                        words::number(ppm),
                        words::number(from),
                        words::number(to),
                        planned
                            .strokes
                            .as_ref()
                            .map(|strokes| format!(" with {}", words::count_of_strokes(strokes)))
                            .unwrap_or_default()
                    ))
                    .note("the result would be a bound that lies on one side of the level, and may say nothing of it")
                    .help(help!("choose another tube or number of strokes: {} lists those that read it", Offer::command("stainbook find")))
                    .fact("wanted", words::computed_fact(ppm, "ppm"))
                    .fact("from", words::computed_fact(from, "ppm"))
                    .fact("to", words::computed_fact(to, "ppm")),
            );
        }
    }
}

/// The lowest and the highest concentration that a sheet reads of its own gas, in ppm, with the strokes that are planned.
fn span(
    sheet: &TubeEntry,
    planned: &PlannedReading,
    substance: &SubstanceEntry,
) -> Option<(f64, f64)> {
    let measures = sheet.measures.as_ref()?;
    let own = measures
        .substance
        .as_deref()
        .or(measures.expressed_as.as_deref());
    // Another gas has a range of its own, by its factor.
    if own != planned.substance.as_deref() {
        return None;
    }
    let with_strokes = |range: &MeasuringRange| {
        let drawn = planned.strokes.as_ref();
        drawn.is_none_or(|drawn| {
            let strokes = range.strokes.as_ref();
            strokes.is_some_and(|strokes| same(strokes.value(), drawn.value()))
        })
    };
    let full = sheet.ranges_in_full();
    span_of(
        &SheetView::new(sheet, &full),
        substance.formula.as_deref(),
        with_strokes,
    )
}

/// The levels and limits that have to be read, each in words and in ppm.
fn wanted(
    planned: &PlannedReading,
    substance: &SubstanceEntry,
    context: &Context<'_>,
) -> Vec<(String, f64)> {
    let level = planned.level.as_ref().and_then(|level| {
        let written: &Written<Concentration> = level;
        let Concentration::VolumeFraction(fraction) = written.value() else {
            return None;
        };
        Some((format!("the level {}", written.text()), fraction.ppm()))
    });
    let of_limits = planned.limits.iter().flat_map(|choice| {
        let chosen = substance
            .limits
            .iter()
            .filter(move |limit| is_chosen(choice, limit, context));
        chosen.filter_map(move |limit| {
            let written = limit.at_most.as_ref()?;
            let ppm = as_volume_fraction(written, limit, substance, context)?.middle();
            Some((
                format!("the limit {} {}", limit_words(choice), written.text()),
                ppm,
            ))
        })
    });
    level.into_iter().chain(of_limits).collect()
}

fn is_chosen(choice: &LimitChoice, limit: &Limit, context: &Context<'_>) -> bool {
    let authority = || source_of(limit, context)?.authority.as_deref();
    choice.kind.is_none_or(|kind| Some(kind) == limit.kind)
        && (choice.source.is_none() || choice.source == limit.source)
        && choice.authority.as_deref().is_none_or(|wanted| {
            authority().is_some_and(|authority| wanted.eq_ignore_ascii_case(authority))
        })
}
