//! One leaflet that was typed in as two sheets.

use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::scalars::Num;
use stainbook_catalog::written::tube::Scale;
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::{Path, Place};

use crate::printed::same;
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "leaflet-entered-twice",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two sheets were typed from the same revision of the same leaflet.",
    family: Family::Identity,
    docs: include_str!("leaflet-entered-twice.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(title) = sheet
        .leaflet
        .as_ref()
        .and_then(|leaflet| leaflet.title.as_deref())
    else {
        return;
    };
    // Of a pair the later one is reported; files are read in the order of their names.
    for (entry, other) in context.book.sheets_of_leaflet(sheet) {
        if entry.file == context.entry.file {
            return;
        }
        // Two files of one short name have a rule of their own.
        if other.tube == sheet.tube || !is_same_leaflet(sheet, other) {
            continue;
        }
        let id = other.tube.as_deref().unwrap_or_default();
        sink.report(
            sink.at(Path::root().key("leaflet"))
                .message(format!("`{id}` was typed from this leaflet too"))
                .label(format!("`{title}`, the same revision, date and substance"))
                .note("where the two differ, a result depends on which of them was picked; a correction to one leaves the other as it was")
                .help(help!("compare the two with {}, settle what differs with the leaflet, and keep one; if they are two leaflets, look at title and revision again", Offer::command("stainbook compare")))
                .related(Place::value(entry.file, Path::root().key("leaflet")), "the other sheet")
                .fact("other", Fact::text(id)),
        );
        return;
    }
}

/// Besides the title: revision, date, page and designation are the same, and so is what is measured.
fn is_same_leaflet(a: &TubeEntry, b: &TubeEntry) -> bool {
    let (Some(one), Some(two)) = (&a.leaflet, &b.leaflet) else {
        return false;
    };
    one.revision.is_some()
        && one.revision == two.revision
        && one.date.as_ref().map(|day| (day.first(), day.last()))
            == two.date.as_ref().map(|day| (day.first(), day.last()))
        && one.page.as_ref().map(|page| page.text()) == two.page.as_ref().map(|page| page.text())
        && one.designation == two.designation
        && a.measures.is_some()
        && a.measures == b.measures
        && share_marks(a, b)
}

/// True if most marks of the one are marks of the other: leaflets of different tubes may have one title, and typed twice
/// is not typed alike.
fn share_marks(a: &TubeEntry, b: &TubeEntry) -> bool {
    let (one, two) = (scales(a), scales(b));
    let count = |scales: &[Scale]| scales.iter().map(|scale| scale.marks.len()).sum::<usize>();
    let is_mark_of_two = |mark: &Num| {
        let is_mark_of = |scale: &Scale| {
            scale
                .marks
                .iter()
                .any(|other| same(mark.value(), other.value()))
        };
        two.iter().any(is_mark_of)
    };
    let shared = one
        .iter()
        .map(|scale| {
            scale
                .marks
                .iter()
                .filter(|mark| is_mark_of_two(mark))
                .count()
        })
        .sum::<usize>();
    count(one).max(count(two)) <= 2 * shared
}

fn scales(tube: &TubeEntry) -> &[Scale] {
    tube.printed_scales()
}
