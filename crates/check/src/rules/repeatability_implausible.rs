//! A repeatability that no tube has.

use stainbook_catalog::written::tube::paper_words::RatioSpan;

use crate::bands;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "repeatability-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A relative standard deviation is implausible, or grows with the concentration.",
    family: Family::Performance,
    docs: include_str!("repeatability-implausible.md"),
    check: Check::Tube(check),
};

/// A stain's end cannot be repeated more closely than this. Common practice is 5 to 10 %, no source.
const SMALLEST: f64 = 0.01;
/// A tube that repeats worse than this shows, but does not measure. Common practice is 5 to 10 %, no source.
const LARGEST: f64 = 0.35;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let mut before: Option<f64> = None;
    for (row, band) in bands::repeatability(sheet).iter().enumerate() {
        let Some(rsd) = band.rsd.as_ref().map(RatioSpan::larger) else {
            return;
        };
        let fraction = rsd.value().fraction();
        let path = bands::band("repeatability", row).key("rsd");
        let finding = sink.at(path).fact("written", words::written_fact(rsd));
        if fraction < SMALLEST || LARGEST < fraction {
            sink.report(
                finding
                    .message("this repeatability is implausible")
                    .label(format!("{} written, {} to {} plausible", rsd.canonical(), words::percent(SMALLEST), words::percent(LARGEST)))
                    .note("repeated readings of one air usually differ by 5 to 10 % (common practice, no source); the uncertainty of every result is built on this figure")
                    .help("compare it with the leaflet: the decimal point may have moved, or it is the accuracy and belongs there"),
            );
            return;
        }
        if let Some(lower) = before
            && lower < fraction
        {
            sink.report(
                finding
                    .message("the repeatability gets worse with the concentration")
                    .label(format!("{} above, {} below", rsd.canonical(), words::percent(lower)))
                    .note("a longer stain is read more closely, so the relative deviation falls along the scale; swapped bands make strong readings too doubtful and weak ones too sure")
                    .help("compare both bands with the leaflet; if it is printed so, accept the finding with that as the reason"),
            );
        }
        before = Some(fraction);
    }
}
