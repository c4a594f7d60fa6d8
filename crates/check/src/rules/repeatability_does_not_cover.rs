//! Repeatability that ends below the last mark.

use crate::bands;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "repeatability-does-not-cover",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The bands of repeatability do not rise, or end below the last mark.",
    family: Family::Performance,
    docs: include_str!("repeatability-does-not-cover.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let bands = bands::repeatability(sheet).iter();
    let bounds: Vec<_> = bands.map(|band| band.up_to.as_ref()).collect();
    bands::does_not_cover(
        sheet,
        context,
        "repeatability",
        &bounds,
        "readings above have no stated repeatability, and no uncertainty can be given for them",
        sink,
    );
}
