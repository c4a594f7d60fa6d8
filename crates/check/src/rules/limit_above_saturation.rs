//! A limit that vapour cannot reach.

use stainbook_catalog::written::SubstanceEntry;

use crate::limits::{as_volume_fraction, kind_words};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-above-saturation",
    level: Level::Note,
    since: "0.1.0",
    summary: "A limit is higher than the saturated vapour at room temperature.",
    family: Family::Substance,
    docs: include_str!("limit-above-saturation.md"),
    check: Check::Substance(check),
};

/// One atmosphere, which turns a saturation pressure into a volume fraction. Source: CGPM 1954, resolution 4.
const ATMOSPHERE_KILOPASCALS: f64 = 101.325;
/// Saturation pressures within this range stand for room temperature. Common practice, no source.
const ROOM_CELSIUS: (f64, f64) = (15.0, 30.0);

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    // Of several sources the highest, so that only what none of them explains is reported; a disputed value explains nothing.
    let highest = substance
        .vapour_pressure
        .iter()
        .enumerate()
        .filter(|(_, vapour)| vapour.disputed.is_none())
        .filter_map(|(row, vapour)| {
            let celsius = vapour.temperature.as_ref()?.value().celsius();
            let room = ROOM_CELSIUS.0 <= celsius && celsius <= ROOM_CELSIUS.1;
            room.then_some((row, vapour.temperature.as_ref()?, vapour.pressure.as_ref()?))
        })
        .max_by(|a, b| {
            a.2.value()
                .kilopascals()
                .total_cmp(&b.2.value().kilopascals())
        });
    let Some((vapour_row, temperature, pressure)) = highest else {
        return;
    };
    let part = pressure.half_step() / pressure.number().abs().max(f64::MIN_POSITIVE);
    let saturated = pressure.value().kilopascals() / ATMOSPHERE_KILOPASCALS * 1e6;
    for (row, limit) in substance.limits.iter().enumerate() {
        let (Some(kind), Some(written)) = (limit.kind, &limit.at_most) else {
            continue;
        };
        let Some(fraction) = as_volume_fraction(written, limit, substance, context) else {
            continue;
        };
        if !Interval::exactly(saturated * (1.0 + part)).is_below(fraction) {
            continue;
        }
        sink.report(
            sink.at(Path::root().key("limits").index(row).key("at_most"))
                .message(format!("this {} is higher than the saturated vapour at {}", kind_words(kind), temperature.canonical()))
                .label(format!("{} written, saturated at {} ppm", written.canonical(), words::number(saturated)))
                .note(format!("{} over {ATMOSPHERE_KILOPASCALS} kPa is {} ppm: vapour alone cannot reach the limit, and a tube does not see mist", pressure.canonical(), words::number(saturated)))
                .help("look at both sources for a slip; if they are printed so, the limit is for mist or for hot work, and the remark should say it")
                .related(sink.place(Path::root().key("vapour_pressure").index(vapour_row).key("pressure")), "the saturation pressure")
                .fact("written", words::written_fact(written))
                .fact("computed", Fact::number(saturated, "ppm", format!("{} ppm", words::number(saturated)))),
        );
    }
}
