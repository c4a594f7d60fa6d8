//! A sheet that says it replaces the sheet of another tube.

use stainbook_catalog::EntryKind;
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::place::{Path, Place};

use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "replaces-another-tube",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A sheet replaces itself, one that measures something else, or one whose leaflet is newer.",
    family: Family::Identity,
    docs: include_str!("replaces-another-tube.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(id) = sheet.replaces.as_deref() else {
        return;
    };
    let finding = sink
        .at(Path::root().key("replaces"))
        .note("which leaflet is the newest of a series, and what a revision changed, is followed along `replaces`")
        .fact("written", Fact::text(id));
    if sheet.tube.as_deref() == Some(id) {
        sink.report(
            finding
                .message("a sheet cannot replace itself")
                .label("its own name")
                .help(help!(
                    "name the sheet of the revision before this one, or leave {} out",
                    Offer::left_out("replaces")
                )),
        );
        return;
    }
    let Some(other) = context.book.tube(id) else {
        return;
    };
    let mut finding = finding;
    if let Some(entry) = context.book.find(EntryKind::Tube, id) {
        finding = finding.related(
            Place::value(entry.file, Path::root().key("tube")),
            "that sheet",
        );
    }
    let measured = |tube: &stainbook_catalog::written::TubeEntry| {
        let measures = tube.measures.as_ref()?;
        measures
            .group
            .clone()
            .or_else(|| measures.substance.clone())
    };
    if let (Some(own), Some(others)) = (measured(sheet), measured(other))
        && own != others
    {
        sink.report(
            finding
                .message(format!(
                    "`{id}` measures `{others}`, and this sheet `{own}`"
                ))
                .label("the sheet of another tube")
                .help(help!(
                    "name the sheet of this tube's revision before, or leave {} out",
                    Offer::left_out("replaces")
                )),
        );
        return;
    }
    let date = |tube: &stainbook_catalog::written::TubeEntry| tube.leaflet.as_ref()?.date.clone();
    if let (Some(own), Some(others)) = (date(sheet), date(other))
        && own.last() < others.first()
    {
        sink.report(
            finding
                .message(format!("the leaflet of `{id}` is newer than this one"))
                .label(format!("{} there, {} here", others.text(), own.text()))
                .help("compare both dates with the leaflets; if they are right, it is the other sheet that replaces this one"),
        );
    }
}
