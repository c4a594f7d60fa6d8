//! Corrections for stroke counts that the sheet does not have, or does not have once.

use stainbook_catalog::written::Num;
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::Path;

use crate::points::{Placed, axis_name};
use crate::printed::same;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-strokes-off-the-sheet",
    level: Level::Error,
    since: "0.1.0",
    summary: "A correction is for stroke counts that the sheet does not have, or a count has several or none.",
    family: Family::Correction,
    docs: include_str!("correction-strokes-off-the-sheet.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let counts: Vec<f64> = sheet
        .ranges()
        .iter()
        .filter_map(|range| Some(range.strokes.as_ref()?.value()))
        .collect();
    if counts.is_empty() || counts.len() != sheet.ranges().len() {
        return;
    }
    for placed in sheet.corrections() {
        for (key, list) in [
            ("for_strokes", &placed.correction.for_strokes),
            ("not_for_strokes", &placed.correction.not_for_strokes),
        ] {
            for (index, count) in list.iter().enumerate() {
                if !has(&counts, count.value()) {
                    off_the_sheet(placed, placed.path().key(key).index(index), count, sink);
                }
            }
        }
        tables(placed, &counts, sink);
    }
}

fn has(counts: &[f64], count: f64) -> bool {
    counts.iter().any(|other| same(*other, count))
}

/// Each count of the sheet has one of several tables.
fn tables(placed: &Placed<'_>, counts: &[f64], sink: &mut Sink<'_>) {
    let tables = &placed.correction.tables;
    if tables.is_empty() {
        return;
    }
    let at = |table: usize| placed.path().key("tables").index(table);
    let mut seen: Vec<(f64, usize)> = Vec::new();
    for (table, correction) in tables.iter().enumerate() {
        if correction.for_strokes.is_empty() {
            // A table of no count is one of every other: it is not judged here.
            return;
        }
        for (index, count) in correction.for_strokes.iter().enumerate() {
            let first = seen.iter().find(|(other, _)| same(*other, count.value()));
            if let Some((_, first)) = first.copied() {
                sink.report(
                    sink.at(at(table).key("for_strokes").index(index))
                        .message(format!(
                            "two tables of the {} correction are for {} strokes",
                            axis_name(placed.axis),
                            count.text()
                        ))
                        .label("in two tables")
                        .note("a reading with this count would have two corrections, and which of them the leaflet means cannot be told")
                        .help("compare the counts above the tables with the leaflet")
                        .related(sink.place(at(first)), "the other table")
                        .fact("strokes", Fact::text(count.text())),
                );
            } else {
                seen.push((count.value(), table));
            }
        }
    }
    let without: Vec<String> = counts
        .iter()
        .filter(|count| !seen.iter().any(|(other, _)| same(*other, **count)))
        .map(|count| crate::words::number(*count))
        .collect();
    if without.is_empty()
        || counts
            .iter()
            .all(|count| !seen.iter().any(|(other, _)| same(*other, *count)))
    {
        return;
    }
    sink.report(
        sink.at(placed.path().key("tables"))
            .message(format!(
                "no table of the {} correction is for {} strokes",
                axis_name(placed.axis),
                without.join(" and ")
            ))
            .label("a table is missing")
            .note("readings with that count are refused, although the sheet has a range for them")
            .help(help!("type the table that the leaflet prints for it; if it needs none there, write {}, and if it says nothing {}", Offer::entry("{for_strokes: […], method: none needed}"),
                Offer::entry("{for_strokes: […], method: not stated}")))
            .fact("strokes", Fact::text(without.join(", "))),
    );
}

fn off_the_sheet(placed: &Placed<'_>, path: Path, count: &Num, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message(format!(
                "the {} correction speaks of {} strokes, which the sheet does not have",
                axis_name(placed.axis),
                count.text()
            ))
            .label("not among the ranges")
            .note("what is stated for such a count is never used, and another count may lack it")
            .help("compare the count with those under `draw`, `ranges`")
            .related(
                sink.place(Path::root().key("draw").key("ranges")),
                "the ranges",
            )
            .fact("strokes", Fact::text(count.text())),
    );
}
