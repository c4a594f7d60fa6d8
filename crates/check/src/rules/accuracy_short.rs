//! An accuracy that falls short of what such tubes were once asked for.

use stainbook_catalog::written::tube::DeviationOf;
use stainbook_catalog::written::tube::paper_words::RatioSpan;

use crate::bands;
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "accuracy-short",
    level: Level::Note,
    since: "0.1.0",
    summary: "The accuracy falls short of the ±25 % and ±35 % that the former United States regulation asked for.",
    family: Family::Performance,
    docs: include_str!("accuracy-short.md"),
    check: Check::Tube(check),
};

/// At 1, 2 and 5 times the test level. Source: the former 42 CFR 84.20(e) for gas detector tube units.
const WITHIN: f64 = 0.25;
/// At half the test level, so at the low end of the scale. Source: the same.
const WITHIN_BELOW: f64 = 0.35;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let accuracy = bands::accuracy(sheet);
    for (row, band) in accuracy.iter().enumerate() {
        let within = band
            .within
            .as_ref()
            .filter(|_| band.of != Some(DeviationOf::FullScale));
        let Some(within) = within.map(RatioSpan::larger) else {
            continue;
        };
        // A band of its own at the low end stands for half of the test level.
        let low_end = row == 0 && 1 < accuracy.len();
        let asked = if low_end { WITHIN_BELOW } else { WITHIN };
        if !Interval::exactly(asked).is_below(Interval::exactly(within.value().fraction())) {
            continue;
        }
        let place = if low_end {
            "at the low end"
        } else {
            "above the low end"
        };
        sink.report(
            sink.at(bands::band("accuracy", row).key("within"))
                .message("this tube is less accurate than such tubes were once asked to be")
                .label(format!("{} stated, {} asked for {place}", within.canonical(), words::percent(asked)))
                .note("the former United States regulation for detector tube units (42 CFR 84.20(e)) asked for ±25 % at 1, 2 and 5 times the test level and ±35 % at half of it; results near a limit will often end with `cannot tell`")
                .help("compare the figure with the leaflet; if it is printed so, nothing is to be done")
                .fact("written", words::written_fact(within))
                .fact("asked", words::tolerance_fact(asked * 100.0, "%")),
        );
    }
}
