//! Two corrections with the same factors.

use crate::points::{Placed, axis_name};
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-copied",
    level: Level::Warning,
    since: "0.1.0",
    summary: "Two corrections of a sheet have the same factors, one after the other.",
    family: Family::Correction,
    docs: include_str!("correction-copied.md"),
    check: Check::Tube(check),
};

/// Two lists may have so many factors in common by chance.
const FEWEST: usize = 3;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let corrections = sheet.corrections();
    for (index, placed) in corrections.iter().enumerate() {
        let own = factors(placed);
        let all_alike = own.windows(2).all(|pair| matches!(pair, [a, b] if a == b));
        if own.len() < FEWEST || all_alike {
            continue;
        }
        let Some(other) = corrections
            .iter()
            .take(index)
            .find(|other| factors(other) == own)
        else {
            continue;
        };
        let (axis, first) = (axis_name(placed.axis), axis_name(other.axis));
        sink.report(
            sink.at_key(placed.path())
                .message(format!("the {axis} correction has the factors of the {first} correction"))
                .label(format!("{} in both", own.join(", ")))
                .note("what temperature, humidity and pressure do to a tube differs; a block that was copied and not typed over corrects for nothing that is there")
                .help(format!("compare the {axis} correction with the leaflet, row by row; if it is printed so, accept the finding with that as the reason"))
                .related(sink.place(other.path()), format!("the {first} correction")),
        );
    }
}

/// The factors as they are written.
fn factors<'a>(placed: &Placed<'a>) -> Vec<&'a str> {
    let points = placed
        .points()
        .map(|(points, _)| points)
        .unwrap_or_default();
    points.iter().map(|point| point.factor.text()).collect()
}
