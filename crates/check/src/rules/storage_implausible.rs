//! A box that is stored or kept in a way that no box is.

use stainbook_core::{Temperature, Written};

use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "storage-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A storage temperature or shelf life is implausible, or the storage temperatures are reversed.",
    family: Family::Provenance,
    docs: include_str!("storage-implausible.md"),
    check: Check::Tube(check),
};

/// The highest storage temperature lies between a refrigerator's and that of a hot store room. Common practice, no source.
const BELOW_CELSIUS: (f64, f64) = (2.0, 50.0);
/// The lowest storage temperature lies between a freezer's and a mild room's. Common practice, no source.
const ABOVE_CELSIUS: (f64, f64) = (-30.0, 20.0);
/// Reagents that keep for less than a quarter of a year are not sold in boxes, and none is vouched for longer than ten years.
/// Common practice, no source.
const SHELF_LIFE_MONTHS: (f64, f64) = (3.0, 120.0);

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    let storage = sheet.storage();
    let Some(storage) = storage else { return };
    let at = |key| Path::root().key("before_use").key("storage").key(key);
    let below = storage.below.as_deref();
    let above = storage.above.as_deref();
    if let (Some(below), Some(above)) = (below, above)
        && below.value().celsius() <= above.value().celsius()
    {
        sink.report(
            sink.at(at("below"))
                .message("a box cannot be stored below this and above that")
                .label(format!("below {}, above {}", below.canonical(), above.canonical()))
                .note("a reagent that was stored too warm or froze no longer answers as the scale says, and the stain does not show it")
                .help("compare both with the leaflet: the two are swapped, or a sign was lost")
                .fact("below", words::written_fact(below))
                .fact("above", words::written_fact(above)),
        );
        return;
    }
    if let Some(below) = below {
        temperature(below, "highest", BELOW_CELSIUS, at("below"), sink);
    }
    if let Some(above) = above {
        temperature(above, "lowest", ABOVE_CELSIUS, at("above"), sink);
    }
    let Some(life) = storage.shelf_life.as_deref() else {
        return;
    };
    let months = life.value().months();
    // A year and a quarter of one are not whole numbers of months of one length.
    let (fewest, most) = SHELF_LIFE_MONTHS;
    if fewest * 0.95 <= months && months <= most * 1.05 {
        return;
    }
    sink.report(
        sink.at(at("shelf_life"))
            .message("this shelf life is implausible")
            .label(format!("{} written, {fewest} months to {} years plausible", life.canonical(), words::number(most / 12.0)))
            .note("who relies on it uses tubes that have aged, or throws good ones away; the expiry printed on the box counts either way")
            .help("compare it with the leaflet: the unit is another one, or the decimal point has moved")
            .fact("written", words::written_fact(life)),
    );
}

fn temperature(
    written: &Written<Temperature>,
    which: &str,
    plausible: (f64, f64),
    path: Path,
    sink: &mut Sink<'_>,
) {
    let celsius = written.value().celsius();
    if plausible.0 <= celsius && celsius <= plausible.1 {
        return;
    }
    sink.report(
        sink.at(path)
            .message(format!("this {which} storage temperature is implausible"))
            .label(format!("{} written, {} to {} °C plausible", written.canonical(), words::number(plausible.0), words::number(plausible.1)))
            .note("a reagent that was stored too warm or froze no longer answers as the scale says, and the stain does not show it")
            .help("compare it with the leaflet: °F may have been taken for °C, or a digit slipped; if it is printed so, accept the finding with that as the reason")
            .fact("written", words::written_fact(written)),
    );
}
