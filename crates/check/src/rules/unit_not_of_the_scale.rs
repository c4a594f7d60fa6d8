//! A concentration on the scale that is written in another unit than the scale.

use stainbook_catalog::written::tube::paper_words::UpTo;
use stainbook_core::{Concentration, Written};

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "unit-not-of-the-scale",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A reading on the scale is written in a unit that no scale of the sheet has.",
    family: Family::Scale,
    docs: include_str!("unit-not-of-the-scale.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let path = || Path::root().key("read").key("lowest_visible");
    let mut readings: Vec<(Path, &Written<Concentration>)> = Vec::new();
    if let Some(lowest) = sheet.limit_of_detection() {
        let of_all = lowest.concentration.as_deref();
        readings.extend(of_all.map(|written| (path().key("concentration"), written)));
        let rows = lowest.by_strokes.iter().enumerate();
        readings.extend(rows.filter_map(|(row, one)| {
            let path = path().key("by_strokes").index(row).key("concentration");
            Some((path, one.concentration.as_deref()?))
        }));
    }
    let lowest: Vec<&Written<Concentration>> = readings.iter().map(|(_, lowest)| *lowest).collect();
    if let Some(performance) = &sheet.performance {
        let up_to = |list, row| Path::root().key("doubt").key(list).index(row).key("up_to");
        let bands = performance
            .repeatability
            .iter()
            .map(|band| band.up_to.as_ref().and_then(UpTo::reading))
            .enumerate();
        readings.extend(
            bands.filter_map(|(row, written)| Some((up_to("repeatability", row), written?))),
        );
        let bands = performance
            .accuracy
            .iter()
            .map(|band| band.up_to.as_ref().and_then(UpTo::reading))
            .enumerate();
        readings
            .extend(bands.filter_map(|(row, written)| Some((up_to("accuracy", row), written?))));
    }
    let units: Option<Vec<_>> = sheet.scales().iter().map(|view| view.unit).collect();
    let Some(units) = units.filter(|units| !units.is_empty()) else {
        return;
    };
    for (path, written) in readings {
        let unit = written.unit();
        // What can just be seen is small, and leaflets do print it in the next smaller unit.
        let may_be_smaller = lowest.iter().any(|lowest| std::ptr::eq(*lowest, written));
        let is_of_a_scale = units.iter().any(|scale| {
            scale.canonical() == unit.canonical()
                || (may_be_smaller && scale.dimension() == unit.dimension())
        });
        let first = units.first().map_or("", |unit| unit.canonical());
        if !is_of_a_scale {
            sink.report(
                sink.at(path)
                    .message(format!("this is written in {}, the scale is in {first}", unit.canonical()))
                    .label(format!("`{}` on a scale in {first}", written.text()))
                    .note("a leaflet states what is read on the scale in the scale's unit; another one is usually a slip, by a factor of a thousand or of the molar mass")
                    .help("look at the unit on the leaflet; if it prints another one than the scale's, write the figure in the scale's unit")
                    .related(sink.place(Path::root().key("read").key("scales").index(0).key("unit")), "the scale's unit"),
            );
        }
    }
}
