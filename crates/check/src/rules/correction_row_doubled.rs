//! A condition or reading that a table has twice.

use crate::points::{Placed, axis_name};
use crate::printed::same;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-row-doubled",
    level: Level::Error,
    since: "0.1.0",
    summary: "A correction table has the same condition or reading twice, one after the other.",
    family: Family::Correction,
    docs: include_str!("correction-row-doubled.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        if let Some((points, unit)) = placed.points() {
            for pair in points.windows(2) {
                let [first, second] = pair else { continue };
                if !same(first.condition.value(), second.condition.value()) {
                    continue;
                }
                let rows = |row| placed.path().key("rows").index(row);
                let text = format!("{} {}", second.condition.text(), unit.canonical());
                let alike = same(first.factor.value(), second.factor.value());
                report(
                    placed,
                    &text,
                    alike,
                    rows(second.row),
                    rows(first.row),
                    sink,
                );
            }
        }
        if let Some((columns, _)) = placed.columns() {
            for (index, pair) in columns.windows(2).enumerate() {
                if let [first, second] = pair
                    && same(*first, *second)
                {
                    let at = |index| placed.path().key("columns").index(index);
                    let text = placed.heading(index + 1);
                    report(placed, text, false, at(index + 1), at(index), sink);
                }
            }
        }
        for (index, pair) in placed.correction.lines.windows(2).enumerate() {
            let [first, second] = pair else { continue };
            let (Some(one), Some(two)) = (&first.reading, &second.reading) else {
                continue;
            };
            if one.value() != two.value() {
                continue;
            }
            let at = |index| placed.path().key("lines").index(index);
            let alike = first.cells() == second.cells();
            report(
                placed,
                &two.canonical(),
                alike,
                at(index + 1),
                at(index),
                sink,
            );
        }
    }
}

fn report(
    placed: &Placed<'_>,
    what: &str,
    alike: bool,
    path: Path,
    first: Path,
    sink: &mut Sink<'_>,
) {
    let (label, help) = if alike {
        ("the same as above", "take one of the two out")
    } else {
        (
            "with another correction than above",
            "compare both with the leaflet: one belongs to another condition, which is missing now",
        )
    };
    sink.report(
        sink.at(path)
            .message(format!("the {} correction has {what} twice", axis_name(placed.axis)))
            .label(label)
            .note("between two rows of one condition nothing can be interpolated, and which of them holds is not said")
            .help(help)
            .related(sink.place(first), "the first")
            .fact("written", Fact::text(what)),
    );
}
