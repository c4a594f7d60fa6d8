//! Two scales of one tube that state two kinds of concentration.

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "scales-of-two-kinds",
    level: Level::Warning,
    since: "0.1.0",
    summary: "One scale of a tube is in ppm and the other in mg/m³.",
    family: Family::Scale,
    docs: include_str!("scales-of-two-kinds.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut units = sheet
        .scales()
        .iter()
        .filter_map(|view| Some((view, view.unit?)));
    let Some((first, unit)) = units.next() else {
        return;
    };
    for (view, other) in units {
        if other.dimension() == unit.dimension() {
            continue;
        }
        sink.report(
            sink.at(view.path().key("unit"))
                .message("the scales of this tube are in two kinds of unit")
                .label(format!("{} here, {} on the other", other.canonical(), unit.canonical()))
                .note("a glass carries one kind: ppm do not change with temperature and pressure, mg/m³ do, by more than 20 % at 2,000 m; with the wrong one every reading on this scale is off by the molar mass over 24")
                .help("look at the unit printed beside this scale; if the glass does carry both, accept the finding with that as the reason")
                .related(sink.place(first.path().key("unit")), "the other scale")
                .related(sink.place(Path::root().key("measures")), "what is measured"),
        );
    }
}
