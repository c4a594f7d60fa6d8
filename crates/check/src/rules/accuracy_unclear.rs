//! A band of accuracy without a figure, or with one that says too little.

use stainbook_catalog::written::tube::AccuracyBand;
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::bands;
use crate::{Check, Context, Family, Level, Path, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "accuracy-unclear",
    level: Level::Error,
    since: "0.1.0",
    summary: "A band of accuracy has no figure, or one that cannot be followed.",
    family: Family::Performance,
    docs: include_str!("accuracy-unclear.md"),
    check: Check::Tube(check),
};

/// Fields of a band of which one at least is its figure.
const FIGURES: [&str; 4] = ["within", "at_least", "within_spaces", "within_mm"];

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    for (row, band) in bands::accuracy(sheet).iter().enumerate() {
        let path = bands::band("accuracy", row);
        let absent = FIGURES
            .iter()
            .all(|key| !has(band, key) && context.is_absent(None::<&()>, &path.clone().key(*key)));
        let others = [
            "within",
            "at_least",
            "within_spaces",
            "within_mm",
            "up_to",
            "of",
            "confidence",
            "known_to",
            "kind",
        ];
        let what = if absent && !context.may_have_others(&path, &others) {
            Some((
                "this band of accuracy has no figure",
                "no `within`, `at_least`, `within_spaces` or `within_mm`",
                help!(
                    "write the figure as the leaflet prints it, such as {}",
                    Offer::field("within: 25 %")
                ),
            ))
        } else if band.of.is_some()
            && context.is_absent(band.within.as_ref(), &path.clone().key("within"))
        {
            Some((
                "this band says what its figure is a part of, and has no figure",
                "no `within` beside `of`",
                help!(
                    "write {} as the leaflet prints it, or leave {} out",
                    Offer::name("within"),
                    Offer::left_out("of").in_part()
                ),
            ))
        } else if band.within_mm.is_some()
            && let Some(scale) = without_length(sheet, context)
        {
            Some((
                "millimetres of the stain say nothing without the length of the scale",
                "no `length_mm` at the scale",
                help!(
                    "measure the scale from the first mark to the last, and write {} beside its marks",
                    Offer::name("length_mm").at(sink.place(scale))
                ),
            ))
        } else {
            None
        };
        let Some((message, label, help)) = what else {
            continue;
        };
        sink.report(
            sink.at(path)
                .message(message)
                .label(label)
                .note("the accuracy is the largest part of the uncertainty; a band that is passed over leaves a default in its place")
                .help(help),
        );
    }
}

fn has(band: &AccuracyBand, key: &str) -> bool {
    match key {
        "within" => band.within.is_some(),
        "at_least" => band.at_least.is_some(),
        "within_spaces" => band.within_spaces.is_some(),
        "within_mm" => band.within_mm.is_some(),
        _ => false,
    }
}

/// The first scale that does not say how long it is.
fn without_length(sheet: &SheetView<'_>, context: &Context<'_>) -> Option<Path> {
    let mut scales = sheet.scales().iter();
    scales
        .find(|view| {
            let length = view.scale.length_mm.as_ref();
            context.is_absent(length, &view.path().key("length_mm"))
        })
        .map(ScaleView::path)
}
