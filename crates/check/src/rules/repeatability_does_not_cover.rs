//! Repeatability that ends below the last mark.

use stainbook_document::finding::Level;
use stainbook_document::place::Path;

use crate::bands::{last_mark_above, not_rising};
use crate::words;
use crate::{Check, Context, Family, Rule, Sheet, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "repeatability-does-not-cover",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The bands of repeatability do not rise, or end below the last mark.",
    family: Family::Doubt,
    docs: include_str!("repeatability-does-not-cover.md"),
    check: Check::Tube(check),
};

fn check(sheet: &Sheet<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let bands = sheet
        .doubt
        .as_ref()
        .map(|doubt| doubt.repeatability.as_slice())
        .unwrap_or_default();
    let bounds: Option<Vec<_>> = bands.iter().map(|band| band.up_to.as_deref()).collect();
    let Some(bounds) = bounds else { return };
    let at = |row: usize| {
        Path::root()
            .key("doubt")
            .key("repeatability")
            .index(row)
            .key("up_to")
    };
    if let Some(row) = not_rising(&bounds)
        && let Some(above) = bounds.get(row)
    {
        sink.report(
            sink.at(at(row))
                .message("the bands of repeatability do not rise")
                .label(format!("up to {} comes too late", above.canonical()))
                .note("each band holds from the one before up to its own bound; this one holds nowhere")
                .help("write the lowest band first, and compare the bounds with the leaflet")
                .fact("written", words::written_fact(above)),
        );
        return;
    }
    let Some(last) = bounds.last() else { return };
    let Some((view, mark, unit)) = last_mark_above(sheet, last) else {
        return;
    };
    sink.report(
        sink.at(at(bounds.len() - 1))
            .message("the repeatability ends below the last mark")
            .label(format!("up to {}, the last mark is {}", last.canonical(), words::as_written(mark, unit)))
            .note("readings above have no stated repeatability, and no uncertainty can be given for them")
            .help("compare with the leaflet: the last band reaches to the end of the scale, or its bound has a slip")
            .related(sink.place(view.path().key("marks")), "the marks")
            .fact("written", words::written_fact(last))
            .fact("last_mark", words::number_fact(mark, unit.canonical())),
    );
}
