//! A multiplier that leaves the line of its siblings.

use stainbook_core::elementary::exp;

use crate::printed::Interval;
use crate::strokes_line::{Anchor, anchors};
use crate::words;
use crate::{Check, Context, Family, Level, Rule, ScaleView, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "multiplier-off-the-line",
    level: Level::Warning,
    since: "0.1.0",
    summary: "A multiplier leaves the line of the tube's other stroke counts.",
    family: Family::Scale,
    docs: include_str!("multiplier-off-the-line.md"),
    check: Check::Tube(check),
};

/// Relative tolerance of a multiplier about the line, beyond its digits. Common practice, no source.
const OFF_THE_LINE: f64 = 0.08;
/// The same as a part of the exponent, which is not quite the same for half a stroke and for ten. Common practice, no source;
/// the generated honest sheets of the tests have exponents that vary by 3 % either way.
const EXPONENT_VARIES: f64 = 0.08;

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for view in sheet.scales() {
        let Some(anchors) = anchors(view) else {
            continue;
        };
        // The scale's own stroke count is the third point; with two points any exponent fits.
        if anchors.len() < 2 {
            continue;
        }
        if let Some((index, exponent)) = odd_one_out(&anchors)
            && let Some(anchor) = anchors.get(index)
        {
            report(view, anchor, exponent, anchors.len(), sink);
        }
    }
}

/// The anchor without which the others agree best, if it leaves their line, with their exponent.
fn odd_one_out(anchors: &[Anchor]) -> Option<(usize, Interval)> {
    let candidates = (0..anchors.len()).filter_map(|index| {
        let rest: Vec<&Anchor> = anchors
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != index)
            .map(|(_, anchor)| anchor)
            .collect();
        let exponents: Vec<f64> = rest.iter().map(|anchor| anchor.own_exponent()).collect();
        let spread = exponents.iter().copied().fold(f64::MIN, f64::max)
            - exponents.iter().copied().fold(f64::MAX, f64::min);
        // The far points tell the exponent best, so they count by their distance.
        let weight: f64 = rest
            .iter()
            .map(|anchor| anchor.strokes * anchor.strokes)
            .sum();
        let fitted = rest
            .iter()
            .map(|anchor| anchor.strokes * anchor.multiplier)
            .sum::<f64>()
            / weight;
        let low = rest
            .iter()
            .map(|anchor| anchor.exponent.low)
            .fold(fitted, f64::min);
        let high = rest
            .iter()
            .map(|anchor| anchor.exponent.high)
            .fold(fitted, f64::max);
        let anchor = anchors.get(index)?;
        Some((
            index,
            spread,
            Interval { low, high },
            (anchor.own_exponent() - fitted).abs(),
        ))
    });
    let (index, _, exponent, _) = candidates
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1).then(b.3.total_cmp(&a.3)))?;
    let anchor = anchors.get(index)?;
    let predicted = expected(anchor, exponent);
    let printed = Interval {
        low: exp(anchor.exponent.low * anchor.strokes),
        high: exp(anchor.exponent.high * anchor.strokes),
    };
    let printed = Interval {
        low: printed.low.min(printed.high),
        high: printed.low.max(printed.high),
    };
    (!printed.meets(predicted.widened(slack(anchor, exponent)))).then_some((index, exponent))
}

/// Relative tolerance of the multiplier about the line.
fn slack(anchor: &Anchor, exponent: Interval) -> f64 {
    let varies = (EXPONENT_VARIES * exponent.middle() * anchor.strokes).abs();
    (1.0 + OFF_THE_LINE) * exp(varies) - 1.0
}

/// The multiplier that an exponent gives.
fn expected(anchor: &Anchor, exponent: Interval) -> Interval {
    let (a, b) = (
        exp(exponent.low * anchor.strokes),
        exp(exponent.high * anchor.strokes),
    );
    Interval {
        low: a.min(b),
        high: a.max(b),
    }
}

fn report(
    view: &ScaleView<'_>,
    anchor: &Anchor,
    exponent: Interval,
    others: usize,
    sink: &mut Sink<'_>,
) {
    let Some((_, range)) = view.ranges.iter().find(|(row, _)| *row == anchor.row) else {
        return;
    };
    let (Some(strokes), Some(written), Some(scale_strokes)) = (
        &range.strokes,
        &range.multiply_by,
        &view.scale.printed_for_strokes,
    ) else {
        return;
    };
    let predicted = expected(anchor, exponent);
    let exponent_words = if others < 3 {
        "the other stroke count has"
    } else {
        "the other stroke counts have"
    };
    sink.report(
        sink.at(SheetView::range_path(anchor.row).key("multiply_by"))
            .message(format!("the multiplier of {} leaves the line of the others", words::count_of_strokes(strokes)))
            .label(format!(
                "{} written, the others lead to {} to {}",
                written.text(),
                words::number(predicted.low),
                words::number(predicted.high)
            ))
            .note(format!(
                "a tube's multipliers go as ({} / strokes)^b; {exponent_words} b = {} to {}, this one {}",
                scale_strokes.text(),
                words::tolerance(exponent.low),
                words::tolerance(exponent.high),
                words::tolerance(anchor.own_exponent()),
            ))
            .note(format!(
                "beyond the printed digits {} more are allowed for; every result at this stroke count is multiplied by it",
                words::percent(slack(anchor, exponent))
            ))
            .help("compare strokes and multiplier with the leaflet; if it is printed so, accept the finding with that as the reason")
            .fact("written", words::number_fact(written, ""))
            .fact("expected_low", words::computed_fact(predicted.low, ""))
            .fact("expected_high", words::computed_fact(predicted.high, "")),
    );
}
