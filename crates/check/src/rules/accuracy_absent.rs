//! A sheet that does not say how far a reading may be off.

use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Family, Level, Path, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "accuracy-absent",
    level: Level::Note,
    since: "0.1.0",
    summary: "The sheet states no accuracy, so that every result names a default in its place.",
    family: Family::Performance,
    docs: include_str!("accuracy-absent.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, context: &Context<'_>, sink: &mut Sink<'_>) {
    let stated = sheet.performance.as_ref();
    let accuracy = stated.and_then(|performance| performance.accuracy.first());
    let performance = Path::root().key("doubt");
    if context.is_absent(stated, &performance)
        || !context.is_absent(accuracy, &performance.clone().key("accuracy"))
    {
        return;
    }
    // A band ends at a concentration: that of the last mark, which is offered as the sheet writes it.
    let last_mark = sheet.printed_scales().first().and_then(|scale| {
        let (mark, unit) = (scale.marks.last()?, scale.unit.as_deref()?);
        Some(format!("{} {unit}", mark.text()))
    });
    let help = if let Some(mark) = last_mark {
        help!(
            "look whether the leaflet states it, often as a standard that the tube meets, and add {} with its figure; if it is silent, nothing is to be done",
            Offer::field(format!("accuracy: [{{up_to: {mark}, within: 25 %}}]"))
        )
    } else {
        help!(
            "look whether the leaflet states it, often as a standard that the tube meets, and add {} with a band that ends at the last mark; if it is silent, nothing is to be done",
            Offer::name("accuracy")
        )
    };
    sink.report(
        sink.at_key(performance)
            .message("this sheet does not say how far a reading may be from the true value")
            .label("no `accuracy`")
            .note("the accuracy of scale and lot is the largest part of the uncertainty, and not the repeatability; ±25 % stands in for it, which the former United States regulation for detector tube units (42 CFR Part 84) asked for, and every result says so")
            .help(help),
    );
}
