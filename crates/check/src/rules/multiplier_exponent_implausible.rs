//! A multiplier that no tube has for so many strokes.

use stainbook_core::elementary::exp;

use crate::printed::Interval;
use crate::strokes_line::anchors;
use crate::words;
use crate::{Check, Context, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "multiplier-exponent-implausible",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A multiplier is far from scale strokes over strokes.",
    family: Family::Scale,
    docs: include_str!("multiplier-exponent-implausible.md"),
    check: Check::Tube(check),
};

/// Real tubes have exponents of about 0.6 to 1.7 (from memory); the bounds leave as much again on either side.
const EXPONENTS: Interval = Interval {
    low: 0.4,
    high: 2.2,
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let Some(anchors) = anchors(view) else {
            continue;
        };
        // With more points the one that leaves the line of the others is told by a rule of its own.
        let [anchor] = anchors.as_slice() else {
            continue;
        };
        if anchor.exponent.meets(EXPONENTS) {
            continue;
        }
        let Some((_, range)) = view.ranges.iter().find(|(row, _)| *row == anchor.row) else {
            continue;
        };
        let (Some(strokes), Some(written), Some(scale_strokes)) = (
            &range.strokes,
            &range.multiply_by,
            &view.scale.printed_for_strokes,
        ) else {
            continue;
        };
        let simple = exp(anchor.strokes);
        let (a, b) = (
            exp(EXPONENTS.low * anchor.strokes),
            exp(EXPONENTS.high * anchor.strokes),
        );
        sink.report(
            sink.at(SheetView::range_path(anchor.row).key("multiply_by"))
                .message(format!("this multiplier is implausible for {}", words::count_of_strokes(strokes)))
                .label(format!("{} written, {} to {} plausible", written.text(), words::number(a.min(b)), words::number(a.max(b))))
                .note(format!(
                    "the scale is printed for {}; a stain that goes with the amount of gas would give about {}",
                    words::count_of_strokes(scale_strokes),
                    words::number(simple)
                ))
                .note("every result at this stroke count is multiplied by it")
                .help("compare strokes and multiplier with the leaflet; if it is printed so, accept the finding with that as the reason")
                .fact("written", words::number_fact(written, ""))
                .fact("proportional", words::computed_fact(simple, "")),
        );
    }
}
