//! A measured stroke volume that no such pump has.

use stainbook_catalog::written::PumpEntry;

use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "volume-check-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A volume check found a stroke that is far from that of the pump's kind.",
    family: Family::Field,
    docs: include_str!("volume-check-implausible.md"),
    check: Check::Pump(check),
};

/// A pump that is worn or leaks draws a few percent less; one that is off by more than this part was not measured, or was
/// written down wrong. Common practice, no source.
pub(crate) const MOST: f64 = 0.20;

fn check(pump: &PumpEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let kind = pump
        .kind
        .as_deref()
        .and_then(|kind| context.book.pump_kind(kind));
    let Some(nominal) = kind.and_then(|kind| kind.stroke.as_ref()) else {
        return;
    };
    for (row, check) in pump.volume_checks.iter().enumerate() {
        let Some(volume) = &check.volume else {
            continue;
        };
        let off = volume.value().millilitres() / nominal.value().millilitres() - 1.0;
        if off.abs() <= MOST || !off.is_finite() {
            continue;
        }
        sink.report(
            sink.at(Path::root().key("volume_checks").index(row).key("volume"))
                .message("no pump of this kind draws such a stroke")
                .label(format!("{} found, {} is a stroke of its kind: {} off", volume.canonical(), nominal.canonical(), words::percent(off.abs())))
                .note("the uncertainty of every result with this pump is widened to what its last check found")
                .help("look at the record of the check: a digit, the decimal point or the unit has slipped, or the volume of several strokes was written down")
                .fact("written", words::written_fact(volume))
                .fact("nominal", words::written_fact(nominal))
                .fact("tolerance", Fact::number(MOST * 100.0, "%", words::percent(MOST))),
        );
    }
}
