//! Repeatability that ends below the last mark.

use stainbook_catalog::finding::Level;
use stainbook_catalog::place::Path;
use stainbook_core::Quantity;

use crate::printed::Interval;
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
    let bands = sheet.doubt.as_ref().map(|doubt| doubt.repeatability.as_slice()).unwrap_or_default();
    let bounds: Option<Vec<_>> = bands.iter().map(|band| band.up_to.as_ref()).collect();
    let Some(bounds) = bounds else { return };
    let at = |row: usize| Path::root().key("doubt").key("repeatability").index(row).key("up_to");
    for (row, pair) in bounds.windows(2).enumerate() {
        let [below, above] = pair else { continue };
        // Bands of the two kinds of concentration cannot be compared.
        if below.value() < above.value() || below.value().partial_cmp(&above.value()).is_none() {
            continue;
        }
        sink.report(
            sink.at(at(row + 1))
                .message("the bands of repeatability do not rise")
                .label(format!("up to {} after up to {}", above.canonical(), below.canonical()))
                .note("each band holds from the one before up to its own bound; this one holds nowhere")
                .help("write the lowest band first, and compare the bounds with the leaflet")
                .fact("written", words::written_fact(above)),
        );
        return;
    }
    let Some(last) = bounds.last() else { return };
    let covered = last.value();
    let scales = sheet.scales().iter().filter_map(|view| {
        let unit = view.unit.filter(|unit| unit.dimension() == covered.dimension())?;
        let mark = view.scale.marks.last()?;
        view.ends()?;
        Some((view, mark, unit))
    });
    let Some((view, mark, unit)) = scales.max_by(|a, b| a.2.to_base(a.1.value()).total_cmp(&b.2.to_base(b.1.value()))) else {
        return;
    };
    let half_step = last.unit().step_to_base(last.half_step()) / unit.step_to_base(1.0);
    if !Interval::around(covered.in_unit(unit), half_step).is_below(Interval::exactly(mark.value())) {
        return;
    }
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
