//! A kind of pump whose strokes may be off by more than pumps for tubes are allowed.

use stainbook_catalog::written::PumpKindEntry;

use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "volume-tolerance-wide",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A kind of pump may be off its stroke volume by more than 5 %.",
    family: Family::Field,
    docs: include_str!("volume-tolerance-wide.md"),
    check: Check::PumpKind(check),
};

/// The acceptance limit that is usual for pumps of detector tubes. Common practice; the former United States regulation for
/// detector tube units is said to have asked for the same (from memory).
const MOST: f64 = 0.05;

fn check(kind: &PumpKindEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(tolerance) = &kind.volume_tolerance else {
        return;
    };
    if !Interval::exactly(MOST).is_below(Interval::exactly(tolerance.value().fraction())) {
        return;
    }
    sink.report(
        sink.at(Path::root().key("volume_tolerance"))
            .message("this kind of pump may be off by more than pumps for tubes usually are")
            .label(format!("{} written, {} usual", tolerance.canonical(), words::percent(MOST)))
            .note("a stroke that is too small draws too little gas, and the reading is too low by about as much; the tolerance goes into the uncertainty of every result with such a pump")
            .help("look at the pump's instructions: a digit may have slipped; if they allow so much, accept the finding with that as the reason")
            .fact("written", words::written_fact(tolerance))
            .fact("tolerance", words::tolerance_fact(MOST * 100.0, "%")),
    );
}
