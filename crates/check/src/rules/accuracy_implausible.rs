//! An accuracy that no tube has.

use stainbook_catalog::written::tube::paper_words::RatioSpan;

use crate::bands;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "accuracy-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The accuracy is implausible, or closer than readings can be repeated.",
    family: Family::Performance,
    docs: include_str!("accuracy-implausible.md"),
    check: Check::Tube(check),
};

/// The former 42 CFR Part 84 on gas detector tube units asked for ±25 % at 1, 2 and 5 times the test level and ±35 % at half of
/// it. Nobody claims an eighth of that, and a tube twice as far off shows, but does not measure: common practice, no source.
const PLAUSIBLE: (f64, f64) = (0.03, 0.60);
/// Deviations are stated for about one standard deviation (68 %) or more, never for all readings. Common practice, no source.
const CONFIDENCE: (f64, f64) = (0.66, 0.999);

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(performance) = &sheet.performance else {
        return;
    };
    let closest = performance
        .repeatability
        .iter()
        .filter_map(|band| band.rsd.as_ref())
        .map(|rsd| rsd.smaller().unwrap_or(rsd.larger()).value().fraction())
        .fold(f64::INFINITY, f64::min);
    let path = |row: usize| bands::band("accuracy", row);
    for (row, band) in performance.accuracy.iter().enumerate() {
        if let Some(within) = band.within.as_ref().map(RatioSpan::larger) {
            let fraction = within.value().fraction();
            let finding = sink
                .at(path(row).key("within"))
                .fact("written", words::written_fact(within));
            if fraction < PLAUSIBLE.0 || PLAUSIBLE.1 < fraction {
                sink.report(
                    finding
                        .message("this accuracy is implausible")
                        .label(format!("{} written, {} to {} plausible", within.canonical(), words::percent(PLAUSIBLE.0), words::percent(PLAUSIBLE.1)))
                        .note("the accuracy is the largest part of the uncertainty of every result")
                        .help("compare it with the leaflet: the decimal point may have moved, or it is the repeatability and belongs there"),
                );
            } else if fraction < closest && closest.is_finite() {
                sink.report(
                    finding
                        .message("this accuracy is closer than readings can be repeated")
                        .label(format!("{} written, repeated readings scatter by {} or more", within.canonical(), words::percent(closest)))
                        .note("readings that scatter cannot all be that close to the true value; the uncertainty of every result comes out too small")
                        .help("compare both with the leaflet: a digit may be missing, or the two have changed places")
                        .related(sink.place(Path::root().key("doubt").key("repeatability")), "the repeatability"),
                );
            }
        }
        let Some(confidence) = &band.confidence else {
            continue;
        };
        let fraction = confidence.value().fraction();
        if fraction < CONFIDENCE.0 || CONFIDENCE.1 < fraction {
            sink.report(
                sink.at(path(row).key("confidence"))
                    .message("this confidence is implausible")
                    .label(format!("{} written, {} to {} plausible", confidence.canonical(), words::percent(CONFIDENCE.0), words::percent(CONFIDENCE.1)))
                    .note("it says how many of all readings keep to the accuracy, and turns it into a standard uncertainty: 95 % is usual")
                    .help("compare it with the leaflet; leave it out if the leaflet does not say it")
                    .fact("written", words::written_fact(confidence)),
            );
        }
    }
}
